"""The cut through the drain: where it goes, what fills it, how it is told, and the widget under the keys."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from textual.app import App

from engine.bed.hidden import Hidden
from engine.job.model import EdgeKind
from engine.sheets.cut import CutFrom, cut_through
from engine.survey.spot import Needs
from tests.wizard.pictures import plain_text
from tui.widgets.looks import Colours, Looks
from tui.widgets.map_layers import drain_flanges
from tui.widgets.side_cells import side_lines
from tui.widgets.side_matter import Layers, Matter, layers_on_bed, matter, profile, scale_for
from tui.widgets.side_view import SideView

INCH = 25.4
FALL = 1 / 48
PLAIN = Looks(Colours.NONE)
ASCII = Looks(Colours.NONE, ascii=True)
TRUE = Looks(Colours.TRUE)


def text(plan, wall="A-B", start=CutFrom.FOOT, size=(60, 18), looks=PLAIN) -> str:
    return plain_text(side_lines(plan, wall, start, size, looks))


def cut(plan, wall="A-B", start=CutFrom.FOOT):
    return cut_through(plan.outline, drain_flanges(plan)[0], wall, start)


class TestCut:
    def test_square_from_the_drain(self, jobs):
        found = cut(jobs.rectangle(), "D-A")
        assert (found.wall, found.far_wall) == ("D-A", "B-C")
        assert (found.kind, found.far_kind) == (EdgeKind.CURB, EdgeKind.WALL)
        assert found.length == pytest.approx(60 * INCH)
        assert found.drain == pytest.approx(18 * INCH)
        assert np.array(found.rim) / INCH == pytest.approx([15, 21])

    def test_from_the_middle_of_the_wall(self, jobs):
        # From 30, 0 in through 18, 18 in the cut meets C-D at 6, 36 in.
        found = cut(jobs.rectangle(), "A-B", CutFrom.MIDDLE)
        assert found.start / INCH == pytest.approx([30, 0])
        assert found.end / INCH == pytest.approx([6, 36])
        assert found.far_wall == "C-D"

    def test_the_foot_stays_on_a_wall_that_ends_before_it(self, jobs):
        # D-E runs from 36, 36 to 36, 72 in; the drain at 20, 20 in stands below its lower end.
        assert cut(jobs.ell(), "D-E").start / INCH == pytest.approx([36, 36])

    @pytest.mark.parametrize("start", CutFrom)
    def test_every_wall_gives_a_cut_between_walls(self, jobs, start):
        for plan in (jobs.rectangle(), jobs.ell(), jobs.cut_corner()):
            for wall in plan.outline.walls:
                found = cut(plan, wall, start)
                assert 0 < found.drain < found.length
                assert found.far_wall != wall
                assert profile(plan, found, np.array([0.0, found.drain, found.length])).is_floor.all()

    def test_heights_in_closed_form(self, jobs):
        plan = jobs.rectangle("even-fall")
        along = np.array([0.0, 18.0, 40.0, 60.0]) * INCH
        bed = profile(plan, cut(plan, "D-A"), along).bed
        assert bed == pytest.approx(FALL * np.array([15.0, 0.0, 19.0, 39.0]) * INCH)

    def test_an_island_is_no_floor(self, jobs):
        plan = jobs.ell(x="30", y="16")
        surfaces = profile(plan, cut(plan, "B-C"), np.array([18.0, 10.0, 30.0]) * INCH)
        assert surfaces.is_floor.tolist() == [False, True, True]
        assert np.isnan(surfaces.bed[0])


class TestMatter:
    LAYERS = Layers(upper_bed=0.0, tile=11.0)

    def drawn(self, plan, wall="D-A", layers=LAYERS, rows=12, columns=60):
        found = cut(plan, wall)
        across = found.length / columns
        surfaces = profile(plan, found, (np.arange(columns) + 0.5) * across)
        scale = scale_for(surfaces, layers, across, rows)
        return found, surfaces, scale, matter(found, surfaces, layers, scale)

    def test_each_surface_is_drawn_at_its_height(self, jobs):
        _, surfaces, scale, grid = self.drawn(jobs.rectangle())
        for column in (0, 10, 45, 59):
            for surface, below in ((surfaces.rough, Matter.GROUND), (surfaces.bed, Matter.MUD)):
                top = int(np.flatnonzero(grid[:, column] == below)[0])
                height = scale.bottom + (len(grid) - top) * scale.up / 2
                assert height == pytest.approx(surface[column], abs=scale.up / 4 + 1e-9)

    def test_the_enlargement_said_is_the_one_drawn(self, jobs):
        found, _, scale, _ = self.drawn(jobs.rectangle())
        # A column is 1/60 of the cut; a cell is twice as tall as wide.
        assert scale.times == pytest.approx(2 * found.length / 60 / scale.up)
        assert scale.times > 1

    @pytest.mark.parametrize("rows", [4, 6, 9, 14, 25])
    def test_everything_fits_with_the_largest_enlargement(self, jobs, rows):
        _, surfaces, scale, grid = self.drawn(jobs.rectangle(), rows=rows)
        assert scale.rows <= rows
        top = scale.bottom + scale.rows * scale.up
        assert top >= np.nanmax(surfaces.bed) + self.LAYERS.tile
        assert (grid[-1] != Matter.AIR).all()

    def test_the_thinnest_tile_is_still_drawn(self, jobs):
        found, surfaces, _, grid = self.drawn(jobs.rectangle(), layers=Layers(0.0, 0.5))
        off_flange = (surfaces.along < found.rim[0]) | (surfaces.along > found.rim[1])
        assert (grid[:, off_flange] == Matter.TILE).any(axis=0).all()

    def test_the_drain_is_one_row_wide_as_its_flange_with_an_outlet_down(self, jobs):
        found, surfaces, _, grid = self.drawn(jobs.rectangle())
        on_flange = (surfaces.along > found.rim[0]) & (surfaces.along < found.rim[1])
        assert ((grid == Matter.FLANGE).any(axis=0) == on_flange).all()
        assert (grid == Matter.FLANGE).sum() == 2 * on_flange.sum()
        assert ((grid == Matter.OUTLET).sum(axis=0) > 0).sum() == 1
        assert Matter.OUTLET in grid[-1]

    def test_an_upper_bed_lies_between_bed_and_tile(self, jobs):
        _, _, _, grid = self.drawn(jobs.rectangle(), layers=Layers(38.1, 11.0), rows=20)
        column = [Matter(m) for m, before in zip(grid[:, 3], [-1, *grid[:-1, 3]], strict=True) if m != before]
        assert column == [Matter.AIR, Matter.TILE, Matter.UPPER_BED, Matter.MUD, Matter.GROUND]

    def test_layers_follow_the_job(self, jobs):
        assert layers_on_bed(jobs.rectangle()).upper_bed == 0.0
        assert layers_on_bed(jobs.rectangle()).tile == pytest.approx((5 / 16 + 1 / 8) * INCH)
        job = jobs.rectangle().job
        liner = jobs.planned('[build]\nwaterproofing = "between-beds"\nupper_bed = "2 in"\ntile = "1/2 in"')
        assert job.build.waterproofing is None
        assert layers_on_bed(liner) == Layers(pytest.approx(2 * INCH), pytest.approx((1 / 2 + 1 / 8) * INCH))


class TestPicture:
    def test_in_lines(self, jobs):
        assert text(jobs.rectangle(), "D-A", size=(62, 18)).strip("\n") == PICTURE.strip("\n")

    def test_in_plain_ascii(self, jobs):
        assert text(jobs.rectangle(), "A-B", size=(44, 16), looks=ASCII).strip("\n") == ASCII_PICTURE.strip("\n")

    def test_a_mirrored_floor_gives_a_mirrored_cut(self, jobs):
        for looks in (PLAIN, TRUE, ASCII):
            one, back, mirrored = (
                text(plan, wall, looks=looks).split("Cut", maxsplit=1)[0].splitlines()
                for plan, wall in (
                    (jobs.rectangle(), "D-A"),
                    (jobs.rectangle(), "B-C"),
                    (jobs.mirrored_rectangle(), "D-A"),
                )
            )
            assert mirrored == back == [row[::-1] for row in one]

    @pytest.mark.parametrize("size", [(24, 8), (38, 19), (80, 20), (120, 40)])
    @pytest.mark.parametrize("looks", [PLAIN, ASCII, TRUE])
    def test_it_keeps_to_its_room(self, jobs, size, looks):
        for plan in (jobs.rectangle(), jobs.ell(), jobs.cut_corner(), jobs.rectangle(units="mm")):
            for wall in plan.outline.walls:
                drawn = side_lines(plan, wall, CutFrom.MIDDLE, size, looks)
                assert len(drawn) == size[1]
                assert max(sum(len(span.text) for span in line) for line in drawn) <= size[0]

    def test_plain_ascii_is_plain_ascii(self, jobs):
        for plan in (jobs.rectangle(), jobs.ell(), jobs.cut_corner()):
            for wall in plan.outline.walls:
                assert text(plan, wall, looks=ASCII).isascii()

    def test_what_is_off_the_floor_is_blank_and_said(self, jobs):
        shown = text(jobs.ell(x="30", y="16"), "B-C")
        assert "Where it is blank there is no floor." in " ".join(shown.split())
        # The post stands 14 to 22 in from B-C, of 72 in over 58 columns.
        column = 1 + round(18 / 72 * 58)
        assert all(row[column] == " " for row in shown.splitlines()[:5])

    def test_where_columns_are_few_the_labels_are_short(self, jobs):
        shown = text(jobs.rectangle(), size=(36, 18))
        assert "░ bed" in shown
        assert "/ rough " in shown
        assert "rough floor" not in shown

    def test_where_rows_are_few_the_drawing_keeps_its_room(self, jobs):
        shown = text(jobs.rectangle(), size=(69, 10))
        assert "█" in shown.split("Cut", maxsplit=1)[0]
        assert "mud, deep" in shown
        assert "tile top" not in shown
        assert "tile top" in text(jobs.rectangle(), size=(69, 6))

    def test_an_unknown_wall_falls_back_to_the_first(self, jobs):
        assert text(jobs.rectangle(), "X-Y") == text(jobs.rectangle(), "A-B")

    def test_of_several_drains_it_says_which_it_goes_through(self, plan_of):
        two = plan_of(Path(__file__).parents[3] / "sample_jobs" / "bath_house.toml")
        assert "Cut from A-B through drain 1 to C-D, 900 mm long." in " ".join(text(two).split())


class TestPartialPlans:
    def test_what_comes_first(self, jobs):
        assert text(None).startswith("The side view starts with the outline")
        assert "The side view starts with the outline" in text(jobs.planned(""))
        outline = jobs.planned('[outline]\nrectangle = ["60 in", "36 in"]')
        assert "The side view goes through the drain: where is the drain?" in text(outline)

    def test_without_heights_there_are_words_and_dashes(self, jobs):
        plan = jobs.planned(
            '[outline]\nrectangle = ["60 in", "36 in"]\n'
            '[[drains]]\nkind = "round"\nsize = "6 in"\nat = { x = "30 in", y = "18 in" }'
        )
        assert isinstance(plan.bed, Needs)
        shown = text(plan)
        assert plan.bed.says in " ".join(shown.lower().split())
        assert "░ bed" in shown
        assert "times" not in shown

    def test_a_bed_alone_is_a_line_without_mud_under_it(self, jobs):
        plan = replace(jobs.rectangle(), rough=Needs("readings", "what are the readings?"))
        shown = text(plan, "D-A")
        assert "/" not in shown.split("Cut", maxsplit=1)[0]
        assert "What are the readings?" in " ".join(shown.split())

    def test_a_bed_that_cannot_be_is_told(self, jobs):
        plan = replace(jobs.rectangle(), bed=Hidden("C", 1524.0, 914.4, "C-D"))
        assert "level walls do not fit this floor" in " ".join(text(plan).split())


class SideApp(App[None]):
    CSS = "SideView { width: 60; height: 18; }"
    AUTO_FOCUS = None

    def __init__(self) -> None:
        super().__init__()
        self.side = SideView(PLAIN)

    def compose(self):
        yield self.side

    def shown(self) -> str:
        return "\n".join(self.side.render_line(y).text.rstrip() for y in range(self.side.size.height))


class TestWidget:
    async def test_it_shows_the_cut_from_the_wall_asked_for(self, jobs):
        app = SideApp()
        async with app.run_test(size=(80, 24)):
            app.side.show(jobs.rectangle())
            app.side.action_next_wall(1)
            assert app.shown() == text(jobs.rectangle(), "B-C")
            app.side.show(jobs.rectangle("even-fall"))
            assert app.shown() == text(jobs.rectangle("even-fall"), "B-C")

    async def test_keys_go_round_the_walls_and_move_the_cut(self, jobs):
        app = SideApp()
        async with app.run_test(size=(80, 24)) as pilot:
            app.side.show(jobs.rectangle())
            app.side.focus()
            walls = []
            for key in ("right", "right", "left", "left", "left"):
                await pilot.press(key)
                walls.append(app.side.wall)
            assert walls == ["B-C", "C-D", "B-C", "A-B", "D-A"]
            await pilot.press("up")
            assert app.shown() == text(jobs.rectangle(), "D-A", CutFrom.MIDDLE)

    async def test_without_an_outline_there_is_no_wall(self):
        app = SideApp()
        async with app.run_test(size=(80, 24)) as pilot:
            app.side.show(None)
            app.side.focus()
            await pilot.press("right")
            assert app.side.wall is None

    async def test_no_colour_where_there_are_to_be_none(self, jobs):
        app = SideApp()
        async with app.run_test(size=(80, 24)):
            app.side.show(jobs.rectangle())
            styles = [segment.style for y in range(18) for segment in app.side.render_line(y)]
            assert all(style is None or (style.color is None and style.bgcolor is None) for style in styles)


PICTURE = """
║▄                                                        ▄▄▄┃
║████▄▄                                     ▄▄▄▄▄▄▄██████████┃
║░░███████▄▄▄                  ▄▄▄▄▄▄▄██████████████████░░░░░┃
║░░░░░░░███████▄      ▄▄██████████████████░░░░░░░░░░░░░░░░░░░┃
║░░░░░░░░░░░░░██╬╬╬╬╬╬██████░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░┃
║░░░░░░░░░░░░░░░░░║░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░┃
║░░░░░░░░░░░░░░░░░║░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░┃
║░░░░░░░░░░░░░░░░░║░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░┃
║░░░░░░░░░░░░░░░░░║░░░░░░░///////////////░░░░░░░░░░░░░░░░░░░░┃
║░░░░░////////////║//////////////////////////////////////////┃
║/////////////////║//////////////////////////////////////////┃
Cut from D-A through the drain to B-C, 60 in long. Heights
drawn 6 times.
  inches             D-A      drain      B-C
  mud, deep      2 23/32    1 15/32   2 7/16
█ tile top         1 3/8          -    1 3/8
░ bed              15/16          0    15/16
/ rough floor   -1 25/32   -1 15/32   -1 1/2
"""
ASCII_PICTURE = """
|__                                      __|
|######____                      ____######|
|.....#########____      ____#########.....|
|.............#####      #####.............|
|..................OOOOOO..................|
|.....................|....................|
|.....................|....................|
|/////////////////////|/////////////.......|
|/////////////////////|////////////////////|
Cut from A-B through the drain to C-D, 36 in
long. Heights drawn 4 times.
  inches           A-B     drain       C-D
  mud, deep      2 1/2   1 15/32     2 3/4
# tile top       1 3/8         -     1 3/8
. bed            15/16         0     15/16
/ rough floor  -1 9/16  -1 15/32  -1 13/16
"""
