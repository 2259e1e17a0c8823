"""The map as cells, as text, as strips, and as a widget under the keys."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engine.quantities import Dimension, Units
from engine.survey.spot import Needs
from tests.wizard.pictures import plain_text
from tui.widgets.ink import Ink
from tui.widgets.looks import Colours, Looks
from tui.widgets.map_bands import bands
from tui.widgets.map_frame import fit
from tui.widgets.map_layers import MapLayer
from tui.widgets.map_marks import MarkKind
from tui.widgets.map_picture import MapPicture
from tui.widgets.map_spot import spot_figures
from tui.widgets.ramps import ASCII_SHADES, LEVELS, SHADES

if TYPE_CHECKING:
    from tui.widgets.map_cells import MapCells

INCH = 25.4
FALL = 1 / 48
PLAIN = Looks(Colours.NONE)
ASCII = Looks(Colours.NONE, ascii=True)
SHADED = (MapLayer.DEPTH, MapLayer.BED, MapLayer.ROUGH, MapLayer.FALL)


def picture(plan, layer=MapLayer.DEPTH, width=62, height=18, looks=PLAIN) -> MapPicture:
    return MapPicture(plan, layer, width, height, looks)


def text(plan, layer=MapLayer.DEPTH, width=62, height=18, looks=PLAIN, *, spot=None) -> str:
    return plain_text(picture(plan, layer, width, height, looks).lines(spot))


def cells(plan, layer=MapLayer.DEPTH, width=62, height=18, looks=PLAIN) -> MapCells:
    drawn = picture(plan, layer, width, height, looks).cells
    assert drawn is not None
    return drawn


def lines(text: str) -> str:
    """An expected picture without the line break after its opening quotes."""
    return text.strip("\n")


class TestPicture:
    def test_roomy_with_the_legend_beside(self, jobs):
        plan = jobs.with_findings(jobs.rectangle(), (0.0, 36 * INCH), None, (30 * INCH, 30 * INCH))
        assert text(plan).strip("\n") == lines("""
D━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━C  Depth of mud
║1▒▒▒▒▒▒▒▒▒▒▒▒▒░░░░░░░░░░░░░░░░░░░+┃  bed over rough floor
║▒▒▒▒▒░░░░░░░░░░░░3░░░░:::::::::░░░┃  most  3 1/16 in
║▒▒▒░░░░░░░░::::::::::::::::::░░░░░┃  ███ 3 to 3 1/2
c▒▒░░░░::::::::::::::::::::::░░░░░░┃  ▒▒▒ 2 1/2 to 3
u▒▒░░░::::╬╬╬··:::::::::::::░░░░░░░┃  ░░░ 2 to 2 1/2
r▒░░░░::::╬╬╬····:::::::::░░░░░░░░░┃  ::: 1 1/2 to 2
b▒░░░░:::::::::::::::::::░░░░░░░░░▒┃  ··· 1 to 1 1/2
║░░░░:::::::::::::::::::░░░░░░░░░▒▒┃  least 1 3/8 in
║░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░▒▒▒▒┃
║+░░░░░░░░░░░░░░░░░░░▒▒▒▒▒▒▒▒▒▒▒▒▒+┃  1 a finding's number
A━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━B  ╬ drain
                                      + reading
                                      ═ curb
                                      ━ wall
""")

    def test_narrow_in_plain_ascii_with_the_legend_under(self, jobs):
        shown = text(jobs.with_findings(jobs.cut_corner()), MapLayer.BED, 40, 16, ASCII)
        assert shown.strip("\n") == lines("""
          E--------D
          |+@%%%%%%%\\=
          |%%%%%**%%%%\\=
          |************%\\=
          |**::::::::****%\\=
          |::::....::::***%%\\C
          |::........::***%%%|
          |::...OO...::***%%%|
          |:::.....::::***%%%|
          |+*::::::::****%%%+|
          A------------------B
Bed height
0 . 1/8 : 1/4 * 3/8 % 1/2 @ 19/32 in
O drain  + reading  = curb  - wall
""")

    def test_an_even_fall_is_one_figure_all_over_and_the_spot_is_told(self, jobs):
        assert text(jobs.with_findings(jobs.ell()), MapLayer.FALL, spot=(400.0, 1500.0)).strip("\n") == lines("""
 F━━━━━━━━━━━━━━━━E                  Fall of the bed
 ┃+░░░░░░░░░░░░░░░┆                  steepest way, there
 ┃░░░░░░░░░░░░░░░░┆                  ░░░ 1/4 in/ft all over
 ┃░░░░░░X░░░░░░░░░o
 ┃░░░░░░░░░░░░░░░░p                  13 in from E-F,
 ┃░░░░░░░░░░░░░░░░e                  15 3/4 in from F-A: mud
 ┃░░░░░░░░░░░░░░░░n                  2 11/32 in +/- 1/4 in,
 ┃░░░░░░░░░░░░░░░░┆                  bed 25/32 in over the
 ┃░░░░░░░░░░░░░░░░D━━━━━━━━━━━━━━━C  drain, rough floor
 ┃░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░┃  1 9/16 in under the
 ┃░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░┃  drain, slopes 1/4 in/ft,
 ┃░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░┃  rough floor guessed, no
 ┃░░░░░░░░╬╬░░░░░░░░░░░░////░░░░░░┃  readings round it.
 ┃░░░░░░░░░░░░░░░░░░░░░░////░░░░░░┃
 ┃░░░░░░░░░░░░░░░░░░░░░░////░░░░░░┃
 ┃░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░┃
 ┃+░░░░░░░░░░░░░░░░░░░░░░░░░░░░░░+┃
 A━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━B
""")

    @pytest.mark.parametrize("layer", MapLayer)
    @pytest.mark.parametrize("size", [(24, 8), (38, 19), (40, 12), (80, 20), (120, 40)])
    def test_it_fills_the_room_and_no_line_is_longer(self, jobs, layer, size):
        for plan in (jobs.rectangle(), jobs.ell(), jobs.cut_corner()):
            for spot in (None, (500.0, 300.0)):
                drawn = picture(plan, layer, *size).lines(spot)
                assert len(drawn) == size[1]
                assert max(sum(len(span.text) for span in line) for line in drawn) <= size[0]

    def test_plain_ascii_is_plain_ascii(self, jobs):
        for layer in MapLayer:
            for plan in (jobs.rectangle(), jobs.ell(), jobs.cut_corner(), jobs.rectangle(units="mm")):
                assert text(plan, layer, looks=ASCII).isascii()
                assert text(plan, layer, 40, 14, ASCII, spot=(500.0, 300.0)).isascii()

    def test_no_room_is_said(self, jobs):
        assert "No room" in text(jobs.rectangle(), width=14, height=3).replace("\n", " ")


class TestPartialPlans:
    def test_nothing_says_what_comes_first(self):
        assert text(None).startswith("The map starts with the outline: how long are the walls?")

    def test_a_blank_job_asks_for_the_outline(self, jobs):
        plan = jobs.planned("")
        assert isinstance(plan.outline, Needs)
        assert plan.outline.says in text(plan)

    def test_an_outline_alone_is_drawn_and_the_drain_asked_for(self, jobs):
        shown = text(jobs.planned('[outline]\nrectangle = ["60 in", "36 in"]'))
        assert "D━" in shown
        assert "╬" not in shown
        assert "Where is the" in shown

    def test_a_drain_is_drawn_before_there_is_a_bed(self, jobs):
        plan = jobs.planned(
            '[outline]\nrectangle = ["60 in", "36 in"]\n'
            '[[drains]]\nkind = "round"\nsize = "6 in"\nat = { x = "30 in", y = "18 in" }'
        )
        assert isinstance(plan.bed, Needs)
        assert "╬" in text(plan, MapLayer.BED)
        assert "How is the bed" in text(plan, MapLayer.BED, 100)

    def test_a_hidden_floor_is_told_in_words(self, jobs):
        """Round four posts no valleys are looked for."""
        posts = ", ".join(
            f'{{ corners = [["{x} in","5 in"],["{x + 4} in","5 in"],["{x + 4} in","9 in"]] }}' for x in (5, 15, 25, 35)
        )
        plan = jobs.planned(
            '[outline]\ncorners = [["0 in","0 in"],["72 in","0 in"],["72 in","36 in"],["36 in","36 in"],'
            f'["36 in","72 in"],["0 in","72 in"]]\nislands = [{posts}]\n'
            '[[drains]]\nkind = "round"\nsize = "4 in"\nat = { x = "60 in", y = "18 in" }\n'
            '[bed]\nshape = "level-walls"'
        )
        assert "level walls do not fit" in " ".join(text(plan, MapLayer.BED, 50).split())

    def test_water_says_what_it_waits_for(self, jobs):
        assert "readings of the finished bed" in " ".join(text(jobs.rectangle(), MapLayer.WATER, 50).split())
        assert (cells(jobs.rectangle(), MapLayer.WATER).levels < 0).all()


class TestCells:
    def test_the_floor_is_to_scale(self, jobs):
        frame = cells(jobs.rectangle(), width=120, height=40).frame
        # Cells are twice as tall as wide: 60 by 36 in must come out as 60 columns to 18 rows, to half a row.
        assert (frame.rows - 2) * 2 == pytest.approx((frame.columns - 2) * 36 / 60, abs=1.0)
        assert frame.down == pytest.approx(2 * frame.across, rel=0.05)

    @pytest.mark.parametrize("room", [(20, 10), (62, 18), (200, 11), (11, 200)])
    def test_the_map_takes_the_room_one_way_or_the_other(self, jobs, room):
        frame = fit(jobs.rectangle().outline.corners, *room)
        assert frame.columns == room[0] or frame.rows == room[1]
        assert frame.columns <= room[0]
        assert frame.rows <= room[1]

    def test_every_shade_is_the_band_of_the_figure_under_it(self, jobs):
        plan = jobs.rectangle("even-fall")
        drawn = cells(plan, MapLayer.BED, 120, 40)
        # In closed form: the fall times the distance to the flange's edge, the drain at 18, 18 in, 3 in to its rim.
        most = FALL * (np.hypot(42, 18) - 3)
        for row, column in np.argwhere(drawn.on_floor):
            x, y = drawn.frame.centre(int(row), int(column))
            height = FALL * max(np.hypot(x / INCH - 18, y / INCH - 18) - 3, 0)
            level = drawn.levels[row, column]
            if level < 0 or abs(height / 0.125 - round(height / 0.125)) < 0.02:
                continue
            steps = int(np.ceil(most / 0.25))
            assert level == int(height / 0.25) * (LEVELS - 1) // (steps - 1)

    def test_shades_are_shares_and_only_on_the_floor(self, jobs):
        drawn = cells(jobs.rectangle(), MapLayer.BED)
        assert drawn.levels[drawn.levels >= 0].min() == 0
        assert drawn.levels.max() == LEVELS - 1
        assert (drawn.levels[~drawn.on_floor] < 0).all()

    def test_the_character_tells_the_shade_without_any_colour(self, jobs):
        for looks, shades in ((PLAIN, SHADES), (ASCII, ASCII_SHADES)):
            drawn = cells(jobs.rectangle(), looks=looks)
            for row, column in np.argwhere(drawn.inks == Ink.SHADE):
                assert drawn.characters[row, column] == shades[drawn.levels[row, column]]

    def test_a_layer_asks_each_surface_once(self, jobs):
        calls, planned = [], jobs.rectangle()

        class Counting:
            reach = planned.bed.reach

            def height(self, points):
                calls.append(len(points))
                return np.zeros(len(points))

        plan = replace(planned, bed=Counting())
        shown = picture(plan)
        shown.lines()
        shown.with_layer(MapLayer.ROUGH).lines()
        shown.lines((300.0, 300.0))
        on_the_map = [count for count in calls if count > 10]
        assert on_the_map == [int(shown.cells.on_floor.sum())]

    def test_a_drain_smaller_than_a_cell_is_still_marked(self, jobs):
        plan = jobs.ell()
        small = cells(plan, width=20, height=12)
        assert any(mark.kind is MarkKind.DRAIN for mark in small.marks)

    def test_a_channel_narrower_than_a_cell_is_marked_along_its_length(self, make_plan):
        """2000 of 3000 mm long and 40 wide, on a map whose rows stand for 100 mm and more."""
        ends = "".join(f"{key} = {{ x = {x}, y = 1190 }}\n" for key, x in (("from", 500), ("to", 2500)))
        channel = f'[[drains]]\nkind = "channel"\nsize = 40\ndrop = 500\n{ends}'
        plan = make_plan("rectangle = [3000, 1500]", shape="even-fall", readings=[((0, 0), 560)], extra=channel)
        for height in (10, 12, 14, 16, 18):
            drawn = cells(plan, height=height)
            columns = {mark.column for mark in drawn.marks if mark.kind is MarkKind.DRAIN}
            assert len({mark.row for mark in drawn.marks if mark.kind is MarkKind.DRAIN}) == 1
            assert len(columns) == max(columns) - min(columns) + 1
            assert len(columns) == pytest.approx(drawn.on_floor.any(axis=0).sum() * 2 / 3, abs=1.5)

    def test_too_many_readings_are_counted_in_words(self, jobs):
        plan = jobs.rectangle()
        many = replace(plan, readings=plan.readings * 100)
        assert "400 readings, too" in " ".join(text(many, width=80).split())
        assert not any(mark.kind is MarkKind.STATION for mark in cells(many).marks)

    def test_two_letters_at_a_corner_grow_outward(self, jobs):
        floor = jobs.rectangle().outline
        names = ("AA", "AB", "AC", "AD")
        plan = replace(jobs.rectangle(), outline=replace(floor, names=names))
        shown = text(plan, width=80, height=18)
        assert all(name in shown for name in names)


class TestMirror:
    TURNED = str.maketrans("/\\", "\\/")

    def mirrored(self, drawn: MapCells) -> list[str]:
        rows = ["".join(row)[::-1].translate(self.TURNED) for row in drawn.characters.tolist()]
        return self.without_letters(rows)

    @staticmethod
    def without_letters(rows: list[str]) -> list[str]:
        return ["".join("#" if c.isupper() and c.isascii() else c for c in row) for row in rows]

    @pytest.mark.parametrize("layer", SHADED)
    def test_a_mirrored_rectangle_gives_a_mirrored_map(self, jobs, layer):
        plan, other = (replace(p, findings=()) for p in (jobs.rectangle(), jobs.mirrored_rectangle()))
        rows = ["".join(row) for row in cells(other, layer).characters.tolist()]
        assert self.without_letters(rows) == self.mirrored(cells(plan, layer))

    @pytest.mark.parametrize("layer", SHADED)
    @pytest.mark.parametrize("looks", [PLAIN, ASCII])
    def test_a_slanted_edge_is_mirrored_too(self, jobs, layer, looks):
        plans = (jobs.cut_corner(), jobs.cut_corner(is_mirrored=True))
        plan, other = (replace(p, findings=()) for p in plans)
        rows = ["".join(row) for row in cells(other, layer, 50, 16, looks).characters.tolist()]
        assert self.without_letters(rows) == self.mirrored(cells(plan, layer, 50, 16, looks))


class TestFindings:
    @settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
    @given(
        places=st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=12),
        kind=st.sampled_from(["rectangle", "ell", "cut_corner"]),
        size=st.sampled_from([(30, 10), (62, 18), (120, 40)]),
    )
    def test_every_place_on_the_floor_is_marked(self, jobs, places, kind, size):
        base = getattr(jobs, kind)()
        low, high = base.outline.corners.min(axis=0), base.outline.corners.max(axis=0)
        plan = jobs.with_findings(base, *((low + np.array(p) * (high - low)).tolist() for p in places))
        drawn = cells(plan, MapLayer.DEPTH, *size)
        numbers = [mark.number for mark in drawn.marks if mark.number]
        assert numbers == list(range(1, len(places) + 1))
        seats = [(mark.row, mark.column) for mark in drawn.marks if mark.number]
        assert len(set(seats)) == min(len(seats), int(drawn.on_floor.sum()))

    def test_numbers_are_those_of_the_list_and_the_tenth_is_a_sign(self, jobs):
        places = [(x * 100.0, 300.0) if x != 2 else None for x in range(1, 12)]
        drawn = cells(jobs.with_findings(jobs.rectangle(), *places), width=120, height=40)
        assert [mark.character for mark in drawn.marks if mark.number] == [*"13456789", "!", "!"]

    def test_two_at_one_place_stand_side_by_side(self, jobs):
        drawn = cells(jobs.with_findings(jobs.rectangle(), (0.0, 0.0), (0.0, 0.0)))
        first, second = (mark for mark in drawn.marks if mark.number)
        assert (first.row, first.column) == drawn.frame.cell(0.0, 0.0)
        assert abs(first.row - second.row) + abs(first.column - second.column) == 1

    def test_the_spot_names_the_findings_about_it(self, jobs):
        plan = jobs.with_findings(jobs.rectangle(), (500.0, 300.0), None, (500.0, 300.0))
        assert "Findings 1, 3 are about this place." in text(plan, width=130, height=12, spot=(500.0, 300.0))


class TestBands:
    @given(
        ends=st.tuples(st.floats(-200, 200), st.floats(-200, 200)).map(sorted),
        units=st.sampled_from(Units),
        parts=st.lists(st.floats(0, 1), min_size=2, max_size=20),
    )
    def test_they_hold_every_figure_in_order(self, ends, units, parts):
        least, most = ends
        meaning = bands(least, most, Dimension.LENGTH, units)
        assert 1 <= meaning.count <= LEVELS
        values = np.sort(least + np.array(parts) * (most - least))
        levels = meaning.levels(values)
        assert (np.diff(levels) >= 0).all()
        assert levels.min() >= 0
        assert levels.max() < LEVELS
        assert meaning.limits[0] <= least + 0.011 * meaning.step
        assert meaning.limits[-1] >= most - 0.011 * meaning.step

    def test_limits_are_round_in_the_units_of_the_job(self):
        inches = bands(1.3 * INCH, 2.4 * INCH, Dimension.LENGTH, Units.INCH)
        assert [inches.number(limit) for limit in inches.limits] == [
            "1 1/4",
            "1 1/2",
            "1 3/4",
            "2",
            "2 1/4",
            "2 1/2",
        ]
        millimetres = bands(33.0, 61.0, Dimension.LENGTH, Units.MM)
        assert [millimetres.number(limit) for limit in millimetres.limits] == ["30", "40", "50", "60", "70"]
        falls = bands(0.25 / 12, 0.55 / 12, Dimension.FALL, Units.INCH)
        assert [falls.text(limit) for limit in falls.limits] == [
            f"{n} in/ft" for n in ("1/4", "5/16", "3/8", "7/16", "1/2", "9/16")
        ]

    def test_one_figure_all_over_is_said_so(self):
        assert bands(5.0, 5.01, Dimension.LENGTH, Units.MM).is_flat
        assert not bands(5.0, 5.2, Dimension.LENGTH, Units.MM).is_flat

    def test_what_is_not_a_number_has_no_level(self):
        meaning = bands(0.0, 10.0, Dimension.LENGTH, Units.MM)
        assert meaning.levels(np.array([np.nan, 0.0])).tolist() == [-1, 0]


class TestFallAtTheWall:
    def test_on_a_wall_the_fall_is_that_of_the_bed_beside_it(self, jobs):
        plan = jobs.rectangle()
        at_corner = spot_figures(plan, 0.0, 0.0).fall
        assert plan.bed.least_fall * 0.99 < at_corner <= plan.bed.most_fall * 1.01
