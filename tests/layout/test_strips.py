"""Strips and straightedges, by hand on rooms whose figures are plain."""

from __future__ import annotations

import math

import pytest

from engine.errors import JobError
from engine.job.toml_file import parse_job, read_job
from engine.layout.packing import pack
from engine.layout.stock import stock_plan
from engine.plan import plan
from engine.survey.spot import Needs

INCH = 25.4
SQUARE = """format = 1
[job]
name = "x"
[floor]
kind = "concrete"
bond_coat = true
[outline]
rectangle = ["48 in", "48 in"]
edges = { "D-A" = "open" }
[[drains]]
kind = "round"
size = "4 in"
at = { "A-B" = "24 in", "D-A" = "24 in" }
drop = "20 in"
[bed]
shape = "level-walls"
"""
READINGS = "".join(
    f'[[readings]]\nat = "{corner}"\ndrop = "{drop} in"\n'
    for corner, drop in (("A", 21), ("B", "21 1/4"), ("C", "21 1/4"), ("D", 21))
)


def _strips(text):
    found = plan(parse_job(text)).strips
    assert not isinstance(found, Needs)
    return {strip.wall: strip for strip in found}


def test_no_strip_stands_at_an_open_edge():
    assert list(_strips(SQUARE + READINGS)) == ["A-B", "B-C", "C-D"]


def test_height_is_the_least_room_less_the_cut_and_gap_the_most_that_is_left():
    # run to a corner sqrt(2) x 24 - 2 = 31.94 in, at 1/4 in/ft 0.6655 in, marked 11/16 in; along A-B the floor
    # lies 1 in to 1 1/4 in under the flange: room from 1 11/16 to 1 15/16 in, less 1/8 in: 1 9/16 in, gap 3/8 in
    strip = _strips(SQUARE + READINGS)["A-B"]
    assert strip.height == pytest.approx((1 + 9 / 16) * INCH)
    assert strip.gap == pytest.approx(3 / 8 * INCH)
    level = _strips(SQUARE + READINGS)["B-C"]
    assert level.height == pytest.approx((1 + 13 / 16) * INCH)
    assert level.gap == pytest.approx(1 / 8 * INCH)


def test_miters_are_half_the_corner_and_shorten_the_inner_face():
    strip = _strips(SQUARE + READINGS)["B-C"]
    assert strip.length == pytest.approx(48 * INCH)
    assert strip.miters == pytest.approx((45, 45))
    assert strip.inner_length == pytest.approx(47 * INCH)  # 1/2 in boards: 1/2 in off each end


@pytest.mark.parametrize("count", [3, 5, 6, 8])
def test_a_regular_rooms_miters(count):
    far = 900.0
    corners = [
        (far * math.cos(2 * math.pi * k / count), far * math.sin(2 * math.pi * k / count))
        for k in range(count)
    ]
    text = SQUARE.replace(
        'rectangle = ["48 in", "48 in"]\nedges = { "D-A" = "open" }',
        f"corners = {[[f'{x:.6f} mm', f'{y:.6f} mm'] for x, y in corners]}",
    )
    text = text.replace('{ "A-B" = "24 in", "D-A" = "24 in" }', '{ x = "0 in", y = "0 in" }')
    half = 90 * (count - 2) / count  # half of the corner's angle 180 (n - 2) / n
    for strip in _strips(text).values():
        assert strip.miters == pytest.approx((half, half), abs=1e-4)
        assert strip.inner_length == pytest.approx(
            strip.length - 2 * 0.5 * INCH / math.tan(math.radians(half)), abs=1e-3
        )


def test_the_bevel_is_the_beds_slope_square_to_the_wall():
    strip = _strips(SQUARE + READINGS)["B-C"]
    # straight across: 11/16 in over 24 - 2 = 22 in
    assert strip.bevel == pytest.approx(math.degrees(math.atan(0.6875 / 22)), abs=1e-6)


def test_every_line_has_a_straightedge_that_reaches_and_does_not_ride_on_the_far_edge():
    found = plan(parse_job(SQUARE + READINGS))
    lengths = found.straightedges.lengths
    for k in range(721):
        turn = math.radians(k / 4) - math.pi / 2  # the open side at D-A has no strip to pull from
        c, s = math.cos(turn), math.sin(turn)
        wall = min(24 / abs(c) if c > 1e-12 else math.inf, 24 / abs(s) if abs(s) > 1e-12 else math.inf)
        face = min(23.5 / abs(c) if c > 1e-12 else math.inf, 23.5 / abs(s) if abs(s) > 1e-12 else math.inf)
        near, far = (face - 2) * INCH, (face + 2) * INCH
        assert any(near - 1e-6 <= length <= far + 1e-6 for length in lengths), (k, wall)
    assert len(lengths) == 3  # near from 21.5 to 31.2 in, 4 in served by each: 9.7 / 4 takes three


def test_the_printed_cutting_problem_takes_73_boards():
    """Stock 5600, thirteen widths: 73 boards, bound 72.7 (an encyclopedia's worked cutting-stock example)."""
    widths = [1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200]
    counts = [22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20]
    found = pack([width for width, count in zip(widths, counts, strict=True) for _ in range(count)], 5600, 0)
    assert (len(found.boards), found.bound) == (73, 73)
    assert sorted(piece for board in found.boards for piece in board) == list(range(sum(counts)))


def test_strips_are_cut_from_the_fewest_boards():
    # three strips of 48 in from 48 in boards: one a board, nothing over
    job = parse_job(SQUARE + READINGS)
    found = stock_plan(job, plan(job).strips)
    assert (len(found.boards), found.is_fewest, found.offcuts) == (3, True, ())
    # from 100 in boards two fit with a 1/8 in cut between them, and 3 7/8 in is left of that board
    longer = parse_job(SQUARE + READINGS + '[strips]\nstock = "100 in"\n')
    found = stock_plan(longer, plan(longer).strips)
    assert (len(found.boards), found.is_fewest) == (2, True)


def test_samples_have_strips_and_straightedges(samples):
    for path in samples:
        found = plan(read_job(path))
        assert all(strip.fits for strip in found.strips)
        assert found.straightedges.lengths


@pytest.fixture
def samples(request):
    return sorted((request.config.rootpath / "sample_jobs").glob("*.toml"))


def test_a_board_wider_than_the_floor_is_refused():
    small = SQUARE.replace('"48 in", "48 in"', '"20 in", "20 in"').replace('"24 in"', '"10 in"')
    job = parse_job(small + READINGS + '[strips]\nthickness = "11 in"\n')
    with pytest.raises(JobError, match=r"strips\.thickness"):
        _ = plan(job).strips


def test_a_sharp_corner_has_bevels_too():
    text = SQUARE.replace(
        'rectangle = ["48 in", "48 in"]\nedges = { "D-A" = "open" }',
        'corners = [["0", "0"], ["500", "0"], ["70", "35"], ["35", "35"], ["35", "70"], ["0", "70"]]',
    )
    text = text.replace('{ "A-B" = "24 in", "D-A" = "24 in" }', '{ x = "50 in", y = "18 in" }').replace(
        "level-walls", "even-fall"
    )
    fall = math.degrees(math.atan(1 / 48))
    assert [0 <= strip.bevel <= fall + 1e-9 for strip in _strips(text).values()] == [True] * 6
