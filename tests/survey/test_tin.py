"""Triangles between readings: ties come out one way, whichever way the library split them."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.survey.tin import boundary, delaunay, doubled_areas, sides, steady, ties

SQUARES = np.stack(np.meshgrid(np.arange(5) * 150.0, np.arange(4) * 150.0), -1).reshape(-1, 2)
RING = 400 * np.array([(np.cos(a), np.sin(a)) for a in np.arange(12) * np.pi / 6])


def as_set(triangles):
    return {frozenset(corners) for corners in triangles.tolist()}


def shaken(stations, seed):
    """The triangles with every third tie or so flipped, one after the other, as another library might give them."""
    triangles, dice = delaunay(stations), np.random.default_rng(seed)
    for _ in range(40):
        tied = ties(stations, triangles, sides(triangles).pairs)
        k = dice.integers(len(tied.pairs))
        a, p, b, q = tied.quads[k]
        triangles[tied.pairs[k, 0]] = p, a, q
        triangles[tied.pairs[k, 1]] = p, q, b
    return triangles


@pytest.mark.parametrize("stations", [SQUARES, RING], ids=["squares", "ring"])
@pytest.mark.parametrize("seed", range(5))
def test_ties_come_out_one_way(stations, seed):
    given = shaken(stations, seed)
    assert as_set(given) != as_set(shaken(stations, seed + 100))
    found = steady(stations, given)
    assert as_set(found) == as_set(steady(stations, delaunay(stations)))
    assert np.abs(doubled_areas(stations, found)).sum() == pytest.approx(np.abs(doubled_areas(stations, given)).sum())


def test_the_ring_passes_a_station_that_only_joins_two_parts_twice():
    stations = np.array([(0.0, 0.0), (100.0, 50.0), (0.0, 100.0), (200.0, 0.0), (200.0, 100.0)])
    triangles = np.array([(0, 1, 2), (3, 4, 1)])
    ring = boundary(stations, triangles, sides(triangles).outer)
    assert sorted(ring.tolist()) == [0, 1, 1, 2, 3, 4]
    starts = set(zip(ring.tolist(), np.roll(ring, -1).tolist(), strict=True))
    assert starts == {(0, 1), (1, 2), (2, 0), (3, 4), (4, 1), (1, 3)}


def test_where_the_library_loses_its_way_the_nodes_are_turned(monkeypatch):
    """As it did among 2,624 nodes of a finished bed's mesh: "could not locate vertex"."""
    whole, found = shapely.delaunay_triangles, delaunay(SQUARES)

    def lost(lines):
        if shapely.get_coordinates(lines).min() >= 0:
            raise shapely.GEOSException("LocateFailureException: Could not locate vertex.")
        return whole(lines)

    monkeypatch.setattr(shapely, "delaunay_triangles", lost)
    assert len(delaunay(SQUARES)) == len(found)


def test_three_stations_on_a_line_have_no_circle_and_tie_with_nothing():
    """As along one of water's ways: a triangle that the library leaves flat beside a wall."""
    stations = np.array([(0.0, 0.0), (300.0, 100.0), (600.0, 200.0), (300.0, -200.0)])
    triangles = np.array([(0, 2, 1), (0, 3, 2)])
    assert not len(ties(stations, triangles, sides(triangles).pairs).pairs)


def test_four_nodes_on_one_line_are_no_tie():
    """A leaning wall's, as its finished bed's mesh had them: float noise off the line, either split the higher one."""
    line = np.array([(1489.5, 913.0454545454545), (1413.4931506849314, 915.3150684931506), (1352.5, 917.1363636363636)])
    stations = np.vstack([line, (1330.917808219178, 917.7808219178082)])
    slivers = np.array([(1, 2, 0), (3, 0, 2)])
    assert not len(ties(stations, slivers, sides(slivers).pairs).pairs)
