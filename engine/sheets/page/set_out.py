"""What is set out on walls and at drains, for the page's tables."""

from collections.abc import Iterator
from math import isclose

from ...bed.catchments import ridge_lines
from ...bed.surfaces import level_lines, valley_lines
from ...limits.words import fall_over, fall_under, higher, length_over, length_under
from ...plan import FloorOutline, Plan, RoughFloor, SetDrain
from ...quantities import Units, format_area, format_share
from ...records import record
from ...survey.place_words import paced, place_words
from ..catchment_words import planned_catchments, share_words
from ..sure_words import thin_words
from ..text.floor import LEAST_GAP
from ..text.set_out import flange_words, line_words, ridge_places

_SAME = 1e-9  # falls that differ by less are one


@record
class MarkRow:
    """A wall mark: its place, the line's reading ("" for none), over drain and floor."""

    place: str
    is_corner: bool
    line: str
    over_drain: str
    over_floor: str


def mark_rows(plan: Plan) -> list[MarkRow]:
    """The wall marks in walking order; none until they are planned."""
    if not plan.marks:
        return []
    units = plan.units
    return [
        MarkRow(
            mark.at if mark.along is None else f"{mark.at} at {paced(mark.along, units)}",
            mark.along is None,
            "" if mark.below_line is None else length_under(mark.below_line, units),
            length_over(mark.above_drain, units),
            length_over(mark.above_rough, units),
        )
        for mark in plan.marks
    ]


def drain_facts(plan: Plan) -> list[tuple[str, str]]:
    """Each drain: what it is, its middle, its height."""
    if not plan.drains or not plan.outline:
        return []
    floor, units, areas = plan.outline, plan.units, planned_catchments(plan)
    found = [list(_drain(drain, floor, units)) for drain in plan.drains]
    for told, area in zip(found, areas, strict=False):  # none before there is a bed
        told.append(f"takes the water of {share_words(area, areas, units)}")
    many = len(found) > 1
    return [(f"Drain {i}" if many else "Drain", "; ".join(told)) for i, told in enumerate(found, start=1)]


def _drain(drain: SetDrain, floor: FloorOutline, units: Units) -> Iterator[str]:
    yield flange_words(drain.flange, units)
    x, y = drain.flange.centre.tolist()
    yield f"middle {place_words(x, y, floor, units)}"
    if drain.height:
        yield f"{higher(drain.height, units)} than drain 1"
    line = "" if drain.drop is None else f", {length_under(drain.drop, units)} under the level line"
    planned = " (planned)" if drain.planned else " (level with the first measured one)" if drain.level else ""
    yield f"flange top {length_over(drain.above_rough, units)} above the rough floor there{line}{planned}"


def bed_facts(plan: Plan) -> list[tuple[str, str]]:
    """The bed's shape, height, falls and depths; how much of the rough floor is a guess."""
    if not plan.outline:
        return []
    return [*_floor(plan, plan.outline), *_bed(plan, plan.outline)]


def _floor(plan: Plan, floor: FloorOutline) -> Iterator[tuple[str, str]]:
    units = plan.units
    told = [format_area(floor.area, units)]
    if floor.misclosure > LEAST_GAP:
        gap = length_over(floor.misclosure, units)
        told.append(
            f"taped lengths fit to {gap}" if floor.residuals else f"misclosure of {gap} shared out over the walls"
        )
    if plan.rough:
        told.append(_rough(plan.rough, units))
    yield "Floor", "; ".join(told)


def _rough(rough: RoughFloor, units: Units) -> str:
    if rough.assumed:
        return "taken as level, for there are no readings yet"
    out = length_over(rough.highest.value - rough.lowest.value, units)
    return f"{out} out of level, {format_share(rough.guessed, units)} of it guessed (outside the readings)"


def _bed(plan: Plan, floor: FloorOutline) -> Iterator[tuple[str, str]]:
    bed, depth, units = plan.bed, plan.depth, plan.units
    if not bed:
        return
    high, least, most = bed.wall_height, bed.least_fall, bed.most_fall
    yield "Bed", f"{bed.shape.value.replace('-', ' ')}, highest {length_over(high, units)} over the drain"
    same = isclose(least, most, rel_tol=_SAME)
    yield ("Fall", fall_under(least, units) if same else f"{fall_under(least, units)} to {fall_over(most, units)}")
    if not depth:
        return
    thin, thick = depth.least, depth.most
    sure = thin_words(plan) or length_under(thin.value, units)
    yield "Thinnest", f"{sure}, {place_words(thin.x, thin.y, floor, units)}"
    yield "Deepest", f"{length_over(thick.value, units)}, {place_words(thick.x, thick.y, floor, units)}"


def ridge_facts(plan: Plan) -> list[tuple[str, str]]:
    """Each ridge between drains: its places, and the bed's heights there."""
    bed, rough, units = plan.bed, plan.rough, plan.units
    if not bed or not rough:
        return []
    found = []
    for ridge in ridge_lines(bed):
        first, second = ridge.drains
        through = "; ".join(ridge_places(ridge, bed.reach.floor, rough, units))
        found.append((f"Ridge {first + 1}-{second + 1}", through))
    return found


def valley_facts(plan: Plan) -> list[tuple[str, str]]:
    """Each valley, and each level line to an island: its ends and their heights."""
    bed = plan.bed
    if not bed:
        return []
    valleys = [(f"Valley {i}", line) for i, line in enumerate(valley_lines(bed), 1)]
    level = [("Level ridge", line) for line in level_lines(bed)]
    return [(name, _brief(line_words(plan, bed.reach.floor, line))) for name, line in (*valleys, *level)]


def _brief(words: str) -> str:
    return words.replace("line reading", "line").replace("above the drain", "up").replace("above drain 1", "up")
