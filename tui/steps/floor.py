"""The first step: the job's name, its units and limits, what the bed sits on and carries."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from engine.job.defaults import barrier, has_bond_coat
from engine.job.model import Barrier, FloorKind, RulebookName, Waterproofing
from engine.limits.rulebook import editions
from engine.phrases import phrase
from engine.quantities import Dimension, Units

from ..dates import date_words
from ..rows import Offer, Row
from ..step_names import StepName, StepState
from ..tongues import told
from ..view import View, heading
from .step import FormStep, state_of

YES_NO = (("true", phrase("yes")), ("false", phrase("no")))
_KINDS = ((FloorKind.CONCRETE.value, phrase("concrete")), (FloorKind.WOOD.value, phrase("wood")))
_BOOKS = (
    (RulebookName.US_MODEL.value, phrase("US model code")),
    (RulebookName.US_ACCESSIBLE.value, phrase("US accessible")),
    (RulebookName.AU_NCC.value, phrase("Australia")),
    (RulebookName.NZ_E3.value, phrase("New Zealand")),
    (RulebookName.UK_BS5385.value, phrase("Britain")),
    (RulebookName.DE_DIN18040.value, phrase("Germany")),
)
NAME = phrase("Shower floor")


class FloorStep(FormStep):
    """Name, units, limits, rough floor, build-up; then what few jobs need."""

    NAME = StepName.FLOOR

    @classmethod
    def rows(cls, view: View) -> Sequence[Row]:
        """The fields, those that every job needs first."""
        return [*_needed(view), *_between(view), *_build(view), *_more(view)]

    @classmethod
    def state(cls, view: View) -> StepState:
        """Done with a name and a kind of floor."""
        job = view.job
        is_done = bool(job.name) and job.floor.kind is not None
        return state_of(view, "job.", "floor.", "build.", is_done=is_done)


def _needed(view: View) -> list[Row]:
    return [
        view.text_row("job.name", None, offer=Offer(told(NAME), phrase("you can rename it at any time")), is_long=True),
        view.choice_row("floor.kind", _KINDS, offer=Offer("concrete", phrase("a slab, the usual case"))),
        view.choice_row("job.units", ((Units.INCH.value, phrase("inches")), (Units.MM.value, phrase("millimetres")))),
        view.choice_row("job.rulebook", _BOOKS),
    ]


def _between(view: View) -> list[Row]:
    barriers = (
        ("none", phrase("none")),
        ("felt", phrase("felt")),
        ("poly", phrase("poly")),
        ("membrane", phrase("membrane")),
    )
    return [
        heading("between", phrase("Between floor and bed")),
        _on_wood(view, "floor.moisture_barrier", barriers, "none"),
        _on_wood(view, "floor.lath", YES_NO, "false"),
        *_bond_coat(view),
        view.text_row("floor.dead_load_allowance", Dimension.LOAD, left_out=phrase("not known")),
    ]


def _on_wood(view: View, key: str, options: Sequence[tuple[str, str]], left_out: str) -> Row:
    findings = view.plan.findings if view.plan is not None and view.job.floor.kind is FloorKind.WOOD else ()
    for finding in findings:
        if finding.key == key and finding.change:
            needed = Offer(finding.change[0][1], phrase("mud on wood needs it"))
            return view.choice_row(key, options, offer=needed, left_out=left_out)
    return view.choice_row(key, options, left_out=left_out)


def _bond_coat(view: View) -> Iterator[Row]:
    """Only concrete right under the bed can take one."""
    row = view.choice_row("floor.bond_coat", YES_NO, left_out="false")
    is_concrete = view.job.floor.kind is not FloorKind.WOOD
    if has_bond_coat(view.job) and not (is_concrete and barrier(view.job) is Barrier.NONE):
        yield replace(row, mark=phrase("Not used: a bond coat bonds the bed to concrete with no barrier on it."))
    elif is_concrete:
        yield row


def _build(view: View) -> list[Row]:
    waterproofing = (
        (Waterproofing.OVER_BED.value, phrase("over bed")),
        (Waterproofing.BETWEEN_BEDS.value, phrase("between beds")),
    )
    rows: list[Row] = [
        heading("over", phrase("Over the bed")),
        view.choice_row("build.waterproofing", waterproofing, left_out=Waterproofing.OVER_BED.value),
    ]
    if view.job.build.waterproofing is Waterproofing.BETWEEN_BEDS:
        rows.append(view.text_row("build.upper_bed"))
    return [*rows, *(view.text_row(key) for key in ("build.tile_edge", "build.tile", "build.tile_setting"))]


def _more(view: View) -> list[Row]:
    start, known, how = view.job.start, editions(view.job.rulebook), phrase("Insert begins another line.")
    echo = "" if start is None else phrase("read as {figure}", figure=date_words(start))
    return [
        heading("more", phrase("Dates, notes, edition of the limits")),
        view.text_row("job.start", None, left_out=phrase("no dates"), echo=echo),
        view.text_row("job.notes", None, left_out=phrase("none"), echo=how, is_long=True, has_lines=True),
        view.choice_row("job.edition", [(name, name) for name in known], left_out=known[-1]),
    ]
