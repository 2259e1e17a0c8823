"""The kernel: the places on a floor from which one drain sees all of it."""

import numpy as np

from ..arrays import following, signed_area
from ..survey.outline import FloorOutline
from ..types import Array
from .sight import Edges

_LEAST_AREA = 1.0  # [mm2] no drain is set out on less
_SAME = 1e-6  # [mm] a place this far past a line is on it; corners this near are one


def kernel(floor: FloorOutline, clear: float = 0.0) -> Array:
    """The convex ring, counter-clockwise (k, 2), of places that see the whole floor; (0, 2) where none does.

    They keep `clear` [mm] from every wall's line. With an island there is none. Source: a polygon is seen whole exactly
    from the floor's side of every wall's line (de Berg et al., Computational Geometry, ch. 4, half-plane intersection).
    """
    edges = Edges.of(floor.rings)
    low, high = floor.ring.min(axis=0), floor.ring.max(axis=0)
    ring = np.array([low, [high[0], low[1]], high, [low[0], high[1]]])
    for inward, offset in zip(edges.inward, edges.offset.tolist(), strict=True):
        ring = _clipped(ring, ring @ inward - (offset + clear))
        if not len(ring):
            return ring
    if signed_area(ring) < _LEAST_AREA:
        return ring[:0]
    return np.asarray(ring[np.hypot(*(following(ring) - ring).T) > _SAME])


def _clipped(ring: Array, depths: Array) -> Array:
    """What of a convex ring lies inside a line; depths (k,) [mm]: how far its corners do."""
    inside = depths >= -_SAME
    if inside.all():
        return ring
    after, beyond = following(ring), following(depths)
    crosses = inside != following(inside)
    part = depths[crosses] / (depths[crosses] - beyond[crosses])
    cuts = ring[crosses] + part[:, None] * (after[crosses] - ring[crosses])
    places = np.concatenate([np.flatnonzero(inside), np.flatnonzero(crosses) + 0.5])
    return np.vstack([ring[inside], cuts])[np.argsort(places, kind="stable")]
