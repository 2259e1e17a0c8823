"""Odd readings of a survey, each with the slip that explains it, and whether the line stood still meanwhile.

What may have happened is asked together, so that no mistake passes for another: the line moved, a reading holds a slip
that its figures allow, or it is too far off for anything else. Each makes the readings likelier by a factor (`slab`);
its price is how rare it is, higher with more readings. The one that pays best is put right, the others judged by what
is left. Gross mistakes hide each other, so two are asked for at once, and the search goes a little past what does not
pay.
"""

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from enum import Enum
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from ..errors import QuantityError
from ..job.model import Reading, Typed
from ..phrases import phrase
from ..quantities import INCH, Dimension, Units, parse
from ..records import record
from ..signs import plain_signs
from ..types import Array
from .advice import LEAST_ODD, disagreeing
from .slab import Fit, Slab, slab

_FRACTION = re.compile(r"(?<!\d)(\d+)\s*/\s*(\d+)(?!\d)")
_WHOLE = re.compile(r"(?<![\d/.,])\d{2,}(?![\d/])")
_FINEST, _COARSEST = 32, 2  # denominators on a rule
LEAST_MOVE = 3.175  # [mm] 1/8 in: a smaller step is reading noise
FEWEST = 5  # fewer leave nothing to judge one by
# Logarithms of how much likelier a thing has to make the readings. The first one is set so that sound surveys of
# usual slabs are called odd in fewer than one of a hundred (simulated, see tests/validation/test_detection_rates.py).
_PRICE = 2.7
_ANY_SIZE = 4.5  # more, for a mistake of any size: three standard errors
ANY_STEP = 1.5  # more, for a step of any size
LEAST_SLIP = 4.0  # [mm] about 5/32 in: a smaller slip cannot be told from the slab
_STEEP = 1 / 48  # [-] slabs seldom lean more
_MOST = 6  # and one in twenty: a survey with more of them is to be taken again as a whole
_PAST = 2  # steps of the search past what pays
_MOST_PAIRED = 60  # of more readings two mistakes cannot hide each other
_ENOUGH = 1e-9


class Slip(Enum):
    """What went wrong; the value is how a person is told."""

    WHOLE_UNIT = phrase("one whole inch off")
    WHOLE_CENTIMETRE = phrase("one whole centimetre off")
    SWAPPED = phrase("two digits swapped")
    FRACTION = phrase("the fraction taken on another scale, as eighths for sixteenths")


@record
class Likely:
    """A slip that explains a reading, and the drop [mm] that was meant then."""

    slip: Slip
    drop: float


def likely_slip(drop: Typed, units: Units, off: float, room: float) -> Likely | None:
    """The slip that best explains why a drop puts its place `off` [mm] too high, negative where too low.

    None where no slip brings it within `room` [mm] of its place, or nearer than a third of how far off it is.
    """
    best, left = None, min(room, abs(off) / 3)
    for slip, to in meant(drop, units):
        after = abs(off + drop.value - to)  # a bigger drop is a lower place
        if after < left - 1e-9:
            best, left = Likely(slip, to), after
    return best


@lru_cache(maxsize=64)
def meant(drop: Typed, units: Units) -> tuple[tuple[Slip, float], ...]:
    """What may have been meant, the likeliest first."""
    return tuple(_meant(drop, units))


def _meant(drop: Typed, units: Units) -> Iterator[tuple[Slip, float]]:
    whole = (Slip.WHOLE_UNIT, INCH) if units is Units.INCH else (Slip.WHOLE_CENTIMETRE, 10.0)
    yield whole[0], drop.value - whole[1]
    yield whole[0], drop.value + whole[1]
    text = plain_signs(str(drop.text))
    for slip, other in (*_other_fractions(text), *_swapped(text)):
        try:
            yield slip, parse(other, Dimension.LENGTH, units)
        except QuantityError:
            continue


def _other_fractions(text: str) -> Iterator[tuple[Slip, str]]:
    for match in _FRACTION.finditer(text):
        top, bottom = int(match[1]), int(match[2])
        for other in (bottom * 2, bottom // 2):
            if _COARSEST <= other <= _FINEST and top < other and other != bottom:
                yield Slip.FRACTION, f"{text[: match.start()]}{top}/{other}{text[match.end() :]}"


def _swapped(text: str) -> Iterator[tuple[Slip, str]]:
    for match in _WHOLE.finditer(text):
        digits = match[0]
        for i in range(len(digits) - 1):
            swapped = digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]
            if swapped != digits:
                yield Slip.SWAPPED, text[: match.start()] + swapped + text[match.end() :]


@record
class Move:
    """The line moved: from reading number `since` on places read `shift` [mm] too high, negative: too low."""

    since: int
    shift: float


@record
class Odd:
    """A reading that does not fit: its number, how far its place reads too high [mm], and what slip explains it."""

    number: int
    off: float
    likely: Likely | None


@record
class Judged:
    """What is odd about a survey: the line's move, single readings, and pairs (k, 2) of one place that disagree."""

    move: Move | None
    odd: tuple[Odd, ...]
    pairs: tuple[tuple[int, int], ...]


class _Cause(NamedTuple):
    """What may have happened: how well it pays; the reading, or a move's first; what puts it right [mm]."""

    pays: float
    number: int
    by: float
    likely: Likely | None = None
    is_move: bool = False


def judged(places: Array, heights: Array, drops: Sequence[Typed], units: Units) -> Judged:
    """What is odd about readings at places (n, 2) with heights (n,) [mm], in the order taken."""
    causes = _causes(places, heights, drops, units) if len(heights) >= FEWEST else ()
    move = next((Move(cause.number, -cause.by) for cause in causes if cause.is_move), None)
    odd = _named(places, heights, causes, (drops, units))
    if move is not None:
        heights = heights - np.where(np.arange(len(heights)) >= move.since, move.shift, 0.0)
    named = {one.number for one in odd}
    pairs = [(i, k) for i, k in disagreeing(places, heights).tolist() if named.isdisjoint((i, k))]
    return Judged(move, odd, tuple(pairs))


def judged_readings(readings: Sequence[Reading], places: Array, units: Units) -> Judged:
    """What is odd about a job's readings at places (n, 2) [mm], as they were read and as the floor will be."""
    read = [i for i, reading in enumerate(readings) if not reading.reckoned]
    places = places[np.array(read, dtype=int)]
    surveys = dict.fromkeys((tuple(readings[i].read for i in read), tuple(readings[i].drop for i in read)))
    judgements = [judged(places, -np.array([drop.value for drop in drops]), drops, units) for drops in surveys]
    found, then = judgements[0], judgements[-1]  # the same where nothing is to be worked
    still = {odd.number for odd in then.odd}
    return Judged(
        found.move and then.move and replace(found.move, since=read[found.move.since]),
        tuple(replace(odd, number=read[odd.number]) for odd in found.odd if odd.number in still),
        tuple((read[i], read[k]) for i, k in found.pairs if (i, k) in then.pairs),
    )


def price(count: int) -> float:
    """The factor, as its logarithm, by which a slip has to make so many readings likelier."""
    return _PRICE + math.log(count)


def put_right(places: Array, heights: Array, drops: Sequence[Typed], units: Units) -> Array:
    """The heights (n,) [mm] of n >= 5 readings with all that is odd about them put right."""
    return _put_right(heights, _causes(places, heights, drops, units))


def _causes(places: Array, heights: Array, drops: Sequence[Typed], units: Units) -> tuple[_Cause, ...]:
    return _found(np.ascontiguousarray(places).tobytes(), heights.tobytes(), tuple(drops), units)


@lru_cache(maxsize=4)
def _found(places: bytes, heights: bytes, drops: tuple[Typed, ...], units: Units) -> tuple[_Cause, ...]:
    ground = slab(np.frombuffer(places).reshape(-1, 2))
    return _Search(ground, np.frombuffer(heights), drops, units).causes()


class _Search:
    def __init__(self, ground: Slab, heights: Array, drops: Sequence[Typed], units: Units) -> None:
        self.slab, self.heights, self.drops, self.units = ground, heights, drops, units
        self.price = price(len(heights))

    def causes(self) -> tuple[_Cause, ...]:
        one_by_one = self._from(())
        pair = self._pair()
        after = self._from(pair) if pair else one_by_one
        return max(one_by_one, after, key=lambda found: round(found[0], 6))[1]

    def _from(self, begun: tuple[_Cause, ...]) -> tuple[float, tuple[_Cause, ...]]:
        found = list(begun)
        heights = _put_right(self.heights, begun)
        total = best = sum(known.pays for known in begun)
        kept = len(found)
        while len(found) - kept <= _PAST and len(found) < _MOST + len(heights) // 20:
            cause = self._best(Fit(self.slab, heights), found)
            if cause is None:
                break
            heights = _put_right(heights, [cause])
            found.append(cause)
            total += cause.pays
            if total > best + _ENOUGH:
                best, kept = total, len(found)
        return best, tuple(found[:kept])

    def _pair(self) -> tuple[_Cause, ...]:
        fit = Fit(self.slab, self.heights)
        if len(self.heights) > _MOST_PAIRED or (np.abs(fit.off) <= LEAST_ODD).all():
            return ()
        likelihoods, off = fit.pairs()
        far = np.abs(off) > LEAST_ODD + 1e-6
        pays = np.where(far & far.T, likelihoods - fit.likelihood, -np.inf) / 2 - self.price - _ANY_SIZE
        at = np.unravel_index(int(np.argmax(np.round(pays, 6))), pays.shape)
        if pays[at] <= 0.0:
            return ()
        i, k = int(at[0]), int(at[1])
        half = float(pays[at])
        return _Cause(half, i, -float(off[i, k])), _Cause(half, k, -float(off[k, i]))

    def _best(self, fit: Fit, found: Sequence[_Cause]) -> _Cause | None:
        taken = {cause.number for cause in found if not cause.is_move}
        causes = [cause for cause in self._odd(fit) if cause.number not in taken]
        if not any(cause.is_move for cause in found):
            causes += self._moves(fit)
        if not causes:
            return None
        slope = self.slab.leans @ fit.heights
        return max(causes, key=lambda cause: round(cause.pays - self._lean(slope, cause), 6))

    def _lean(self, slope: Array, cause: _Cause) -> float:
        after = slope if cause.is_move else slope + self.slab.leans[:, cause.number] * cause.by
        return float(after @ after) / (2 * _STEEP**2)

    def _odd(self, fit: Fit) -> Iterator[_Cause]:
        gains = np.where(self.slab.judges, fit.without - fit.likelihood, -np.inf)
        far = np.abs(fit.off) > LEAST_ODD + 1e-6
        most = gains.argmax()
        for i in np.flatnonzero((gains > self.price) | (np.arange(len(gains)) == most)).tolist():
            if far[i]:
                yield _Cause(float(gains[i]) - self.price - _ANY_SIZE, i, -float(fit.off[i]))
            for likely, by, gain in slips(fit, i, 0.0, self.drops[i], self.units):
                yield _Cause(gain - self.price, i, by, likely)

    def _moves(self, fit: Fit) -> Iterator[_Cause]:
        steps = self.slab.steps
        if steps is None:
            return
        likelihoods, shifts = fit.stepped(steps)
        gains = np.where(np.abs(shifts) > LEAST_MOVE, likelihoods - fit.likelihood, -np.inf)
        at = int(np.argmax(np.round(gains, 6)))
        if np.isfinite(gains[at]):
            pays = float(gains[at]) - self.price - ANY_STEP
            yield _Cause(pays, int(steps.since[at]), -float(shifts[at]), is_move=True)


def slips(fit: Fit, number: int, right: float, drop: Typed, units: Units) -> list[tuple[Likely, float, float]]:
    """The slips that explain a reading, what each puts it right by [mm], and how much likelier that makes all of them.

    right: what it has been put right by so far [mm]. A slip explains a reading that it brings within three standard
    errors, and by half at least, of where the others have it.
    """
    off, best = float(fit.off[number]) - right, float(fit.without[number])
    ways = [(slip, to, drop.value - to) for slip, to in meant(drop, units)]
    ways = [way for way in ways if abs(way[2]) >= LEAST_SLIP and abs(off + way[2]) <= abs(off) / 2]
    if not ways:
        return []
    by = np.array([way[2] for way in ways])
    likelihoods = fit.shifted(np.full(len(ways), number), by - right)
    return [
        (Likely(slip, to), amount, float(found) - fit.likelihood)
        for (slip, to, amount), found in zip(ways, likelihoods, strict=True)
        if best - found <= _ANY_SIZE
    ]


def _put_right(heights: Array, causes: Sequence[_Cause]) -> Array:
    numbers = np.arange(len(heights))
    for cause in causes:
        off = numbers >= cause.number if cause.is_move else numbers == cause.number
        heights = heights + np.where(off, cause.by, 0.0)
    return heights


def _named(
    places: Array, heights: Array, causes: Sequence[_Cause], typed: tuple[Sequence[Typed], Units]
) -> tuple[Odd, ...]:
    drops, units = typed
    if not causes:
        return ()
    fit = Fit(slab(places), _put_right(heights, causes))
    odd = []
    for _, number, by, likely, is_move in causes:
        if not is_move:
            ways = slips(fit, number, by, drops[number], units)
            best = max(ways, key=lambda way: round(way[2], 6), default=(likely,))
            odd.append(Odd(number, float(fit.off[number]) - by, best[0]))
    return tuple(sorted(odd, key=lambda one: one.number))
