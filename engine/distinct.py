"""Equal values found by sorting: numpy's own `unique` loads masked arrays first, a tenth of a command's start."""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

import numpy as np

from .types import Index

if TYPE_CHECKING:
    from numpy.typing import NDArray

_Number = TypeVar("_Number", bound=np.generic)


def distinct(values: NDArray[_Number]) -> NDArray[_Number]:
    """The distinct values (m,) of an array of any shape, sorted."""
    ordered = np.sort(values, axis=None)
    return ordered[_starts([ordered])]


def groups(*columns: NDArray[_Number]) -> tuple[Index, Index]:
    """Where each distinct row of columns (k,) stands first (m,), and each row's group number in sorted order (k,)."""
    order = np.lexsort(columns[::-1])
    starts = _starts([column[order] for column in columns])
    owner = np.empty(len(order), dtype=np.intp)
    owner[order] = np.cumsum(starts) - 1
    return order[starts], owner


def _starts(ordered: list[NDArray[_Number]]) -> NDArray[np.bool_]:
    starts = np.zeros(len(ordered[0]), dtype=bool)
    starts[:1] = True
    for column in ordered:
        starts[1:] |= column[1:] != column[:-1]
    return starts
