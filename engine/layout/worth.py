"""Worth: what each kind of piece counts for, so that no board can hold more than 1 and all together count for most.

The sum over all pieces is the sharpest such bound on the number of boards: the dual of the cutting-stock linear
programme, solved by column generation (Gilmore and Gomory, A linear programming approach to the cutting-stock problem,
1961); values on the way bound it too, over the most of them that a board holds (Farley, A note on bounding a class of
linear programming problems, 1990).
"""

import math
from collections.abc import Sequence

import numpy as np

from ..types import Array

_ROOM = 1e-4  # [mm] as in the packing
_NOISE = 1e-9
_SHARE = 1e-6  # of a board: so little over a whole number is not one more
_MOST_ROUNDS = 150
_MOST_STEPS = 9000  # of all searches for fillings together: about 15 ms


def worths(sizes: Sequence[float], counts: Sequence[int], room: float, enough: int) -> list[float]:
    """The worth of each kind [-] for sizes and room [mm], sizes falling.

    It stops where the bound cannot pass one more whole board or reaches `enough`, or rounds or steps run out; the
    values always hold.
    """
    wanted = np.array(counts, dtype=float)
    inverse, used = _start(sizes, counts, room)
    best, best_bound = np.array(sizes) / (room + _ROOM), 0.0
    steps = _MOST_STEPS
    for _ in range(_MOST_ROUNDS):
        values = np.maximum(inverse.sum(axis=0), 0.0)
        richest = _Richest(sizes, counts, values.tolist(), room, steps)
        filling, steps = np.array(richest.filling, dtype=float), richest.steps
        if steps <= 0:
            break
        most = max(1.0, float(values @ filling)) + _NOISE
        bound = float(values @ wanted) / most
        if bound > best_bound:
            best, best_bound = values / most, bound
        whole = math.ceil(bound - _SHARE)
        if most <= 1.0 + 2 * _NOISE or whole >= min(enough, math.ceil(float(used.sum()) - _SHARE)):
            break
        _exchange(inverse, used, filling)
    return [*best.tolist()]


def _start(sizes: Sequence[float], counts: Sequence[int], room: float) -> tuple[Array, Array]:
    kinds = len(sizes)
    basis, used = np.eye(kinds), np.zeros(kinds)
    left = [float(count) for count in counts]
    live = list(range(kinds))
    while live:
        space, filling = room, np.zeros(kinds)
        for kind in live:
            filling[kind] = min(math.ceil(left[kind] - _NOISE), int((space + _ROOM) / sizes[kind]))
            space -= filling[kind] * sizes[kind]
        on_it = [kind for kind in live if filling[kind] > 0]
        if not on_it:
            break
        ends = min(on_it, key=lambda kind: left[kind] / filling[kind])
        often = left[ends] / filling[ends]
        for kind in on_it:
            left[kind] -= often * filling[kind]
        basis[:, ends], used[ends] = filling, often
        live.remove(ends)
    return np.asarray(np.linalg.inv(basis), dtype=np.float64), used


def _exchange(inverse: Array, used: Array, filling: Array) -> None:
    change = inverse @ filling
    falls = change > _NOISE
    often = np.full(len(used), np.inf)
    often[falls] = used[falls] / change[falls]
    out = int(often.argmin())
    used -= often[out] * change
    used[out] = often[out]
    row = inverse[out] / change[out]
    inverse -= change[:, None] * row
    inverse[out] = row


class _Richest:
    """The filling of one board worth most, if more than 1: branch and bound by worth per length."""

    def __init__(
        self, sizes: Sequence[float], counts: Sequence[int], values: list[float], room: float, steps: int
    ) -> None:
        order = [kind for kind in range(len(sizes)) if values[kind] > _NOISE]
        order.sort(key=lambda kind: -values[kind] / sizes[kind])
        self.steps = steps
        self._sizes = [sizes[kind] for kind in order]
        self._values = [values[kind] for kind in order]
        self._counts = [counts[kind] for kind in order]
        self._rates = [value / size for value, size in zip(self._values, self._sizes, strict=True)]
        self._taken = [0] * len(order)
        self._best = [0] * len(order)
        self._best_value = 1.0 + _NOISE
        self._shortest = min(self._sizes, default=0.0)
        self._go(0, room + _ROOM, 0.0)
        self.filling = [0] * len(sizes)
        for kind, count in zip(order, self._best, strict=True):
            self.filling[kind] = count

    def _go(self, first: int, room: float, value: float) -> None:
        self.steps -= 1
        if value > self._best_value:
            self._best, self._best_value = self._taken[:], value
        if room < self._shortest or self.steps <= 0:
            return
        sizes, rates, taken = self._sizes, self._rates, self._taken
        for kind in range(first, len(sizes)):
            if value + room * rates[kind] <= self._best_value:
                return
            size = sizes[kind]
            if size > room:
                continue
            for count in range(min(self._counts[kind], int(room / size)), 0, -1):
                taken[kind] = count
                self._go(kind + 1, room - count * size, value + count * self._values[kind])
            taken[kind] = 0
