"""What is cut, in rows for the page's tables: strips and straightedges."""

from __future__ import annotations

from engine.layout.straightedges import Served
from engine.layout.strips import Strip
from engine.limits.words import length_over, length_under, nearly, paced
from engine.plan import Plan
from engine.quantities import Units
from engine.records import record
from engine.sheets.cut_words import bend_place, ending, strip_troubles
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs


@record
class StripRow:
    """A strip of the cut list; more: what else has to be known to cut it."""

    wall: str
    length: str
    inner: str
    first: str
    last: str
    height: str
    gap: str
    bevel: str
    more: tuple[str, ...]


def strip_rows(plan: Plan) -> list[StripRow]:
    """The strips in walking order; none while they are not planned."""
    if isinstance(plan.strips, Needs) or isinstance(plan.outline, Needs):
        return []
    return [_strip(strip, plan.outline, plan.job.units) for strip in plan.strips]


def _strip(strip: Strip, floor: FloorOutline, units: Units) -> StripRow:
    first, last = (_end(strip, end, floor, units) for end in (0, 1))
    return StripRow(
        wall=strip.wall,
        length=nearly(strip.length, units),
        inner=nearly(strip.inner_length, units),
        first=first,
        last=last,
        height=_sloped(strip, units) if strip.is_sloped else length_under(strip.height, units),
        gap=_gap(strip, units),
        bevel=f"{strip.bevel:.1f}",
        more=tuple(strip_troubles(strip, units)),
    )


def _gap(strip: Strip, units: Units) -> str:
    """What is left under it, from the least to the most of it; under a sloped top, cut so."""
    gaps = [max(point.gap, 0.0) for point in strip.points]
    least = length_over(min(gaps), units)
    most = length_over(max(gaps) if strip.is_sloped else max(strip.gap, *gaps), units)
    return most if least == most else f"{least.removesuffix(f' {units.value}')} to {most}"


def _end(strip: Strip, end: int, floor: FloorOutline, units: Units) -> str:
    """An end without what the table's columns of faces say: that an inner face is shorter."""
    found, allowance = ending(strip, end, floor, units), strip.allowances[end]
    saw = found.saw.replace(" corner, saw", "").replace(" degrees off square", "")
    return saw if allowance >= 0 else f"{saw}, +{nearly(-allowance, units)}"


def _sloped(strip: Strip, units: Units) -> str:
    unit = f" {units.value}"
    points = (
        f"{length_under(point.height, units)} at {paced(point.along, units)}".replace(unit, "")
        for point in strip.points
    )
    return ", ".join(points)


def straightedge_rows(plan: Plan) -> list[tuple[str, str]]:
    """Each straightedge's length, longest first, with what it serves."""
    if isinstance(plan.straightedges, Needs):
        return []
    units = plan.job.units
    return [(nearly(edge.length, units), _served(edge.serves, units)) for edge in plan.straightedges.edges]


def _served(serves: tuple[Served, ...], units: Units) -> str:
    """Stretches of wall, those of one wall together, in the job's units without naming them."""
    walls: dict[str, list[str]] = {}
    for each in serves:
        ends = (paced(end, units).removesuffix(f" {units.value}") for end in (each.start, each.end))
        walls.setdefault(each.wall, []).append(" to ".join(ends))
    return "; ".join(f"{wall} {', '.join(stretches)}" for wall, stretches in walls.items()) or "a corner alone"


def bends(plan: Plan) -> list[tuple[str, str]]:
    """What is pulled to corners that the water bends round, and to valleys' ends: both lengths, then what it serves."""
    if isinstance(plan.straightedges, Needs):
        return []
    units = plan.job.units
    return [
        (
            f"{length_over(bend.longest, units)} to {length_under(bend.shortest, units)}",
            f"to {bend_place(bend, plan)}: {_served(bend.serves, units)}",
        )
        for bend in plan.straightedges.bends
    ]
