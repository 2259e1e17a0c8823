"""Triangles cut along level lines of a function straight on each, and sums over them by owner."""

from collections.abc import Callable
from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np
import shapely

from ..bed.quadrature import areas, triangles_of
from ..records import Same, result
from ..types import Array, Index, Shape

_SPLIT = 1e-9  # [mm] a corner this near a level line is on it
_CALM_DECIMALS = 6
# Weights of a triangle's corners at its sides' middles: the rule of three such points is exact to degree 2
# (Zienkiewicz & Taylor, The Finite Element Method, vol. 1, numerical integration for triangles).
_MIDDLES = np.array([[0.5, 0.5, 0.0], [0.0, 0.5, 0.5], [0.5, 0.0, 0.5]])
_QUARTERS = np.array(
    [
        [[1, 0, 0], [0.5, 0.5, 0], [0.5, 0, 0.5]],
        [[0.5, 0.5, 0], [0, 1, 0], [0, 0.5, 0.5]],
        [[0.5, 0, 0.5], [0, 0.5, 0.5], [0, 0, 1]],
        [[0.5, 0.5, 0], [0, 0.5, 0.5], [0.5, 0, 0.5]],
    ]
)
# The nine middles of the quarters' sides, by the triangle's corners, and which each quarter has.
_NINE, _found = np.unique((_MIDDLES @ _QUARTERS).reshape(-1, 3), axis=0, return_inverse=True)
_OF_QUARTERS = _found.reshape(4, 3)


class Care(NamedTuple):
    """How closely to integrate.

    agreed: of the mean, a triangle less off its quarters needs no finer look; halvings: at most.
    """

    agreed: float = 4e-3
    halvings: int = 3


USUAL = Care()
CLOSE = Care(5e-4, 6)  # for what has a sharp edge somewhere, such as water


@result
class Looks:
    """Triangles (t, 3, 2) and where a function on them is looked at: coarsely, then in quarters."""

    triangles: Array

    @cached_property
    def areas(self) -> Array:
        """The triangles' areas (t,)."""
        return areas(self.triangles)

    @cached_property
    def finer(self) -> Array:
        """The triangles' quarters (4 t, 3, 2)."""
        return np.asarray(np.einsum("qik,tkd->tqid", _QUARTERS, self.triangles).reshape(-1, 3, 2))

    @cached_property
    def nines(self) -> Same[Array]:
        """The middles of the quarters' sides (9 t, 2), of which any two neighbours share one."""
        return Same(np.einsum("pk,tkd->tpd", _NINE, self.triangles).reshape(-1, 2))

    @cached_property
    def places(self) -> Same[Array]:
        """The middles of the sides (3 t, 2), then those of the quarters' (9 t, 2)."""
        middles = np.einsum("pk,tkd->tpd", _MIDDLES, self.triangles).reshape(-1, 2)
        return Same(np.concatenate([middles, self.nines.it]))


def floor_triangles(polygon: Shape) -> Array:
    """A polygon's triangles between its own corners, holes left out (t, 3, 2).

    Corners count to 1e-6 mm: no noise picks a rectangle's diagonal.
    """
    return triangles_of(shapely.transform(polygon, lambda corners: np.round(corners, _CALM_DECIMALS)))


def quarters(corners: Array, middles: Array) -> Array:
    """Triangles as four each, by what stands at corners (t, 3, ...) and sides' middles, first side first."""
    first, second, third = (corners[:, k] for k in range(3))
    ab, bc, ca = (middles[:, k] for k in range(3))
    parts = ((first, ab, ca), (ab, second, bc), (ca, bc, third), (ab, bc, ca))
    return np.concatenate([np.stack(part, axis=1) for part in parts])


def split(triangles: Array, values: Array, levels: Array) -> tuple[Array, Array]:
    """Triangles (t, 3, 2) cut so that none crosses a level, and their corners' values (t, 3)."""
    for level in levels.tolist():
        crossing = (values.min(axis=1) < level - _SPLIT) & (values.max(axis=1) > level + _SPLIT)
        cut, cut_values = _cut(triangles[crossing], values[crossing], level)
        triangles = np.concatenate([triangles[~crossing], cut])
        values = np.concatenate([values[~crossing], cut_values])
    return triangles, values


def _cut(triangles: Array, values: Array, level: float) -> tuple[Array, Array]:
    corners, heights, feet = crossed(triangles, values, level)
    (a, b, c), (p, q) = corners.transpose(1, 0, 2), feet.transpose(1, 0, 2)
    at = np.full(len(triangles), level)
    za, zb, zc = heights.T
    pieces = [((a, p, q), (za, at, at)), ((p, b, c), (at, zb, zc)), ((p, c, q), (at, zc, at))]
    cut = np.concatenate([np.stack(points, axis=1) for points, _ in pieces])
    cut_values = np.concatenate([np.stack(zs, axis=1) for _, zs in pieces])
    whole = areas(cut) > 0
    return cut[whole], cut_values[whole]


def crossed(triangles: Array, values: Array, level: float) -> tuple[Array, Array, Array]:
    """Triangles that a level crosses, the corner alone on its side first (t, 3, 2), their values (t, 3).

    Then where it meets the two sides from that corner (t, 2, 2).
    """
    above = values > level
    lone = np.where(above.sum(axis=1) == 1, above.argmax(axis=1), (~above).argmax(axis=1))
    order = (lone[:, None] + np.arange(3)) % 3
    rows = np.arange(len(triangles))[:, None]
    corners, heights = triangles[rows, order], values[rows, order]
    part = (level - heights[:, :1]) / (heights[:, 1:] - heights[:, :1])
    return corners, heights, corners[:, :1] + part[..., None] * (corners[:, 1:] - corners[:, :1])


def summed(
    function: Callable[[Same[Array]], Array], looks: Looks, owners: Index, count: int, care: Care = USUAL
) -> Array:
    """The integral of `function` (of places (k, 2), (k,)) over the triangles of each of `count` owners (count,).

    Triangles off their quarters by more than agreed are quartered on.
    """
    totals = np.zeros(count)
    values, first = function(looks.places), 3 * len(looks.triangles)
    once, nines = values[:first], values[first:]
    sums = _middling(once.reshape(-1, 3)) * looks.areas
    allowed = care.agreed * float(np.abs(sums).sum()) / float(looks.areas.sum())
    for left in range(care.halvings, 0, -1):
        fine_sums = _middling(nines.reshape(-1, 9)[:, _OF_QUARTERS].reshape(-1, 3)) * np.repeat(looks.areas / 4, 4)
        agreed = np.add.reduce(fine_sums.reshape(-1, 4), axis=1)
        settled = np.abs(agreed - sums) <= allowed * looks.areas
        totals += np.bincount(owners[settled], weights=agreed[settled], minlength=count)
        unsettled = np.repeat(~settled, 4)
        sums, owners = fine_sums[unsettled], np.repeat(owners, 4)[unsettled]
        if not len(sums):
            return totals
        if left > 1:
            looks = _closer(looks, unsettled.tobytes())
            nines = function(looks.nines)
    return totals + np.bincount(owners, weights=sums, minlength=count)


def _middling(threes: Array) -> Array:
    return np.asarray(np.add.reduce(threes, axis=1) / 3)


@lru_cache(maxsize=16)
def _closer(looks: Looks, which: bytes) -> Looks:
    return Looks(looks.finer[np.frombuffer(which, dtype=bool)])
