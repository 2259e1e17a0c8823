"""Where a drain may stand: its flange clear of the walls, the floor in its sight, its runs alike."""

from collections.abc import Callable
from functools import lru_cache

import numpy as np
import shapely

from engine.bed.flange import Flange
from engine.bed.kernel import kernel
from engine.boxes import box_round, grid
from engine.rings import following
from engine.survey.outline import FloorOutline
from engine.types import Array, Shape

_OFF_LINE = 2.0  # [mm] kept between the flange and the line of every wall
_CLEAR = 0.01  # [mm] kept between flange and wall
_ROUND = 32  # segments of a quarter circle
_GRID = 24  # samples across the region's longer side
_ROUNDS = 8  # each but the first narrows the search by 4
_FINER = np.linspace(-1.0, 1.0, 9)


@lru_cache(maxsize=16)
def clear_places(floor: FloorOutline, flange: Flange) -> Shape:
    """The places for a flange's middle at which it stands wholly on the floor, clear of walls and islands.

    The floor less each wall spread by the flange (their Minkowski sum, convex for a straight wall).
    """
    starts = np.vstack(floor.rings)
    ends = np.vstack([following(ring) for ring in floor.rings])
    if flange.is_round:
        lines = shapely.linestrings(np.stack([starts, ends], axis=1))
        spread = shapely.buffer(lines, (flange.half + _CLEAR) / np.cos(np.pi / 4 / _ROUND), quad_segs=_ROUND)
    else:
        reach = (flange.corners - flange.centre) * (1 + _CLEAR / flange.half)
        both = np.stack([starts, ends], axis=1)
        spread = shapely.convex_hull(shapely.multipoints((both[:, :, None] + reach).reshape(len(starts), -1, 2)))
    return shapely.difference(floor.polygon, shapely.union_all(spread))


def seeing_places(floor: FloorOutline, flange: Flange) -> Shape:
    """The clear places from which one drain sees the whole floor, no wall of it edge-on; empty where there is none."""
    ring = kernel(floor, flange.half + _OFF_LINE)
    clear = clear_places(floor, flange)
    return shapely.intersection(clear, shapely.polygons(ring)) if len(ring) else shapely.Polygon()


def least_ratio(region: Shape, runs: Callable[[Array], tuple[Array, Array]], place: Array) -> float | None:
    """The least that the longest run is of the shortest, from places of a region [-]; None where there is none.

    Found on a grid and on ever finer ones round the best, to a thousandth of the region.
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
        step /= 4
    return best[0] if np.isfinite(best[0]) else None
