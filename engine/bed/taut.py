"""Taut ways: in which directions a shortest way goes on from a corner that it bends round."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from engine.types import Array, Mask

if TYPE_CHECKING:
    from .reach import Node

_TURN = 2 * np.pi
_NOISE = 1e-9  # [rad]
_ASIDE = 1e-5  # [mm, and rad]: a point no farther than this off those directions may still be reached


def taut(node: Node) -> tuple[float, float]:
    """The directions (start, width) [rad] in which a way bends round the node's corner, not away from it."""
    incoming = node.place - node.before
    heading = float(np.arctan2(incoming[1], incoming[0]))
    after, before = (_relative(direction, heading) for direction in node.walls)
    if before >= -_NOISE and (after >= -_NOISE or after <= -np.pi + _NOISE):
        return heading, max(before, 0.0)
    if after <= _NOISE and (before <= _NOISE or before >= np.pi - _NOISE):
        return heading + min(after, 0.0), -min(after, 0.0)
    return heading, 0.0


def _relative(direction: Array, heading: float) -> float:
    angle = (float(np.arctan2(direction[1], direction[0])) - heading) % _TURN
    return angle - _TURN if angle > np.pi else angle


def may_lead(node: Node, offset: Array) -> Mask:
    """Whether a shortest way may go on from a node to points `offset` (k, 2) [mm] from it; False only where surely not.

    It would have to bend away from the corner there, or back on itself, and a shorter way goes past.
    """
    if node.course is None:
        return np.ones(len(offset), dtype=bool)
    (first_x, first_y), (last_x, last_y) = node.course
    x, y = offset.T
    room = -_ASIDE * (1.0 + np.hypot(x, y))
    return np.asarray((first_x * y - first_y * x >= room) & (x * last_y - y * last_x >= room))
