"""Taped outlines, adjusted by least squares, against a general-purpose solver given the same observations.

Source: scipy.optimize.least_squares (trust region reflective; Branch, Coleman and Li 1999).
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy

from engine.job.toml_file import parse_job
from engine.survey.outline import outline

INCH = 25.4
SURE = INCH / 16  # [mm] a taped length
TURN_SURE = 2.0  # [deg] a stated corner

# Walls' lengths [in] and turns [deg], None where left out; diagonals by corner and [in].
FOUR = [(60, 90), (37, 85), (58, 90), (None, None)], [(0, 2, 71), (1, 3, 70)]
SIX = (
    [(96, 90), (40, 92), (55, -90), (36, 88), (41.5, 90), (None, None)],
    [(0, 2, 104), (0, 3, 56.5), (1, 3, 69), (2, 5, 99), (3, 5, 54)],
)
FIVE = (
    [(60, 80), (41, 65), (44, 75), (42, 70), (None, None)],
    [(0, 2, 80), (1, 3, 66), (2, 4, 70), (0, 3, 72)],
)


def job_of(walls, tape):
    told = ", ".join(
        "{}" if long is None else f'{{ length = "{long} in", turn = "{turn} deg" }}' for long, turn in walls
    )
    taped = ", ".join(
        f'{{ from = "{"ABCDEF"[a]}", to = "{"ABCDEF"[b]}", length = "{long} in" }}' for a, b, long in tape
    )
    return parse_job(f'format = 1\n[job]\nname = "x"\nunits = "in"\n[outline]\nwalls = [{told}]\ntape = [{taped}]\n')


@pytest.mark.parametrize(("walls", "tape"), [FOUR, SIX, FIVE], ids=["four walls", "six walls", "five walls"])
def test_the_adjustment_is_the_general_solvers(walls, tape):
    floor, count = outline(job_of(walls, tape)), len(walls)
    lengths = [(i, (i + 1) % count, long) for i, (long, _) in enumerate(walls) if long is not None] + tape
    turns = [(i + 1, turn) for i, (_, turn) in enumerate(walls[:-1])]

    def misfits(free):
        c = np.array([[0, 0], [free[0], 0], *free[1:].reshape(-1, 2)])
        found = [(np.hypot(*(c[b] - c[a])) - long * INCH) / SURE for a, b, long in lengths]
        for at, turn in turns:
            u, v = c[at] - c[at - 1], c[(at + 1) % count] - c[at]
            angle = np.degrees(np.arctan2(u[0] * v[1] - u[1] * v[0], u @ v))
            found.append(((angle - turn + 180) % 360 - 180) / TURN_SURE)
        return np.array(found)

    ours = np.concatenate([[floor.corners[1, 0]], floor.corners[2:].ravel()])
    start = ours + np.random.default_rng(3).normal(0, 20, len(ours))  # elsewhere, to find its own way
    other = scipy.optimize.least_squares(misfits, start, xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    assert ours == pytest.approx(other, abs=1e-4)
    assert floor.misclosure == pytest.approx(np.abs(misfits(other)[: len(lengths)]).max() * SURE, abs=1e-4)
