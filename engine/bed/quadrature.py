"""Integrals over the floor where no closed form holds."""

from collections.abc import Callable

import numpy as np
import shapely

from engine.types import Array, Shape

# Radon's seven-point rule, exact to degree 5 (Radon 1948; table in Zienkiewicz & Taylor, The Finite Element
# Method, vol. 1, numerical integration for triangles).
_ROOT = np.sqrt(15.0)
_A, _B = (6 - _ROOT) / 21, (6 + _ROOT) / 21
_POINTS = np.array(
    [[1 / 3, 1 / 3, 1 / 3]] + [np.roll([1 - 2 * a, a, a], k).tolist() for a in (_A, _B) for k in range(3)]
)
_WEIGHTS = np.array([9 / 40] + [(155 - _ROOT) / 1200] * 3 + [(155 + _ROOT) / 1200] * 3)
_RELATIVE = 2e-5  # of the integral; 0.001 % comes out
_MOST_HALVINGS = 9
_MOST_TRIANGLES = 6000  # still open; so many are fine enough


def over_floor(polygon: Shape, function: Callable[[Array], Array], whole_sum: float = 0.0) -> float:
    """The integral of `function` ((k, 2) -> (k,)) over a shapely polygon [mm]; whole_sum: what it is a part of."""
    triangles = quarters(triangles_of(polygon))
    sums = _rule(function, triangles)
    whole = float(areas(triangles).sum())
    allowed = _RELATIVE * max(float(np.abs(sums).sum()), whole_sum) / whole
    total = 0.0
    for _ in range(_MOST_HALVINGS):
        finer = quarters(triangles)
        fine_sums = _rule(function, finer)
        agreed = fine_sums.reshape(-1, 4).sum(axis=1)
        doubt = np.abs(agreed - sums)
        if doubt.sum() <= allowed * whole:
            return total + float(agreed.sum())
        settled = doubt <= allowed * areas(triangles)
        total += float(agreed[settled].sum())
        open_ = np.repeat(~settled, 4)
        triangles, sums = finer[open_], fine_sums[open_]
        if not len(triangles) or len(triangles) > _MOST_TRIANGLES:
            break
    return total + float(sums.sum())


def triangles_of(polygon: Shape) -> Array:
    """A polygon in triangles (t, 3, 2) between its corners."""
    parts = shapely.get_parts(shapely.constrained_delaunay_triangles(polygon))
    return np.asarray(shapely.get_coordinates(parts).reshape(-1, 4, 2)[:, :3])


def areas(triangles: Array) -> Array:
    """The areas (t,) of triangles (t, 3, 2)."""
    a, b, c = (triangles[:, k] for k in range(3))
    return np.abs((b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])) / 2


def _rule(function: Callable[[Array], Array], triangles: Array) -> Array:
    points = np.einsum("pk,tkd->tpd", _POINTS, triangles)
    values = function(points.reshape(-1, 2)).reshape(len(triangles), -1)
    return np.asarray((values @ _WEIGHTS) * areas(triangles))


def quarters(triangles: Array) -> Array:
    """Each triangle (t, 3, 2) as four, by its sides' middles (4 t, 3, 2), children of one parent together."""
    a, b, c = (triangles[:, k] for k in range(3))
    ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
    children = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    return np.stack([np.stack(child, axis=1) for child in children], axis=1).reshape(-1, 3, 2)
