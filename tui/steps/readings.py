"""The fourth step: readings of the rough floor, station by station as they are called out."""

import re
from collections.abc import Sequence
from itertools import chain

from engine.phrases import joined, phrase
from engine.quantities import format_length, format_share

from ..entries import ROUGH, own_of
from ..groups import default_walls, wall_names
from ..rows import Row, TextRow
from ..stations import Stations, WorthReading, best_next, stations
from ..step_names import StepName, StepState
from ..view import View, heading, words
from .floor import YES_NO
from .step import FormStep, state_of

_FEWEST = 3
_MOST_ODD = 60  # more are listed in the findings alone
_NUMBER = re.compile(r"readings\[(\d+)\]")
_EMPTIED = phrase("left empty, this reading is taken away when you go on")


class ReadingsStep(FormStep):
    """The stations worth reading in walking order, then one's own."""

    NAME = StepName.READINGS

    @classmethod
    def rows(cls, view: View) -> Sequence[Row]:
        """How far the survey is, then the stations."""
        if view.plan is None or view.floor is None:
            return [words("none", _without_outline(len(view.job.readings)))]
        found = stations(view.job, view.plan, _odd_numbers(view))
        kept = phrase(
            "{count} more readings are kept and planned with; the odd ones are always listed.", count=found.hidden
        )
        return [
            words("sum", _summary(view, found)),
            *chain.from_iterable(_station_rows(view, station) for station in found.listed),
            *([words("hidden", kept)] if found.hidden else []),
            *own_rows(view, ROUGH),
        ]

    @classmethod
    def state(cls, view: View) -> StepState:
        """Done with as many readings as fix a slope."""
        return state_of(view, "readings", is_done=len(view.job.readings) >= _FEWEST)


def _without_outline(count: int) -> str:
    first = phrase("Stations are named by the floor's corners: enter the outline first, with PgUp or F7.")
    kept = phrase("The {count} readings of the job are kept.", count=count)
    return joined(" ", [first, kept]) if count else first


def _odd_numbers(view: View) -> set[int]:
    keys = [f.key for f in view.plan.findings if f.key and f.rule.startswith("reading")] if view.plan else []
    numbers = [int(match[1]) for key in keys if (match := _NUMBER.match(key))]
    return set(numbers[:_MOST_ODD])


def _summary(view: View, found: Stations) -> str:
    text = phrase(
        "Level line down to the rough floor. {read} of {total} stations read.", read=found.read, total=found.total
    )
    plan, units = view.plan, view.job.units
    if plan is None or not plan.rough or not view.job.readings:
        return text
    share = round(plan.rough.guessed, 2)
    guessed = phrase("{share} of the floor is guessed.", share=format_share(share, units))
    best = best_next(plan)
    if best is None or round(best[1], 2) >= share:
        return joined(" ", [text, guessed])
    tells = phrase(
        "Corner {corner} would tell most: then {share}.", corner=best[0], share=format_share(round(best[1], 2), units)
    )
    return joined(" ", [text, guessed, tells])


def _station_rows(view: View, station: WorthReading) -> list[Row]:
    rows, key, index = list[Row](), f"readings[{station.index}]", station.index
    rows.append(station_row(view, station, _odd(view, index)))
    if index is not None and (view.session.text(f"{key}.before") or view.session.state.waiting(f"{key}.before")):
        rows.append(view.text_row(f"{key}.before", left_out=phrase("as it is")))
    if index is not None and view.job.readings[index].reckoned:
        rows.append(view.choice_row(f"{key}.reckoned", YES_NO, left_out="false"))
    return rows


def station_row(view: View, station: WorthReading, mark: str) -> TextRow:
    """A station's field; `mark` tells what is odd about its reading."""
    is_emptied = station.index is not None and not view.session.text(station.key)
    left_out = phrase("not read")
    if station.planned is not None:
        left_out = phrase("plan {drop}", drop=format_length(station.planned, view.job.units))
    mark = _EMPTIED if is_emptied else mark
    return view.text_row(station.key, label=station.name, left_out=left_out, mark=mark, grows=True)


def _odd(view: View, index: int | None) -> str:
    if index is None or view.plan is None or index >= len(view.plan.readings):
        return ""
    odd = [
        finding.says
        for finding in view.plan.findings
        if finding.rule.startswith("reading") and (finding.key or "").split(".")[0] == f"readings[{index}]"
    ]
    return joined("; ", odd)


def own_rows(view: View, section: str) -> list[Row]:
    """The fields of a station of one's own being entered, else how to add one."""
    names, own = wall_names(view.job), own_of(section)
    if not view.session.state.waiting(own):
        return [words("own", phrase("+ or Ins: a station of your own."))]
    return [
        heading("own", phrase("A station of your own")),
        view.choice_row(
            f"{own}.wall", [(n, n) for n in names], label=phrase("Wall"), left_out=default_walls(view.job)[0]
        ),
        view.text_row(f"{own}.along", label=phrase("Along it")),
        view.text_row(f"{own}.off", label=phrase("Off it"), left_out=phrase("0, at the wall")),
        view.text_row(f"{own}.drop", label=phrase("Drop")),
    ]
