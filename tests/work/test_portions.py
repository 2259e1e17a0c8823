"""Portions: from the far corners to the way out, equal floors, volumes that add up to the bed's."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.bed.quadrature import areas
from engine.quantities import LITRE
from engine.work.portions import portions
from engine.work.triangles import Looks, floor_triangles, split, summed

ROOM = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
LEANING = [('"A"', 520.0), ('"B"', 500.0), ('"C"', 524.0), ('"D"', 530.0)]


def site(make_plan, outline=ROOM, edges="", **words):
    words = {"at": (600, 400), "drop": 470.0, "readings": LEANING, **words}
    return make_plan(outline, outline_extra=edges, **words).work.site


class TestDivision:
    def test_far_ones_come_first_and_the_way_out_last(self, make_plan):
        found = portions(site(make_plan, edges='edges = { "D-A" = "curb" }'), 1e9)
        assert found.way_out == ("D-A",)
        assert not found.is_assumed
        assert [part.number for part in found.parts] == [1, 2, 3]
        assert [(part.near, part.far) for part in found.parts] == [
            pytest.approx((1000, 1500), abs=1e-3),
            (500, 1000),
            (0, 500),
        ]
        assert found.parts[0].corners == ("B", "C")
        assert found.parts[-1].corners == ("A", "D")

    def test_without_a_threshold_the_longest_wall_is_taken_and_said_so(self, make_plan):
        found = portions(site(make_plan), 1e9)
        assert found.is_assumed
        assert found.way_out == ("A-B",)

    def test_two_ways_out_are_both_left_to(self, make_plan):
        found = portions(site(make_plan, edges='edges = { "D-A" = "open", "B-C" = "curb" }'), 1e9)
        assert found.way_out == ("B-C", "D-A")
        assert found.parts[0].far == pytest.approx(750, abs=1e-3)  # the middle is farthest from both

    def test_ways_go_round_corners(self, make_plan):
        found = portions(site(make_plan, ELL, 'edges = { "B-C" = "open" }', shape="even-fall", at=(450, 450)), 1e9)
        # From B-C along C-D to D, 900 mm, and on across the corner to F.
        assert found.parts[0].far == pytest.approx(900 + 900 * 2**0.5, abs=1e-3)
        assert "F" in found.parts[0].corners
        assert found.parts[-1].corners == ("B", "C", "D")

    def test_no_portion_takes_much_more_than_a_batch(self, make_plan):
        room = site(make_plan)
        most = room.depth.volume / 7.5
        found = portions(room, most)
        assert len(found.parts) == 8
        assert max(part.volume for part in found.parts) < 1.35 * most


class TestSums:
    @pytest.mark.parametrize(
        ("outline", "words"),
        [(ROOM, {}), (ELL, {"shape": "even-fall", "at": (450, 450)}), (ROOM, {"drop": 495.0})],
    )
    def test_areas_and_volumes_are_the_floors(self, make_plan, outline, words):
        room = site(make_plan, outline, **words)
        for most in (1e9, 8 * LITRE):
            parts = portions(room, most).parts
            assert sum(part.area for part in parts) == pytest.approx(room.floor.area, rel=1e-9)
            assert sum(part.volume for part in parts) == pytest.approx(room.depth.volume, rel=1e-9)
            whole = shapely.union_all([part.shape for part in parts])
            assert whole.area == pytest.approx(room.floor.area, rel=1e-6)

    def test_each_volume_is_its_own_integral(self, make_plan):
        room = site(make_plan, edges='edges = { "D-A" = "curb" }')
        for part in portions(room, 1e9).parts:
            x = np.arange(part.near + 1, min(part.far, 1500), 2.0)
            y = np.arange(1, 900, 2.0)
            points = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
            depths = room.bed.height(points) - room.rough.height(points)
            assert part.volume == pytest.approx(float(depths.mean()) * part.area, rel=2e-3)

    def test_a_bed_with_no_mud_at_all_is_still_divided(self, make_plan):
        room = site(make_plan, drop=700.0)
        assert room.depth.volume == 0
        assert [part.volume for part in portions(room, 1e6).parts] == [0, 0, 0]


class TestTriangles:
    def test_a_split_keeps_the_area_and_the_plane(self):
        triangles = floor_triangles(shapely.Polygon(ELL))
        values = triangles @ np.array([0.3, -0.2]) + 50
        cut, heights = split(triangles, values, np.array([100.0, 250.0]))
        assert areas(cut).sum() == pytest.approx(areas(triangles).sum())
        assert heights == pytest.approx(cut @ np.array([0.3, -0.2]) + 50)
        for level in (100.0, 250.0):
            assert not ((heights.min(axis=1) < level - 1e-6) & (heights.max(axis=1) > level + 1e-6)).any()

    def test_quadratics_are_integrated_exactly(self):
        triangles = floor_triangles(shapely.Polygon(ROOM))
        whole = np.zeros(len(triangles), dtype=int)
        found = summed(lambda places: places.it[:, 0] ** 2 + 3 * places.it[:, 1], Looks(triangles), whole, 1)
        assert found[0] == pytest.approx(1500**3 / 3 * 900 + 3 * 1500 * 900**2 / 2, rel=1e-12)
