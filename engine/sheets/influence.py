"""What a figure rests on: each entry is moved a little, the job planned again."""

import re
from collections.abc import Callable, Iterator
from typing import Any

from ..bed.effort import effort
from ..errors import JobError
from ..job.defaults import DEFAULT_TEXTS, default_dimension, default_text
from ..job.edit import with_entry
from ..job.entry_list import entries
from ..limits.rulebook import default_fall
from ..plan import Job, Plan
from ..plan import plan as plan_of
from ..quantities import CUBIC_FOOT, INCH, POUND, PSF, Dimension, Units, format_quantity, parse
from ..records import record
from ..remedies.remedy import Superseded
from .derivation import figure_at, value_at
from .json import part_with

# How far an entry is moved in an inch job and in a mm job; how its value is written without loss.
_STEPS: dict[Dimension, tuple[float, float, Callable[[float], str]]] = {
    Dimension.LENGTH: (INCH / 16, 1.0, "{!r} mm".format),
    Dimension.FALL: (1 / 64 / 12, 0.001, lambda value: f"{value * 100!r} %"),
    Dimension.ANGLE: (0.1, 0.1, "{!r} deg".format),
    Dimension.MASS: (POUND, 1.0, "{!r} kg".format),
    Dimension.VOLUME: (1e5, 1e5, lambda value: f"{value / 1e9:.15f} m^3"),
    Dimension.SHARE: (0.01, 0.01, lambda value: f"{value * 100!r} %"),
    Dimension.LOAD: (PSF, 0.05, "{!r} kPa".format),
    Dimension.NUMBER: (1.0, 1.0, repr),
    Dimension.AREA: (INCH**2, 1e4, lambda value: f"{value / 1e6:.15f} m2"),
    Dimension.TIME: (1.0, 1.0, "{!r} h".format),
    Dimension.DENSITY: (POUND / CUBIC_FOOT, 1e-8, lambda value: f"{value * 1e9:.12f} kg/m3"),
}
_MARK = re.compile(r"marks\[\d+\]")
_STEPS_TRIED = (1, 4, 16)
_EFFORT = 2000.0  # [-] of all plans for one figure: about as many milliseconds
_LISTED = ("readings[", "as_built[")  # of which there may be thousands


@record
class Influence:
    """An entry that a figure rests on.

    typed: as in the job, or what is taken without it; step: how far it was moved, in words; before, after: the figure
    in the JSON's units, None for none.
    """

    key: str
    typed: str
    is_given: bool
    step: str
    before: float
    after: float | None

    @property
    def change(self) -> float:
        """How far the figure moved; without end where it went away."""
        return float("inf") if self.after is None else self.after - self.before


@record
class _Figure:
    key: str
    typed: str
    value: float
    dimension: Dimension
    is_given: bool


def influences(plan: Plan, path: str, is_wanted: Callable[[], bool] | None = None) -> tuple[Influence, ...]:
    """The entries that the figure at a path of the JSON rests on, the strongest first.

    Each entry that is a figure, given or taken, is moved a small step (1/16 in or 1 mm for a length), a larger one if
    the rounded figure stays, and the job planned again; of a slow job only some are, lists' last: `untried` counts the
    rest. Raises Superseded once `is_wanted`, asked before each entry, says no.
    """
    whole = _whole(plan, path)
    before, of_mark = figure_at(whole, path), _MARK.match(path)
    mark = of_mark and value_at(whole, of_mark[0])
    if before is None:
        return ()
    for steps in _STEPS_TRIED if not untried(plan) else _STEPS_TRIED[:1]:
        found = [_moved(plan.job, figure, steps, (path, mark), before) for figure in _wanted(plan, is_wanted)]
        if any(one.change for one in found):
            return tuple(sorted((one for one in found if one.change), key=lambda one: -abs(one.change)))
    return ()


def untried(plan: Plan) -> int:
    """How many entries are not moved, as planning so often takes too long."""
    return max(0, sum(1 for _ in _figures(plan)) - _most(plan))


def is_too_long(plan: Plan) -> bool:
    """Whether even one more planning would take too long."""
    return _most(plan) == 0


def _most(plan: Plan) -> int:
    floor = plan.outline
    return int(_EFFORT / effort(plan.job, floor)) if floor else 1000


def _wanted(plan: Plan, is_wanted: Callable[[], bool] | None) -> Iterator[_Figure]:
    figures = sorted(_figures(plan), key=lambda figure: figure.key.startswith(_LISTED))
    for figure in figures[: _most(plan)]:
        if is_wanted is not None and not is_wanted():
            raise Superseded
        yield figure


def _figures(plan: Plan) -> Iterator[_Figure]:
    job, given = plan.job, set()
    for entry in entries(job):
        if entry.measure is not None and entry.value is not None:
            given.add(entry.key)
            yield _Figure(entry.key, str(entry.typed), entry.value, entry.measure.dimension, is_given=True)
    if "bed.fall" not in given:
        fall = default_fall(plan.rulebook)
        text = format_quantity(fall, Dimension.FALL, job.units)
        yield _Figure("bed.fall", text, fall, Dimension.FALL, is_given=False)
    for key in DEFAULT_TEXTS:
        if key not in given:
            text, dimension = default_text(job, key), default_dimension(key)
            yield _Figure(key, text, parse(text, dimension, job.units), dimension, is_given=False)


def _moved(job: Job, figure: _Figure, steps: int, asked: tuple[str, Any], before: float) -> Influence:
    inch, mm, written = _STEPS[figure.dimension]
    step = (mm if job.units is Units.MM else inch) * steps
    after = _planned(job, figure.key, written(figure.value + step), asked)
    words = format_quantity(step, figure.dimension, job.units)
    return Influence(figure.key, figure.typed, figure.is_given, words, before, after)


def _planned(job: Job, key: str, text: str, asked: tuple[str, Any]) -> float | None:
    path, mark = asked
    try:
        whole = _whole(plan_of(with_entry(job, key, text)), path)
    except JobError:
        return None
    if mark:  # a longer wall has more
        place = mark["at"], mark.get("along")
        same = [i for i, one in enumerate(whole["marks"] or ()) if (one["at"], one.get("along")) == place]
        path = _MARK.sub(f"marks[{same[0]}]", path) if same else ""
    return figure_at(whole, path)


def _whole(plan: Plan, path: str) -> Any:
    head = re.match(r"\w*", path)
    return part_with(plan, head[0]) if head else {}
