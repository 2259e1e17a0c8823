"""The seventh step: readings of the finished bed, what they show, what to mend while the mud is green."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice
from typing import TYPE_CHECKING

from engine.limits.words import fall_under, length_over
from engine.packed import wording
from engine.phrases import joined, phrase
from engine.proof.log import Verdict
from engine.proof.words import error_words, extent, mend_order, worst_words
from engine.quantities import Dimension, Units
from engine.sheets.built_falls import MOST_TOLD, built_falls, fall_words
from engine.survey.place_words import place_words
from engine.survey.spot import Needs

from ..entries import BUILT
from ..rows import Row
from ..stations import built_fields
from ..step_names import StepName, StepState
from ..view import View, heading, words
from ..widgets.map_water import built_bed
from .floor import YES_NO
from .readings import own_rows, station_row
from .step import FormStep, state_of

if TYPE_CHECKING:
    from engine.proof.as_built import AsBuilt

_FEWEST = 4
_VERDICTS = {Verdict.PASS: phrase("Pass"), Verdict.WATCH: phrase("Watch"), Verdict.FAIL: phrase("Fail")}
_NO_BED = phrase("The finished bed is read against the planned one: enter outline, drain and bed first.")
_BEFORE = phrase(
    "Before the membrane: level line down to the finished bed. The line may stand elsewhere by then: read the "
    "flange too."
)


class AsBuiltStep(FormStep):
    """The finished bed's stations, where water would stand, and the mend list."""

    NAME = StepName.AS_BUILT

    @classmethod
    def rows(cls, view: View) -> Sequence[Row]:
        """What the readings show, then the stations, then what to mend."""
        plan = view.plan
        fields = () if plan is None else built_fields(view.job, plan)
        if plan is None or not fields:
            count = len(view.job.as_built)
            kept = phrase("The {count} as-built readings of the job are kept.", count=count)
            return [words("built.none", joined(" ", [_NO_BED, kept]) if count else _NO_BED)]
        own = own_rows(view, BUILT)
        is_adding = len(own) > 1
        return [
            words("built.sum", _summary(view)),
            *(station_row(view, field, _off(view, field.index)) for field in fields),
            *([] if is_adding else own),
            *_mends(view),
            *_falls(view),
            *_flood(view),
            *(own if is_adding else []),  # at the end, where Enter adds it
        ]

    @classmethod
    def state(cls, view: View) -> StepState:
        """Done with enough readings and no standing water."""
        plan = view.plan
        has_pond = plan is not None and any(finding.rule == "ponding" for finding in plan.findings)
        is_done = len(view.job.as_built) >= _FEWEST
        return state_of(view, BUILT, is_done=is_done, has_trouble=has_pond)


def _built(view: View) -> AsBuilt | None:
    return None if view.plan is None else built_bed(view.plan)


def _summary(view: View) -> str:
    built, units = _built(view), view.job.units
    if built is None:
        needs = None if view.plan is None else view.plan.as_built
        return joined(" ", [_BEFORE, needs.says]) if isinstance(needs, Needs) else _BEFORE
    farthest = phrase("Farthest off: {error}.", error=worst_words(built, units))
    fall = phrase("Least fall {fall}.", fall=fall_under(built.least_fall.value, units))
    return joined(" ", [farthest, fall, _water(built, units)])


def _water(built: AsBuilt, units: Units) -> str:
    if not built.ponds:
        return phrase("No water stands.")
    pond, others = built.ponds[0], len(built.ponds) - 1
    return phrase(
        "Water stands {depth} deep {place}, {extent}, and in {count} more places."
        if others
        else "Water stands {depth} deep {place}, {extent}.",
        depth=length_over(pond.depth, units),
        place=place_words(pond.x, pond.y, built.floor, units),
        extent=extent(pond, units),
        count=others,
    )


def _off(view: View, index: int | None) -> str:
    built = _built(view)
    if built is None or index is None:
        return ""
    station = next((one for one in built.stations if one.number == index), None)
    off = "" if station is None else error_words(station.error, view.job.units)
    return "" if off == error_words(0.0, view.job.units) else off


def _mends(view: View) -> list[Row]:
    built = _built(view)
    if built is None or not built.mending.mends:
        return []
    rows: list[Row] = [heading("built.mend", phrase("The mend list"))]
    rows += [
        words(f"built.mend{i}", joined("", ["- ", mend_order(mend, built, view.job.units)]))
        for i, mend in enumerate(built.mending.mends)
    ]
    return [
        *rows,
        words("built.green", wording("proof")["while-green"]),
        words("built.set", wording("proof")["once-set"]),
    ]


def _falls(view: View) -> list[Row]:
    plan = view.plan
    told = [] if plan is None else [fall_words(plan, *one) for one in islice(built_falls(plan), MOST_TOLD)]
    if not told:
        return []
    return [heading("built.falls", phrase("Fall from each mark to the drain")), words("built.fall", joined("; ", told))]


def _flood(view: View) -> list[Row]:
    judged = None if view.plan is None else view.plan.flood_log
    verdict: list[Row] = []
    if judged is not None:
        parts = {"verdict": _VERDICTS[judged.verdict], "says": judged.says, "remedy": judged.remedy}
        verdict = [words("built.verdict", phrase("{verdict}: {says}. Then: {remedy}.", **parts))]
    return [
        heading("built.flood", phrase("The flood test, once the lining is in")),
        view.text_row("flood_test.filled", left_out=phrase("not filled yet")),
        view.text_row("flood_test.hours", Dimension.NUMBER, left_out=phrase("not checked yet")),
        view.text_row("flood_test.left", left_out=phrase("not checked yet")),
        view.text_row("flood_test.bucket", left_out=phrase("no bucket beside")),
        view.choice_row("flood_test.leaked", YES_NO, left_out="false"),
        *verdict,
        words("built.standard", wording("proof")["standard"]),
    ]
