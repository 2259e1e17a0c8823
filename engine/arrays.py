"""Walking round rings of points or numbers, cross products, and equal values found by sorting.

numpy's own `roll` costs ten times as much on short rings; its `unique` loads masked arrays, a tenth of a start.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

import numpy as np

from .types import Array, Index

if TYPE_CHECKING:
    from numpy.typing import NDArray

_Number = TypeVar("_Number", bound=np.generic)


def following(ring: NDArray[_Number]) -> NDArray[_Number]:
    """Each entry's next one round the ring (first axis)."""
    return np.concatenate([ring[1:], ring[:1]])


def preceding(ring: NDArray[_Number]) -> NDArray[_Number]:
    """The one before each entry round the ring (first axis)."""
    return np.concatenate([ring[-1:], ring[:-1]])


def cross(u: Array, v: Array) -> Array:
    """The cross product of plane vectors (..., 2)."""
    return u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]


def turns_between(before: Array, after: Array) -> Array:
    """The turns from ways (n, 2) to others, left positive (n,) [rad]."""
    return np.asarray(np.arctan2(cross(before, after), (before * after).sum(axis=1)))


def signed_area(ring: Array) -> float:
    """The area within ring points (n, 2), positive when walked counter-clockwise [mm2].

    Source: the shoelace formula, about the ring's first point to keep digits.
    """
    x, y = (ring - ring[0]).T
    return float(0.5 * (x @ following(y) - y @ following(x)))


def distinct(values: NDArray[_Number]) -> NDArray[_Number]:
    """The distinct values (m,) of an array of any shape, sorted."""
    ordered = np.sort(values, axis=None)
    return ordered[_starts([ordered])]


def groups(*columns: NDArray[_Number]) -> tuple[Index, Index]:
    """Where each distinct row of columns (k,) first stands (m,), and each row's group in sorted order (k,)."""
    order = np.lexsort(columns[::-1])
    starts = _starts([column[order] for column in columns])
    owner = np.empty(len(order), dtype=np.intp)
    owner[order] = np.cumsum(starts) - 1
    return order[starts], owner


def numbers_of(asked: Array, places: Array) -> Index:
    """The number of the place (n, 2), each once, that equals each one asked for (k, 2); -1 for none."""
    _, owner = groups(*np.concatenate([places, asked]).T)
    number = np.full(len(owner), -1)
    number[owner[: len(places)]] = np.arange(len(places))
    return number[owner[len(places) :]]


def _starts(ordered: list[NDArray[_Number]]) -> NDArray[np.bool_]:
    starts = np.zeros(len(ordered[0]), dtype=bool)
    starts[:1] = True
    for column in ordered:
        starts[1:] |= column[1:] != column[:-1]
    return starts
