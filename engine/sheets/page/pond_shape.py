"""What a pond covers of the floor, for drawing."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from engine.distinct import groups
from engine.sheets.page.contours import over
from engine.types import Array, Mask, Shape

if TYPE_CHECKING:
    from engine.proof.water import Pond

_TIDY = 3  # digits of a millimetre to which corners of two triangles agree


def pond_shape(triangles: Array, heights: Array, pond: Pond) -> Shape:
    """What a pond covers; empty where no corner lies under it.

    triangles (t, 3, 2), heights at their corners (t, 3) [mm]: the bed's, from one datum with the pond's level.
    """
    near = np.flatnonzero(_near(triangles, pond))
    wet = near[_wetted(triangles[near], heights[near], pond)]
    return over(triangles[wet], -heights[wet], -pond.level)


def _near(triangles: Array, pond: Pond) -> Mask:
    """The triangles (t,) that a pond may reach: it ends within its box's diagonal of its deepest place."""
    place, across = np.array([pond.x, pond.y]), math.hypot(pond.long, pond.wide)
    beyond = (triangles.min(axis=1) > place + across) | (triangles.max(axis=1) < place - across)
    return np.asarray(~beyond.any(axis=1))


def _wetted(triangles: Array, heights: Array, pond: Pond) -> Mask:
    """The triangles (t,) that water spreads to from the deepest place, from corner to corner under its level."""
    corners = np.round(triangles.reshape(-1, 2), _TIDY)
    first, owner = groups(*corners.T)
    owner, under = owner.reshape(-1, 3), heights < pond.level
    low = np.zeros(len(first), dtype=bool)
    low[owner[under]] = True
    away = np.hypot(*(corners[first] - (pond.x, pond.y)).T)
    wet = np.zeros(len(first), dtype=bool)
    wet[np.where(low, away, np.inf).argmin()] = low.any()
    while True:
        reached = (wet[owner] & under).any(axis=1)
        before = np.count_nonzero(wet)
        wet[owner[reached][under[reached]]] = True
        if np.count_nonzero(wet) == before:
            return np.asarray(reached)
