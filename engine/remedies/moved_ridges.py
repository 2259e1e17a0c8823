"""The ridges between drains, one of which stands anywhere within a slack of a place: what they can be at most."""

from itertools import combinations
from typing import NamedTuple

import numpy as np

from ..bed.flange import Flange, Flanges
from ..types import Array

_BESIDE = 1e-6  # [mm] nearer places are taken to be so far apart
_TURN = np.pi / 2  # times the slack over the distance: what a direction can turn by


class Ridge(NamedTuple):
    """The ridge across the way from a drain to another, off (k,) [mm] from the drain towards the other (k, 2).

    inner, outer: whatever lies nearer than the one, farther than the other, surely does so of the ridge; least, most:
    how far off it can be; turn: what the way between the drains can turn by [rad]. Without slack all four are one.
    """

    towards: Array
    inner: Array
    outer: Array
    least: Array
    most: Array
    turn: Array


class Freedom(NamedTuple):
    """Which drain stands within a slack (k,) of its places; reach: how far the floor lies from there (k,) [mm]."""

    number: int
    slack: Array
    reach: Array


def moved_ridges(places: list[Array], flanges: Flanges, extra: Array, free: Freedom) -> dict[tuple[int, int], Ridge]:
    """The ridges of each drain (d) at its places (k or 1, 2) to each other one, as `engine.bed.parts` lays them.

    extra: how much longer the ways to each drain count (d, k or 1) [mm]. A place p is on the first's side where
    |p - b|2 - |p - a|2 + w >= 0, which moves by no more than 2 reach slack + slack2.
    """
    if len(places) == 1:
        return {}
    number, slack, reach = free
    pairs = list(combinations(range(len(places)), 2))
    apart = {(i, j): np.maximum(np.hypot(*(places[j] - places[i]).T), _BESIDE) for i, j in pairs}
    towards = {(i, j): _unit(places[j] - places[i], apart[i, j]) for i, j in pairs}
    moved = {pair: slack * (number in pair) for pair in pairs}
    turn = {pair: np.minimum(_TURN * moved[pair] / apart[pair], np.pi) for pair in pairs}
    apart |= {(j, i): apart[i, j] for i, j in pairs}
    towards |= {(j, i): -towards[i, j] for i, j in pairs}
    turn |= {(j, i): turn[i, j] for i, j in pairs}
    counts = [_counts(i, flange, extra[i], (apart, towards, turn), slack) for i, flange in enumerate(flanges)]
    mean, spread = np.mean(np.broadcast_arrays(*(apart[pair] for pair in pairs)), axis=0), 2 * slack / len(places)
    found = {}
    for i, j in pairs:
        low, high = counts[i][0] - counts[j][1], counts[i][1] - counts[j][0]
        low, high = (
            np.minimum(low * (mean - spread), low * (mean + spread)),
            np.maximum(high * (mean - spread), high * (mean + spread)),
        )
        moves = moved[i, j] * (2 * reach + slack)
        found[i, j] = _ridge(towards[i, j], apart[i, j], (moved[i, j], moves, turn[i, j]), (low, high))
        found[j, i] = _ridge(towards[j, i], apart[i, j], (moved[i, j], moves, turn[i, j]), (-high, -low))
    return found


def _unit(offset: Array, far: Array) -> Array:
    return np.where(far[:, None] > _BESIDE, offset / far[:, None], [1.0, 0.0])


def _ridge(towards: Array, apart: Array, free: tuple[Array, Array, Array], gain: tuple[Array, Array]) -> Ridge:
    """free: the drain's slack [mm], how a place's side moves with it [mm2], the turn; gain: the least and most w."""
    (slack, moves, turn), (low, high) = free, gain
    near, far = np.maximum(apart - slack, _BESIDE), apart + slack
    return Ridge(
        towards,
        (apart + (low - moves) / apart) / 2,
        (apart + (high + moves) / apart) / 2,
        (near + low / np.where(low > 0, far, near)) / 2,
        (far + high / np.where(high > 0, near, far)) / 2,
        turn,
    )


_Ways = tuple[dict[tuple[int, int], "Array"], ...]


def _counts(i: int, flange: Flange, extra: Array, ways: _Ways, slack: Array) -> tuple[Array, Array]:
    """The least and the most that a drain's rim towards the nearest other one can be, less what it counts longer."""
    apart, towards, turn = ways
    if flange.is_round:
        return (flange.half - extra,) * 2
    others = [pair for pair in apart if pair[0] == i]
    gaps = np.array(np.broadcast_arrays(slack, *(apart[pair] for pair in others))[1:])
    rims = [(flange.rim(towards[pair]), rim_turn(flange) * turn[pair]) for pair in others]
    low = np.array(np.broadcast_arrays(slack, *(rim - by for rim, by in rims))[1:])
    high = np.array(np.broadcast_arrays(slack, *(rim + by for rim, by in rims))[1:])
    can_be = gaps <= gaps.min(axis=0) + 2 * slack
    low, high = np.where(can_be, low, np.inf).min(axis=0), np.where(can_be, high, -np.inf).max(axis=0)
    return np.maximum(low, flange.halves.min()) - extra, np.minimum(high, np.hypot(*flange.halves)) - extra


def rim_turn(flange: Flange) -> float:
    """By how much a flange's rim changes at most with direction [mm/rad]."""
    if flange.is_round:
        return 0.0
    return float(np.hypot(*flange.halves) * flange.halves.max() / flange.halves.min())
