"""Sums over the sectors between a point and straight pieces of wall."""

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from engine.types import Array

PerRadian: TypeAlias = Callable[[Array, Array], Array]

# Gauss's rule of 24 nodes, good to 1e-12 of the closed forms: numpy's `leggauss`, which loads all its polynomials.
# The nodes over 0 and their weights; those under 0 mirror them.
_OVER = (
    (0.06405689286260563, 0.12793819534675202),
    (0.1911188674736163, 0.12583745634682825),
    (0.3150426796961634, 0.1216704729278033),
    (0.4337935076260451, 0.11550566805372552),
    (0.5454214713888396, 0.10744427011596556),
    (0.6480936519369755, 0.09761865210411393),
    (0.7401241915785544, 0.0861901615319532),
    (0.820001985973903, 0.07334648141108016),
    (0.8864155270044011, 0.05929858491543636),
    (0.9382745520027328, 0.04427743881741941),
    (0.9747285559713095, 0.02853138862893356),
    (0.9951872199970213, 0.01234122979998869),
)
_NODES, _WEIGHTS = np.array([(-node, weight) for node, weight in reversed(_OVER)] + [*_OVER]).T.copy()
_EDGE_ON = 1e-9  # [mm] a wall seen edge-on bounds no sector


def over_sectors(apex: Array, starts: Array, ends: Array, per_radian: PerRadian) -> float:
    """The integral over all directions in which an apex (2,) sees segments from starts to ends, (k, 2) [mm].

    `per_radian(far, rays)` gives the integrand a radian from distances (k, g) [mm] and unit rays (k, g, 2). Summed by
    Gauss in t = asinh(s / p), s along the segment from the apex's foot, p the square distance: with far = p cosh t and
    d(angle) = dt / cosh t the integrand stays smooth however far the wall runs.
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
