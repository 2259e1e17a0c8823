"""Taped outlines: least squares over walls, diagonals and intended angles."""

from __future__ import annotations

import math
import re
from itertools import combinations

import numpy as np
import pytest
import scipy
import shapely

from engine.errors import JobError
from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.survey.outline import next_diagonal, observed, outline

INCH = 25.4
HEAD = 'format = 1\n[job]\nname = "x"\nunits = "in"\n[outline]\n'


def _floor(text):
    return outline(parse_job(HEAD + text))


def _distance(floor, start, end):
    corners = dict(zip(floor.names, floor.corners, strict=True))
    return float(np.hypot(*(corners[start] - corners[end])))


def test_one_diagonal_leans_a_rectangle_until_it_fits():
    floor = _floor('rectangle = ["60 in", "36 in"]\ntape = [{ from = "A", to = "C", length = "69 15/16 in" }]')
    # four walls and one diagonal fix four corners: only the 2 degree angles pull, by hundredths of a mm
    assert _distance(floor, "A", "C") == pytest.approx(69.9375 * INCH, abs=0.02)
    assert floor.lengths == pytest.approx([60 * INCH, 36 * INCH] * 2, abs=0.01)
    assert floor.misclosure < 0.02
    # law of cosines for the corner at B
    cosine = (60**2 + 36**2 - 69.9375**2) / (2 * 60 * 36)
    assert floor.directions[1] @ -floor.directions[0] == pytest.approx(cosine, abs=5e-5)


def test_diagonals_that_agree_keep_the_room_square():
    square = (60**2 + 36**2) ** 0.5
    floor = _floor(
        'rectangle = ["60 in", "36 in"]\n'
        f'tape = [{{ from = "A", to = "C", length = "{square:.6f} in" }},'
        f' {{ from = "B", to = "D", length = "{square:.6f} in" }}]'
    )
    assert floor.corners == pytest.approx(np.array([[0, 0], [60, 0], [60, 36], [0, 36]]) * INCH, abs=1e-3)


def test_the_measurement_that_fits_worst_is_named():
    # A-C read an inch too long; everything else is of a true 60 x 36 room
    text = (
        'format = 1\n[job]\nname = "x"\n[floor]\nkind = "concrete"\n[outline]\nrectangle = ["60 in", "36 in"]\n'
        'tape = [{ from = "A", to = "C", length = "71 in" }, { from = "B", to = "D", length = "70 in" }]'
    )
    found = [finding for finding in plan(parse_job(text)).findings if finding.rule == "outline-misclosed"]
    assert len(found) == 1
    assert found[0].says.startswith("A-C fits the other measurements worst: it was taped ")
    assert "longer" in found[0].says


def test_it_is_told_by_how_much_it_is_off_what_the_others_alone_make_it():
    """Sides and the other diagonal bind it by the law of the parallelogram; the turns of 2 degrees hardly pull."""
    text = (
        'format = 1\n[job]\nname = "x"\nunits = "mm"\n[outline]\nrectangle = [1500, 900]\n'
        'tape = [{ from = "A", to = "C", length = 1740 }, { from = "B", to = "D", length = 1784 }]'
    )
    (finding,) = [found for found in plan(parse_job(text)).findings if found.rule == "outline-misclosed"]
    other, taped = {"A-C": (1784, 1740), "B-D": (1740, 1784)}[finding.says[:3]]
    made = (2 * (1500**2 + 900**2) - other**2) ** 0.5
    told = float(re.search(r"the others make it ([0-9.]+) mm", finding.remedy)[1])
    off = float(re.search(r"it was taped ([0-9.]+) mm", finding.says)[1])
    assert told == pytest.approx(made, abs=0.6)
    assert off == pytest.approx(abs(taped - told), abs=0.15)


def test_a_slip_that_all_the_others_take_up_between_them_is_named():
    """A-D is 25 mm too long, and no length misfits by more than twice the 2 mm that a tape is sure to."""
    corners = dict(zip("ABCDEF", [(0, 0), (1500, 0), (1900, 700), (1500, 1400), (0, 1400), (-400, 700)], strict=True))
    slips = {"AD": 25, "BF": 0, "CE": 0, "CF": 0}
    lengths = {(a, b): math.dist(corners[a], corners[b]) + slip for (a, b), slip in slips.items()}
    tape = ", ".join(f'{{ from = "{a}", to = "{b}", length = {taped:.1f} }}' for (a, b), taped in lengths.items())
    outline_text = f"corners = {[list(corner) for corner in corners.values()]}\ntape = [{tape}]"
    planned = plan(parse_job(HEAD.replace('"in"', '"mm"') + outline_text))
    assert planned.outline.misclosure < 4
    (finding,) = [found for found in planned.findings if found.rule == "outline-misclosed"]
    assert finding.says.startswith("A-D fits the other measurements worst: it was taped 2")


def test_a_small_misfit_says_nothing():
    text = (
        'format = 1\n[job]\nname = "x"\n[outline]\nrectangle = ["60 in", "36 in"]\n'
        'tape = [{ from = "A", to = "C", length = "70 in" }]'
    )
    assert not [f for f in plan(parse_job(text)).findings if f.rule == "outline-misclosed"]


def test_tape_to_a_corner_that_is_not_there_is_refused():
    job = parse_job(
        HEAD + 'rectangle = ["60 in", "36 in"]\ntape = [{ from = "A", to = "F", length = "70 in" }]',
        draft=True,
    )
    with pytest.raises(
        JobError, match=r"outline\.tape\[0\]\.to = 'F': there is no such corner; name one of A, B, C, D"
    ):
        outline(job)


class TestTheNextDiagonal:
    PLACES = ((0, 0), (60, 0), (70, 40), (30, 60), (-5, 38))
    FIVE = f"corners = {[[f'{x} in', f'{y} in'] for x, y in PLACES]}\n"

    @staticmethod
    def spread_with(floor, text, pair=None):
        """The worst standard deviation of any corner, from the general solver's own slopes at its solution."""
        lengths, turns = observed(parse_job(HEAD + text).outline, floor.corners, floor.names)
        pairs = [(m.start, m.end) for m in lengths] + ([pair] if pair else [])
        count = len(floor.corners)

        def misfits(free):
            c = np.vstack([floor.corners[:1], [floor.corners[1] * [free[0], 0]], free[1:].reshape(-1, 2)])
            sides = np.roll(c, -1, axis=0) - c
            headings = np.arctan2(sides[:, 1], sides[:, 0])
            found = (headings - np.roll(headings, 1) + np.pi) % (2 * np.pi) - np.pi
            taped = [np.hypot(*(c[a] - c[b])) / (INCH / 16) for a, b in pairs]
            return np.concatenate([taped, (found - turns)[~np.isnan(turns)] / np.radians(2)])

        start = np.concatenate([[1.0], floor.corners[2:].ravel()])
        slopes = scipy.optimize.least_squares(misfits, start, jac="3-point", max_nfev=1).jac
        slopes[:, 0] /= floor.corners[1, 0]  # the second corner moves along A-B, in [mm]
        inverse = np.linalg.inv(slopes.T @ slopes)
        blocks = [inverse[k : k + 2, k : k + 2] for k in range(1, 2 * count - 4, 2)]
        return max(np.sqrt(inverse[0, 0]), *(np.sqrt(np.linalg.eigvalsh(block)[-1]) for block in blocks))

    @pytest.mark.parametrize(
        "text",
        [
            'rectangle = ["60 in", "36 in"]\n',
            FIVE,
            FIVE + 'tape = [{ from = "A", to = "D", length = "67 in" }]\n',
            'walls = [{ length = "58 in" }, { length = "40 in", turn = "88 deg" }, { length = "56 in" }, {}]\n',
        ],
    )
    def test_it_leaves_the_least_sure_corner_surest_of_all(self, text):
        floor, job = _floor(text), parse_job(HEAD + text)
        fix = next_diagonal(job, floor)
        taken = {(m.start, m.end) for m in observed(job.outline, floor.corners, floor.names)[0]}
        count = len(floor.corners)
        others = {
            pair: self.spread_with(floor, text, pair)
            for pair in combinations(range(count), 2)
            if pair not in taken and (pair[1] - pair[0]) % count not in (1, count - 1)
        }
        assert fix.left == pytest.approx(min(others.values()), rel=1e-4)
        assert others[fix.start, fix.end] == pytest.approx(fix.left, rel=1e-4)
        assert fix.unsure == pytest.approx(self.spread_with(floor, text), rel=1e-4)

    def test_none_is_left_where_all_are_taped(self):
        text = (
            'rectangle = ["60 in", "36 in"]\ntape = [{ from = "A", to = "C", length = "70 in" },'
            ' { from = "B", to = "D", length = "70 in" }]'
        )
        assert next_diagonal(parse_job(HEAD + text), _floor(text)) is None

    @pytest.mark.parametrize(
        ("corners", "island"),
        [
            ("[0, 0], [2400, 0], [2400, 500], [400, 500], [400, 1500], [2400, 1500], [2400, 2000], [0, 2000]", ""),
            ("[0, 0], [1500, 0], [1500, 900], [0, 900]", "[700, 100], [800, 100], [800, 800], [700, 800]"),
        ],
    )
    def test_a_tape_can_be_drawn_along_it(self, corners, island):
        """Between the legs of a C most diagonals run through walls, round a post both of them."""
        islands = f"islands = [{{ corners = [{island}] }}]\n" if island else ""
        text = f"corners = [{corners}]\n{islands}"
        head, tapes = HEAD.replace('"in"', '"mm"'), []
        while True:
            taped = f"tape = [{', '.join(tapes)}]\n" if tapes else ""
            job = parse_job(head + text + taped)
            floor = outline(job)
            fix = next_diagonal(job, floor)
            if fix is None:
                break
            ends = floor.corners[[fix.start, fix.end]]
            middles = ends[0] + np.linspace(0.05, 0.95, 19)[:, None] * (ends[1] - ends[0])
            assert shapely.distance(floor.polygon, shapely.points(middles)).max() < 0.1
            length = float(np.hypot(*(ends[1] - ends[0])))
            start, end = floor.names[fix.start], floor.names[fix.end]
            tapes.append(f'{{ from = "{start}", to = "{end}", length = {length:.4f} }}')
        assert bool(tapes) != bool(island)

    def test_the_finding_names_it(self):
        text = 'rectangle = ["60 in", "36 in"]\ntape = [{ from = "A", to = "C", length = "50 in" }]'
        found = plan(parse_job(HEAD + text)).findings
        (finding,) = [finding for finding in found if finding.rule == "outline-misclosed"]
        assert finding.remedy.endswith("or tape B-D too: it fixes the shape best")


def test_a_curved_wall_keeps_its_rise_when_a_diagonal_leans_the_room():
    """The length of a curved wall is taped straight from corner to corner; its rise is no part of the adjustment."""
    sides = [
        '{ length = "60 in" }',
        '{ length = "36 in", rise = "6 in" }',
        '{ length = "60 in" }',
        '{ length = "36 in" }',
    ]
    walls = f"walls = [{', '.join(sides)}]\n"
    floor = _floor(walls + 'tape = [{ from = "A", to = "C", length = "69 15/16 in" }]')
    straight = _floor('rectangle = ["60 in", "36 in"]\ntape = [{ from = "A", to = "C", length = "69 15/16 in" }]')
    assert floor.corners == pytest.approx(straight.corners, abs=0.01)
    middle = floor.on_wall(1, np.array([floor.length(1) / 2]))[0]
    chord = (floor.corners[1] + floor.corners[2]) / 2
    assert np.hypot(*(middle - chord)) == pytest.approx(6 * INCH)


def test_of_walls_taped_all_round_the_first_runs_along_x():
    """The walk misses its start by 40 mm; what is taped takes that up, and the first wall keeps its direction."""
    walls = '{ length = "60 in" }, { length = "36 in" }, { length = "58 1/2 in" }, { length = "36 1/2 in" }'
    floor = _floor(f'walls = [{walls}]\ntape = [{{ from = "A", to = "C", length = "70 in" }}]')
    assert floor.corners[0].tolist() == [0, 0]
    assert floor.corners[1, 1] == 0
    assert floor.corners[1, 0] > 0
