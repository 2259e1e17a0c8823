"""The liner between two beds: how high it stands, on which the codes differ; and wire fabric in a large pan."""

from __future__ import annotations

from collections.abc import Iterator

from engine.job.defaults import waterproofing
from engine.job.model import EdgeKind, Waterproofing
from engine.limits.checks.case import Case, is_above
from engine.limits.findings import Finding, Level
from engine.limits.rulebook import Figure, Limit
from engine.limits.words import area_more, limit_area
from engine.phrases import joined, phrase
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs


def check_lining(case: Case) -> Iterator[Finding]:
    """Notes liner-height and wire-fabric, where a liner lies between two beds."""
    floor = case.stages.outline
    if waterproofing(case.job) is not Waterproofing.BETWEEN_BEDS or isinstance(floor, Needs):
        return
    yield from _height(case, floor)
    yield from _fabric(case, floor)


def _height(case: Case, floor: FloorOutline) -> Iterator[Finding]:
    figures = (Figure.LINING_OVER_THRESHOLD_UPC, Figure.LINING_OVER_THRESHOLD_IPC)
    asked = [limit for figure in figures if (limit := case.book.find(figure))]
    heights = {limit.value for limit in asked}
    if len(heights) < 2:
        return
    highest = max(asked, key=lambda limit: limit.value)
    told = joined(
        ", ",
        (phrase("{height} by {source}", height=case.limit(limit), source=limit.cited) for limit in asked),
    )
    curb = case.book.find(Figure.LINING_OVER_CURB) if EdgeKind.CURB in floor.kinds else None
    over = _over_curb(case, curb, highest) if curb else ""
    if curb and curb.value > highest.value:
        highest = curb
    yield Finding(
        rule="liner-height",
        level=Level.NOTE,
        says=phrase(
            "codes differ on how high the liner stands over the finished threshold: {heights}; this plan takes "
            "the higher figure{also}",
            heights=told,
            also=over,
        ),
        remedy=phrase(
            "turn it up {high} over the threshold at every wall, unless the local code asks for more",
            high=case.limit(highest),
        ),
        source=joined("; ", (limit.cited for limit in (*asked, curb) if limit)),
        key="build.waterproofing",
    )


def _over_curb(case: Case, curb: Limit, highest: Limit) -> str:
    under = case.limit(curb)
    if curb.value > highest.value:
        return phrase("; but over the curb {curb} are asked for, and it takes those", curb=under)
    return phrase("; so the curb lies more than {curb} under its edge, as it has to", curb=under)


def _fabric(case: Case, floor: FloorOutline) -> Iterator[Finding]:
    most = case.book.find(Figure.WIRE_FABRIC_AREA)
    if most is None or not is_above(floor.area, most.value):
        return
    area = area_more(floor.area, case.units)
    yield Finding(
        rule="wire-fabric",
        level=Level.NOTE,
        says=phrase(
            "the pan is {area}, more than {most}: its upper bed needs wire fabric",
            area=area,
            most=limit_area(most, case.units),
        ),
        remedy=phrase(
            "lay {area} of wire fabric half way up the upper bed; layers and shopping list have it", area=area
        ),
        source=most.cited,
        key="build.waterproofing",
    )
