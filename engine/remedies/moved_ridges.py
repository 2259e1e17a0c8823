"""What ridges and runs can be with a drain anywhere within a slack of a place."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from ..bed.flange import Flange, Flanges
from ..types import Array

_BESIDE = 1e-6  # [mm] nearer places count as so far apart
TURN = np.pi / 2  # times the slack over the distance: what a direction can turn by
_ROUNDS = 3  # of Newton's way to the least run of a flange that is not round
_FLAT = 0.2  # of the curve of a point's distance: a run's at least
_TINY = 1e-9  # [mm]
_QUARTER = np.pi / 2
_WIDEST = 1.5  # [rad] off the square to a line


class Ridges(NamedTuple):
    """The ridges across the ways from a drain to others, off (r, k) [mm] from the drain towards those (r, k, 2).

    inner, outer: what lies nearer than the one, farther than the other, surely does of the ridge; least, most: how far
    off it can be; turn: how much the way between the drains can turn [rad]. Without slack all four are one.
    """

    towards: Array
    inner: Array
    outer: Array
    least: Array
    most: Array
    turn: Array


def moved_ridges(places: Array, flanges: Flanges, extra: Array, free: tuple[int, Array, Array]) -> list[Ridges]:
    """Each drain's (d) ridges at its places (d, k, 2) to all others, as `engine.bed.parts` lays them.

    extra (d, k or 1): how much longer the ways to each drain count; free: which one stands within a slack (k,) of its
    places, and how far the floor reaches (k,); all in [mm]. A place p is on the first's side where |p - b|2 - |p - a|2
    + w >= 0, which moves by no more than 2 reach slack + slack2.
    """
    number, slack, reach = free
    if len(places) == 1:
        return [Ridges(places[:0], *np.zeros((5, 0, len(slack))))]
    own = np.arange(len(places))
    others = own[:, None] != own
    offset = places - places[:, None]
    apart = np.maximum(np.hypot(offset[..., 0], offset[..., 1]), _BESIDE)
    towards = np.where(apart[..., None] > _BESIDE, offset / apart[..., None], [1.0, 0.0])
    moved = slack * ((own[:, None] == number) | (own == number))[..., None]
    turn = np.minimum(TURN * moved / apart, np.pi)
    ways = [[each[i, others[i]] for each in (apart, towards, turn)] for i in own]
    counts = [_counts(flange, extra[i], ways[i], slack) for i, flange in enumerate(flanges)]
    least, most = (np.array([np.broadcast_to(each[i], slack.shape) for each in counts]) for i in (0, 1))
    pairs = np.triu_indices(len(places), 1)
    mean, spread = apart[pairs].mean(axis=0), 2 * slack / len(places)
    low, high = least[:, None] - most, most[:, None] - least
    low = np.minimum(low * (mean - spread), low * (mean + spread))
    high = np.maximum(high * (mean - spread), high * (mean + spread))
    moves, near, far = moved * (2 * reach + slack), np.maximum(apart - moved, _BESIDE), apart + moved
    ridges = (
        towards,
        (apart + (low - moves) / apart) / 2,
        (apart + (high + moves) / apart) / 2,
        (near + low / np.where(low > 0, far, near)) / 2,
        (far + high / np.where(high > 0, near, far)) / 2,
        turn,
    )
    return [Ridges(*(each[i, others[i]] for each in ridges)) for i in own]


def _counts(flange: Flange, extra: Array, ways: list[Array], slack: Array) -> tuple[Array, Array]:
    """The least and most of a drain's rim towards the nearest other, less what it counts longer."""
    if flange.is_round:
        return (flange.half - extra,) * 2
    gaps, towards, turn = ways
    can_be = gaps <= gaps.min(axis=0) + 2 * slack
    low = np.where(can_be, least_rim(flange, towards, turn), np.inf).min(axis=0)
    high = np.where(can_be, flange.rim(towards) + rim_turn(flange) * turn, -np.inf).max(axis=0)
    return low - extra, np.minimum(high, np.hypot(*flange.halves)) - extra


def least_rim(flange: Flange, ways: Array, turn: Array) -> Array:
    """The least of a flange's rim along ways (..., 2) that may turn (...) [rad], (...) [mm]."""
    return np.asarray(np.maximum(flange.rim(ways) - rim_turn(flange) * turn, flange.halves.min()))


def rim_turn(flange: Flange) -> float:
    """How much a flange's rim changes at most with direction [mm/rad]."""
    if flange.is_round:
        return 0.0
    return float(np.hypot(*flange.halves) * flange.halves.max() / flange.halves.min())


def least_runs(flange: Flange, offset: Array, along: Array) -> Array:
    """The least run (k,) [mm] to segments that start `offset` (k, e, 2) off a flange's middle and go `along` (e, 2)."""
    length = np.hypot(along[:, 0], along[:, 1])
    ray = along / length[:, None]
    start = (offset * ray).sum(axis=2)
    off = ray[:, 0] * offset[..., 1] - ray[:, 1] * offset[..., 0]
    away = np.hypot(off, start + np.clip(-start, 0.0, length))
    if flange.is_round:
        return np.asarray(away.min(axis=1) - flange.half)
    spread = float(np.hypot(*flange.halves) - flange.halves.min())
    row, side = (away <= away.min(axis=1, keepdims=True) + spread).nonzero()  # the others' rims reach no farther
    left, beyond = np.where(off[row, side] < 0, -1.0, 1.0), start[row, side]
    square = np.maximum(np.abs(off[row, side]), _TINY)
    ends = np.sort(np.arctan2(-left * np.array([beyond, beyond + length[side]]), square), axis=0)
    towards = left[:, None] * np.stack([-ray[side, 1], ray[side, 0]], axis=1)
    least = np.full(len(offset), np.inf)
    np.minimum.at(least, row, line_runs(flange, square, towards, ends))
    return least


def line_runs(flange: Flange, square: Array, towards: Array, ends: Array | float = _WIDEST) -> Array:
    """The least run (m,) [mm] to lines square off towards a way (m, 2) by (m,) [mm], between two angles (2, m) [rad].

    At an angle t off the square the run is h / cos t, less a / cos (t - b) for the flange's side that the line meets, a
    off its middle, its square at b. Newton's way over each side finds the least or at most 1e-3 mm more.
    """
    if flange.is_round:
        return square - flange.half
    square, (first, last) = np.maximum(square, _TINY), ends if isinstance(ends, np.ndarray) else (-ends, ends)
    local = towards @ flange.frame.T
    angle = np.arctan2(local[:, 1], local[:, 0])[:, None] / _QUARTER
    near = np.round(angle) + np.arange(-1, 2)  # the side ahead, and both beside it
    side, own = (near - angle) * _QUARTER, near.astype(int) % 2
    halves = flange.halves[own]
    wide = np.arctan2(flange.halves[1 - own], halves)
    low = np.maximum(side - wide, np.broadcast_to(first, len(square))[:, None])
    high = np.minimum(side + wide, np.broadcast_to(last, len(square))[:, None])
    met = low <= high
    side = np.where(met, side, 0.0)
    at = np.where(met, np.minimum(np.maximum(low, 0.0), high), 0.0)
    least = np.full(at.shape, np.inf)
    for _ in range(_ROUNDS):
        far, rim = square[:, None] / np.cos(at), halves / np.cos(at - side)
        lean, turn = np.tan(at), np.tan(at - side)
        least = np.minimum(least, far - rim)
        bend = far * (1 + 2 * lean**2)
        bend = np.maximum(bend - rim * (1 + 2 * turn**2), _FLAT * bend)
        at = np.where(met, np.minimum(np.maximum(at - (far * lean - rim * turn) / bend, low), high), 0.0)
    return np.asarray(np.where(met, least, np.inf).min(axis=1))
