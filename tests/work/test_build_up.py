"""Layers, finished heights, lining and barrier, for both floors and both systems."""

from __future__ import annotations

import pytest

from engine.quantities import FOOT, INCH
from engine.work.layers import LayerName
from engine.work.lining import barrier_sheet

ROOM = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
LEVEL = [(f'"{name}"', 520.0) for name in "ABCD"]
OVER, BETWEEN = 'waterproofing = "over-bed"', 'waterproofing = "between-beds"\nupper_bed = 40'
CONCRETE, WOOD = (
    'kind = "concrete"\nbond_coat = true',
    'kind = "wood"\nmoisture_barrier = "felt"\nlath = true',
)


@pytest.fixture
def build():
    """The work on a level room, with its floor, build and edges as given."""
    from engine.job.toml_file import parse_job
    from engine.plan import plan

    def make(floor=CONCRETE, build=OVER, edges="", rest="", outline="rectangle = [1500, 900]"):
        drain = "[[drains]]\nkind = 'round'\nsize = 100\nat = { x = 600, y = 400 }\ndrop = 470\n"
        readings = "".join(f"[[readings]]\nat = '{name}'\ndrop = 520\n" for name in "ABCD")
        text = (
            f"format = 1\n[job]\nname = 'x'\nunits = 'mm'\n[floor]\n{floor}\n[build]\n{build}\n[outline]\n{outline}\n"
            f"{edges}\n{drain}{readings}[bed]\nshape = 'level-walls'\n{rest}"
        )
        return plan(parse_job(text)).work

    return make


class TestLayers:
    @pytest.mark.parametrize(
        ("floor", "system", "names"),
        [
            (CONCRETE, OVER, ["bond-coat", "bed", "membrane", "tile-mortar", "tile"]),
            ('kind = "concrete"', OVER, ["wetting", "bed", "membrane", "tile-mortar", "tile"]),
            (WOOD, OVER, ["moisture-barrier", "lath", "bed", "membrane", "tile-mortar", "tile"]),
            (
                WOOD,
                BETWEEN,
                [
                    "moisture-barrier",
                    "lath",
                    "pre-slope",
                    "liner",
                    "weep-holes",
                    "upper-bed",
                    "tile-mortar",
                    "tile",
                ],
            ),
            (
                'kind = "concrete"\nmoisture_barrier = "poly"\nbond_coat = true',
                OVER,  # nothing to bond to over a sheet
                ["moisture-barrier", "bed", "membrane", "tile-mortar", "tile"],
            ),
        ],
    )
    def test_from_the_rough_floor_up(self, build, floor, system, names):
        assert [layer.name.value for layer in build(floor, system).layers] == names

    def test_wire_fabric_lies_in_the_upper_bed_of_a_pan_over_65_square_feet(self, build):
        side = (65 * FOOT**2) ** 0.5
        for outline, fabric in ((side - 1, False), (side + 1, True)):
            found = build(build=BETWEEN, outline=f"rectangle = [{outline:.3f}, {side:.3f}]")
            names = [layer.name for layer in found.layers]
            assert (LayerName.WIRE_FABRIC in names) is fabric
            assert found.needs_wire_fabric is fabric
        assert names.index(LayerName.LINER) < names.index(LayerName.WIRE_FABRIC) < names.index(LayerName.UPPER_BED)

    def test_weep_holes_are_kept_open(self, build):
        weep = next(layer for layer in build(build=BETWEEN).layers if layer.name is LayerName.WEEP_HOLES)
        assert "weep holes open" in weep.says

    def test_every_layer_has_its_source_and_thickness(self, build):
        work = build(build=BETWEEN)
        by_name = {layer.name: layer for layer in work.layers}
        assert by_name[LayerName.UPPER_BED].least == by_name[LayerName.UPPER_BED].most == 40
        assert by_name[LayerName.PRE_SLOPE].most == work.site.depth.most.value
        assert all(layer.source for layer in work.layers)


class TestHeights:
    def test_what_lies_over_the_bed_adds_up(self, build):
        work = build(build=BETWEEN + "\ntile = 8\ntile_setting = 4")
        assert work.heights.grate == 40 + 8 + 4
        wall = work.site.bed.wall_height
        for corner in work.heights.corners:
            assert corner.above_datum == pytest.approx(wall + 52)
            assert corner.above_grate == pytest.approx(wall)
            assert corner.above_rough == pytest.approx(50 + wall + 52)
            assert corner.below_line == pytest.approx(470 - wall - 52)

    def test_an_open_edges_floor_is_recessed_by_bed_and_tile(self, build):
        work = build(build="tile = 8\ntile_setting = 4", edges='edges = { "D-A" = "open" }')
        edge = work.heights.thresholds[0]
        wall = work.site.bed.wall_height
        assert edge.most == pytest.approx(50 + wall + 12)
        assert edge.bed_most == pytest.approx(50 + wall)
        says = " ".join(said.text for step in work.order for said in step.task.says)
        assert "the rough floor has to lie" in says

    def test_an_open_edge_that_is_not_level_says_by_how_much(self, make_plan):
        work = make_plan(
            "rectangle = [1500, 900]",
            at=(600, 300),
            drop=470.0,
            readings=LEVEL,
            shape="even-fall",
            outline_extra='edges = { "D-A" = "open" }',
        ).work
        edge = work.heights.thresholds[0]
        assert not edge.is_level
        # Ways of 600 mm square to the edge, and hypot(600, 600) to D, less the flange's 50 mm, at 1:48.
        assert edge.low - work.site.build_up == pytest.approx((600 - 50) / 48, abs=1e-3)
        assert edge.high - work.site.build_up == pytest.approx((600 * 2**0.5 - 50) / 48, abs=1e-3)

    def test_a_curb_of_unknown_height_is_not_made_up(self, build):
        work = build(edges='edges = { "D-A" = "curb" }')
        assert work.heights.curb_over_drain is None
        assert work.heights.curb_over_floor is None


class TestLining:
    def test_the_higher_of_the_codes_figures_over_the_threshold(self, build):
        work = build(build=BETWEEN, edges='edges = { "D-A" = "curb" }', rest="[curb]\ndrop = 370\n")
        lining = work.lining
        assert lining.is_liner
        assert lining.threshold == 100
        assert lining.over_threshold.value == pytest.approx(3 * INCH)
        assert [rule.value for rule in lining.asked] == pytest.approx([3 * INCH, 2 * INCH])
        assert lining.top == pytest.approx(100 + 3 * INCH)
        assert lining.up_most == pytest.approx(100 + 3 * INCH - work.site.bed.wall_height)

    def test_without_a_known_curb_it_is_planned_for_the_least_one_and_says_so(self, build):
        work = build(edges='edges = { "D-A" = "curb" }')
        assert work.lining.is_assumed
        # IRC P2709.1: 2 in over the finished drain.
        assert work.lining.threshold == pytest.approx(2 * INCH + work.site.build_up)
        says = " ".join(said.text for step in work.order for said in step.task.says)
        assert "measure up from the finished threshold on site" in says

    def test_a_liner_piece_covers_floor_and_walls(self, build):
        work = build(build=BETWEEN)
        for side, own in zip(work.lining.piece, (1500, 900), strict=True):
            assert side % 100 == 0
            assert side >= own + 2 * work.lining.up_most
            assert side < own + 2 * work.lining.up_most + 100


class TestBarrier:
    def test_felt_courses_lap(self, build):
        sheet = build(WOOD).barrier
        # 1500 and 900 mm, turned 75 up: 1650 x 1050. A metre's roll lapped 4 in takes two courses either way; those
        # across the long side are the shorter.
        assert (sheet.courses, sheet.course, sheet.width) == (2, 1050, 1000)
        assert sheet.lap == pytest.approx(4 * INCH)
        assert sheet.courses * sheet.width - sheet.lap >= 1650

    def test_poly_is_one_piece_and_none_is_none(self, build):
        sheet = build('kind = "wood"\nmoisture_barrier = "poly"').barrier
        assert sheet.courses == 1
        assert sheet.piece == (1700, 1100)  # 1650 x 1050 in whole tenths of a metre
        assert barrier_sheet(build().site) is None
