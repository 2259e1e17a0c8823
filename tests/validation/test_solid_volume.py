"""The mud as a closed solid of fine facets, its volume taken by trimesh.

Source: the divergence theorem over a watertight triangle mesh, as trimesh computes it; nothing of the engine's
integrals is used, only its heights at the mesh's corners. Flat facets under or over a curved bed miss a part of
the volume that falls with the square of their size.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely

FACETS = 6_000  # at least so many on top
TOLERANCE = 1e-4  # [-] facets of 20 mm miss 5e-5; four times as many miss a quarter of that
RECTANGLE = [(0, 0), (1500, 0), (1500, 900), (0, 900)]
OUT_OF_SQUARE = [(0, 0), (1480, 35), (1530, 960), (-60, 870)]
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
ROUGH_PLANE = [
    ((0, 0), 500.0),
    ((1000, 0), 506.0),
    ((0, 1000), 491.0),
]  # three readings: one plane everywhere
CASES = [
    pytest.param(RECTANGLE, (600, 380), "level-walls", id="rectangle, level walls"),
    pytest.param(RECTANGLE, (600, 380), "even-fall", id="rectangle, even fall"),
    pytest.param(OUT_OF_SQUARE, (610, 500), "level-walls", id="out of square, level walls"),
    pytest.param(OUT_OF_SQUARE, (610, 500), "even-fall", id="out of square, even fall"),
    pytest.param(ELL, (450, 520), "level-walls", id="L seen whole, level walls"),
    pytest.param(ELL, (450, 520), "even-fall", id="L seen whole, even fall"),
    pytest.param(ELL, (1500, 400), "even-fall", id="L with a hidden leg, even fall"),
]


def quarters(triangles):
    a, b, c = (triangles[:, k] for k in range(3))
    ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
    return np.concatenate([np.stack(part, axis=1) for part in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))])


def mesh_of(corners):
    """Vertices (n, 2) and counter-clockwise triangles (t, 3) of a floor, conforming."""
    parts = shapely.get_parts(shapely.constrained_delaunay_triangles(shapely.Polygon(corners)))
    triangles = shapely.get_coordinates(shapely.normalize(parts)).reshape(-1, 4, 2)[:, :3]
    while len(triangles) < FACETS:
        triangles = quarters(triangles)
    places, faces = np.unique(np.round(triangles.reshape(-1, 2), 7), axis=0, return_inverse=True)
    faces = faces.reshape(-1, 3)
    a, b, c = (places[faces[:, k]] for k in range(3))
    clockwise = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0] < 0
    faces[clockwise] = faces[clockwise][:, ::-1]
    return places, faces


def rim(faces):
    """The directed edges of the mesh's boundary, floor on the left."""
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    there, back = edges @ [faces.max() + 1, 1], edges @ [1, faces.max() + 1]
    return edges[~np.isin(there, back)]


def solid(corners, top, bottom):
    """The solid between two surfaces over a floor, with upright sides."""
    places, faces = mesh_of(corners)
    count = len(places)
    a, b = rim(faces).T
    sides = np.concatenate(
        [np.column_stack([a + count, b + count, b]), np.column_stack([a + count, b, a])]
    )  # the lower layer is numbered on from the upper
    layers = [np.column_stack([places, surface(places)]) for surface in (top, bottom)]
    import trimesh  # only here, for it takes half a second

    return trimesh.Trimesh(
        np.concatenate(layers), np.concatenate([faces, faces[:, ::-1] + count, sides]), process=False
    )


@pytest.mark.parametrize(("corners", "place", "shape"), CASES)
@pytest.mark.parametrize("kind", ["round", "square"])
def test_the_mud_fills_the_solid(make_plan, corners, place, shape, kind):
    plan = make_plan(corners, at=place, size=120.0, kind=kind, shape=shape, drop=440.0, readings=ROUGH_PLANE)
    assert plan.depth.least.value > 0
    mud = solid(corners, plan.bed.height, plan.rough.height)
    assert mud.is_watertight
    assert mud.volume == pytest.approx(plan.depth.volume, rel=TOLERANCE)
