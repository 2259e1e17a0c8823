"""Packing: the fewest boards that hold all pieces, found by search and proved by bounds.

Board after board is filled, always with the longest piece left, by fillings that no other is as good as (Martello and
Toth, Knapsack Problems, 1990, ch. 8: dominance and the bound L2; Korf, A new algorithm for optimal bin packing, 2002).
Steps are counted, not seconds: a job gives the same boards anywhere.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from itertools import groupby, islice

from ..records import record
from .worth import worths

_ROOM = 1e-4  # [mm] what a piece may be too long: less than any saw can tell
_SHARE = 1e-6  # of a board: a bound this little over a whole number counts no more
_STEPS_BY_LENGTH = 8000  # of a search: about 3 ms a thousand
_STEPS_BY_WORTH = 2000
_DIVE_STEPS = 200  # to find one board's filling in a single try
_SHARES_BY_LENGTH = (2.0, 1.0, 0.5)  # of the even share of waste that a try lets a board have; found by trial
_SHARES_BY_WORTH = (0.75, 0.0, 1.5)
_MANY_EQUAL = 2  # pieces a length: from here on fillings are few, the search quick
_MOST_KINDS = 120  # lengths; with more, or more boards, only first fit is tried
_MOST_BOARDS = 150


@record
class Packing:
    """Boards as the numbers of the pieces on each, longest first; bound: no fewer can do."""

    boards: tuple[tuple[int, ...], ...]
    bound: int


def pack(lengths: Sequence[float], stock: float, kerf: float) -> Packing:
    """The fewest boards for pieces, each at most as long as a board, a saw cut between any two; all in [mm].

    Where the search ends before the fewest are proved, `bound` is below the number of boards.
    """
    # With a kerf added to every piece and the board, pieces just add up: n pieces need n - 1 cuts between.
    sizes, room = [round(length + kerf, 6) for length in lengths], stock + kerf
    order = sorted(range(len(sizes)), key=lambda i: -sizes[i])
    least = min(sizes, default=0.0)
    alone = [i for i in order if sizes[i] + least > room + _ROOM]
    shared = order[len(alone) :]
    kinds = Kinds.of([sizes[i] for i in shared], room)
    fillings, bound = _fewest(kinds)
    boards = [(i,) for i in alone] + _numbered(fillings, shared, sizes)
    return Packing(tuple(boards), bound + len(alone))


@record
class Kinds:
    """Pieces by length: sizes from the longest, how many of each, and the room on a board [mm]."""

    sizes: tuple[float, ...]
    counts: tuple[int, ...]
    room: float

    @staticmethod
    def of(sizes: Sequence[float], room: float) -> Kinds:
        """Counts equal sizes of a falling list."""
        counts = Counter(sizes)
        return Kinds(tuple(counts), tuple(counts.values()), room)


Filling = tuple[int, ...]  # how many of each kind are on a board


def _numbered(fillings: list[Filling], order: list[int], sizes: list[float]) -> list[tuple[int, ...]]:
    waiting = [iter([*equal]) for _, equal in groupby(order, sizes.__getitem__)]
    return [
        tuple(i for equal, count in zip(waiting, filling, strict=True) for i in islice(equal, count))
        for filling in fillings
    ]


def _fewest(kinds: Kinds) -> tuple[list[Filling], int]:
    best, bound = _first_fit(kinds), _bound(kinds)
    if len(kinds.sizes) > _MOST_KINDS or bound > _MOST_BOARDS:
        return best, bound
    by_length = [size / (kinds.room + _ROOM) for size in kinds.sizes]
    best = _dived(kinds, best, bound, by_length, _SHARES_BY_LENGTH)
    if sum(kinds.counts) >= _MANY_EQUAL * len(kinds.sizes):
        best, bound = _searched(kinds, best, bound, by_length, _STEPS_BY_LENGTH)
    if bound < len(best):
        worth = worths(kinds.sizes, kinds.counts, kinds.room, len(best))
        bound = max(
            bound, math.ceil(sum(value * count for value, count in zip(worth, kinds.counts, strict=True)) - _SHARE)
        )
        best = _dived(kinds, best, bound, worth, _SHARES_BY_WORTH)
        best, bound = _searched(kinds, best, bound, worth, _STEPS_BY_WORTH)
    return best, bound


def _dived(
    kinds: Kinds, best: list[Filling], bound: int, worth: list[float], shares: tuple[float, ...]
) -> list[Filling]:
    steps = len(shares) * bound * _DIVE_STEPS
    for boards in range(bound, len(best)):
        for share in shares:
            search = _Search(kinds, worth, steps + boards * _DIVE_STEPS)
            found = search.dive(boards, share)
            if found is not None:
                return found
            steps = search.steps - boards * _DIVE_STEPS
            if steps <= 0:
                return best
    return best


def _searched(
    kinds: Kinds, best: list[Filling], bound: int, worth: list[float], steps: int
) -> tuple[list[Filling], int]:
    while bound < len(best):
        search = _Search(kinds, worth, steps)
        try:
            found = search.within(bound)
        except _StepsUsedUpError:
            break
        steps = search.steps
        if found is not None:
            return found, bound
        bound += 1
    return best, bound


def _bound(kinds: Kinds) -> int:
    """No fewer boards than this: the bound L2 over all thresholds (Martello and Toth).

    No two pieces over half a board share one; those beside which no threshold's piece fits leave all from its size on
    to the rest.
    """
    room, half = kinds.room + _ROOM, kinds.room / 2
    pieces = list(zip(kinds.sizes, kinds.counts, strict=True))
    waiting = [piece for piece in pieces if piece[0] > half]
    large = sum(count for _, count in waiting)
    best = max(large, math.ceil(sum(size * count for size, count in pieces) / room - _SHARE))
    small = beside = 0.0
    for threshold, number in pieces[len(waiting) :]:
        small += threshold * number
        while waiting and waiting[-1][0] <= room - threshold:
            size, count = waiting.pop()
            beside += count * (room - size)
        best = max(best, large + math.ceil((small - beside) / room - _SHARE))
    return best


def _first_fit(kinds: Kinds) -> list[Filling]:
    rooms: list[float] = []
    boards: list[list[int]] = []
    for kind, (size, count) in enumerate(zip(kinds.sizes, kinds.counts, strict=True)):
        for _ in range(count):
            board = next((i for i, room in enumerate(rooms) if room + _ROOM >= size), len(rooms))
            if board == len(rooms):
                rooms.append(kinds.room)
                boards.append([0] * len(kinds.sizes))
            rooms[board] -= size
            boards[board][kind] += 1
    return [tuple(board) for board in boards]


class _StepsUsedUpError(Exception):
    """The search was cut short."""


class _Search:
    """Whether the pieces go on so many boards.

    worth: of each kind, so that no board holds more than 1. What boards hold less must add up to no more than the
    boards are over the pieces' worth: that cuts the search short.
    """

    def __init__(self, kinds: Kinds, worth: list[float], steps: int) -> None:
        self.kinds = kinds
        self.worth = worth
        self.steps = steps
        self.left = list(kinds.counts)
        self.taken = [0] * len(self.left)
        self.longest, self.least, self.enough, self.end = 0, 0.0, math.inf, -1
        self.found: list[tuple[float, float, Filling]] = []
        self.failed: set[tuple[int, ...]] = set()

    def within(self, boards: int) -> list[Filling] | None:
        """Fillings of at most so many boards, None where there are none; raises when steps are used up."""
        longest = self._longest_left()
        if longest is None:
            return []
        state = (boards, *self.left)
        spare = boards - self._left_worth()
        if spare < -_SHARE or state in self.failed:
            return None
        for filling in self._fillings(longest, spare):
            self._take(filling, 1)
            rest = self.within(boards - 1)
            self._take(filling, -1)
            if rest is not None:
                return [filling, *rest]
        self.failed.add(state)
        return None

    def dive(self, boards: int, share: float) -> list[Filling] | None:
        """One try: board by board the first filling that wastes no more than its share of what can be spared.

        share: of an even share [-]; with no filling found soon the best seen is taken.
        """
        fillings: list[Filling] = []
        for remaining in range(boards, 0, -1):
            longest = self._longest_left()
            if longest is None:
                break
            spare = remaining - self._left_worth()
            if spare < -_SHARE:
                break
            self.enough, self.end = 1.0 - share * spare / remaining, self.steps - _DIVE_STEPS
            found = self._fillings(longest, spare)
            if not found:
                break
            fillings.append(found[0])
            self._take(found[0], 1)
        done = not any(self.left)
        for filling in fillings:
            self._take(filling, -1)
        self.enough, self.end = math.inf, -1
        return fillings if done else None

    def _longest_left(self) -> int | None:
        return next((kind for kind, count in enumerate(self.left) if count), None)

    def _left_worth(self) -> float:
        return sum(value * count for value, count in zip(self.worth, self.left, strict=True))

    def _take(self, filling: Filling, sign: int) -> None:
        for kind, count in enumerate(filling):
            self.left[kind] -= sign * count

    def _fillings(self, longest: int, spare: float) -> list[Filling]:
        """Fillings with the longest piece that waste no more worth than can be spared, least first."""
        self.taken[longest] += 1
        self.left[longest] -= 1
        self.found.clear()
        self.longest, self.least = longest, 1.0 - spare - _SHARE
        self._fill(longest, self.kinds.room - self.kinds.sizes[longest] + _ROOM, self.worth[longest])
        self.taken[longest] -= 1
        self.left[longest] += 1
        return [filling for _, _, filling in sorted(self.found, key=lambda entry: entry[:2])]

    def _fill(self, kind: int, room: float, worth: float) -> None:
        self.steps -= 1
        if self.steps < 0:
            raise _StepsUsedUpError
        sizes, left, taken = self.kinds.sizes, self.left, self.taken
        while kind < len(sizes) and (not left[kind] or sizes[kind] > room):
            kind += 1
        if kind == len(sizes):
            if worth >= self.least and self._is_sound(room):
                if worth >= self.enough:
                    self.end = self.steps
                self.found.append((round(1.0 - worth, 6), room, tuple(taken)))
            return
        size, value = sizes[kind], self.worth[kind]
        most = min(left[kind], int(room / size))
        taken[kind] += most
        left[kind] -= most
        for count in range(most, -1, -1):
            if self.steps > self.end:
                self._fill(kind + 1, room - count * size, worth + count * value)
            if count:
                taken[kind] -= 1
                left[kind] += 1

    def _is_sound(self, room: float) -> bool:
        """Whether no piece left over fits in, nor in a shorter one's place: else that is as good."""
        longer = 0.0
        for kind in range(self.longest, len(self.taken)):
            size = self.kinds.sizes[kind]
            if self.taken[kind] - (kind == self.longest) > 0 and 0 < longer <= size + room:
                return False
            if self.left[kind]:
                if size <= room:
                    return False
                longer = size
        return True
