"""Sums over the sectors between a point and straight pieces of wall."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from engine.types import Array

PerRadian: TypeAlias = Callable[[Array, Array], Array]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(24)  # 1e-12 of the closed forms
_EDGE_ON = 1e-9  # [mm] a wall seen edge-on bounds no sector


def over_sectors(apex: Array, starts: Array, ends: Array, per_radian: PerRadian) -> float:
    """The integral over all directions in which an apex (2,) sees segments from starts to ends, (k, 2) [mm].

    `per_radian(far, rays)` gives the integrand a radian from distances (k, g) [mm] and unit rays (k, g, 2). It is
    summed by Gauss in t = asinh(s / p), s along the segment from the apex's foot, p the square distance: with
    far = p cosh t and d(angle) = dt / cosh t the integrand stays smooth however far the wall runs.
    """
    along = ends - starts
    length = np.hypot(*along.T)
    along = along / length[:, None]
    offset = starts - apex
    square = np.abs(offset[:, 0] * along[:, 1] - offset[:, 1] * along[:, 0])
    seen = square > _EDGE_ON
    offset, along, length, square = offset[seen], along[seen], length[seen], square[seen]
    first = (offset * along).sum(axis=1)
    low, high = np.arcsinh(first / square), np.arcsinh((first + length) / square)
    t = (low + high)[:, None] / 2 + (high - low)[:, None] / 2 * _NODES
    far = square[:, None] * np.cosh(t)
    at = offset[:, None] + (square[:, None] * np.sinh(t) - first[:, None])[..., None] * along[:, None]
    sums = (per_radian(far, at / far[..., None]) / np.cosh(t)) @ _WEIGHTS
    return float((sums * (high - low) / 2).sum())
