"""The flood test and the load: depths held to their limits, water to closed forms, weights to sums."""

from __future__ import annotations

import numpy as np
import pytest

from engine.quantities import INCH, PSF
from engine.work.load import most_filled

ROOM = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
FLAT = {"at": (600, 400), "drop": 470.0, "readings": [(f'"{name}"', 520.0) for name in "ABCD"]}


class TestFlood:
    def test_water_is_the_level_less_the_bed(self, make_plan):
        work = make_plan(ROOM, **FLAT).work
        bed = work.site.bed
        assert work.flood.at_threshold == pytest.approx(2 * INCH)
        assert work.flood.level == pytest.approx(bed.wall_height + 2 * INCH)
        assert work.flood.volume == pytest.approx(work.flood.level * 1500 * 900 - bed.integral)

    def test_the_head_at_the_drain_is_held_to_four_inches(self, make_plan):
        # A wall height of 70 mm and 2 in over it would stand 120.8 mm at the drain: held to 4 in (ASTM D5957).
        work = make_plan(ROOM, **FLAT, bed="wall_height = 70").work
        test = work.flood
        assert test.is_held
        assert test.at_drain == pytest.approx(4 * INCH)
        assert test.at_threshold == pytest.approx(4 * INCH - 70)
        says = " ".join(said.text for step in work.order for said in step.task.says)
        assert "ask the inspector which of the two it shall be" in says

    def test_where_the_floor_stands_out_of_it_only_what_is_wet_counts(self, make_plan):
        # 150 mm at the walls, 4 in of water: a cone frustum, flooded to 101.6 of 150 mm of every line.
        work = make_plan(ROOM, **FLAT, bed="wall_height = 150").work
        x, y = np.meshgrid(np.arange(2.5, 1500, 5), np.arange(2.5, 900, 5))
        points = np.column_stack([x.ravel(), y.ravel()])
        wet = np.maximum(4 * INCH - work.site.bed.height(points), 0.0).mean() * 1500 * 900
        assert work.flood.volume == pytest.approx(wet, rel=2e-3)

    def test_water_over_the_curb_asks_for_a_dam(self, make_plan):
        edges = 'edges = { "D-A" = "curb" }'
        # Two inches over a bed of some 20 mm reach 71 mm; the finished curb is 40 mm up, less tile and mortar bare.
        low = make_plan(ROOM, **FLAT, outline_extra=edges, extra="[curb]\ndrop = 430").work
        assert low.flood.over_curb == pytest.approx(low.flood.level - (40 - low.site.build_up))
        assert "temporary dam on the curb" in " ".join(s.text for step in low.order for s in step.task.says)
        high = make_plan(ROOM, **FLAT, outline_extra=edges, extra="[curb]\ndrop = 370").work
        assert high.flood.over_curb == 0


class TestLoad:
    def test_parts_by_hand(self, make_plan):
        # 12 psf per inch of mud (TileLetter), 14 of tile and its mortar, half a psf of sheets.
        work = make_plan(
            ROOM,
            **FLAT,
            extra='[build]\nwaterproofing = "between-beds"\nupper_bed = 40\ntile = 8\ntile_setting = 4',
        ).work
        mean = work.site.depth.volume / (1500 * 900)
        expected = (mean + 40) / INCH * 12 + 12 / INCH * 14 + 0.5
        assert work.load.mean == pytest.approx(expected * PSF)
        worst = (work.site.depth.most.value + 40) / INCH * 12 + 12 / INCH * 14 + 0.5
        assert work.load.worst.value == pytest.approx(worst * PSF)
        # During the test neither the upper bed nor the tile lies there.
        dry = work.load.test_mean - work.load.water_mean
        assert dry == pytest.approx((mean / INCH * 12 + 0.5) * PSF)

    @pytest.mark.parametrize("shape", ["level-walls", "even-fall"])
    def test_nowhere_do_bed_and_water_weigh_more_than_is_told(self, make_plan, shape):
        readings = [('"A"', 520), ('"B"', 505), ('"C"', 531), ('"D"', 516), ("{ x = 900, y = 500 }", 512)]
        work = make_plan(ROOM, at=(600, 400), drop=470.0, readings=readings, shape=shape).work
        rng = np.random.default_rng(5)
        points = rng.uniform((0, 0), (1500, 900), (4000, 2))
        beds, roughs = work.site.bed.height(points), work.site.rough.height(points)
        weights = (beds - roughs) / INCH * 12 + np.maximum(work.flood.level - beds, 0) / INCH * 5.19 + 0.5
        assert weights.max() * PSF <= work.load.test_worst + 1e-9
        assert weights.max() * PSF >= 0.97 * work.load.test_worst
        assert work.load.test_worst <= most_filled(work.site) + 1e-9
