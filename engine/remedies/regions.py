"""Where a drain may stand: its flange clear of walls, the floor in its sight, its runs alike."""

from collections.abc import Callable, Iterable
from functools import lru_cache

import numpy as np
import shapely

from ..arrays import following
from ..bed.flange import Flange
from ..bed.kernel import kernel
from ..boxes import box_round, grid
from ..survey.outline import FloorOutline
from ..types import Array, Shape
from .nearest import Judge

_OFF_LINE = 2.0  # [mm] between the flange and every wall's line
MARGIN = 0.01  # [mm] between a flange and walls or others
_ROUND = 32  # segments of a quarter circle
_GRID = 48  # samples across the longer side
_ROUNDS = 14  # each but the first narrows the search by 2
_FINER = np.linspace(-1.0, 1.0, 9)


@lru_cache(maxsize=32)
def clear_places(floor: FloorOutline, flange: Flange, others: tuple[Shape, ...] = (), margin: float = MARGIN) -> Shape:
    """Where a flange's middle may be for it to stand on the floor, clear of walls, islands and other shapes.

    The floor less each of those spread by the flange and a margin [mm] (their Minkowski sum, all convex).
    """
    walls = [np.stack([ring, following(ring)], axis=1) for ring in floor.rings]
    solid = [*shapely.linestrings(np.vstack(walls)), *others]
    if flange.is_round:
        spread = shapely.buffer(solid, (flange.half + margin) / np.cos(np.pi / 4 / _ROUND), quad_segs=_ROUND)
    else:
        reach = (flange.corners - flange.centre) * (1 + margin / flange.half)
        places, of = shapely.get_coordinates(solid, return_index=True)
        moved = (places[:, None] + reach).reshape(-1, 2)
        spread = shapely.convex_hull(shapely.multipoints(moved, indices=of.repeat(len(reach))))
    return shapely.difference(floor.polygon, shapely.union_all(spread))


def apart(flange: Flange, others: Iterable[Flange], room: float) -> Judge:
    """How much places for a flange's middle lack of `room` [mm] between it and others."""
    own = (_middle(flange) - flange.centre, flange.half * flange.is_round)
    taken = [(_middle(other), room + own[1] + other.half * other.is_round) for other in others]
    hulls = [shapely.convex_hull(shapely.multipoints((at[:, None] - own[0]).reshape(-1, 2))) for at, _ in taken]

    def judge(spots: Array, slack: Array) -> tuple[Array, Array]:
        points, over = shapely.points(spots), np.full(len(spots), -np.inf)
        for hull, (_, far) in zip(hulls, taken, strict=True):
            inside = np.nan_to_num(shapely.distance(shapely.boundary(hull), points)) * shapely.intersects(hull, points)
            over = np.maximum(over, far + inside - shapely.distance(hull, points))
        return over - slack, np.full(len(spots), np.inf)

    return judge


def _middle(flange: Flange) -> Array:
    return flange.centre[None] if flange.is_round else flange.corners


def seeing_places(floor: FloorOutline, flange: Flange) -> Shape:
    """The clear places from which one drain sees the whole floor, no wall edge-on; maybe empty."""
    ring = kernel(floor, flange.half + _OFF_LINE)
    clear = clear_places(floor, flange)
    return shapely.intersection(clear, shapely.polygons(ring)) if len(ring) else shapely.Polygon()


def least_ratio(
    region: Shape, runs: Callable[[Array], tuple[Array, Array]], place: Array
) -> tuple[float, Array] | None:
    """The least that the longest run is of the shortest [-], and from which place (2,) of a region; or None.

    Sought on a grid and finer ones round the best, to a thousandth of the region.
    """
    if shapely.is_empty(region):
        return None
    low, high = box_round(region)
    step = max(float((high - low).max()) / _GRID, 1e-3)
    places, best = np.vstack([place[None], grid(low, high + step / 2, step)]), (np.inf, place)
    for _ in range(_ROUNDS):
        places = places[shapely.intersects_xy(region, *places.T)]
        if len(places):
            longest, shortest = runs(places)
            ratios = longest / np.maximum(shortest, 1e-9)
            best = min(best, (float(ratios.min()), places[ratios.argmin()]), key=lambda pair: pair[0])
        places = best[1] + np.stack(np.meshgrid(_FINER * step, _FINER * step), axis=-1).reshape(-1, 2)
        step /= 2
    return best if np.isfinite(best[0]) else None
