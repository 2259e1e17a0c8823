"""The nearest place of a drain that clears a finding without a stop, of places planned ever less far apart."""

from collections.abc import Iterator, Sequence

import numpy as np

from ..boxes import box_round
from ..limits.checks.case import is_above
from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import round_up
from ..survey.places import locate
from ..types import Array
from .drain_height import outs_of_depth
from .moved_words import Moves, many_sides, shown
from .nearest import apart_in, blocks_within
from .remedy import Change, Idea, Ideas, changed
from .trials import DEPTHS, NOISE, TOO_LONG, Trials

_APART = (128, 64, 32, 16, 8, 4, 2, 1)  # steps between the places tried, in turn
_NET, _FINE = 8, 16  # steps between places near enough to set a drain; of a move, if less
_TO_THE_END = 4096.0  # times as long as usual: for longer, all places are tried
ROUND = np.array([(a, b) for a in (-1, 0, 1) for b in (-1, 0, 1) if a or b])
_HOME = 0.4  # of a search's effort is for the last steps home
_LIKELY = 2  # places beside which others are tried while none does
_MUCH = 0.9  # of a move: hardly shorter ones are not sought
_ROW = 0.002  # [-] of effort to judge a place by bounds, times drains to the power of 3/2
_RING, _AT_ONCE = 64, 30_000  # places across a ring, and in all, that are judged at once
_CALL = 100  # rows that the first takes as long as

_Option = tuple[float, int, float, float]  # how far [mm], of which of the drains that may move, the pair


def clean_moves(trials: Trials, finding: Finding, found: Sequence[Moves], why: str, marks: Change = ()) -> Ideas:
    """The shortest moves of any drain that clear a finding, each with more entries, and why they serve.

    First what is nearer than those that surely keep limits, or farther where each of these brings a stop.
    """
    search = _Search(trials, finding, found, marks)
    sure = sorted(option for i, each in enumerate(found) for option in search.options(i, each.found.pairs))
    clear = min((each.found.clear for each in found), default=np.inf)
    known = next(filter(search.does, sorted([*sure, *search.told_before()])), None)
    clean = np.inf if known is None else known[0]
    much = _MUCH if trials.plan.patience == 1 else 1.0
    is_sought = clear < much * clean
    best, apart = search.nearest(clear, known) if is_sought else (known, 0.0)
    if best is not None and best not in sure:
        yield search.idea(best, shown(trials, why, clear, apart))
    apart = apart if clean < np.inf else 0.0
    if apart or (sure and clear < sure[0][0]):
        trials.is_open |= not is_sought
        why = shown(trials, why, clear, apart)
    for option in sure:
        yield search.idea(option, why)


class _Search:
    def __init__(self, trials: Trials, finding: Finding, found: Sequence[Moves], marks: Change) -> None:
        self._trials, self._finding, self._found, self._marks = trials, finding, found, marks
        sides = max((many_sides(each.standing.floor) for each in found), default=1.0)
        self._row = _ROW * len(trials.job.drains) ** 1.5 * sides
        self._may_be_steep = trials.is_steep and finding.rule != "fall-steep"
        self._is_part = self._is_left = False  # not of all drains, or of none, places so far apart can be tried
        self._likeliest: list[tuple[float, _Option]] = []  # with how steep, or how far out of depth, their beds are

    def options(self, i: int, pairs: Array) -> list[_Option]:
        far = self._found[i].far(pairs).tolist()
        return [(far, i, *pair) for far, pair in zip(far, pairs.tolist(), strict=True)]

    def told_before(self) -> Iterator[_Option]:
        for entry, *marks in self._trials.before:
            for i, each in enumerate(self._found):
                flange, number, is_laid = each.standing.flange, each.standing.number, each.standing.place is None
                key = f"drains[{number}].{'from' if is_laid else 'at'}"
                is_own = (key, self._marks) == (entry[0], (*marks,)[is_laid:])
                drain = changed(self._trials.job, (entry,)).drains[number] if is_own else None
                if drain and (place := drain.start if is_laid else drain.at):
                    spot = locate(place, each.standing.floor, key) + is_laid * (flange.length / 2 * flange.axis)
                    yield from self.options(i, each.that_may_do(each.form.lattice.pairs(spot[None])))

    def idea(self, option: _Option, why: str) -> Idea:
        idea = self._found[option[1]].idea(self._trials, np.array(option[2:]), why)
        return idea._replace(change=(*idea.change, *self._marks))

    def is_near(self, apart: float, limit: float) -> bool:
        """Whether places so many steps apart, all nearer than a limit [mm], leave little to better."""
        return 0 < apart <= max(1.0, min(_NET, limit / self._trials.step / _FINE))

    def does(self, option: _Option) -> bool:
        """Whether the move clears the finding without a stop; once the effort is spent none does."""
        idea = self.idea(option, "")
        return self._may_do(option, idea.change) and self._trials.clears(self._finding, idea)

    def _may_do(self, option: _Option, change: Change) -> bool:
        """What the bed alone, and its depth, do not rule out: a plan takes longer."""
        rule = self._finding.rule
        steepest, most = self._trials.steepest(self._finding, change), self._trials.plan.rulebook.most_fall
        if most is not None and rule not in DEPTHS:
            self._likeliest.append((max(steepest, most.value), option))
        if most is not None and not self._may_be_steep and is_above(steepest, most.value):
            return False
        deep = None if np.isinf(steepest) else self._trials.depth(change)
        if not deep:
            return False
        out = max(outs_of_depth(self._trials, self._finding, deep))
        if rule in DEPTHS:
            self._likeliest.append((max(out, 0.0), option))
        if out > NOISE:
            each = self._found[option[1]]
            each.learn(each.form.lattice.spots(np.array([option[2:]]))[0], deep)
            return False
        self._trials.weigh(deep)
        return True

    def nearest(self, clear: float, best: _Option | None) -> tuple[_Option | None, float]:
        """The nearest place that does, from how near on it may be [mm]; how far apart all nearer were tried.

        best: one known to. Tried are places of the whole region, at last those beside the best or, while none does, the
        likeliest.
        """
        trials, self._trials = self._trials, self._trials.searching()
        patience, home = trials.plan.patience, _HOME * self._trials.left
        usual = self._trials.left * (1 - 1 / patience) if patience <= _TO_THE_END else -np.inf
        limit, apart, is_whole, is_late = np.inf if best is None else best[0], 0, True, False
        for every in _APART:
            is_late |= self.is_near(apart, limit) and self._trials.left < usual
            found = self._first(every, (clear, limit)) if is_whole and not is_late else None
            is_short = is_late or self._is_left or self._trials.is_spent
            if found is None and (is_short or not is_whole):
                if is_whole:
                    self._trials.left, self._trials.is_spent, is_whole = home, False, False
                found = self._best(self._beside(self._likely(best), every, (clear, limit)), limit)
            elif not (self._is_part or is_short):
                apart = every
            if found is not None:
                best, limit = found, found[0]
        trials.is_open |= not (is_late or self.is_near(apart, limit))
        trials.searched(self._trials)
        step = self._trials.step
        widest = max(float(np.hypot(*each.form.lattice.axes).max()) for each in self._found)
        tried = round_up(apart * widest * step, step)
        if best is None and apart != 1:
            says = phrase("of places for a drain {apart} apart none will do", apart=trials.text(tried))
            trials.untried["at"] = says if apart else TOO_LONG
        return best, tried

    def _first(self, every: int, disc: tuple[float, float]) -> _Option | None:
        """The nearest that does of all places so far apart, ring by ring where they may be many."""
        near, limit = disc
        wide = _RING * every * self._trials.step if self._trials.plan.patience > 1 else np.inf
        last = min(limit, max(map(_farthest, self._found)))
        found = None
        while near < last and found is None:
            options = self._apart(every, (near, min(near + wide, limit)))
            self._is_left = options is None
            found, near = self._best(options or [], limit), near + wide
            if self._is_left or self._trials.is_spent:
                break
        return found

    def _best(self, options: list[_Option], limit: float) -> _Option | None:
        best = None
        for option in sorted(options, key=lambda option: option[1::-1]):
            if option[0] < limit and self.does(option):
                best, limit = option, option[0]
        return best

    def _likely(self, best: _Option | None) -> list[_Option]:
        return [option for _, option in sorted(self._likeliest)[:_LIKELY]] if best is None else [best]

    def _beside(self, likely: list[_Option], every: int, disc: tuple[float, float]) -> list[_Option]:
        options: list[_Option] = []
        for i in sorted({option[1] for option in likely}):
            own = [option[2:] + every * ROUND for option in likely if option[1] == i]
            options += self._judged(i, np.unique(np.concatenate(own), axis=0), disc)
        return options

    def _apart(self, every: int, disc: tuple[float, float]) -> list[_Option] | None:
        """The places so far apart that may do; with too little effort left, of the first drains, or None."""
        options: list[_Option] = []
        for i, each in enumerate(self._found):
            home, lattice = each.standing.flange.centre, each.form.lattice
            left = [blocks_within(lattice, blocks, home, disc) for blocks in each.found.left]
            counts = [len(blocks) * (size / every) ** 2 for blocks, size in left]
            if sum(counts) * self._row > self._trials.left / 2:
                self._is_part = True
                return options or None
            for (blocks, size), count in zip(left, counts, strict=True):
                for some in np.array_split(blocks, int(count) // _AT_ONCE + 1):
                    options += self._judged(i, apart_in((some, size), every), disc)
        return options

    def _judged(self, i: int, pairs: Array, disc: tuple[float, float]) -> list[_Option]:
        far = self._found[i].far(pairs)
        pairs = pairs[(far >= disc[0]) & (far < disc[1])]
        self._trials.left -= self._row * (_CALL + len(pairs))
        return self.options(i, self._found[i].that_may_do(pairs))


def _farthest(moves: Moves) -> float:
    offset = np.abs(np.array(box_round(moves.region)) - moves.standing.flange.centre)
    return float(np.hypot(*offset.max(axis=0)))
