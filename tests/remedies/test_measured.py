"""Remedies for what was measured: outlines, readings, finished beds, heavy floors."""

from __future__ import annotations

import math

import numpy as np
import pytest

from engine.limits.findings import Level
from engine.plan import plan
from engine.quantities import Dimension, Units, parse
from engine.remedies import changed, remedies
from engine.survey.sides import CHORD_OFF

ROOM = [(0, 0), (1500, 0), (1500, 1000), (0, 1000)]
LEVEL = [(corner, 560) for corner in ROOM]
WORDS = {"at": (700, 500), "shape": "even-fall", "drop": 500, "readings": LEVEL}


def answer(planned, rule):
    at = next(i for i, finding in enumerate(planned.findings) if finding.rule == rule)
    return remedies(planned)[at]


def answer_for_circle(planned):
    """The answer to the floor-small that has a place; the other is about the area."""
    at = next(
        i for i, finding in enumerate(planned.findings) if finding.rule == "floor-small" and finding.x is not None
    )
    return remedies(planned)[at]


def rules(planned):
    return [finding.rule for finding in planned.findings]


def stops(planned):
    return [finding.rule for finding in planned.findings if finding.level is Level.STOP]


def after(planned, remedy, without=None):
    return plan(changed(planned.job, tuple(entry for entry in remedy.change if entry != without)))


def walled(*walls, tape=()):
    parts = ", ".join(f'{{ length = {length}, turn = "{turn} deg" }}' for length, turn in walls)
    taped = ", ".join(f'{{ from = "{a}", to = "{b}", length = {length} }}' for a, b, length in tape)
    return f"walls = [{parts}]\ntape = [{taped}]"


SQUARE = ((1500, 90), (1000, 90), (1500, 90), (1000, 90))
DIAGONAL = round(math.hypot(1500, 1000), 1)


class TestOutlineMisclosed:
    @pytest.mark.parametrize(
        ("tape", "key"),
        [
            ([("A", "C", DIAGONAL), ("B", "D", DIAGONAL + 42)], "outline.tape[1].length"),
            ([("A", "C", DIAGONAL - 31), ("B", "D", DIAGONAL)], "outline.tape[0].length"),
        ],
    )
    def test_the_wrong_diagonal_is_put_to_what_the_square_room_makes_it(self, make_plan, tape, key):
        planned = make_plan(walled(*SQUARE, tape=tape), **WORDS)
        remedy = answer(planned, "outline-misclosed").remedies[0]
        assert remedy.change == ((key, f"{DIAGONAL:.0f} mm"),)
        assert "outline-misclosed" not in rules(after(planned, remedy))

    def test_a_wall_is_put_to_what_the_outline_without_it_makes_it(self, make_plan):
        """The closed form of deletion beside the adjustment done again without that wall's measurement."""
        tape = [("A", "C", DIAGONAL), ("B", "D", DIAGONAL)]
        walls = [(1500, 90), (1000, 90), (1500, 90), (1000 + 40, 90)]
        planned = make_plan(walled(*walls, tape=tape), **WORDS)
        ((key, text),) = answer(planned, "outline-misclosed").remedies[0].change
        without = changed(planned.job, (("outline.walls[3].length", ""),))
        assert key == "outline.walls[3].length"
        found = parse(text, Dimension.LENGTH, Units.MM)
        assert found == pytest.approx(plan(without).outline.length(3), abs=0.6)

    def test_a_wall_walked_too_long_or_the_one_across_too_short(self, make_plan):
        planned = make_plan(walled((1500, 90), (1000, 90), (1400, 90), (1000, 90)), **WORDS)
        remedy, other = answer(planned, "outline-misclosed").best
        assert remedy.change == (("outline.walls[0].length", "1400 mm"),)
        assert other.change == (("outline.walls[2].length", "1500 mm"),)
        assert after(planned, remedy).outline.misclosure == pytest.approx(0, abs=1e-9)

    def test_the_last_turn_misread(self, make_plan):
        """The walls close without it: 90 + 90 + 90 + 96 are 366, so the others leave 90."""
        planned = make_plan(walled(*SQUARE[:3], (1000, 96)), **WORDS)
        caution = next(finding for finding in planned.findings if finding.rule == "outline-misclosed")
        assert caution.says.startswith("the turns at the corners are 366 deg together, and once round is 360 deg")
        (remedy,) = answer(planned, "outline-misclosed").remedies
        assert remedy.change == (("outline.walls[3].turn", "90 deg"),)
        assert "outline-misclosed" not in rules(after(planned, remedy))

    def test_a_turn_misread_where_all_are_stated_shows_twice(self, make_plan):
        """84 in place of 90: the walls miss their start, and all turns are 354; put right, both close."""
        planned = make_plan(walled((1500, 90), (1000, 84), *SQUARE[2:]), **WORDS)
        caution = next(finding for finding in planned.findings if finding.rule == "outline-misclosed")
        assert "354 deg together, and once round is 360 deg" in caution.says
        assert [way.change for way in answer(planned, "outline-misclosed").remedies] == [
            (("outline.walls[1].turn", "90 deg"),)
        ]

    def test_a_last_turn_within_what_a_turn_is_sure_to_is_none(self, make_plan):
        planned = make_plan(walled(*SQUARE[:3], (1000, 91.5)), **WORDS)
        assert "outline-misclosed" not in rules(planned)

    def test_a_turn_misread(self, make_plan):
        planned = make_plan(walled((1500, 90), (1000, 84), (1500, 90), (1000, 90)), **WORDS)
        remedy = answer(planned, "outline-misclosed").remedies[0]
        assert remedy.change == (("outline.walls[1].turn", "90 deg"),)


class TestFloorSmall:
    def test_a_wall_pushed_just_far_enough(self, make_plan):
        """762 mm, a 30 in circle, less 700 mm."""
        planned = make_plan(walled((800, 90), (700, 90), (800, 90), (700, 90)), **{**WORDS, "at": (400, 350)})
        push = answer_for_circle(planned).remedies[0]
        assert push.figure == pytest.approx(62)
        assert stops(after(planned, push)) == []
        less = tuple((key, text.replace("762", "761")) for key, text in push.change)
        assert less != push.change
        assert "floor-small" in stops(plan(changed(planned.job, less)))

    def test_both_sides_of_a_square_where_one_is_not_enough(self, make_plan):
        """700 mm square: a 30 in circle wants 762 both ways, and 762 x 762 are the 900 sq in."""
        planned = make_plan("rectangle = [700, 700]", **{**WORDS, "at": (350, 350)})
        assert stops(planned).count("floor-small") == 2
        (both,) = answer_for_circle(planned).best
        assert both.change == (("outline.rectangle[0]", "762 mm"), ("outline.rectangle[1]", "762 mm"))
        assert "floor-small" not in stops(after(planned, both))

    def test_a_side_is_made_longer_by_no_more_than_the_area_asks_for(self, make_plan):
        """900 sq in over 700 mm are 829.5; the circle, which asks for 762 both ways, is another stop."""
        planned = make_plan("rectangle = [700, 700]", **{**WORDS, "at": (350, 350)})
        (one,) = answer(planned, "floor-small").best
        assert one.change == (("outline.rectangle[0]", "830 mm"),)
        assert stops(after(planned, one)).count("floor-small") == 1

    def test_the_circle_is_not_told_to_fit_by_what_helps_the_area(self, make_plan):
        """825 x 599: one side longer gives the area; only the other gives 762 its width."""
        planned = make_plan("rectangle = [825, 599]", **{**WORDS, "at": (400, 300)})
        assert [remedy.change for remedy in answer(planned, "floor-small").best] == [
            (("outline.rectangle[1]", "704 mm"),)
        ]
        assert [remedy.change for remedy in answer_for_circle(planned).best] == [(("outline.rectangle[1]", "762 mm"),)]

    def test_corners_move_along_their_neighbours(self, make_plan):
        slanted = [(0, 0), (800, 0), (900, 700), (0, 700)]
        planned = make_plan(slanted, **{**WORDS, "at": (400, 350), "readings": []})
        push = answer(planned, "floor-small").remedies[0]
        floor = after(planned, push).outline
        assert floor.directions == pytest.approx(planned.outline.directions, abs=1e-3)

    def test_a_taped_rectangle_is_taped_again(self, make_plan):
        """A square 700 mm room 62 mm wider: diagonals by Pythagoras."""
        diagonal = math.hypot(800, 700)
        outline = (
            'rectangle = ["800 mm", "700 mm"]\n'
            f'tape = [{{ from = "A", to = "C", length = {diagonal:.3f} }}, '
            f'{{ from = "B", to = "D", length = {diagonal:.3f} }}]'
        )
        planned = make_plan(outline, **{**WORDS, "at": (400, 350), "readings": []})
        push = answer_for_circle(planned).remedies[0]
        pushed = f"{math.hypot(800, 762):.0f} mm"
        assert push.change == (
            ("outline.rectangle[1]", "762 mm"),
            ("outline.tape[0].length", pushed),
            ("outline.tape[1].length", pushed),
        )
        assert f"A-C {pushed}, B-D {pushed}" in push.says
        assert rules(after(planned, push)).count("outline-misclosed") == 0

    def test_a_leaning_taped_room_keeps_its_misfits(self, make_plan):
        tape = [("A", "C", 1138), ("B", "D", 1145)]
        planned = make_plan(
            walled((700, 90), (900, 90), (705, 90), (903, 90), tape=tape),
            **{**WORDS, "at": (350, 450), "readings": []},
        )
        push = answer(planned, "floor-small").remedies[0]
        found = after(planned, push)
        assert "floor-small" not in stops(found)
        for before, behind in zip(planned.outline.residuals, found.outline.residuals, strict=True):
            assert behind.misfit == pytest.approx(before.misfit, abs=1.0)

    @pytest.mark.parametrize("rise", [-60, 20])
    def test_a_floor_with_a_curved_wall(self, make_plan, rise):
        """Bowed out, the circle is as wide as the floor's middle; bowed in, it lies in a corner and touches the arc.

        There, off both walls by r, its centre is R + r from the arc's: (X - r)2 + (450 - r)2 = (R + r)2.
        """
        wide = 800 if rise < 0 else 700
        walls = [(wide, 90, 0), (900, 90, rise), (wide, 90, 0), (900, 90, 0)]
        parts = ", ".join(f'{{ length = {a}, turn = "{t} deg", rise = {r} }}' for a, t, r in walls)
        planned = make_plan(f"walls = [{parts}]", **{**WORDS, "at": (300, 450), "readings": []})
        push = answer(planned, "floor-small").remedies[0]
        if rise < 0:
            radius = (450**2 + rise**2) / (2 * -rise)
            r = 762 / 2  # of the circle that has to fit: how far off must the arc's centre be?
            wanted = r + math.sqrt((radius + r) ** 2 - (450 - r) ** 2) - radius + -rise
        else:
            wanted = 762 - rise
        assert wanted - wide <= push.figure <= wanted - wide + 1 + CHORD_OFF
        assert "floor-small" not in stops(after(planned, push))
        less = tuple((key, f"{int(text.removesuffix(' mm')) - 1} mm") for key, text in push.change)
        assert "floor-small" in stops(plan(changed(planned.job, less)))

    def test_a_wall_beside_a_curve_is_pushed_and_the_curve_keeps_its_rise(self, make_plan):
        """Walls of 700 mm that bow out by 30 mm are straight in their middle third: a 30 in circle wants 62 mm more."""
        walls = "walls = [{ length = 700, rise = 30 }, { length = 900 }, { length = 700, rise = 30 }, { length = 900 }]"
        planned = make_plan(walls, **{**WORDS, "at": (350, 450), "readings": []})
        push = answer_for_circle(planned).remedies[0]
        assert push.figure == pytest.approx(62)
        assert push.change == (("outline.walls[0].length", "762 mm"), ("outline.walls[2].length", "762 mm"))
        assert "over its other length a curve keeps its rise: A-B 30 mm, C-D 30 mm" in push.says
        assert after(planned, push).outline.rises == planned.outline.rises
        assert "floor-small" not in stops(after(planned, push))


class TestReadings:
    def test_a_slip_is_put_right(self, make_plan):
        readings = [*LEVEL, ((700, 500), 561), ((300, 200), 570), ((1200, 700), 560)]
        planned = make_plan(ROOM, **{**WORDS, "readings": readings})
        as_meant, without = answer(planned, "reading-odd").remedies
        assert as_meant.change == (("readings[5].drop", "560 mm"),)
        assert without.change == (("readings[5]", ""),)
        assert len(after(planned, without).readings) == len(planned.readings) - 1

    def test_of_few_a_wild_one_is(self, make_plan):
        readings = [*((corner, 1060) for corner in ROOM[:3]), (ROOM[3], 1600)]
        planned = make_plan(ROOM, **{**WORDS, "readings": readings, "drop": 1000})
        assert answer(planned, "reading-odd").best[0].change == (("readings[3].drop", "1060 mm"),)

    def test_of_two_that_disagree_either_may_go(self, make_plan):
        readings = [*LEVEL, ((300, 200), 560), ((300, 200), 567), ((1200, 700), 560)]
        planned = make_plan(ROOM, **{**WORDS, "readings": readings})
        (without,) = answer(planned, "reading-odd").remedies
        assert "reading-odd" not in rules(after(planned, without))

    @pytest.mark.parametrize("known", [0, 1, 2])
    def test_what_to_read_is_said_and_enough(self, make_plan, known):
        planned = make_plan(ROOM, **{**WORDS, "readings": LEVEL[:known]})
        found = answer(planned, "readings-few")
        assert found.remedies == ()
        (says,) = found.ruled_out
        named = says.partition("With ")[2].partition(" read")[0].split(", ")
        more = [(ROOM["ABCD".index(name)], 560) for name in named]
        assert "readings-few" not in rules(make_plan(ROOM, **{**WORDS, "readings": [*LEVEL[:known], *more]}))
        assert "readings-few" in rules(make_plan(ROOM, **{**WORDS, "readings": [*LEVEL[:known], *more[:-1]]}))


BUILT = ((100, 100, 482), (700, 100, 492), (1400, 100, 484), (1100, 500, 503), (1300, 500, 491))


def built(*stations):
    return "".join(f"[[as_built]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n" for x, y, drop in stations)


class TestFinishedBed:
    def test_a_pond_is_filled_until_it_runs_off_or_to_the_plan(self, make_plan):
        planned = make_plan(ROOM, **WORDS, extra=built(*BUILT))
        found = answer(planned, "ponding")
        least, whole = found.remedies
        for remedy in (least, whole):
            assert planned.as_built.ponds
            assert after(planned, remedy).as_built.ponds == ()
            ((key, text),) = remedy.change
            assert key == "as_built[3].drop"
            assert f"fill {remedy.figure:g} mm " in remedy.says
            assert f"reads {text}, " in remedy.says
        (height,) = planned.bed.height(np.array([[1100, 500]]))
        assert whole.change[0][1] == f"{500 - height:.0f} mm"
        assert least.figure < whole.figure
        lower = (("as_built[3].drop", f"{float(least.change[0][1].split()[0]) + 1} mm"),)
        assert "ponding" in rules(plan(changed(planned.job, lower)))
        assert "tile mortar" in found.ruled_out[0]

    def test_a_line_too_flat_is_raised_over_the_plan_where_rounding_would_leave_it_flat(self, make_plan):
        low = [(x, y, drop + (9 if x == 700 else 0)) for x, y, drop in BUILT]
        planned = make_plan(ROOM, **WORDS, extra=built(*low))
        remedy = answer(planned, "built-fall-low").remedies[0]
        assert "built-fall-low" not in rules(after(planned, remedy))

    @pytest.mark.parametrize("seed", [0, 3, 5])
    def test_of_many_ponds_each_is_told_a_cure(self, make_plan, seed):
        """The whole mend list is one change, whichever pond it is told of: more of them take no more effort."""
        rng, ends = np.random.default_rng(seed), [(0, 0), (1800, 0), (1800, 1200), (0, 1200)]
        places = np.vstack([ends, rng.integers([60, 60], [1740, 1140], (14, 2))])
        words = {"at": (900, 600), "drop": 500, "shape": "even-fall", "readings": [('"A"', 560)]}
        heights = make_plan(ends, **words).bed.height(places * 1.0) + rng.normal(0, 6, 18)
        laid = built(*np.column_stack([places, (500 - heights).round()]).astype(int).tolist())
        planned = make_plan(ends, extra=laid, **words)
        ponds = [found for found in zip(planned.findings, remedies(planned), strict=True) if found[0].rule == "ponding"]
        assert len(ponds) > 2
        assert all(answer.best for _, answer in ponds)

    def test_no_place_is_mended_that_could_be_left(self, make_plan):
        """Up or down by so much [mm] at eight places of a square; the first that is off is not what is too flat."""
        square = [(0, 0), (1000, 0), (1000, 1000), (0, 1000), (500, 150), (850, 500), (500, 850), (150, 500)]
        off = (6, 0, -6, -9, 0, 0, 9, 0)
        planned = [np.hypot(x - 500, y - 500) - 50 for x, y in square]
        drops = [500 - round(way / 48 + by) for way, by in zip(planned, off, strict=True)]
        laid = built(*((x, y, drop) for (x, y), drop in zip(square, drops, strict=True)))
        readings = [(place, 540) for place in square]
        words = {"at": (500, 500), "drop": 500, "shape": "even-fall", "readings": readings, "extra": laid}
        room = make_plan(square[:4], **words)
        (mends, *_) = answer(room, "built-fall-low").best
        assert len(mends.change) == 2
        for entry in mends.change:
            assert "built-fall-low" in rules(after(room, mends, without=entry))


class TestHeavyFloor:
    @pytest.fixture
    def planned(self, make_job):
        job = make_job(ROOM, **{**WORDS, "readings": [(corner, 580) for corner in ROOM]})
        wood = (("floor.kind", "wood"), ("floor.moisture_barrier", "felt"), ("floor.lath", "true"))
        return plan(changed(job, (*wood, ("floor.bond_coat", ""), ("floor.dead_load_allowance", "1.8 kPa"))))

    def test_lower_just_far_enough(self, planned):
        found = answer(planned, "floor-load")
        lower = found.remedies[0]
        assert lower.says.startswith("lower the drain by")
        ((key, text),) = lower.change
        less = parse(text, Dimension.LENGTH, Units.MM) - 1
        assert "floor-load" in rules(plan(changed(planned.job, ((key, f"{less} mm"),))))

    def test_an_engineers_figure(self, planned):
        (state,) = [r for r in answer(planned, "floor-load").remedies if "engineer" in r.says]
        ((key, text),) = state.change
        assert key == "floor.dead_load_allowance"
        assert parse(text, Dimension.LOAD, Units.MM) >= planned.work.load.worst.value


class TestSecondDrain:
    ELL = ((0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800))

    def test_one_more_drain_parts_a_floor_that_hides_from_the_first(self, make_plan):
        planned = make_plan(self.ELL, at=(1550, 450), readings=[(corner, 560) for corner in self.ELL], drop=500)
        (added,) = [r for r in answer(planned, "hidden-floor").remedies if "second drain" in r.says]
        parted = after(planned, added)
        assert len(parted.drains) == 2
        assert parted.bed.wall_height < planned.bed.wall_height
        assert "hidden-floor" not in rules(parted)


class TestChangesThatNeedTheirOther:
    def test_an_even_fall_is_taken_as_steep_as_is_asked(self, make_plan):
        planned = make_plan(ROOM, **{**WORDS, "shape": "level-walls", "fall": "1:60", "bed": "wall_height = 8"})
        even = next(r for r in answer(planned, "fall-low").best if r.says.startswith("take an even fall"))
        assert ("bed.wall_height", "") in even.change
        assert not {"fall-low", "fall-steep"} & set(rules(after(planned, even)))

    def test_a_bed_too_steep_and_too_thick_takes_an_even_fall_and_is_filled_under(self, make_plan):
        """The channel lies 10 mm off a wall: level walls are steep there, so no fill alone keeps to both depths."""
        channel = 'kind = "channel"\nsize = 60\nfrom = {x = 300, y = 40}\nto = {x = 1200, y = 40}\ndrop = 500'
        readings = [(corner, drop) for corner, drop in zip(ROOM, (545, 560, 625, 590), strict=True)]
        words = {"shape": "level-walls", "readings": readings, "bed": "least_depth = 30\nmost_depth = 45"}
        planned = make_plan(ROOM, **words, extra=f"[[drains]]\n{channel}")
        thick = answer(planned, "bed-thick").best[0]
        assert "bed-thick" not in rules(after(planned, thick))
        assert not any(key == "bed.most_depth" for key, _ in thick.change)


def test_a_side_made_just_as_wide_as_the_circle_fits_it(make_plan):
    planned = make_plan("rectangle = [569.9125, 1049.3375]", **{**WORDS, "at": (280, 500), "readings": []})
    wider = next(r for r in answer(planned, "floor-small").best if "A-B" in r.says)
    assert wider.change == (("outline.rectangle[0]", "762 mm"),)


def test_a_wall_is_pushed_out_where_a_post_is_in_the_circles_way(make_plan):
    planned = make_plan(
        "rectangle = [900, 1000]\nislands = [{ corners = [[600, 500], [700, 500], [700, 600], [600, 600]] }]",
        **{**WORDS, "at": (300, 300), "readings": []},
    )
    assert answer(planned, "floor-small").best[0].says.startswith("push")


def test_a_wall_of_a_walk_that_does_not_close_is_pushed_out_far_enough(make_plan):
    """The misfit of 60 mm is spread over all walls, which leaves 762 mm a tenth short."""
    walls = "walls = [{ length = 700 }, { length = 835 }, { length = 700.2 }, { length = 775 }]"
    planned = make_plan(walls, **{**WORDS, "at": (350, 400), "readings": []})
    push = answer_for_circle(planned).best[0]
    assert "floor-small" not in stops(after(planned, push))


@pytest.mark.parametrize(("shape", "says"), [("even-fall", ""), ("level-walls", ", which sets the walls at 20 mm")])
def test_the_fall_is_lowered_until_an_open_edge_lies_no_higher_than_it_may(make_plan, shape, says):
    """To a corner the run is root (750^2 + 700^2) - 50 = 976 mm: it rises 39 mm at 4 %, and 20 mm at 2.05 %."""
    room = 'rectangle = [1500, 1400]\nedges = { "D-A" = "open" }'
    words = {"at": (750, 700), "drop": 500, "fall": "4 %", "rulebook": "de-din18040", "readings": [('"A"', 535)]}
    planned = make_plan(room, shape=shape, **words)
    run = math.hypot(750, 700) - 50
    lower = answer(planned, "floor-sunk").best[0]
    assert lower.says == f"lower the fall to 2 %{says}"
    assert "floor-sunk" not in rules(after(planned, lower))
    assert 0.02 * run < 20 < 0.0205 * run
