"""Channels, one plane, and several drains."""

from __future__ import annotations

import math

import numpy as np
import pytest

from engine.bed.even_fall import EvenFall
from engine.bed.planes import PlaneBed
from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.remedies import remedies
from engine.survey.spot import Needs

S = 1 / 48
HEAD = """format = 1
[job]
name = "x"
units = "mm"
[floor]
kind = "concrete"
bond_coat = true
"""
ROOM = "[outline]\nrectangle = [1800, 900]\n"
L_ROOM = "[outline]\ncorners = [[0,0],[1800,0],[1800,900],[900,900],[900,1800],[0,1800]]\n"


def _channel(start, end, width=70):
    places = [f"{{ x = {x}, y = {y} }}" for x, y in (start, end)]
    return f'[[drains]]\nkind = "channel"\nsize = {width}\nfrom = {places[0]}\nto = {places[1]}\n'


def _plan(drains, shape, room=ROOM, readings=""):
    return plan(parse_job(f'{HEAD}{room}{drains}{readings}[bed]\nshape = "{shape}"\n'))


def test_one_plane_from_a_channel_along_a_wall():
    found = _plan(_channel((0, 35), (1800, 35)), "plane")
    assert isinstance(found.bed, PlaneBed)
    assert found.bed.longest_run == pytest.approx(830)
    assert found.bed.wall_height == pytest.approx(830 * S)
    assert found.bed.height(np.array([[10.0, 470.0], [1790, 70], [900, 20]])) == pytest.approx([400 * S, 0, 0])
    assert found.bed.integral == pytest.approx(1800 * 830 * 830 * S / 2)  # a wedge
    assert not [finding for finding in found.findings if finding.level == "stop"]


def test_a_channel_inside_the_room_has_a_plane_on_each_side():
    found = _plan(_channel((0, 300), (1800, 300), width=100), "plane")
    assert found.bed.longest_run == pytest.approx(900 - 350)
    assert found.bed.integral == pytest.approx(1800 * S / 2 * (250**2 + 550**2))


def test_a_short_channel_leaves_a_flat_past_its_end():
    found = _plan(_channel((0, 35), (900, 35)), "plane")
    short = next(finding for finding in found.findings if finding.rule == "channel-short")
    assert short.level == "stop"
    assert "900 mm" in short.says
    assert "rises 18.8 mm" in short.remedy  # 900 mm at 1:48 is 18.75 mm
    changed = _plan(_channel((0, 35), (900, 35)), "even-fall")
    assert not [finding for finding in changed.findings if finding.rule == "channel-short"]


def test_a_short_channel_is_told_as_much_longer_as_its_solved_cure_is():
    """Both its ends are 600 mm from a wall and may be left 25.4 mm off: 2 x 574.6 is 1149.2, 2 x 575 in whole ones."""
    found = _plan(_channel((600, 450), (1200, 450)), "plane")
    at = next(i for i, finding in enumerate(found.findings) if finding.rule == "channel-short")
    assert found.findings[at].remedy.startswith("make the channel at least 1150 mm longer, or")
    assert remedies(found)[at].best[0].says.startswith("make the channel 1150 mm longer, to 25 mm off the walls")


def test_even_fall_to_a_short_channel_runs_round_its_end():
    bed = _plan(_channel((0, 35), (900, 35)), "even-fall").bed
    points = np.array([[500.0, 870.0], [1800, 35], [1800, 900]])
    assert bed.reach.way(points) == pytest.approx([800, 900, np.hypot(900, 830)])
    # beside the channel a wedge, past its end a corner of a cone: two right triangles of it
    wedge = 900 * 830**2 / 2
    cone = _cone_over_rectangle(900, 830)
    strip = 35 * 900**2 / 2 * 2  # level with the channel, both its halves: a wedge along it
    assert bed.integral == pytest.approx(S * (wedge + cone + strip), rel=1e-9)


def _cone_over_rectangle(a, b):
    """The distance from a corner summed over an a x b rectangle: F(t) = p^3/6 (t/p sqrt(1 + t^2/p^2) + asinh(t/p))."""

    def part(p, t):
        return p**3 / 6 * (t / p * np.sqrt(1 + t * t / p / p) + np.arcsinh(t / p))

    return part(a, b) + part(b, a)


def test_a_channel_flush_with_a_wall_does_not_see_through_it():
    # the channel lies along D-E's near side; the leg above is reached round corner D only
    bed = _plan(_channel((950, 865), (1750, 865)), "even-fall", L_ROOM).bed
    assert isinstance(bed, EvenFall)
    way = bed.reach.way(np.array([[800.0, 1700.0]]))[0]
    assert way == pytest.approx(np.hypot(800 - 900, 1700 - 900) + np.hypot(50, 0), abs=1e-6)


def test_level_walls_round_a_channel_that_stands_clear():
    bed = _plan(_channel((700, 450), (1100, 450)), "level-walls").bed
    assert bed.longest_run == pytest.approx(np.hypot(900, 450) * (1 - 35 / 450))
    assert bed.height(np.array([[0.0, 0.0], [900, 900], [900, 450]])) == pytest.approx(
        [bed.wall_height, bed.wall_height, 0]
    )


def test_level_walls_refuse_a_channel_that_touches_a_wall():
    found = _plan(_channel((0, 35), (1800, 35)), "level-walls")
    assert isinstance(found.bed, Needs)
    assert "flange-over-wall" in {finding.rule for finding in found.findings}


def test_one_plane_asks_for_a_channel():
    found = _plan('[[drains]]\nkind = "round"\nsize = 150\nat = { x = 900, y = 450 }\n', "plane")
    assert isinstance(found.bed, Needs)
    assert "channel" in found.bed.says


def test_what_lies_flat_beyond_a_wall_on_its_line_no_longer_channel_has():
    """Across the U's left leg: its right one is 600 mm wide, and flat all across where that line goes through it."""
    found = _plan(_channel((0, 1000), (600, 1000), width=40), "plane", U_ROOM).findings
    (short,) = [finding for finding in found if finding.rule == "channel-short"]
    assert "flat for 600 mm" in short.says
    assert (short.x, short.y) == (1800, 1000)
    assert short.remedy.startswith("take an even fall: it leads the water round what is in its way")


def _point(x, drop=""):
    return f'[[drains]]\nkind = "round"\nsize = 100\nat = {{ x = {x}, y = 450 }}\n{drop}'


def test_each_place_falls_to_the_nearer_of_two_drains():
    bed = _plan(_point(450) + _point(1350), "even-fall").bed
    points = np.array([[0.0, 450], [900, 450], [1350, 900], [1350, 450]])
    assert bed.height(points) == pytest.approx(np.array([400, 400, 400, 0]) * S)
    # two mirrored halves, each a room of 900 x 900 with its drain in the middle
    half = _plan(_point(450), "even-fall", "[outline]\nrectangle = [900, 900]\n").bed
    assert bed.integral == pytest.approx(2 * half.integral, rel=1e-4)
    assert bed.wall_height == pytest.approx(half.wall_height, abs=1e-6)


def test_a_drain_set_higher_gives_way_to_the_lower_one():
    readings = '[[readings]]\nat = "A"\ndrop = 540\n'
    found = _plan(_point(450, "drop = 500\n") + _point(1350, "drop = 495\n"), "even-fall", readings=readings)
    assert [drain.height for drain in found.drains] == [0, 5]
    # 48 x 5 mm of way makes up for 5 mm of height: the ridge moves by half of that
    assert found.bed.height(np.array([[1020.0, 450]]))[0] == pytest.approx((1020 - 500) * S)
    assert found.bed.height(np.array([[1350.0, 450]]))[0] == pytest.approx(5)


U_ROOM = "[outline]\ncorners = [[0,0],[1800,0],[1800,1800],[1200,1800],[1200,600],[600,600],[600,1400],[0,1400]]\n"
SQUARE = "[outline]\nrectangle = [1500, 1500]\nislands = [{ corners = "
NOTCHED = f"{SQUARE}[[500,700],[1000,700],[1000,1100],[750,800],[500,1100]] }}]\n"
BLOCK = f"{SQUARE}[[500,700],[1000,700],[1000,1100],[500,1100]] }}]\n"


@pytest.mark.parametrize(
    ("room", "channel", "at"),
    [
        (U_ROOM, _channel((1200, 1700), (1800, 1700), width=40), (600, 1400)),  # the left leg's closed end
        (NOTCHED, _channel((0, 35), (1500, 35)), (750, 800)),  # a notch that opens away from the channel
        (BLOCK, _channel((0, 35), (1500, 35)), None),  # water leaves a flat back by its sides
        (ROOM, _channel((0, 35), (1800, 35)), None),
        (L_ROOM, _channel((0, 35), (1800, 35)), None),
    ],
)
def test_one_plane_into_a_dead_end_is_a_stop(room, channel, at):
    blocked = [finding for finding in _plan(channel, "plane", room).findings if finding.rule == "plane-blocked"]
    assert [(finding.x, finding.y) for finding in blocked] == ([] if at is None else [at])
    even = _plan(channel, "even-fall", room)
    assert not [finding for finding in even.findings if finding.rule == "plane-blocked"]


LEANING = f"{SQUARE}[[500,700],[1000,700.1],[1000,1100.1],[500,1100]] }}]\n"


@pytest.mark.parametrize(
    ("room", "channels", "sides"),
    [
        (BLOCK, [_channel((0, 35), (1500, 35))], [(750, 1100)]),
        (BLOCK, [_channel((0, 35), (1500, 35)), _channel((0, 1465), (1500, 1465))], []),  # both sides fall off it
        (BLOCK, [_channel((0, 900), (490, 900)), _channel((0, 35), (1500, 35))], [(750, 700), (750, 1100)]),
        (BLOCK, [_channel((35, 0), (35, 1500))], [(1000, 900)]),
        (LEANING, [_channel((0, 35), (1500, 35))], []),  # 0.1 mm in 500 leads the water off
        (NOTCHED, [_channel((0, 35), (1500, 35))], []),  # which is a stop
        (L_ROOM, [_channel((0, 35), (1800, 35))], []),
        (U_ROOM, [_channel((1200, 1700), (1800, 1700), width=40)], []),
    ],
)
def test_water_stands_before_a_level_side_that_the_plane_falls_onto(room, channels, sides):
    found = _plan("".join(channels), "plane", room).findings
    dammed = [finding for finding in found if finding.rule == "plane-dammed"]
    assert [(finding.x, finding.y) for finding in dammed] == sides
    for finding in dammed:
        assert finding.level == "caution"
        assert finding.says.startswith("the plane falls square onto a level side on island 1 side ")
        half = 250 if finding.x == 750 else 200
        assert f"{math.ceil(half * S)} mm high in the middle" in finding.remedy
