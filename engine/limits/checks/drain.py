"""The drain's place: on the floor, its flange clear of walls and islands, the whole floor in its sight."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np
import shapely

from engine.bed.flange import Flange
from engine.bed.surfaces import is_clear
from engine.limits.checks.case import NOISE, Case
from engine.limits.findings import Finding, Level
from engine.limits.words import place_words
from engine.phrases import joined, phrase
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs

_GEOMETRY = phrase("geometry")


def check_drains(case: Case) -> Iterator[Finding]:
    """Findings drain-outside and flange-over-wall, one a drain; flanges-overlap, one a pair."""
    floor, flanges = case.stages.outline, case.stages.flanges
    if isinstance(floor, Needs) or isinstance(flanges, Needs):
        return
    yield from _over_another(flanges)
    if not isinstance(case.stages.bed, Needs):
        return  # a bed is only shaped round flanges that stand clear on the floor
    for i, flange in enumerate(flanges):
        x, y = np.asarray(flange.centre).tolist()
        off = float(shapely.distance(floor.polygon, shapely.Point(x, y)))
        if off > NOISE:
            yield _outside(case, floor, i, (x, y), off + flange.half)
        else:
            yield from _over_wall(case, floor, i, flange)


def _outside(case: Case, floor: FloorOutline, i: int, at: tuple[float, float], clear: float) -> Finding:
    """clear: how far the drain must go for its flange to pass the floor's nearest edge [mm]."""
    on_island = bool(shapely.intersects_xy(shapely.polygons(floor.ring), *at))
    nearest = shapely.get_coordinates(shapely.shortest_line(floor.polygon, shapely.Point(at)))[0]
    onto = place_words(float(nearest[0]), float(nearest[1]), floor, case.units)
    where = phrase("on an island" if on_island else "outside the floor")
    return Finding(
        rule="drain-outside",
        level=Level.STOP,
        says=phrase("the middle of {drain} is {where}", drain=_name(case, i), where=where),
        remedy=phrase("move it by more than {clear}: the floor begins {onto}", clear=case.worked(clear), onto=onto),
        source=_GEOMETRY,
        x=at[0],
        y=at[1],
        key=f"drains[{i}]",
    )


def _over_another(flanges: tuple[Flange, ...]) -> Iterator[Finding]:
    """Two flanges that lie one on the other, at the middle of what they share."""
    for (i, first), (k, second) in combinations(enumerate(flanges), 2):
        shared = shapely.intersection(first.polygon, second.polygon)
        if shapely.area(shared) <= NOISE:
            continue
        x, y = shapely.get_coordinates(shapely.centroid(shared))[0].tolist()
        yield Finding(
            rule="flanges-overlap",
            level=Level.STOP,
            says=phrase("the flanges of drain {first} and drain {second} overlap", first=i + 1, second=k + 1),
            remedy=phrase("move one of them until there is mud between the two, or leave one out"),
            source=_GEOMETRY,
            x=x,
            y=y,
            key=f"drains[{k}].at",
        )


def _over_wall(case: Case, floor: FloorOutline, i: int, flange: Flange) -> Iterator[Finding]:
    if is_clear(flange, floor, case.job.bed.shape):
        return
    beyond = shapely.get_coordinates(shapely.difference(flange.polygon, floor.polygon))
    reach = shapely.distance(floor.polygon, shapely.points(beyond))
    if not len(reach) or reach.max() <= NOISE:
        yield _touching(case, floor, i, flange)
        return
    x, y = beyond[int(np.argmax(np.round(reach, 6)))].tolist()
    over = case.worked(float(reach.max()))
    walls = _crossed(floor, flange)
    yield Finding(
        rule="flange-over-wall",
        level=Level.STOP,
        says=phrase("the flange of {drain} reaches {over} over {walls}", drain=_name(case, i), over=over, walls=walls),
        remedy=phrase("move the drain more than {over} away from {walls}", over=over, walls=walls),
        source=_GEOMETRY,
        x=x,
        y=y,
        key=f"drains[{i}]",
    )


def _touching(case: Case, floor: FloorOutline, i: int, flange: Flange) -> Finding:
    walls = shapely.boundary(floor.polygon)
    x, y = shapely.get_coordinates(shapely.shortest_line(walls, shapely.Point(flange.centre)))[0].tolist()
    return Finding(
        rule="flange-over-wall",
        level=Level.STOP,
        says=phrase(
            "the flange of {drain} touches the floor's edge {place}, so no bed fits between them",
            drain=_name(case, i),
            place=place_words(x, y, floor, case.units),
        ),
        remedy=phrase("move the drain more than {step} away from it", step=case.worked(1.0)),
        source=_GEOMETRY,
        x=x,
        y=y,
        key=f"drains[{i}]",
    )


def _crossed(floor: FloorOutline, flange: Flange) -> str:
    sides = shapely.linestrings(np.stack([floor.sides.starts, floor.sides.ends], axis=1))
    crossed = shapely.relate_pattern(shapely.Polygon(flange.polygon), sides, "T********")
    names = dict.fromkeys(floor.walls[wall] for wall in floor.sides.walls[crossed].tolist())
    return joined(phrase(" and "), names) if names else phrase("an island")


def _name(case: Case, i: int) -> str:
    return phrase("the drain" if len(case.job.drains) == 1 else "drain {number}", number=i + 1)
