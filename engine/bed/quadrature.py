"""Integrals where no closed form holds: over the floor, over sectors between a point and pieces of wall."""

from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import shapely

from ..arrays import cross
from ..types import Array, Shape

PerRadian: TypeAlias = Callable[[Array, Array], Array]

# Radon's seven-point rule, exact to degree 5 (Radon 1948; table in Zienkiewicz & Taylor, The Finite Element
# Method, vol. 1, numerical integration for triangles).
_ROOT = np.sqrt(15.0)
_A, _B = (6 - _ROOT) / 21, (6 + _ROOT) / 21
_RADON_POINTS = np.array(
    [[1 / 3, 1 / 3, 1 / 3]] + [np.roll([1 - 2 * a, a, a], k).tolist() for a in (_A, _B) for k in range(3)]
)
_RADON_WEIGHTS = np.array([9 / 40] + [(155 - _ROOT) / 1200] * 3 + [(155 + _ROOT) / 1200] * 3)
# Gauss's rule of 24 nodes, good to 1e-12 of the closed forms: numpy's `leggauss`, which loads all its polynomials.
# The nodes over 0 and their weights; the others mirror them.
_GAUSS = (
    (0.06405689286260563, 0.12793819534675202),
    (0.1911188674736163, 0.12583745634682825),
    (0.3150426796961634, 0.1216704729278033),
    (0.4337935076260451, 0.11550566805372552),
    (0.5454214713888396, 0.10744427011596556),
    (0.6480936519369755, 0.09761865210411393),
    (0.7401241915785544, 0.0861901615319532),
    (0.820001985973903, 0.07334648141108016),
    (0.8864155270044011, 0.05929858491543636),
    (0.9382745520027328, 0.04427743881741941),
    (0.9747285559713095, 0.02853138862893356),
    (0.9951872199970213, 0.01234122979998869),
)
_NODES, _WEIGHTS = np.array([(-node, weight) for node, weight in reversed(_GAUSS)] + [*_GAUSS]).T.copy()
_EDGE_ON = 1e-9  # [mm] a wall seen edge-on bounds no sector
_RELATIVE = 2e-5  # of the integral; 0.001 % comes out
_MOST_HALVINGS = 9
_MOST_TRIANGLES = 6000  # still open; so many are fine enough


def over_floor(polygon: Shape, function: Callable[[Array], Array], whole_sum: float = 0.0) -> float:
    """The integral of `function` ((k, 2) -> (k,)) over a polygon [mm]; whole_sum: what it is a part of."""
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
    return np.abs(cross(b - a, c - a)) / 2


def _rule(function: Callable[[Array], Array], triangles: Array) -> Array:
    points = np.einsum("pk,tkd->tpd", _RADON_POINTS, triangles)
    values = function(points.reshape(-1, 2)).reshape(len(triangles), -1)
    return np.asarray((values @ _RADON_WEIGHTS) * areas(triangles))


def quarters(triangles: Array) -> Array:
    """Each triangle (t, 3, 2) as four, by its sides' middles (4 t, 3, 2), in order."""
    a, b, c = (triangles[:, k] for k in range(3))
    ab, bc, ca = (a + b) / 2, (b + c) / 2, (c + a) / 2
    children = [(a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca)]
    return np.stack([np.stack(child, axis=1) for child in children], axis=1).reshape(-1, 3, 2)


def over_sectors(apex: Array, starts: Array, ends: Array, per_radian: PerRadian) -> float:
    """The integral over all directions in which an apex (2,) sees segments from starts to ends, (k, 2).

    `per_radian(far, rays)` gives the integrand a radian from distances (k, g) and unit rays (k, g, 2). Summed by Gauss
    in t = asinh(s / p), s along the segment from the apex's foot, p the square distance: with far = p cosh t and
    d(angle) = dt / cosh t the integrand stays smooth however far the wall runs.
    """
    along = ends - starts
    length = np.hypot(*along.T)
    along = along / length[:, None]
    offset = starts - apex
    square = np.abs(cross(offset, along))
    seen = square > _EDGE_ON
    offset, along, length, square = offset[seen], along[seen], length[seen], square[seen]
    first = (offset * along).sum(axis=1)
    low, high = np.arcsinh(first / square), np.arcsinh((first + length) / square)
    t = (low + high)[:, None] / 2 + (high - low)[:, None] / 2 * _NODES
    far = square[:, None] * np.cosh(t)
    at = offset[:, None] + (square[:, None] * np.sinh(t) - first[:, None])[..., None] * along[:, None]
    sums = (per_radian(far, at / far[..., None]) / np.cosh(t)) @ _WEIGHTS
    return float((sums * (high - low) / 2).sum())
