"""The plan as text, down to the wall marks."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby, starmap
from typing import TYPE_CHECKING

from ... import __version__
from ...bed.parted_walls import PartedWalls
from ...bed.surfaces import Bed, valley_parts
from ...job.model import BedShape
from ...limits.drain_range import range_words
from ...limits.findings import Finding, Level
from ...limits.words import fall_over, fall_under, higher, length_over, length_under
from ...plan import FloorOutline, Mark, Plan, RoughFloor, SetDrain
from ...quantities import Units, format_area, format_length, format_share
from ...survey.place_words import paced, place_words
from ...survey.spot import Spot
from ...work.words import volume_over
from ..catchment_words import planned_catchments, share_words
from ..digest import digest
from ..least_bed import least_bed_words
from ..remedy_words import LEVEL_WORDS, counts, place_of, remedy_lines
from ..sure_words import marks_sure_words
from ..words import Row, below, entry, heading, item, paragraph, section
from . import set_out

if TYPE_CHECKING:
    from ...remedies import Answer

_SHAPES = {
    BedShape.LEVEL_WALLS: "level walls: one height along every wall, straight falls to the flange",
    BedShape.EVEN_FALL: "even fall: one fall along the water's shortest way to the flange",
    BedShape.PLANE: "plane: flat, rising square to the channel",
}
_VALLEYS = "level walls with valleys: one height along every wall, straight facets down to valleys to the flange"

LEAST_GAP = 1e-3  # [mm] walls this near closing close: sines and cosines round off as much


def top(plan: Plan) -> Iterator[str]:
    """Which job's plan this is, by which limits."""
    book = plan.rulebook
    yield "PLAN OF A SLOPED MORTAR BED"
    yield from entry("Job", plan.job.name or "(no name)")
    yield from entry("Limits", f"{book.name.value} {book.edition}: {book.title} ({book.works})")
    yield from entry("Digest", f"{digest(plan)} (the same digest means the same figures)")
    yield from entry("Made by", f"fallmark {__version__}")
    for i, line in enumerate(plan.job.notes.splitlines()):
        yield from entry("" if i else "Notes", line)


def needs(plan: Plan) -> Iterator[str]:
    """What the job still lacks."""
    if plan.needs:
        yield from heading("Still needed: this is not a whole plan yet")
    for need in plan.needs:
        yield from item(f"{need.key}: {need.says}")


def findings(plan: Plan) -> Iterator[str]:
    """What the checks found, gravest first."""
    yield from heading(f"Findings: {counts(plan)}")
    if plan.has_stop:
        yield "DO NOT BUILD THIS AS IT STANDS."
    if not plan.findings:
        return
    from ...remedies import remedies  # most plans have nothing to remedy

    answers = remedies(plan)
    for level in Level:
        for finding, answer in zip(plan.findings, answers, strict=True):
            if finding.level is level:
                yield from _finding(finding, answer, plan)


def _finding(finding: Finding, answer: Answer, plan: Plan) -> Iterator[str]:
    yield from paragraph(f"{LEVEL_WORDS[finding.level]} ({finding.rule}): {finding.says}", hanging="  ")
    if where := place_of(finding, plan):
        yield from below(f"Where: {where}")
    yield from below(f"Remedy: {finding.remedy}")
    yield from remedy_lines(answer, plan.patience)
    yield from below(f"Source: {finding.source}")


def floor(plan: Plan) -> Iterator[str]:
    """The outline, and the rough floor in it."""
    if not plan.outline:
        return
    floor, units = plan.outline, plan.units
    yield from heading("The floor")
    for i, wall in enumerate(floor.walls):
        yield from entry(f"{wall} ({floor.kinds[i].value})", set_out.wall_words(floor, i, units))
    yield from entry("Area", format_area(floor.area, units))
    yield from set_out.tape(plan)
    if floor.misclosure > LEAST_GAP and not floor.residuals:
        yield from entry("Misclosure", f"{length_over(floor.misclosure, units)} shared out over the walls")
    if plan.rough:
        yield from _rough(plan.rough, floor, units)


def _rough(rough: RoughFloor, floor: FloorOutline, units: Units) -> Iterator[str]:
    if rough.assumed:
        yield from entry("Rough floor", "taken as level, for there are no readings yet")
        return
    for name, spot in (("highest", rough.highest), ("lowest", rough.lowest)):
        yield from entry(f"Rough floor, {name}", _at(_height(spot.value, units), spot, floor, units))
    yield from entry("Guessed", f"{format_share(rough.guessed, units)} of the floor lies outside the readings")


def readings(plan: Plan) -> Iterator[str]:
    """The readings, to check against the job."""
    if not plan.readings or not plan.rough or not plan.outline:
        return
    units = plan.units
    yield from heading("Readings of the rough floor")
    for station, reading in zip(plan.readings, plan.job.readings, strict=True):
        place = place_words(station.x, station.y, plan.outline, units)
        place += ", reckoned" * bool(reading.reckoned)
        place += f", once it is worked: {format_length(reading.read.value, units)} before" * bool(reading.before)
        yield from entry(f"Line {format_length(station.drop, units)}", f"{_height(station.height, units)}, {place}")


def _height(mm: float, units: Units) -> str:
    """A height over the drain in words: nobody overhears a minus sign."""
    side = "above" if mm >= 0 else "below"
    return f"{format_length(abs(mm), units)} {side} the drain"


def _at(figure: str, spot: Spot, floor: FloorOutline, units: Units) -> str:
    return f"{figure}, {place_words(spot.x, spot.y, floor, units)}"


def drains(plan: Plan) -> Iterator[str]:
    """Each drain's flange: its place and height."""
    if not plan.drains or not plan.outline:
        return
    yield from heading("The drain" if len(plan.drains) == 1 else "The drains")
    areas = planned_catchments(plan)
    for i, drain in enumerate(plan.drains):
        if len(plan.drains) > 1:
            yield f"Drain {i + 1}"
        yield from _drain(drain, plan.outline, plan.units)
        for area in areas[i : i + 1]:
            yield from entry("Takes the water of", share_words(area, areas, plan.units))
    if plan.drain_range is not None:
        for name, says in range_words(plan.case, plan.drain_range):
            yield from entry(name, says)


def _drain(drain: SetDrain, floor: FloorOutline, units: Units) -> Iterator[str]:
    flange = drain.flange
    x, y = flange.centre.tolist()
    yield from entry("Flange", set_out.flange_words(flange, units))
    yield from entry("Its middle", place_words(x, y, floor, units))
    if flange.is_channel:
        for name, (end_x, end_y) in zip(("Runs from", "to"), flange.ends.tolist(), strict=True):
            yield from entry(name, place_words(end_x, end_y, floor, units))
    if drain.height:
        yield from entry("Against the first", higher(drain.height, units))
    yield from entry(
        "Its height",
        "planned: the lowest that keeps the bed's least depth"
        if drain.planned
        else "left open: level with the first drain that was measured"
        if drain.level
        else "as measured",
    )
    yield from entry("Its top", f"{length_over(drain.above_rough, units)} above the rough floor there")
    if drain.drop is not None:
        yield from entry("Line reading", f"{length_under(drain.drop, units)} on the flange's top")


def bed(plan: Plan) -> Iterator[str]:
    """The bed's shape, falls and depths."""
    if not plan.bed:
        return
    floor, units = plan.bed.reach.floor, plan.units
    yield from heading("The bed")
    yield from _slope(plan.bed, floor, units)
    if plan.depth:
        least, most = plan.depth.least, plan.depth.most
        yield from entry("Least depth", _at(length_under(least.value, units), least, floor, units))
        yield from entry("Most depth", _at(length_over(most.value, units), most, floor, units))
        yield from entry("Deck mud", f"{volume_over(plan.depth.volume, units)} packed, nothing added for waste")


def _slope(bed: Bed, floor: FloorOutline, units: Units) -> Iterator[str]:
    least, most = bed.least_fall_at, bed.most_fall_at
    yield from entry("Shape", _VALLEYS if valley_parts(bed) else _SHAPES[bed.shape])
    yield from entry(
        "Height at the wall" if bed.has_level_walls else "Highest at a wall",
        f"{length_over(bed.wall_height, units)} above the drain",
    )
    longest = bed.farthest_reaching if isinstance(bed, PartedWalls) else bed
    edge = "to the flange's edge, by the valleys" if valley_parts(longest) else "from the flange's edge"
    yield from entry("Longest run", f"{length_over(bed.longest_run, units)} {edge}")
    yield from entry("Least fall", _at(fall_under(least.value, units), least, floor, units))
    yield from entry("Most fall", _at(fall_over(most.value, units), most, floor, units))


def shapes(plan: Plan) -> Iterator[str]:
    """Which shapes can meet limits close together."""
    if not plan.rulebook.is_tight:
        return
    from ...remedies.fits import fits  # most rulebooks leave room enough

    found = fits(plan)
    if found:
        yield from heading("Which shapes can meet both limits of fall in this room")
    for fit in found:
        yield from item(fit.says)


def least_bed(plan: Plan) -> Iterator[str]:
    """The bed that saves the most mud."""
    return section("The bed that would save the most mud", starmap(Row, least_bed_words(plan)))


def marks(plan: Plan) -> Iterator[str]:
    """The wall marks, each with the line reading beside it."""
    if not plan.marks:
        return
    yield from heading("Wall marks, in walking order")
    if any(mark.below_line is None for mark in plan.marks):
        yield from paragraph("No drop is known for the drain, so a mark has no reading off the level line.")
    sure = marks_sure_words(plan)
    yield from paragraph(
        "line: from the level line down to the mark; over drain: above the flange's top; "
        f"over floor: above the rough floor there{sure and f', {sure}'}"
    )
    for ring, around in groupby(plan.marks, key=lambda mark: mark.ring_name):
        if ring:
            yield from paragraph(f"Round {ring}, its corners numbered in the order they were given:")
        for mark in around:
            yield from _mark(mark, plan.units)


def _mark(mark: Mark, units: Units) -> Iterator[str]:
    place = mark.local if mark.along is None else f"{mark.local} at {paced(mark.along, units)}"
    line = "" if mark.below_line is None else f"line {length_under(mark.below_line, units):<12}"
    drain = f"over drain {length_over(mark.above_drain, units):<10}"
    yield from paragraph(f"{place:<15} {line}{drain}over floor {length_over(mark.above_rough, units)}")
