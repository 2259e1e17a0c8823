"""How large a slip has to be for the other readings to give it away: what a survey cannot show of itself.

The others tell a reading's place to a standard error e; a slip of d makes it d / e and a Student's t off, of as many
degrees of freedom as scatter is known by. 19 times in 20 it outweighs its price at the power of the likelihood (`slab`)
from the size on that does with t at its lowest twentieth. So is a move of the line judged, from each reading on;
fitting its size costs as much.
"""

import math
from collections.abc import Sequence

import numpy as np

from ..job.model import Typed
from ..quantities import Units
from ..records import record
from ..types import Array, Index
from .odd import ANY_STEP, FEWEST, LEAST_MOVE, LEAST_SLIP, price, put_right
from .slab import Fit, slab
from .spot import Spot

_NORMAL = 1.6448536269514722  # standard errors that a normal figure stays under 19 times in 20
_DIGITS = 6


@record
class LeastSlip:
    """What slip shows 19 times in 20: from `usual` [mm] on in half of all readings, in the worst from `worst` on.

    unjudged: readings' numbers that no others judge; move: the size from which the line's move shows, early or late
    [mm], None with too few or too many readings.
    """

    usual: float
    worst: Spot
    unjudged: tuple[int, ...]
    move: float | None


def least_slips(places: Array, heights: Array, drops: Sequence[Typed], units: Units) -> Array:
    """From which size a slip in each of n >= 5 readings shows (n,) [mm]; infinite where no others judge it."""
    ground = slab(places)
    errors = Fit(ground, put_right(places, heights, drops, units)).errors()
    wanted, low = _wanted(ground.power, price(len(heights)))
    away = low + math.sqrt(low**2 + 2 * wanted)
    return np.maximum(away * errors, LEAST_SLIP)


def least_moves(places: Array, heights: Array, drops: Sequence[Typed], units: Units) -> tuple[Index, Array]:
    """The readings (s,) from which on the line may have moved, and from which size it shows each (s,) [mm]."""
    ground = slab(places)
    if ground.steps is None:
        return np.empty(0, dtype=np.intp), np.empty(0)
    errors = Fit(ground, put_right(places, heights, drops, units)).errors_of(ground.steps.weights)
    wanted, low = _wanted(ground.power, price(len(heights)) + ANY_STEP)
    return ground.steps.since, np.maximum((low + math.sqrt(2 * wanted)) * errors, LEAST_MOVE)


def _wanted(power: float, cost: float) -> tuple[float, float]:
    """Half the square of the standard errors that outweigh a cost, and a t lower one time in twenty [-]."""
    return power * math.expm1(cost / power), _twentieth(2 * power)


def _twentieth(freedom: float) -> float:
    """The 19 in 20 point of Student's t with 6 degrees of freedom or more, to 0.001.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5.
    """
    x = _NORMAL
    first, second = (x**3 + x) / 4, (5 * x**5 + 16 * x**3 + 3 * x) / 96
    third = (3 * x**7 + 19 * x**5 + 17 * x**3 - 15 * x) / 384
    return x + first / freedom + second / freedom**2 + third / freedom**3


def least_slip(places: Array, heights: Array, drops: Sequence[Typed], units: Units) -> LeastSlip | None:
    """What slip shows in readings at places (n, 2) with heights (n,) [mm]; None with too few."""
    if len(heights) < FEWEST:
        return None
    sizes = np.round(least_slips(places, heights, drops, units), _DIGITS)
    judged = np.isfinite(sizes)
    if not judged.any():
        return None
    worst = int(np.argmax(np.where(judged, sizes, 0.0)))
    at = Spot.at(sizes[worst], places[worst])
    _, moves = least_moves(places, heights, drops, units)
    move = float(np.round(moves.max(), _DIGITS)) if len(moves) else None
    return LeastSlip(_median(sizes[judged]), at, tuple(np.flatnonzero(~judged).tolist()), move)


def _median(sizes: Array) -> float:
    """As the library's, which loads masked arrays first."""
    ordered = np.sort(sizes)
    return float(ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2
