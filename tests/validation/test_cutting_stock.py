"""The fewest boards: a published cutting-stock problem, and random ones against an integer-programming library.

Source: an encyclopedia's worked example of the cutting-stock problem: parent rolls 5600 wide, thirteen widths; 73
rolls, bound 72.7 (re-solved). Oracle: `scipy.optimize.milp` over all maximal fillings of a board, which shares
nothing with the search here.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import scipy

from engine.layout.packing import pack
from engine.layout.worth import worths

STOCK = 5600
DEMAND = {
    1380: 22,
    1520: 25,
    1560: 12,
    1710: 14,
    1820: 18,
    1880: 18,
    1930: 20,
    2000: 10,
    2050: 12,
    2100: 14,
    2140: 16,
    2150: 18,
    2200: 20,
}
FEWEST = 73
KERF = 3.0


def fillings(sizes, counts, room):
    """All maximal fillings of a board, (kinds, fillings)."""
    found = []

    def fill(kind, left, taken):
        if kind == len(sizes):
            if all(taken[i] == counts[i] or sizes[i] > left for i in range(len(sizes))):
                found.append(taken)
            return
        for count in range(min(counts[kind], int(left // sizes[kind])), -1, -1):
            fill(kind + 1, left - count * sizes[kind], (*taken, count))

    fill(0, room, ())
    return np.array(found).T


def fewest(sizes, room):
    """The fewest boards by integer programming; sizes and room in whole numbers."""
    kinds = sorted(set(sizes), reverse=True)
    counts = [sizes.count(kind) for kind in kinds]
    columns = fillings(kinds, counts, room)
    ones = np.ones(columns.shape[1])
    solved = scipy.optimize.milp(
        ones,
        constraints=scipy.optimize.LinearConstraint(columns, lb=counts),
        integrality=ones,
        bounds=scipy.optimize.Bounds(0, np.inf),
    )
    assert solved.success
    return round(solved.fun)


class TestPublishedExample:
    def test_73_boards_and_none_fewer(self):
        pieces = [width for width, count in DEMAND.items() for _ in range(count)]
        found = pack(pieces, STOCK, 0)
        assert math.ceil(sum(pieces) / STOCK) == FEWEST  # 407160 / 5600 = 72.7
        assert (len(found.boards), found.bound) == (FEWEST, FEWEST)
        assert sorted(i for board in found.boards for i in board) == list(range(len(pieces)))
        assert max(sum(pieces[i] for i in board) for board in found.boards) <= STOCK


class TestAgainstIntegerProgramming:
    """Pieces in whole mm with a kerf of 3; the oracle adds it to pieces and board, and then just adds up."""

    @pytest.mark.parametrize(
        ("low", "high", "number"),
        [(0.1, 1.0, 20), (0.2, 0.5, 14), (0.25, 0.5, 16), (0.3, 0.7, 40), (0.15, 0.4, 13)],
    )
    @pytest.mark.parametrize("seed", range(4))
    def test_random_pieces(self, low, high, number, seed):
        rng = np.random.default_rng((seed, number))
        pieces = [int(piece) for piece in rng.integers(int(1200 * low), int(1200 * high), number)]
        found = pack(pieces, 1200.0, KERF)
        best = fewest([piece + 3 for piece in pieces], 1203)
        assert found.bound <= best <= len(found.boards)
        assert len(found.boards) == found.bound

    @pytest.mark.parametrize("seed", range(3))
    def test_few_lengths_many_of_each(self, seed):
        rng = np.random.default_rng(seed)
        lengths = [int(length) for length in rng.integers(300, 700, 5)]
        pieces = [length for length in lengths for _ in range(int(rng.integers(4, 12)))]
        found = pack(pieces, 1200.0, KERF)
        assert len(found.boards) == found.bound == fewest([piece + 3 for piece in pieces], 1203)


class TestBoundAgainstLinearProgramming:
    @pytest.mark.parametrize("seed", range(4))
    def test_worth_is_the_dual_of_the_relaxed_problem(self, seed):
        """No filling holds more than 1 of it, and in all it is the relaxed problem's value, to where it may stop."""
        rng = np.random.default_rng(seed)
        sizes = sorted({int(size) for size in rng.integers(250, 600, 12)}, reverse=True)
        counts = [int(count) for count in rng.integers(1, 5, len(sizes))]
        columns = fillings(sizes, counts, 1200)
        relaxed = scipy.optimize.linprog(
            np.ones(columns.shape[1]), A_ub=-columns, b_ub=-np.array(counts), bounds=(0, None)
        ).fun
        worth = np.array(worths(sizes, counts, 1200.0, 10**6))
        assert (worth @ columns).max() <= 1 + 1e-9
        total = float(worth @ counts)
        assert total <= relaxed + 1e-6
        assert math.ceil(total - 1e-6) == math.ceil(relaxed - 1e-6)
