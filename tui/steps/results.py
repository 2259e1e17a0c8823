"""The sixth step: a sheet for the site. Marks in walking order with the laser reading beside each, bed, findings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.bed.depth import Depth
from engine.bed.surfaces import Hidden
from engine.limits.drain_range import range_words
from engine.limits.findings import Level
from engine.limits.words import fall_over, fall_under, length_over, length_under, place_words
from engine.quantities import CUBIC_FOOT, LITRE, Units, format_area, format_share, format_volume, round_up
from engine.sheets.digest import digest
from engine.sheets.least_bed import least_bed_words
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs, Spot
from engine.why import mark_place
from tui.step_names import StepName, StepState
from tui.steps.step import SheetStep, state_of, stylesheet
from tui.terminal import sentence
from tui.widgets.sheet import SheetLine
from tui.words_of import mark_columns

if TYPE_CHECKING:
    from collections.abc import Sequence

    from engine.plan import Plan
    from tui.view import View

_PLACE_CELLS = 14
_FIGURE_CELLS = 9
_MUD_STEP = {Units.INCH: CUBIC_FOOT / 100, Units.MM: LITRE / 10}  # [mm3] the last digit shown
_NOT_YET = (
    "Strips and straightedges stand in `fallmark plan` of this job. What to buy, the order of work and the printable "
    "page are not in this version yet."
)


class ResultsStep(SheetStep):
    """Reads like a sheet for the site."""

    DEFAULT_CSS = stylesheet(__file__)
    NAME = StepName.RESULTS

    @classmethod
    def lines(cls, view: View) -> Sequence[SheetLine]:
        """What is needed, the marks, the bed, the findings."""
        plan = view.plan
        if plan is None:
            return [SheetLine("There is no plan yet.")]
        return [
            *_needs(plan),
            *_marks(plan),
            *_drain(plan),
            *_bed(plan),
            *_findings(plan),
            *_least_bed(plan),
            *_end(plan),
        ]

    @classmethod
    def state(cls, view: View) -> StepState:
        """Done with marks and no stop."""
        plan = view.plan
        has_marks = plan is not None and not isinstance(plan.marks, Needs)
        has_stop = plan is not None and any(finding.level is Level.STOP for finding in plan.findings)
        return state_of(is_done=has_marks, has_fault=has_marks and has_stop)


def _heading(text: str) -> SheetLine:
    return SheetLine(text, is_heading=True)


def _needs(plan: Plan) -> list[SheetLine]:
    if not plan.needs:
        return []
    lines = [SheetLine(f"- {need.says}", f"need:{i}", hangs=2) for i, need in enumerate(plan.needs)]
    return [_heading("Still needed for a whole plan"), *lines, SheetLine("")]


def _marks(plan: Plan) -> list[SheetLine]:
    if isinstance(plan.marks, Needs):
        return []
    units = plan.job.units
    names = ("line", "drain", "floor")
    head = f"{units.value:<{_PLACE_CELLS}}" + "".join(name.rjust(_FIGURE_CELLS) for name in names)
    lines = [_heading("Wall marks, in walking order"), SheetLine(head)]
    for i, mark in enumerate(plan.marks):
        figures = "".join(figure.rjust(_FIGURE_CELLS) for figure in mark_columns(mark, units))
        place = mark_place(mark, units).removesuffix(f" {units.value}")
        lines.append(SheetLine(f"{place:<{_PLACE_CELLS}}{figures}", f"mark:{i}", mark.x, mark.y))
    lines.append(
        SheetLine("line: down from the laser line; drain, floor: up from the flange, from the rough floor.")
    )
    if any(mark.below_line is None for mark in plan.marks):
        lines.append(
            SheetLine("There is no laser reading for a mark until the drain's drop or readings are entered.")
        )
    return [*lines, SheetLine("")]


def _figure(name: str, value: str, figure: str, spot: Spot | None = None) -> SheetLine:
    text = f"{name:<15}{value}"
    return SheetLine(
        text, figure, None if spot is None else spot.x, None if spot is None else spot.y, hangs=15
    )


def _drain(plan: Plan) -> list[SheetLine]:
    if isinstance(plan.drains, Needs):
        return []
    units, drain = plan.job.units, plan.drains[0]
    above = f"{length_over(drain.above_rough, units)} over the rough floor"
    how = "planned, the lowest that works" if drain.planned else "as measured"
    spot = Spot(0.0, float(drain.flange.centre[0]), float(drain.flange.centre[1]))
    lines = [_heading("Drain"), _figure("Flange top", f"{above} ({how})", "drain", spot)]
    if drain.drop is not None:
        lines.append(_figure("Laser line", f"{length_under(drain.drop, units)} down to it", "drain", spot))
    if plan.drain_range is not None:
        ends = {
            "Lowest it may stand": ("Lowest", plan.drain_range.lowest),
            "Highest it may stand": ("Highest", plan.drain_range.highest),
        }
        for name, says in range_words(plan.case, plan.drain_range):
            short, end = ends.get(name, (name, None))
            lines.append(_figure(short, says, "drain", spot if end is None else end.spot or spot))
    return [*lines, SheetLine("")]


def _bed(plan: Plan) -> list[SheetLine]:
    floor, bed = plan.outline, plan.bed
    if isinstance(bed, Needs | Hidden) or not isinstance(floor, FloorOutline):
        return []
    units = plan.job.units
    least, most = bed.least_fall_at, bed.most_fall_at
    lines = [
        _heading("Bed"),
        _figure("Wall height", f"{length_over(bed.wall_height, units)} over the flange", "wall_height"),
        _figure("Longest run", length_over(bed.longest_run, units), "longest_run", least),
        _figure("Least fall", fall_under(least.value, units), "least_fall", least),
        _figure("Most fall", fall_over(most.value, units), "most_fall", most),
    ]
    if isinstance(plan.depth, Depth):
        thin, thick = plan.depth.least, plan.depth.most
        lines += [
            _figure("Least depth", _at(length_under(thin.value, units), thin, plan), "least_depth", thin),
            _figure("Most depth", _at(length_over(thick.value, units), thick, plan), "most_depth", thick),
            _figure(
                "Deck mud",
                f"{format_volume(round_up(plan.depth.volume, _MUD_STEP[units]), units)} packed, without waste",
                "volume",
            ),
        ]
    lines.append(_figure("Floor", format_area(floor.area, units), "area"))
    if not isinstance(plan.rough, Needs):
        lines.append(_figure("Guessed", f"{format_share(plan.rough.guessed, units)} of the floor", "guessed"))
    return [*lines, SheetLine("")]


def _least_bed(plan: Plan) -> list[SheetLine]:
    lines = [_figure(name, says, "least_bed") for name, says in least_bed_words(plan)]
    return [_heading("The bed that would save the most mud"), *lines, SheetLine("")] if lines else []


def _at(figure: str, spot: Spot, plan: Plan) -> str:
    if not isinstance(plan.outline, FloorOutline):
        return figure
    return f"{figure}, {place_words(spot.x, spot.y, plan.outline, plan.job.units)}"


def _findings(plan: Plan) -> list[SheetLine]:
    lines = [_heading("Findings")]
    for i, finding in enumerate(plan.findings):
        text = f"{finding.level.value.upper()} {sentence(finding.says)} {sentence(finding.remedy)}"
        lines.append(SheetLine(text, f"finding:{i}", finding.x, finding.y, hangs=2))
    if not plan.findings:
        lines.append(SheetLine("None so far." if plan.needs else "None."))
    return [*lines, SheetLine("")]


def _end(plan: Plan) -> list[SheetLine]:
    return [
        _figure("Digest", digest(plan), "digest"),
        SheetLine(""),
        SheetLine(_NOT_YET),
        SheetLine("The local code overrides everything here. Cut and mix with dust and skin protection."),
    ]
