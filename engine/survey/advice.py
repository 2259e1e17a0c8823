"""Advice on readings."""

import numpy as np
import shapely

from ..types import Array, Index, Shape

LEAST_ODD = 12.7  # [mm] within 1/2 in of where the others have it a reading is odd only by a slip
LEAST_DISAGREEMENT = 3.175  # [mm] two readings at one place may differ by 1/8 in
_ONE_PLACE = 1.0  # [mm]
_NOISE = 1e-6  # [mm] of floats
_ASKEW = np.array([0.8506508083520399, 0.5257311121106119])  # a unit vector of irrational slope
_AS_GOOD = 1e-8  # [-] shares of the floor that may round to one


def disagreeing(places: Array, heights: Array) -> Index:
    """Pairs (k, 2) of numbers of readings at one place whose heights differ by over 1/8 in, in order."""
    pairs = _together(places)
    if not len(pairs):
        return pairs
    pairs = pairs[np.abs(np.diff(heights[pairs], axis=1)[:, 0]) > LEAST_DISAGREEMENT + _NOISE]
    return pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]


def _together(places: Array) -> Index:
    """Pairs (k, 2) of numbers of places within a millimetre of each other, the lower number first.

    They are near along any line; along one askew to every wall few others are.
    """
    along = places @ _ASKEW
    order = np.argsort(along, kind="stable")
    ordered, found = along[order], []
    before = (ordered[1:] - ordered[:-1] <= _ONE_PLACE).nonzero()[0]
    step = 1
    while before.size:
        before = before[before + step < len(places)]
        before = before[ordered[before + step] - ordered[before] <= _ONE_PLACE]
        pairs = np.column_stack([order[before], order[before + step]])
        apart = places[pairs[:, 0]] - places[pairs[:, 1]]
        found.append(np.sort(pairs[np.hypot(apart[:, 0], apart[:, 1]) <= _ONE_PLACE], axis=1))
        step += 1
    return np.concatenate(found) if found else np.zeros((0, 2), dtype=np.intp)


def next_corner(floor: Shape, corners: Array, places: Array) -> tuple[int, float]:
    """The corner whose reading would leave least of the floor guessed, and the share (0 to 1) then left.

    floor: its polygon; corners (n, 2) and the readings' places (k, 2) [mm]. Guessed is what lies outside their hull; of
    equals the first counts.
    """
    if len(places) > 1:  # only the readings on the hull matter
        places = shapely.get_coordinates(shapely.convex_hull(shapely.linestrings(places)))
    points = np.concatenate([np.broadcast_to(places, (len(corners), *places.shape)), corners[:, None]], axis=1)
    hulls = shapely.convex_hull(shapely.linestrings(points) if len(places) else shapely.points(corners))
    whole = shapely.area(floor)
    left = 1.0 - shapely.area(hulls) / whole  # at least, and just so where the hull lies wholly on the floor
    wide = int(left.argmin())
    left[wide] = 1.0 - shapely.area(shapely.intersection(floor, hulls[wide])) / whole
    likely = (left <= left[wide] + _AS_GOOD).nonzero()[0]
    if len(likely) > 1:
        left[likely] = 1.0 - shapely.area(shapely.intersection(floor, hulls[likely])) / whole
    best = int(np.argmin(np.round(left, 9)))
    return best, max(0.0, float(left[best]))
