"""The first page: what is still needed, the wall marks, each beside the line's reading, and the drain."""

from collections.abc import Iterator
from functools import partial

from engine.layout.marks import Mark
from engine.limits.drain_range import range_words
from engine.limits.words import length_over, length_under
from engine.phrases import joined, phrase, shaped
from engine.plan import Plan
from engine.quantities import Units
from engine.sheets.sure_words import marks_sure_words
from engine.survey.spot import Needs, Spot
from engine.why import mark_place

from ..tongues import told
from ..widgets.sheet import Listing, SheetLine
from .lines import BLANK, figure, head, headed

_PLACE_CELLS = 14
_FIGURE_CELLS = 9
_MEANS = phrase("line: down from the level line; drain: over its flange; floor: over the rough floor.")
_PAPER = phrase("Right goes on to strips, shopping and the order of work. Ctrl+P writes it all as a page to print.")
_NO_LINE = phrase("A mark has no reading off the line until the drain's drop or readings are entered.")


def marks(plan: Plan) -> Listing:
    """What is needed, the marks, the drain."""
    yield from needs(plan)
    yield from _marks(plan)
    yield from _drain(plan)
    yield BLANK
    yield SheetLine(_PAPER)


def needs(plan: Plan) -> Listing:
    """What is still needed for a whole plan."""
    lines = [
        SheetLine(joined("", ["- ", need.says]), f"need:{i}", hangs=2, goes_to=need.key)
        for i, need in enumerate(plan.needs)
    ]
    return headed(phrase("Still needed for a whole plan: Enter goes there"), lines)


def _marks(plan: Plan) -> Listing:
    if isinstance(plan.marks, Needs):
        return
    units = plan.job.units
    yield head(phrase("Wall marks, in walking order"))
    yield SheetLine(_MEANS)
    columns = [shaped(name, _to_the_right) for name in (phrase("line"), phrase("drain"), phrase("floor"))]
    yield SheetLine(joined("", [f"{units.value:<{_PLACE_CELLS}}", *columns]))
    ring = ""
    for i, mark in enumerate(plan.marks):
        if mark.ring_name != ring:
            ring = mark.ring_name
            yield SheetLine(phrase("Round {island}, its corners numbered in the order they were given:", island=ring))
        figures = "".join(_to_the_right(text) for text in _columns(mark, units))
        place = shaped(mark_place(mark, units), partial(_place, ring=ring, unit=units.value))
        yield SheetLine(joined("", [place, figures]), f"mark:{i}", mark.x, mark.y)
    sure = marks_sure_words(plan)
    if sure:
        yield SheetLine(phrase("floor: {sure}.", sure=sure))
    if any(mark.below_line is None for mark in plan.marks):
        yield SheetLine(_NO_LINE)
    yield BLANK


def _columns(mark: Mark, units: Units) -> Iterator[str]:
    """A mark's figures without their unit: down from the line, over the drain, over the rough floor."""
    line = "" if mark.below_line is None else length_under(mark.below_line, units)
    for text in (line, length_over(mark.above_drain, units), length_over(mark.above_rough, units)):
        yield text.removesuffix(f" {units.value}")


def _place(text: str, ring: str, unit: str) -> str:
    return f"{text.removeprefix(f'{told(ring)} ').removesuffix(f' {unit}'):<{_PLACE_CELLS}}"


def _to_the_right(text: str) -> str:
    return text.rjust(_FIGURE_CELLS)


def _drain(plan: Plan) -> Listing:
    if isinstance(plan.drains, Needs):
        return
    units, drain = plan.job.units, plan.drains[0]
    level = phrase("level with the first that was measured" if drain.level else "as measured")
    how = phrase("planned, the lowest that works") if drain.planned else level
    top = phrase("{height} over the rough floor ({how})", height=length_over(drain.above_rough, units), how=how)
    spot = Spot.at(0.0, drain.flange.centre)
    yield head(phrase("Drain"))
    yield figure(phrase("Flange top"), top, "drain", spot)
    if drain.drop is not None:
        down = phrase("{drop} down to it", drop=length_under(drain.drop, units))
        yield figure(phrase("Level line"), down, "drain", spot)
    if plan.drain_range is not None:
        ends = {
            "Lowest it may stand": (phrase("Lowest"), plan.drain_range.lowest),
            "Highest it may stand": (phrase("Highest"), plan.drain_range.highest),
        }
        for name, says in range_words(plan.case, plan.drain_range):
            short, end = ends.get(name, (name, None))
            yield figure(short, says, "drain", spot if end is None else end.spot or spot)
