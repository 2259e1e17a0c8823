"""The drain's place: on the floor, clear of walls and islands, near enough to walls and drains."""

from itertools import combinations

import numpy as np
import shapely

from ...bed.flange import Flange, Flanges
from ...bed.surfaces import is_clear
from ...job.model import EdgeKind
from ...phrases import joined, phrase
from ...survey.outline import FloorOutline
from ...survey.place_words import place_words
from ...types import Array, Shape
from ..words import drain_words
from .case import NOISE, Case, Figure, Finding, Findings, Level, Limit, Needs


def check_drains(case: Case) -> Findings:
    """Findings drain-outside and flange-over-wall, one a drain; flanges-overlap, one a pair."""
    floor, flanges = case.stages.outline, case.stages.flanges
    if not floor or not flanges:
        return
    yield from _over_another(flanges)
    if not isinstance(case.stages.bed, Needs):
        return  # a bed is only shaped round flanges clear on the floor
    for i, flange in enumerate(flanges):
        x, y = flange.centre.tolist()
        off = float(shapely.distance(floor.polygon, shapely.Point(x, y)))
        if off > NOISE:
            yield _outside(case, floor, i, (x, y), off + flange.half)
        else:
            yield from _over_wall(case, floor, i, flange)


def _outside(case: Case, floor: FloorOutline, i: int, at: tuple[float, float], clear: float) -> Finding:
    on_island = bool(shapely.intersects_xy(shapely.polygons(floor.ring), *at))
    x, y = shapely.get_coordinates(shapely.shortest_line(floor.polygon, shapely.Point(at)))[0].tolist()
    onto = place_words(x, y, floor, case.units)
    where = phrase("on an island" if on_island else "outside the floor")
    return _misplaced(
        "drain-outside",
        at,
        (i,),
        says=phrase("the middle of {drain} is {where}", drain=drain_words(i, len(case.job.drains)), where=where),
        remedy=phrase("move it by more than {clear}: the floor begins {onto}", clear=case.worked(clear), onto=onto),
    )


def _misplaced(rule: str, at: tuple[float, float], drains: tuple[int, ...], says: str, remedy: str) -> Finding:
    key = f"drains[{drains[-1]}]" + ".at" * (len(drains) > 1)
    return Finding(rule, Level.STOP, says, remedy, phrase("geometry"), *at, key, drains=drains)


def _over_another(flanges: Flanges) -> Findings:
    for (i, first), (k, second) in combinations(enumerate(flanges), 2):
        shared = shapely.intersection(first.polygon, second.polygon)
        if shapely.area(shared) <= NOISE:
            continue
        x, y = shapely.get_coordinates(shapely.centroid(shared))[0].tolist()
        yield _misplaced(
            "flanges-overlap",
            (x, y),
            (i, k),
            says=phrase("the flanges of drain {first} and drain {second} overlap", first=i + 1, second=k + 1),
            remedy=phrase("move one of them until there is mud between the two, or leave one out"),
        )


def _over_wall(case: Case, floor: FloorOutline, i: int, flange: Flange) -> Findings:
    if is_clear(flange, floor, case.job.bed.shape):
        return
    beyond = shapely.get_coordinates(shapely.difference(flange.polygon, floor.polygon))
    reach = shapely.distance(floor.polygon, shapely.points(beyond))
    far = float(reach.max(initial=0.0))
    if far > NOISE:
        x, y = beyond[int(np.argmax(np.round(reach, 6)))].tolist()
        met = shapely.relate_pattern(flange.polygon, floor.sides.lines, "T********")
    else:
        edge = shapely.boundary(floor.polygon)
        x, y = shapely.get_coordinates(shapely.shortest_line(edge, flange.polygon))[0].tolist()
        met = flange.away(floor.sides.lines) < NOISE
    names = dict.fromkeys(floor.walls[wall] for wall in floor.sides.walls[met].tolist())
    walls, over = joined(phrase(" and "), names) or phrase("an island"), case.worked(max(far, 1.0))
    says = phrase(
        "the flange of {drain} reaches {over} over {walls}"
        if far > NOISE
        else "the flange of {drain} touches {walls}, so no bed fits between them",
        drain=drain_words(i, len(case.job.drains)),
        over=over,
        walls=walls,
    )
    remedy = phrase(
        "take a smaller drain: the floor has no room for this one"
        if shapely.is_empty(shapely.buffer(floor.polygon, -flange.half - NOISE))
        else "move the drain more than {over} away from {walls}, or take a smaller one",
        over=over,
        walls=walls,
    )
    yield _misplaced("flange-over-wall", (x, y), (i,), says, remedy)


def check_apart(case: Case) -> Findings:
    """Findings drains-far: the drain farthest from its next, and the wall farthest from any.

    Cautions: the code's figures are for shared rooms, which no job tells.
    """
    floor, flanges = case.stages.outline, case.stages.flanges
    if not floor or not flanges:
        return
    apart, off = case.book.find(Figure.DRAINS_APART_MOST), case.book.find(Figure.DRAIN_TO_WALL_MOST)
    across = float(np.hypot(*np.ptp(floor.ring, axis=0)))  # no two places are farther apart
    if apart is not None and len(flanges) > 1 and across > apart.value:
        yield from _between(case, flanges, apart)
    if off is not None and across > off.value:
        yield from _to_walls(case, floor, flanges, off)


def _shapes(flanges: Flanges) -> Shape:
    return np.array([shapely.Polygon(flange.polygon) for flange in flanges])


def _between(case: Case, flanges: Flanges, most: Limit) -> Findings:
    shapes = _shapes(flanges)
    gaps = shapely.distance(shapes[:, None], shapes[None, :])
    np.fill_diagonal(gaps, np.inf)
    nearest = gaps.min(axis=1)
    i = int(np.argmax(np.round(nearest, 6)))
    if nearest[i] <= most.value + NOISE:
        return
    yield _far(
        flanges[i].centre,
        most,
        f"drains[{i}]",
        says=phrase(
            "drain {number} is {gap} from the next one; in a large shared room drains are at most {most} apart",
            number=i + 1,
            gap=case.over(float(nearest[i])),
            most=case.limit(most),
        ),
        remedy=phrase(
            "where the room is shared, set a drain between them, or move drain {number} {by} nearer",
            number=i + 1,
            by=case.worked(float(nearest[i]) - most.value),
        ),
    )


def _far(at: Array, most: Limit, key: str, says: str, remedy: str) -> Finding:
    x, y = at.tolist()
    return Finding("drains-far", Level.CAUTION, says, remedy, most.cited, x, y, key)


def _to_walls(case: Case, floor: FloorOutline, flanges: Flanges, most: Limit) -> Findings:
    gaps = shapely.distance(floor.sides.lines[:, None], _shapes(flanges)[None, :]).min(axis=1)
    walls = np.array([kind is EdgeKind.WALL for kind in floor.kinds])
    if not walls.any():
        return
    far = np.array([gaps[floor.sides.walls == i].min() if wall else 0.0 for i, wall in enumerate(walls.tolist())])
    i = int(np.argmax(np.round(far, 6)))
    if far[i] <= most.value + NOISE:
        return
    yield _far(
        floor.middle(i),
        most,
        "drains",
        says=phrase(
            "wall {wall} is {gap} from the nearest drain; in a large shared room a drain is at most {most} from a "
            "side wall",
            wall=floor.walls[i],
            gap=case.over(float(far[i])),
            most=case.limit(most),
        ),
        remedy=phrase(
            "where the room is shared, set a drain nearer to {wall}, or move one by {by}",
            wall=floor.walls[i],
            by=case.worked(float(far[i]) - most.value),
        ),
    )
