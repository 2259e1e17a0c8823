"""Every quantity of one sample's plan reckoned by hand: sample_jobs/mill_house.toml, in inches and pounds.

The job: a floor of 40 x 36 in on wood, felt and lath, a curb along A-B; a round flange of 6 in in its middle, 19 7/8 in
under the level line; level walls at 1/4 in per ft; tile 1/4 in on 3/16 in; bags of 80 lb that make 0.60 cu ft.

The readings at the walls lie on one plane: 21 1/8 in at A, 1/16 in lower over the 40 in to B, 1/8 in lower over the
36 in to D. The reading in the middle, 21 3/16 in, is 1/32 in higher than that plane: a pyramid on it.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import engine
from engine.quantities import PSF
from engine.work.alternatives import Fits, levelling
from engine.work.mortar import bags_by_portion
from engine.work.shopping import Item

INCH, POUND = 25.4, 0.45359237
SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "mill_house.toml"

AREA = 40 * 36  # sq in, 10 sq ft
LINE = 19.875  # in from the level line down to the flange
# The longest run: from a corner to the flange's edge, hypot(20, 18) - 3 = 23.907 in, at 1/48 is 0.49807: up to 1/16 in.
WALL = 0.5
assert WALL - 1 / 16 < (math.hypot(20, 18) - 3) / 48 <= WALL
A, B, C, D = (LINE - drop for drop in (21 + 1 / 8, 21 + 3 / 16, 21 + 5 / 16, 21 + 1 / 4))  # the rough floor's corners
ROUGH = AREA * (A + C) / 2 + AREA * (1 / 32) / 3  # cu in: the plane's mean over the floor, and the pyramid on it
# The bed over the flange: level walls all in sight of the drain, V = (H/6) [4A - a sum p (asinh(s1/p) - asinh(s0/p))
# - 2 pi a2], with walls 18 in off the middle that run 20 in either way, and walls 20 in off it that run 18 in.
WALLS = 2 * 18 * 2 * math.asinh(20 / 18) + 2 * 20 * 2 * math.asinh(18 / 20)
BED = WALL / 6 * (4 * AREA - 3 * WALLS - 2 * math.pi * 3**2)
MUD = BED - ROUGH  # cu in
DEEPEST = WALL - C  # the bed is level along the walls and the floor lowest at C
# Thinnest at the flange's rim: 1 5/16 in over the pyramid's top, less 3 in up the floor's slope between A and the
# middle of A-B: 1/640 along x, and 1/288 along y less what the pyramid falls by over 18 in.
THINNEST = 1 + 5 / 16 - 3 * math.hypot(1 / 640, 1 / 288 - (1 / 32) / 18)


@pytest.fixture(scope="module")
def plan():
    return engine.plan(engine.read_job(SAMPLE))


@pytest.fixture(scope="module")
def work(plan):
    return plan.work


def inches(value):
    """A figure in inches, to a ten-thousandth."""
    return pytest.approx(value * INCH, abs=1e-4 * INCH)


def cubic(value):
    """A volume in cubic inches, to a tenth: the plan promises 0.01 %."""
    return pytest.approx(value * INCH**3, abs=0.1 * INCH**3)


def pounds(value):
    return pytest.approx(value * POUND, abs=0.02 * POUND)


def psf(value):
    return pytest.approx(value * PSF, abs=0.002 * PSF)


def bought(work, item):
    found = next(purchase for purchase in work.shopping if purchase.item is item)
    return found.quantity, found.unit, found.of


class TestTheBed:
    def test_the_sums_above_come_to_these_figures(self):
        assert pytest.approx(-1920) == ROUGH  # 1440 x -1 11/32 + 15
        assert pytest.approx(441.87, abs=0.01) == BED
        assert pytest.approx(2361.87, abs=0.01) == MUD
        assert pytest.approx(1.9375) == DEEPEST
        assert pytest.approx(1.30549, abs=1e-5) == THINNEST

    def test_depths_and_volume(self, plan):
        assert plan.bed.wall_height == inches(WALL)
        assert plan.depth.most.value == inches(DEEPEST)
        assert plan.depth.least.value == inches(THINNEST)
        assert plan.depth.volume == cubic(MUD)

    def test_marks_lie_under_the_line_by_the_flange_less_half_an_inch(self, plan):
        assert [mark.below_line for mark in plan.marks] == [inches(19.375)] * len(plan.marks)


class TestStrips:
    # wall: outer length, height: the least depth along it (its lower end's) less 1/8 in; what is left at its deep end.
    BY_WALL = (
        ("A-B", 40, WALL - A - 1 / 8, A - B),
        ("B-C", 36, WALL - B - 1 / 8, B - C),
        ("C-D", 40, WALL - D - 1 / 8, D - C),
        ("D-A", 36, WALL - A - 1 / 8, A - D),
    )

    def test_cut_list(self, plan):
        for strip, (wall, length, height, fall) in zip(plan.strips, self.BY_WALL, strict=True):
            assert strip.wall == wall
            assert strip.length == strip.blank == inches(length)
            assert strip.inner_length == inches(length - 2 * 0.5)  # half an inch thick, 45 degrees at either end
            assert strip.miters == (pytest.approx(45), pytest.approx(45))
            assert strip.height == inches(height)
            assert strip.gap == inches(1 / 8 + fall)
        assert [strip.height / INCH for strip in plan.strips] == pytest.approx([1.625, 1.6875, 1.75, 1.625])

    def test_bevels_are_the_slopes_square_to_the_walls(self, plan):
        # From the flange's edge to the wall: 18 - 3 in from A-B and C-D, 20 - 3 in from B-C and D-A.
        long, short = math.degrees(math.atan(WALL / 15)), math.degrees(math.atan(WALL / 17))
        assert [strip.bevel for strip in plan.strips] == pytest.approx([long, short, long, short])

    def test_boards(self, plan, work):
        # No two of 40, 36, 40, 36 in come out of 48 in: four boards; a saw cut takes 1/8 in of each.
        assert len(plan.stock.boards) == plan.stock.bound == 4
        assert plan.stock.offcuts == tuple(inches(left) for left in (11.875, 11.875, 7.875, 7.875))
        # The highest strip stands 1 3/4 in.
        assert bought(work, Item.STRIP_BOARD) == (4, "board", "48 in x 1/2 in, at least 1 3/4 in high")


class TestStraightedges:
    # Along the line to a corner, from the strip of the wall 20 in away: 26.907 x 19.5 / 20 less the flange's 3 in.
    LONGEST = math.hypot(20, 18) * 19.5 / 20 - 3
    SHORTEST = 18 - 0.5 - 3  # square to A-B

    def test_two_lengths_serve(self, plan):
        edges = plan.straightedges
        assert edges.longest == inches(self.LONGEST)
        assert edges.shortest == inches(self.SHORTEST)
        # One length serves lines that differ by at most the flange's 6 in; these differ by 8.73 in.
        assert pytest.approx(8.73, abs=0.005) == self.LONGEST - self.SHORTEST
        long, short = (length / INCH for length in edges.lengths)
        assert (long, short) == (24.25, 19.375)
        assert long >= self.LONGEST
        assert short <= self.SHORTEST + 6
        assert long <= short + 6  # what is too long for the short one is short enough for the long one

    def test_one_board_is_bought(self, work):
        assert bought(work, Item.STRAIGHTEDGE) == (1, "board", "36 in")  # 24 1/4 in, in whole feet


class TestUnderTheMud:
    def test_felt(self, work):
        # Turned 3 in up: 46 x 42 in. Across 46: (46 - 4) / (36 - 4) = 1.31, two courses of 42 in; across 42 they were
        # two of 46 in.
        felt = work.barrier
        assert (felt.courses, felt.course) == (2, inches(42))
        assert bought(work, Item.FELT) == (1, "roll", "36 in x 144 ft")  # 7 ft of it

    def test_lath(self, work):
        # Two rows: 27 in, and 36 - 27 + 2 = 11 in. Both 40 in long, so one sheet of 96 in.
        lath = work.lath
        assert [(piece.row, piece.sheet) for piece in lath.pieces] == [(1, 1), (2, 1)]
        assert [(piece.length, piece.width) for piece in lath.pieces] == [
            (inches(40), inches(27)),
            (inches(40), inches(11)),
        ]
        assert bought(work, Item.LATH) == (1, "sheet", "27 in x 96 in")

    def test_staples(self, work):
        # Every 6 in both ways: 1440 / 36 + 152 / 12 + 1 = 53.67.
        assert work.lath.fasteners == 54
        assert bought(work, Item.STAPLES) == (1, "box", "1000")


class TestMortar:
    def test_bags(self, work):
        # 2361.87 / 1728 = 1.36682 cu ft; 10 % more are 1.50351; by 0.60 a bag 2.506 bags.
        mix = work.mortar.mix
        assert work.mortar.ordered == pytest.approx(1.50351 * 1728 * INCH**3, rel=1e-5)
        assert (mix.count, mix.of) == (3, "80 lb")
        assert mix.exact == pytest.approx(MUD / 1728 * 1.1 / 0.60, rel=1e-4)
        assert bought(work, Item.DECK_MUD) == (3, "bag", "80 lb")
        assert mix.dry == pounds(240)

    def test_weight_in_place(self, work):
        assert work.mortar.weight == pounds(MUD / 1728 * 144)  # 12 lb per sq ft per inch are 144 lb per cu ft: 196.8 lb

    def test_water(self, work):
        # 144 lb in place less 133.3 lb dry, by 1.50351 cu ft: 16.09 lb; three quarters of that: 12.07 lb.
        least, most = work.mortar.water
        assert most == pounds(1.50351 * (144 - 133.3))
        assert least == pounds(0.75 * 16.0876)

    def test_batches(self, work):
        # 1 1/2 cu ft at once is two bags, 1.2 cu ft; 1.50351 / 1.2 = 1.25, so two batches.
        assert work.mortar.batch == pytest.approx(1.2 * 1728 * INCH**3)
        assert (work.mortar.batch_bags, work.mortar.batches) == (2, 2)

    def test_portions(self, work):
        # Thirds of the way out of C-D to the curb: 12 in each, 480 sq in.
        parts = work.portions.parts
        assert work.portions.way_out == ("A-B",)
        assert [(part.near / INCH, part.far / INCH) for part in parts] == [
            pytest.approx((24, 36)),
            pytest.approx((12, 24)),
            pytest.approx((0, 12)),
        ]
        assert [part.corners for part in parts] == [("C", "D"), (), ("A", "B")]
        assert [part.area for part in parts] == [pytest.approx(480 * INCH**2, rel=1e-6)] * 3
        assert sum(part.volume for part in parts) == cubic(MUD)
        # Bed and pyramid are the same in the first and the last third; the floor lies 24 x 1/288 in lower: 40 cu in.
        assert parts[0].volume - parts[2].volume == pytest.approx(480 * 24 / 288 * INCH**3, abs=0.8 * INCH**3)

    def test_bags_by_portion(self, work):
        # Up to each portion's end, waste included: 0.88, 1.67 and 2.51 bags: the first, second and third are opened.
        assert bags_by_portion(work.mortar, work.portions)[0] == (1, 1, 1)


class TestLoad:
    MEAN = MUD / AREA * 12  # 1.64 in of mud: 19.68 psf
    TILE = (1 / 4 + 3 / 16) * 14  # 6.125 psf
    SHEETS = 0.5

    def test_dead_load(self, work):
        assert work.load.mean == psf(self.MEAN + self.TILE + self.SHEETS)  # 26.31
        assert work.load.worst.value == psf(DEEPEST * 12 + self.TILE + self.SHEETS)  # 29.875
        assert (work.load.worst.x, work.load.worst.y) == (inches(40), inches(36))
        assert work.load.allowance == psf(40)

    def test_flood_water(self, work):
        # 2 in at the curb, where the lining is 1/2 in up: 2 1/2 in at the drain. 5.19 psf per inch.
        test = work.flood
        water = 2.5 * AREA - BED  # 3158.13 cu in, 1.83 cu ft
        assert (test.at_threshold, test.at_drain) == (inches(2), inches(2.5))
        assert not test.is_held
        assert test.over_curb == 0  # the curb's bare top is 4 3/8 - 7/16 in up
        assert test.volume == cubic(water)
        assert test.mass == pounds(water / 144 * 5.19)  # 113.8 lb
        assert work.load.water_mean == psf(water / AREA * 5.19)  # 11.38
        assert work.load.water_most == psf(2.5 * 5.19)  # 12.975

    def test_bed_and_water_together(self, work):
        water = (2.5 * AREA - BED) / AREA * 5.19
        assert work.load.test_mean == psf(self.MEAN + self.SHEETS + water)  # 31.56
        # At C mud is deepest; the water there is 2 in.
        assert work.load.test_worst == psf(DEEPEST * 12 + 2 * 5.19 + self.SHEETS)  # 34.13


class TestHeights:
    COVER = 1 / 4 + 3 / 16

    def test_finished_corners(self, work):
        heights = work.heights
        assert heights.grate == inches(self.COVER)
        for corner, rough in zip(heights.corners, (A, B, C, D), strict=True):
            assert corner.above_grate == inches(WALL)
            assert corner.above_rough == inches(WALL - rough + self.COVER)
            assert corner.below_line == inches(LINE - WALL - self.COVER)  # 18 15/16

    def test_curb(self, work):
        # 19 7/8 - 15 1/2 = 4 3/8 in over the flange; the finished drain is 7/16 in up, the tile beside it 15/16 in.
        assert work.heights.curb_over_drain == inches(3 + 15 / 16)
        assert work.heights.curb_over_floor == inches(3 + 7 / 16)

    def test_membrane(self, work):
        # 3 in over the curb (UPC 408.7, the higher of the codes' figures): 7 3/8 in over the flange, 6 7/8 in of wall.
        lining = work.lining
        assert lining.top == inches(4.375 + 3)
        assert lining.up_most == inches(6.875)
        # Floor, three walls of 36 + 40 + 36 in, and the curb: up 3 7/8 in from the bed, 9 in over and down.
        area = AREA + (36 + 40 + 36) * 6.875 + 40 * (4.375 - 0.5 + 9)
        assert area == 2725
        assert lining.area == pytest.approx(area * INCH**2)
        assert bought(work, Item.MEMBRANE) == (21, "sq ft", "")  # 2725 x 1.1 / 144 = 20.8

    def test_tile(self, work):
        assert bought(work, Item.TILE)[:2] == (11, "sq ft")  # 10 sq ft and a tenth
        # 10 sq ft x 3/16 in = 0.15625 cu ft, a tenth more, at 133.3 lb: 22.9 lb.
        assert bought(work, Item.TILE_MORTAR) == (1, "bag", "50 lb")


class TestOrder:
    def test_days(self, work):
        # All up to the packing on the first day; it cures a day; the membrane sets a day; the flood stands a day; the
        # tile mortar a day and the grout three.
        days = {step.task.title: step.day + 1 for step in work.order}
        assert days["Pack the bed"] == 1
        assert days["Bond the membrane"] == 2
        assert days["Flood test"] == 3
        assert days["Set the tile"] == 4
        assert days["Grout and seal"] == 5
        assert days["First shower"] == 8

    def test_packing_takes_an_hour_a_batch(self, work):
        packing = next(step.task for step in work.order if step.task.title == "Pack the bed")
        assert packing.hours == pytest.approx(1.50351 / 1.2, rel=1e-4)


class TestOtherWays:
    def test_levelling(self, work):
        # 1/8 in over A: 1 1/8 in under the flange over all the floor, less what the floor fills of that.
        poured = levelling(work.site)
        assert poured.volume == cubic((A + 1 / 8) * AREA - ROUGH)
        assert pytest.approx(300) == (A + 1 / 8) * AREA - ROUGH
        assert poured.most == inches(A + 1 / 8 - C)  # 5/16
        assert poured.mass == pounds(300 / 1728 * 144)  # 25 lb, as heavy as mud
        assert work.ways[1].load == psf(25 / 10)

    def test_no_common_receptor_is_40_by_36(self, work):
        assert work.ways[2].fits is Fits.NO
