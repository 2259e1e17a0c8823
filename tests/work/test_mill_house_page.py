"""Every figure that is printed on one sample's page, reckoned by hand: what stands on paper, with its arithmetic.

The job is told in `test_mill_house_by_hand.py`, which reckons most of it before it is rounded: a floor of 40 x 36 in,
its readings on a plane with a pyramid of 1/32 in in the middle; a flange of 6 in there, 19 7/8 in under the line; walls
1/2 in over it. Printed lengths are whole 1/32 in, up or down to the safe side; places whole 1/8 in.
"""

from __future__ import annotations

import html
import math
import re
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest

import engine
from engine.job.edit import with_entry
from engine.sheets.page.page import plan_page

SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "mill_house.toml"
LINE, WALL = 19 + 7 / 8, 1 / 2  # in
DROPS = {"A": 21 + 1 / 8, "B": 21 + 3 / 16, "C": 21 + 5 / 16, "D": 21 + 1 / 4}
PER_CUBIC_FOOT = 1728
MUD = 2361.87 / PER_CUBIC_FOOT  # cu ft: see TestTheBed beside it


def words_of(job):
    text = re.sub(r"<style>.*?</style>|<svg.*?</svg>", " ", plan_page(engine.plan(job)), flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).replace("\xa0", " ").split())


@pytest.fixture(scope="module")
def words():
    return words_of(engine.read_job(SAMPLE))


@pytest.fixture(scope="module")
def drawn():
    """The words in the drawings, a bar before and after each."""
    page = plan_page(engine.plan(engine.read_job(SAMPLE)))
    return "|".join(["", *(html.unescape(each) for each in re.findall(r"<text[^>]*>([^<]+)</text>", page)), ""])


def fraction(inches):
    """Whole 32nds of an inch as a person writes them: 1.9375 as "1 15/16"."""
    parts = round(inches * 32)
    assert inches == pytest.approx(parts / 32, abs=1e-9)
    whole, rest = divmod(parts, 32)
    common = math.gcd(rest, 32)
    return " ".join(
        filter(
            None,
            (str(whole) if whole or not rest else "", f"{rest // common}/{32 // common}" if rest else ""),
        )
    )


def up(inches):
    return fraction(math.ceil(inches * 32 - 1e-9) / 32)


def down(inches):
    return fraction(math.floor(inches * 32 + 1e-9) / 32)


class TestMarks:
    def test_each_is_half_an_inch_over_the_drain_and_so_much_over_the_floor_under_it(self, words):
        """Between corners the floor at a wall is straight: from a drop of 21 1/8 at A to 21 3/16 at B and so on."""
        reading = fraction(LINE - WALL)  # 19 3/8
        for first, last, long in (("A", "B", 40), ("B", "C", 36), ("C", "D", 40), ("D", "A", 36)):
            for along in range(0, long, 12):
                drop = DROPS[first] + (DROPS[last] - DROPS[first]) * along / long
                place = f"{first}-{last} at {along} in" if along else first
                over = up(WALL - (LINE - drop))
                assert f" {place} {reading} in 1/2 in {over} in " in words

    def test_places_of_the_thinnest_and_the_deepest(self, words):
        """Down the slope from the flange's middle (20, 18), 3 in to its rim: 1/640 along x and 1/576 along y."""
        x, y = 1 / 640, 1 / 288 - (1 / 32) / 18
        assert y == pytest.approx(1 / 576)
        thin = (20 - 3 * x / math.hypot(x, y), 18 - 3 * y / math.hypot(x, y))
        assert [round(part * 8) / 8 for part in thin] == [18, 15.75]
        least = down(1 + 5 / 16 - 3 * math.hypot(x, y))
        assert f"Thinnest {least} in, sure to 1/16 in, 15 3/4 in from A-B and 18 in from D-A" in words
        assert f"Deepest {fraction(WALL - LINE + DROPS['C'])} in, at corner C" in words  # 1/2 - 19 7/8 + 21 5/16


class TestDrainAndBed:
    def test_drain(self, words):
        """The floor in the middle, read at 21 3/16 in, is 1 5/16 in under the flange."""
        assert fraction(21 + 3 / 16 - LINE) == "1 5/16"
        assert "middle 18 in from A-B and 20 in from B-C; flange top 1 5/16 in above the rough floor there" in words

    def test_floor(self, words):
        """40 x 36 / 144 = 10 sq ft; A is read at 21 1/8 and C at 21 5/16 in; corners are read, so none is guessed."""
        assert f"Floor {40 * 36 // 144} sq ft; {fraction(DROPS['C'] - DROPS['A'])} in out of level, 0 %" in words

    def test_falls(self, words):
        """1/2 in over 23.907 in is 0.2510 in/ft; its square runs to A-B and C-D are 15 in: 0.4 in/ft."""
        assert 12 * WALL / (math.hypot(20, 18) - 3) == pytest.approx(0.251, abs=5e-4)
        assert f"{12 * WALL / (18 - 3):g}" == "0.4"
        assert re.search(r"Fall (1/4|0\.25\d*) in/ft to 0\.4 in/ft", words)


class TestCuts:
    def test_strips(self, words):
        """Height: over the floor at the higher end, 1/8 in less; under it the fall along the wall and that 1/8 in."""
        for wall, long, square in (("A-B", 40, 15), ("B-C", 36, 17), ("C-D", 40, 15), ("D-A", 36, 17)):
            over = [WALL - LINE + DROPS[corner] for corner in wall.split("-")]
            height = math.floor((min(over) - 1 / 8) * 16 + 1e-9) / 16
            least, most = (up(each(over) - height) for each in (min, max))
            gap = most if least == most else f"{least} to {most}"
            bevel = math.degrees(math.atan(WALL / square))
            row = f"{wall} {long} in {long - 1} in {fraction(height)} in {gap} in {bevel:.1f}"
            assert f"{row} both: inside 45.0" in words

    def test_which_stretch_of_wall_each_straightedge_serves(self, words):
        """A 19 3/8 in board reaches lines up to 22 3/8 in from the middle; strips stand 1/2 in before the walls.

        A-B is 18 in off: its line to s from the middle is hypot(18, s) x 17.5 / 18, so s is 14.34 in either way: 5.66
        to 34.34 in. B-C is 20 in off: hypot(20, s) x 19.5 / 20, s 11.25 in, so 6.75 in to 29.25 in.
        """
        near = math.sqrt((22.375 * 18 / 17.5) ** 2 - 18**2)
        far = math.sqrt((22.375 * 20 / 19.5) ** 2 - 20**2)
        ends = [round(end * 8) / 8 for end in (20 - near, 20 + near, 18 - far, 18 + far)]
        assert ends == [5.625, 34.375, 6.75, 29.25]
        assert "19 3/8 in A-B 5 5/8 to 34 3/8; B-C 6 3/4 to 29 1/4; C-D 5 5/8 to 34 3/8; D-A 6 3/4 to 29 1/4" in words
        assert "24 1/4 in A-B 0 to 5 5/8, 34 3/8 to 40; B-C 0 to 6 3/4, 29 1/4 to 36;" in words

    def test_lath(self, words):
        """A second row begins 27 - 2 in off A-B, and the floor ends at 36: 11 in."""
        assert "Row 1, cut from sheet 1: 40 in x 27 in, from 0 in to 40 in along A-B and 0 in to 27 in off it" in words
        assert (
            f"Row 2, cut from sheet 1: 40 in x {36 - 25} in, from 0 in to 40 in along A-B and 25 in to 36 in" in words
        )


class TestBought:
    def test_mud(self, words):
        """1.36682 cu ft and a tenth are 1.5035; by 0.60 a bag 2.506: 3 bags."""
        mixed = MUD * 1.1
        assert (math.ceil(MUD * 100), math.ceil(mixed * 100), math.ceil(mixed / 0.6 * 100)) == (137, 151, 251)
        assert "deck mud 3 bags of 80 lb 1.37 cu ft in place and 10 % for waste are 1.51 cu ft;" in words
        assert "a bag makes 0.6 cu ft: 2.51 bags" in words

    def test_the_rest(self, words):
        """Lining 2725 sq in, 18.93 sq ft. Staples 1440 / 36 + 152 / 12 + 1. Tile mortar 10 sq ft of 3/16 in."""
        assert math.ceil(2725 / 144 * 100) == 1893
        assert math.ceil(1440 / 36 + 152 / 12 + 1) == 54
        assert math.ceil(10 * 3 / 16 / 12 * 100) == 16
        assert math.ceil(10 * 3 / 16 / 12 * 1.1 * 133.3) == 23
        for line in (
            "bonded membrane 21 sq ft floor, walls and thresholds 18.93 sq ft, 6 7/8 in up the walls",
            "staples 1 box of 1000 54 staples, every 6 in both ways",
            "tile mortar 1 bag of 50 lb 0.16 cu ft and 10 %, taken as dense as deck mud: 23 lb dry",
            "tile 11 sq ft, 1/4 in thick, longest edge 1 in the floor alone, 10 sq ft; 10 % for cuts",
            "felt 1 roll of 36 in x 144 ft 2 courses of 42 in, lapped 4 in, turned 3 in up the walls",
            "straightedge board 1 board of 36 in the longest straightedge is 24 1/4 in",
        ):
            assert line in words


class TestMixedAndPacked:
    def test_water(self, words):
        """In place 144 lb a cu ft, dry 133.3: 10.7 lb of water to 133.3, 8 %; three quarters of that is 6 %.

        A bag of 80 lb takes 80 x 10.7 / 133.3 = 6.42 lb, or 4.82; a quart of water weighs 62.43 x 57.75 / 1728 lb.
        """
        most = (144 - 133.3) / 133.3
        assert (round(most * 100), round(0.75 * most * 100)) == (8, 6)
        assert (round(80 * most, 1), round(60 * most, 1)) == (6.4, 4.8)
        assert "about 6 % to 8 % of the dry mix's weight: 4.8 lb to 6.4 lb (2.3 to 3.0 qt) a bag" in words

    def test_weights(self, words):
        assert math.ceil(MUD * 144) == 197
        assert f"Carry in {3 * 80} lb of dry material; the beds will weigh 197 lb in place" in words

    def test_portions(self, words):
        """Thirds of 12 in; the bed and the floor under them added up over a fine grid, as an independent sum.

        Far from the flange the bed rises to 1/2 in along the line from its edge to the wall.
        """
        x, y = np.meshgrid((np.arange(800) + 0.5) / 20, (np.arange(720) + 0.5) / 20)
        r = np.hypot(x - 20, y - 18)
        with np.errstate(divide="ignore"):
            wall = r * np.minimum(20 / np.abs(x - 20), 18 / np.abs(y - 18))
        bed = np.where(r <= 3, 0.0, WALL * (r - 3) / (wall - 3))
        pyramid = (1 / 32) * (1 - np.maximum(np.abs(x - 20) / 20, np.abs(y - 18) / 18))
        rough = LINE - DROPS["A"] - x / 640 - y / 288 + pyramid
        deep = (bed - rough) / 400 / PER_CUBIC_FOOT
        thirds = [float(deep[low : low + 240].sum()) for low in (480, 240, 0)]
        assert sum(thirds) == pytest.approx(MUD, rel=2e-4)
        for number, place in enumerate(thirds, start=1):
            said = f"{math.ceil(place * 100) / 100:g} cu ft in place, {math.ceil(place * 110) / 100:g} cu ft with waste"
            assert re.search(rf"Portion {number}, [^:]*: {said}, open 1 bag\.", words)

    def test_batches(self, words):
        """Two bags make 1.2 cu ft, one person's hour: 1.5035 / 1.2 are 1.25 h, told as 1.3, and two batches."""
        assert math.ceil(MUD * 1.1 / 1.2) == 2
        assert "1.2 cu ft (2 bags), so 2 batches in all" in words
        assert "Pack the bed day 1, takes about 1.3 h" in words


class TestHeightsAndLoads:
    def test_heights(self, words):
        """Tile and its setting are 1/4 + 3/16 = 7/16 in. The curb: 19 7/8 - 15 1/2 = 4 3/8 in over the flange."""
        cover = 1 / 4 + 3 / 16
        curb = LINE - 15.5
        assert f"Grate {fraction(cover)} in over the flange" in words
        assert f"Tile at a mark {fraction(cover)} in over it, along every wall" in words
        assert "Tile at the corners 1/2 in over the grate" in words
        over = f"{fraction(curb - cover)} in over the finished drain, {fraction(curb - cover - WALL)} in over the tile"
        assert f"Curb's top {over}" in words
        assert f"up to {fraction(curb + 3 - WALL)} in up the walls from the bed" in words

    def test_load(self, words):
        """1.64 in of mud at 12 psf, 7/16 in of tile at 14 psf an inch, 1/2 psf of sheets; deepest 1 15/16 in."""
        rest = (1 / 4 + 3 / 16) * 14 + 0.5
        mean, most = MUD * PER_CUBIC_FOOT / 1440 * 12 + rest, 1.9375 * 12 + rest
        told = [f"{math.ceil(load * 10 - 1e-9) / 10:g} psf" for load in (mean, most)]
        assert told == ["26.4 psf", "29.9 psf"]
        assert f"weigh {told[0]} (1.26 kPa) on average and {told[1]} (1.44 kPa) where the bed is deepest" in words
        assert mean * 0.04788 == pytest.approx(1.26, abs=0.005)  # 1 psf is 0.04788 kPa

    def test_flood(self, words):
        """2 1/2 in over 1440 sq in less the bed's 441.87 cu in: 3158 cu in; 5.19 psf an inch."""
        water = 2.5 * 1440 - 441.87
        assert math.ceil(water / PER_CUBIC_FOOT * 100) == 183
        assert math.ceil(water / 144 * 5.19) == 114
        assert math.ceil(water / 1440 * 5.19 * 10) == 114
        assert math.ceil(2.5 * 5.19 * 10) == 130
        assert "That is 1.83 cu ft of water, 114 lb: 11.4 psf (0.55 kPa) on average, 13 psf (0.63 kPa) at the" in words


class TestOtherWays:
    def test_levelling(self, words):
        """300 cu in (see beside) are 0.174 cu ft, 25 lb at 144 lb a cu ft, 2.5 psf over 10 sq ft."""
        assert math.ceil(300 / PER_CUBIC_FOOT * 100) == 18
        assert pytest.approx(25) == 300 / PER_CUBIC_FOOT * 144
        heads = "fits the room mud or leveller which weighs mean load of it waits, in all"
        assert f"{heads} mortar bed yes 1.37 cu ft 197 lb {math.ceil(MUD * 144) / 10:g} psf" in words
        assert "level, then a tray ask its maker 0.18 cu ft 25 lb 2.5 psf" in words
        assert "one-piece receptor no none - -" in words

    def test_waits(self, words):
        """One bed cures a day; leveller and the tray's mortar a day each; the receptor's mortar a day."""
        assert f"19.7 psf {24} h level, then" in words
        assert f"2.5 psf {24 + 24} h one-piece receptor no none - - {24} h" in words


class TestDrawings:
    def test_side_view(self, drawn):
        """Cut at 20 in along A-B: read there 21 5/32 in, and 21 9/32 in across; the walls' bed is 1/2 in up."""
        near, far = (fraction(WALL - LINE + drop) for drop in (21 + 5 / 32, 21 + 9 / 32))
        assert (near, far) == ("1 25/32", "1 29/32")
        for name, deep in (("A-B, curb", near), ("C-D", far)):
            assert f"{name}|bed over drain|1/2 in|depth of the bed|{deep} in" in drawn
        assert "flange 1 5/16 in over the rough floor, 19 7/8 in under the line" in drawn

    def test_scale(self, words, drawn):
        """1:12 draws 40 in as 3 1/3 in of paper; the bar's three parts of 6 in come to 18."""
        assert "The floor from above, 1:12: 1 in on paper is 12 in on the floor" in words
        assert f"|0|6|{2 * 6}|{3 * 6} in|" in drawn
        for wall in ("40 in", "36 in", "40 in curb"):
            assert f"|{wall}|" in drawn

    def test_boards(self, words, drawn):
        """Of 48 in boards 40 in and a saw cut of 1/8 leave 7 7/8; 36 in leave 11 7/8; two never come out of one."""
        assert min(36 + 36, 36 + 40) > 48
        assert "Boards for the strips: 4 boards of 48 in A saw cut takes 1/8 in." in words
        for long, sides in ((40, ("A-B", "C-D")), (36, ("B-C", "D-A"))):
            left = fraction(48 - long - 1 / 8)
            assert drawn.count(f"{left} in|") == len(sides)
            assert all(f"|{side}: {long} in|" in drawn for side in sides)


class TestLayersAndSteps:
    def test_layers(self, words):
        """Tile 1/4 and its setting 3/16 in; the bed as thin and as deep as beside."""
        thin = down(1 + 5 / 16 - 3 * math.hypot(1 / 640, 1 / 576))
        deep = fraction(WALL - LINE + DROPS["C"])
        assert "tile 1/4 in; tile mortar 3/16 in; membrane (no thickness counted);" in words
        assert f"bed {thin} in to {deep} in; lath (no thickness counted); moisture barrier (no thickness" in words

    def test_setting_drain_and_curb(self, words):
        floor = fraction(21 + 3 / 16 - LINE)
        assert f"Set the top of the drain's flange {floor} in over the rough floor there, 19 7/8 in under" in words
        over = fraction(LINE - 15.5 - (1 / 4 + 3 / 16))
        assert f"stands 15 1/2 in under the level line: {over} in over the finished drain" in words

    def test_under_the_mud(self, words):
        """Turned up 3 in a side the felt is 42 in long, two courses; laths of 40 in two to a sheet of 96."""
        assert f"in 2 courses of {36 + 2 * 3} in off a roll 36 in wide, lapped 4 in, and turn it 3 in up" in words
        assert 2 * 40 <= 96
        assert "2 pieces cut from 1 sheet, lapped 2 in, fastened every 6 in both ways" in words
        assert "Needs: moisture barrier: felt, lath: 1 sheet, staples: 54." in words

    def test_loads_in_both_units(self, words):
        """A pound-force a square foot is 4.4482216 N on 0.09290304 m2: 47.880 Pa."""
        psf = 4.4482216 / 0.09290304 / 1000
        allowed, live = math.floor(40 * psf * 100) / 100, math.ceil(40 * psf * 100) / 100
        assert f"allowed 40 psf ({allowed:.2f} kPa), your own figure" in words
        assert f"carries 40 psf ({live:.2f} kPa) of people and things" in words
        mean, most = (math.ceil(load * psf * 100) / 100 for load in (3158.13 / 1440 * 5.19, 2.5 * 5.19))
        assert f"11.4 psf ({mean:.2f} kPa) on average, 13 psf ({most:.2f} kPa) at the drain" in words

    def test_flood(self, words):
        """2 in at the curb by the code, where the bed is 1/2 in up: 2 1/2 in at the drain, less than the most of 4."""
        assert f"water stands 2 in deep at the threshold, {fraction(2 + WALL)} in at the drain" in words
        assert "let it stand 24 h, at most 72 h" in words


class TestDates:
    def test_days_from_a_start(self):
        """Monday 8 March 2027 and 1, 2, 3, 4 and 7 days on."""
        start = date(2027, 3, 8)
        dated = words_of(with_entry(engine.read_job(SAMPLE), "job.start", start.isoformat()))
        for title, day in (
            ("Check the floor and the plan", 1),
            ("Check the bed", 2),
            ("Flood test", 3),
            ("Drain and dry", 4),
            ("Grout and seal", 5),
            ("First shower", 8),
        ):
            assert f"{title} day {day}, {(start + timedelta(days=day - 1)).isoformat()}" in dated
