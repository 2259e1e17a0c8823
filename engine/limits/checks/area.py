"""The floor's size: its area, and the circle that must fit on it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import shapely

from engine.limits.checks.case import NOISE, Case, is_below
from engine.limits.findings import Finding, Level
from engine.limits.rulebook import Figure, Limit
from engine.limits.words import area_more, area_under, limit_area
from engine.phrases import phrase
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs, Spot

_KEPT = 8  # floors remembered
_FINEST = 0.01  # [mm] how exactly the largest circle is found, once it is known to be too small


def check_area(case: Case) -> Iterator[Finding]:
    """Findings floor-small: the area, and the circle; a note where another code asks for more area."""
    floor = case.stages.outline
    if isinstance(floor, Needs):
        return
    least, wider = case.book.find(Figure.AREA_LEAST), case.book.find(Figure.AREA_LEAST_UPC)
    if least and is_below(floor.area, least.value):
        yield _small(case, floor, least, least.level)
    elif wider and is_below(floor.area, wider.value):
        yield _small(case, floor, wider, Level.NOTE)
    circle = case.book.find(Figure.CIRCLE_LEAST)
    if circle and not _fits(floor, circle.value):
        yield _narrow(case, floor, circle)


def _small(case: Case, floor: FloorOutline, least: Limit, level: Level) -> Finding:
    return Finding(
        rule="floor-small",
        level=level,
        says=phrase(
            "the floor is {area}, less than {least} where that code is in force"
            if level is Level.NOTE
            else "the floor is {area}, less than {least}",
            area=area_under(floor.area, case.units),
            least=limit_area(least, case.units),
        ),
        remedy=phrase("make the floor {more} larger", more=area_more(least.value - floor.area, case.units)),
        source=least.cited,
        key="outline",
    )


@lru_cache(maxsize=_KEPT)
def _fits(floor: FloorOutline, width: float) -> bool:
    """Whether a circle fits: round the floor's middle, as it does on most floors, or else anywhere."""
    middle, edge = shapely.centroid(floor.polygon), shapely.boundary(floor.polygon)
    if shapely.distance(edge, middle) >= width / 2 and shapely.intersects(floor.polygon, middle):
        return True
    return not shapely.is_empty(shapely.buffer(floor.polygon, NOISE - width / 2))


@lru_cache(maxsize=_KEPT)
def _largest(floor: FloorOutline) -> Spot:
    """The radius [mm] and the middle of the largest circle on a floor."""
    radius = shapely.maximum_inscribed_circle(floor.polygon, tolerance=_FINEST)
    return Spot(float(shapely.length(radius)), *shapely.get_coordinates(radius)[0].tolist())


def _narrow(case: Case, floor: FloorOutline, circle: Limit) -> Finding:
    found = _largest(floor)
    width = min(2 * found.value, circle.value - 2 * NOISE)
    return Finding(
        rule="floor-small",
        level=circle.level,
        says=phrase(
            "the largest circle that fits on the floor is {width} wide, less than {least}",
            width=case.under(width),
            least=case.limit(circle),
        ),
        remedy=phrase("make the floor {more} wider there", more=case.worked(circle.value - width)),
        source=circle.cited,
        x=found.x,
        y=found.y,
        key="outline",
    )
