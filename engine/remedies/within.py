"""The finished bed brought within the limits of its fall by as little as does, where the plan is no guide."""

from collections.abc import Iterator

import numpy as np

from ..limits.words import nearly
from ..phrases import phrase
from ..proof.as_built import AsBuilt
from ..proof.mend import Mend
from ..proof.surface import BuiltSurface
from ..quantities import format_length
from ..survey.place_words import place_words
from ..types import Array
from .trials import Trials
from .worked_bed import Work, worked

_MOST_NEW = 12  # places on the walls between those that were read
_NOISE = 1e-9  # [mm]
_SLACK = 1e-7  # [mm] float noise of what is planned
_OWN = 0.95  # [-] of a line: it starts at that station
_SAME = 1.0  # [mm] lines so near start at one place
_NOTHING = 1e-9  # [-] of a station: a line does not hang on it


class Limited:
    """A finished bed, and by how much [mm] each of its lines may start off the plan.

    rule: the one whose limit is kept, the other as well as steps and the bed allow; "" for both.
    """

    def __init__(self, trials: Trials, built: AsBuilt, rule: str = "") -> None:
        book, lines, surface = trials.plan.rulebook, built.lines, built.surface
        self._trials, self._built, self._surface, self._step = trials, built, surface, trials.step
        planned = surface.bed.height(lines.starts) - lines.heads
        self._low = book.least_fall.value * lines.runs - planned
        self._high = (np.inf if book.most_fall is None else book.most_fall.value) * lines.runs - planned
        self._rule, off = rule, surface.error(lines.starts)
        if rule == "built-fall-low":
            self._high = np.maximum(np.maximum(off, self._high), self._low + self._step)
        elif rule:
            self._low = np.minimum(np.minimum(off, self._low), self._high - self._step)
        self._stuck = 0  # the line that is out whatever is tried

    def keeps(self, rule: str, work: list[Work]) -> bool:
        """Whether work leaves no line falling too little or, as the rule asks, too much."""
        off = worked(self._surface, work).error(self._built.lines.starts)
        return bool((off > self._low - _SLACK).all() if rule == "built-fall-low" else (off < self._high + _SLACK).all())

    @property
    def is_own(self) -> bool:
        """Whether the planned bed itself breaks the limits."""
        return bool((np.maximum(self._low, -self._high) > _SLACK).any())

    def works(self) -> Iterator[list[Work]]:
        """The work that brings every line within the limits, places off the walls following too."""
        found = self._brought()
        for surface, after in (found, self._followed(*found)) if found else ():
            yield self._work(surface, after)

    def _brought(self) -> tuple[BuiltSurface, Array] | None:
        """The stations with the errors [mm] that keep every line within the limits; None where no steps do.

        A line starts as high as a sum of what is read round it; one still out between two stations becomes one.
        """
        surface, starts = self._surface, self._built.lines.starts
        for _ in range(_MOST_NEW + 1):
            shares = surface.shares(starts)
            errors = self._held(surface, shares)
            over = self._over(errors, shares)
            self._stuck = int(over.argmax())
            if over[self._stuck] <= _NOISE:
                return surface, errors
            new = int(np.where(shares.max(axis=0) < _OWN, over, 0.0).argmax())
            if over[new] <= _NOISE or shares[:, new].max() >= _OWN:
                break
            stations, error = np.vstack([surface.stations, starts[new].round(1)]), surface.error(starts[new][None])
            surface = BuiltSurface(surface.bed, stations, np.append(surface.errors, error))
        return None

    def _over(self, errors: Array, shares: Array) -> Array:
        off = errors @ shares
        return np.maximum(self._low - off, off - self._high).round(9)

    def _held(self, surface: BuiltSurface, shares: Array) -> Array:
        """Each station within what lines that start there allow, on a step of what the line reads."""
        before, own = surface.errors, shares > _OWN
        low = np.where(own, self._low, -np.inf).max(axis=1)
        high = np.where(own, self._high, np.inf).min(axis=1)
        room = np.minimum(self._step, np.maximum(high - low, 0.0)) / 2
        errors = np.where(own.any(axis=1), np.clip(before, low + room, np.maximum(high - room, low + room)), before)
        errors = np.where(np.abs(errors - before) > _NOISE, self._on_steps(surface, errors), before)
        for _ in range(2 * len(errors)):
            over = self._over(errors, shares)
            if over[at := int(over.argmax())] <= _NOISE:
                break
            up = errors @ shares[:, at] < self._low[at]
            errors[int(shares[:, at].argmax())] += self._step if up else -self._step
        return errors

    def _on_steps(self, surface: BuiltSurface, errors: Array) -> Array:
        grid = self._built.line - surface.bed.height(surface.stations)
        return grid - np.round((grid - errors) / self._step) * self._step

    def _followed(self, surface: BuiltSurface, errors: Array) -> tuple[BuiltSurface, Array]:
        hung = (surface.shares(self._built.lines.starts) > _NOTHING).any(axis=1)
        others = BuiltSurface(surface.bed, surface.stations[hung], errors[hung])
        return surface, np.where(hung, errors, self._on_steps(surface, others.error(surface.stations)))

    def _work(self, surface: BuiltSurface, after: Array) -> list[Work]:
        by = (after - surface.errors).round(6)
        moved = [i for i in np.argsort(-np.abs(by), kind="stable").tolist() if by[i]]
        new = sorted(i for i in moved if i >= len(self._built.stations))
        count, units = len(self._trials.job.as_built), self._trials.units
        drops = self._built.line - surface.bed.height(surface.stations) - after
        work = []
        for i in moved:
            x, y = surface.stations[i].tolist()
            key = f"as_built[{count + new.index(i) if i in new else self._built.stations[i].number}]"
            at = ((f"{key}.at", f"x {format_length(x, units)}, y {format_length(y, units)}"),) if i in new else ()
            mend = Mend(i, x, y, float(by[i]))
            entries = (*at, (f"{key}.drop", self._trials.text(float(drops[i]))))
            work.append(Work(mend, float(drops[i]), entries, (i,), float(after[i])))
        return work

    def ruled_out(self) -> str:
        """Why no work keeps the bed's falls within the limits; "" where not all that might was tried."""
        if self._brought() is not None:
            says = phrase("a bed mended until its falls keep the limits: water would then stand on it")
            return "" if self._trials.is_spent else says
        lines, units = self._built.lines, self._trials.units
        x, y = lines.starts[self._stuck].tolist()
        same = np.hypot(*(lines.starts - [x, y]).T) < _SAME
        room = float(self._high[same].min() - self._low[same].max())
        parts = {
            "place": place_words(x, y, self._built.floor, units),
            "short": nearly(float(lines.runs[same].min()), units),
            "long": nearly(float(lines.runs[same].max()), units),
            "step": self._trials.text(self._trials.step),
        }
        if room < 0:
            return phrase(
                "a bed mended until its falls keep the limits: two lines start {place}, {short} and {long} long, and "
                "no height there suits both",
                **parts,
            )
        return phrase(
            "a bed mended until its falls keep the limits: the line from the wall {place} is {short} long, and its "
            "least fall and its most lie nearer together than the {step} that a bed is worked to"
            if room < self._step
            else "a bed mended until its falls keep the limits: the line from the wall {place} still does not",
            **parts,
        )
