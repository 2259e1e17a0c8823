"""The rough floor inside its readings against scipy, and outside them against the contract in plain Python.

Sources: scipy.interpolate.LinearNDInterpolator (linear over Delaunay triangles); the job file's contract for the
rest: the least-squares plane plus the misfit at the nearest hull point.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy

TOLERANCE = 1e-9  # [mm] weights of triangles that are not slivers
FLOOR = [(-3000, -3000), (4000, -3000), (4000, 4000), (-3000, 4000)]
DRAIN = {"at": (500, 500), "size": 50.0, "shape": "even-fall"}
COUNTS = (3, 4, 9, 30, 100, 400)  # past 64 triangles the engine searches another way


def readings_of(count):
    """Random readings: no four of them on one circle, on which any split would be as good."""
    rng = np.random.default_rng(count)
    places = np.round(rng.uniform(0, 1000, (count, 2)), 3)
    drops = np.round(500 + 0.01 * places[:, 0] + rng.normal(0, 5, count), 3)
    return places, drops


@pytest.fixture(scope="module", params=COUNTS)
def surveyed(make_plan, request):
    """The rough floor over the line, with the places and heights that it goes through."""
    places, drops = readings_of(request.param)
    plan = make_plan(FLOOR, **DRAIN, drop=400.0, readings=list(zip(places.tolist(), drops.tolist(), strict=True)))
    return plan.rough, places, 400.0 - drops


def test_inside_it_is_scipys(surveyed):
    rough, places, heights = surveyed
    points = np.random.default_rng(1).uniform(0, 1000, (4000, 2))
    expected = scipy.interpolate.LinearNDInterpolator(places, heights)(points)
    inside = np.isfinite(expected)
    assert inside.sum() > 100
    assert rough.height(points[inside]) == pytest.approx(expected[inside], abs=TOLERANCE)


def test_it_passes_through_the_readings(surveyed):
    rough, places, heights = surveyed
    assert rough.height(places) == pytest.approx(heights, abs=TOLERANCE)


def test_outside_it_is_the_contracts(surveyed):
    rough, places, heights = surveyed
    points = np.random.default_rng(2).uniform(-3000, 4000, (600, 2))
    outside = np.isnan(scipy.interpolate.LinearNDInterpolator(places, heights)(points))
    state = Contract(places.tolist(), heights.tolist())
    expected = [state.height(*point) for point in points[outside].tolist()]
    assert len(expected) > 100
    assert rough.height(points[outside]) == pytest.approx(expected, abs=TOLERANCE)


def test_across_the_hull_it_does_not_jump(surveyed):
    rough, places, _ = surveyed
    hull = np.array(hull_of([tuple(place) for place in places.tolist()]))
    t = np.linspace(0, 1, 51)[:, None, None]
    edge = hull + t * (np.roll(hull, -1, axis=0) - hull)
    along = np.roll(hull, -1, axis=0) - hull
    outward = np.column_stack([along[:, 1], -along[:, 0]]) / np.hypot(*along.T)[:, None] * 1e-7
    inner, outer = ((edge + sign * outward).reshape(-1, 2) for sign in (-1, 1))
    assert rough.height(inner) == pytest.approx(rough.height(outer), abs=1e-4)


class Contract:
    """The contract's words outside the hull, one point at a time, by normal equations."""

    def __init__(self, places, heights):
        count = len(places)
        self.x, self.y, self.z = (
            sum(column) / count for column in zip(*[(*p, h) for p, h in zip(places, heights, strict=True)], strict=True)
        )
        moved = [(x - self.x, y - self.y, h - self.z) for (x, y), h in zip(places, heights, strict=True)]
        xx, xy, yy = (
            sum(f(x, y) for x, y, _ in moved) for f in (lambda x, _: x * x, lambda x, y: x * y, lambda _, y: y * y)
        )
        xz, yz = sum(x * h for x, _, h in moved), sum(y * h for _, y, h in moved)
        det = xx * yy - xy * xy
        self.slope = (xz * yy - yz * xy) / det, (yz * xx - xz * xy) / det
        self.hull = hull_of([tuple(place) for place in places])
        self.misfit = {tuple(p): h - self.plane(*p) for p, h in zip(places, heights, strict=True)}

    def plane(self, x, y):
        return self.z + self.slope[0] * (x - self.x) + self.slope[1] * (y - self.y)

    def height(self, x, y):
        best = math.inf, 0.0
        for a, b in zip(self.hull, self.hull[1:] + self.hull[:1], strict=True):
            along = b[0] - a[0], b[1] - a[1]
            t = ((x - a[0]) * along[0] + (y - a[1]) * along[1]) / (along[0] ** 2 + along[1] ** 2)
            t = min(max(t, 0.0), 1.0)
            far = math.hypot(x - a[0] - t * along[0], y - a[1] - t * along[1])
            best = min(best, (far, self.misfit[a] + t * (self.misfit[b] - self.misfit[a])))
        return self.plane(x, y) + best[1]


def hull_of(places):
    """The convex hull, counter-clockwise (Andrew's monotone chain)."""

    def chain(points):
        found = []
        for p in points:
            while len(found) > 1 and turn(found[-2], found[-1], p) <= 0:
                found.pop()
            found.append(p)
        return found[:-1]

    ordered = sorted(places)
    return chain(ordered) + chain(ordered[::-1])


def turn(a, b, c):
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
