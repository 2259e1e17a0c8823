"""The outline: how well its measurements agree; whether area and circle are large enough."""

from functools import lru_cache, partial

import shapely

from ...phrases import phrase
from ...quantities import format_angle
from ...survey.outline import LENGTH_SURE, FloorOutline, by_others, next_diagonal, turned
from ...survey.tape import worst_first
from ...types import Shape
from ..words import area_more, area_under, limit_area
from .case import NOISE, Case, Figure, Finding, Findings, Level, Limit, Spot, is_below

_TOO_FAR = 2.0  # a length off this many times a tape's doubt is not the tape's fault alone
_TOO_ODD = 4.0  # likewise, of what its own misfit varies by
_GAP = 4.0  # likewise, the gap of a whole walk round
_TURNS = 2.0  # [deg] that all turns may be off once round: as sure as one is
_KEPT = 8  # floors remembered
_MISCLOSED = partial(Finding, "outline-misclosed", Level.CAUTION)
_FEW, _ARC = 4, 500  # sides of a quarter turn round an inward corner; the latter within 5e-4 mm of it
_FINEST = 0.01  # [mm] how exactly a largest circle that is too small is found


def check_closing(case: Case) -> Findings:
    """Finding outline-misclosed: walls, turns and diagonals that cannot all be right, the worst named."""
    floor = case.stages.outline
    if not floor:
        return
    sure = LENGTH_SURE[case.units]
    if floor.residuals:
        if floor.misclosure > _TOO_FAR * sure or max(each.oddness for each in floor.residuals) > _TOO_ODD:
            yield _worst(case, floor, sure)
        return
    turns = turned(case.job.outline)
    if turns is not None and abs(turns[0] - turns[1]) <= _TURNS:
        turns = None
    if floor.misclosure > _GAP * sure:
        yield _gap(case, floor, sure, turns)
    elif turns is not None:
        yield _off_round(case, floor, turns)


def _worst(case: Case, floor: FloorOutline, sure: float) -> Finding:
    number, worst = worst_first(floor.residuals)[0]
    others = by_others(case.job.outline, floor, number, case.units)
    return _MISCLOSED(
        says=phrase(
            "{measurement} fits the other measurements worst: it was taped {off} than they make it",
            measurement=worst.name,
            off=phrase(
                "{off} shorter" if others > worst.measured else "{off} longer",
                off=case.over(abs(others - worst.measured)),
            ),
        ),
        remedy=phrase(
            "tape {measurement} again; the others make it {adjusted}{also}",
            measurement=worst.name,
            adjusted=case.length(others),
            also=_or_diagonal(case, floor),
        ),
        source=_source(sure, case),
        key="outline.tape",
    )


def _or_diagonal(case: Case, floor: FloorOutline) -> str:
    fix = next_diagonal(case.job, floor)
    if fix is None:
        return ""
    return phrase(
        ", or tape {start}-{end} too: it fixes the shape best", start=floor.names[fix.start], end=floor.names[fix.end]
    )


def _gap(case: Case, floor: FloorOutline, sure: float, turns: tuple[float, float] | None) -> Finding:
    """turns: all together, and once round [deg], where they do not close either."""
    total, whole = ("", "") if turns is None else (format_angle(turn, case.units) for turn in turns)
    return _MISCLOSED(
        says=phrase(
            "walked round, the walls miss their start by {gap}; the gap was shared out among them"
            if turns is None
            else "walked round, the walls miss their start by {gap}, which was shared out among them; the turns at the "
            "corners are {total} together, and once round is {whole}",
            gap=case.over(floor.misclosure),
            total=total,
            whole=whole,
        ),
        remedy=phrase(
            "measure the walls and turns again until they close to {most}{also}",
            most=case.length(_GAP * sure),
            also=_or_diagonal(case, floor),
        ),
        source=_source(sure, case),
        key="outline.walls",
    )


def _off_round(case: Case, floor: FloorOutline, turns: tuple[float, float]) -> Finding:
    """The walls close, the turns do not: the last, which the walk does not need, disagrees."""
    total, whole = (format_angle(turn, case.units) for turn in turns)
    return _MISCLOSED(
        says=phrase(
            "the turns at the corners are {total} together, and once round is {whole}; the one at {corner} was left "
            "out of the reckoning",
            total=total,
            whole=whole,
            corner=floor.names[0],
        ),
        remedy=phrase("measure the turns again until they close{also}", also=_or_diagonal(case, floor)),
        source=phrase(
            "geometry; that a turn is sure to {sure} is common practice, no source",
            sure=format_angle(_TURNS, case.units),
        ),
        key="outline.walls",
    )


def _source(sure: float, case: Case) -> str:
    return phrase(
        "least squares over the measurements; that a tape is sure to {sure} is common practice, no source",
        sure=case.length(sure),
    )


def check_area(case: Case) -> Findings:
    """Findings floor-small: the area, and the circle; a note where another code asks for more area."""
    floor = case.stages.outline
    if not floor:
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
        "floor-small",
        level,
        says=phrase(
            "the floor is {area}, less than {least}{where}",
            area=area_under(floor.area, case.units),
            least=limit_area(least, case.units),
            where=phrase(" where that code is in force") if level is Level.NOTE else "",
        ),
        remedy=phrase("make the floor {more} larger", more=area_more(least.value - floor.area, case.units)),
        source=least.cited,
        key="outline",
    )


@lru_cache(maxsize=_KEPT)
def _fits(floor: FloorOutline, width: float) -> bool:
    middle, edge = shapely.centroid(floor.polygon), shapely.boundary(floor.polygon)
    if shapely.distance(edge, middle) >= width / 2 - NOISE and shapely.intersects(floor.polygon, middle):
        return True
    return has_circle(floor.polygon, width)


def has_circle(polygon: Shape, width: float) -> bool:
    """Whether a circle so wide [mm] fits in a polygon, to a thousandth at inward corners."""
    off = NOISE - width / 2  # few sides cut off less: what has no room for them has none
    return not any(shapely.is_empty(shapely.buffer(polygon, off, quad_segs=sides)) for sides in (_FEW, _ARC))


@lru_cache(maxsize=_KEPT)
def _largest(floor: FloorOutline) -> Spot:
    radius = shapely.maximum_inscribed_circle(floor.polygon, tolerance=_FINEST)
    return Spot.at(shapely.length(radius), shapely.get_coordinates(radius)[0])


def _narrow(case: Case, floor: FloorOutline, circle: Limit) -> Finding:
    found = _largest(floor)
    width = min(2 * found.value, circle.value - 2 * NOISE)
    return circle.broken(
        "floor-small",
        says=phrase(
            "the largest circle that fits on the floor is {width} wide, less than {least}",
            width=case.under(width),
            least=case.limit(circle),
        ),
        remedy=phrase("make the floor {more} wider there", more=case.worked(circle.value - width)),
        spot=found,
        key="outline",
    )
