"""How long a stock plan of 40 pieces takes at its hardest: lengths drawn at random, alone, in pairs and in fours."""

from __future__ import annotations

import time

import numpy as np

from engine.layout.packing import pack

PIECES, LISTS, KERF = 40, 120, 3.0


def lists():
    """Lists of pieces [mm] with the board [mm] they are cut from."""
    rng = np.random.default_rng(1)
    for i in range(LISTS):
        equal = (1, 2, 4)[i % 3]
        board = float(rng.choice([2400, 2438.4, 3000]))
        low = rng.uniform(0.1, 0.4)
        shares = rng.uniform(low, rng.uniform(low + 0.05, 0.95), PIECES // equal)
        yield np.repeat((shares * board).round(1), equal).tolist(), board


def hardest():
    """The longest own time of any list [s], and on how many lists the fewest boards stayed unproved."""
    longest, unproved = 0.0, 0
    for pieces, board in lists():
        start = time.process_time()
        found = pack(pieces, board, KERF)
        longest = max(longest, time.process_time() - start)
        unproved += len(found.boards) > found.bound
    return longest, unproved
