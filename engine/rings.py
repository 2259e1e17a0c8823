"""Walking round a ring of points or numbers; numpy's own `roll` costs ten times as much on short rings."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

import numpy as np

from .types import Array

if TYPE_CHECKING:
    from numpy.typing import NDArray

_Number = TypeVar("_Number", bound=np.generic)


def following(ring: NDArray[_Number]) -> NDArray[_Number]:
    """For each entry the next one round the ring (first axis)."""
    return np.concatenate([ring[1:], ring[:1]])


def preceding(ring: NDArray[_Number]) -> NDArray[_Number]:
    """For each entry the one before it round the ring (first axis)."""
    return np.concatenate([ring[-1:], ring[:-1]])


def turns_between(before: Array, after: Array) -> Array:
    """The turns from ways (n, 2) to others, left positive (n,) [rad]."""
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    return np.asarray(np.arctan2(cross, (before * after).sum(axis=1)))


def signed_area(ring: Array) -> float:
    """The area of a ring of (n, 2) points, positive when it is walked counter-clockwise [mm2].

    Source: the trapezoid (shoelace) formula, taken about the ring's first point to keep digits.
    """
    x, y = (ring - ring[0]).T
    return float(0.5 * (x @ following(y) - y @ following(x)))
