"""The ridges between drains, one of which stands anywhere within a slack of a place: what they can be at most."""

from typing import NamedTuple

import numpy as np

from ..bed.flange import Flange, Flanges
from ..types import Array

_BESIDE = 1e-6  # [mm] nearer places are taken to be so far apart
_TURN = np.pi / 2  # times the slack over the distance: what a direction can turn by


class Ridges(NamedTuple):
    """The ridges across the ways from a drain to others, off (r, k) [mm] from the drain towards those (r, k, 2).

    inner, outer: whatever lies nearer than the one, farther than the other, surely does so of the ridge; least, most:
    how far off it can be; turn: what the way between the drains can turn by [rad]. Without slack all four are one.
    """

    towards: Array
    inner: Array
    outer: Array
    least: Array
    most: Array
    turn: Array


def moved_ridges(places: Array, flanges: Flanges, extra: Array, free: tuple[int, Array, Array]) -> list[Ridges]:
    """Each drain's (d) ridges at its places (d, k, 2) to all other ones, as `engine.bed.parts` lays them.

    extra: how much longer the ways to each drain count (d, k or 1) [mm]; free: which one stands within a slack (k,) of
    its places, and how far the floor lies from there (k,) [mm]. A place p is on the first's side where
    |p - b|2 - |p - a|2 + w >= 0, which moves by no more than 2 reach slack + slack2.
    """
    number, slack, reach = free
    own = np.arange(len(places))
    others = own[:, None] != own
    offset = places - places[:, None]
    apart = np.maximum(np.hypot(offset[..., 0], offset[..., 1]), _BESIDE)
    towards = np.where(apart[..., None] > _BESIDE, offset / apart[..., None], [1.0, 0.0])
    moved = slack * ((own[:, None] == number) | (own == number))[..., None]
    turn = np.minimum(_TURN * moved / apart, np.pi)
    ways = [[each[i, others[i]] for each in (apart, towards, turn)] for i in own]
    counts = [_counts(flange, extra[i], ways[i], slack) for i, flange in enumerate(flanges)]
    least, most = (np.array([np.broadcast_to(each[i], slack.shape) for each in counts]) for i in (0, 1))
    pairs = np.triu_indices(len(places), 1)
    mean, spread = apart[pairs].sum(axis=0) / max(len(pairs[0]), 1), 2 * slack / len(places)
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
    """The least and the most that a drain's rim towards the nearest other one can be, less what it counts longer."""
    if flange.is_round:
        return (flange.half - extra,) * 2
    gaps, towards, turn = ways
    rims, by = flange.rim(towards.reshape(-1, 2)).reshape(gaps.shape), rim_turn(flange) * turn
    can_be = gaps <= gaps.min(axis=0, initial=np.inf) + 2 * slack
    least, most = flange.halves.min(), np.hypot(*flange.halves)
    low = np.where(can_be, rims - by, np.inf).min(axis=0, initial=most)
    high = np.where(can_be, rims + by, -np.inf).max(axis=0, initial=least)
    return np.maximum(low, least) - extra, np.minimum(high, most) - extra


def rim_turn(flange: Flange) -> float:
    """By how much a flange's rim changes at most with direction [mm/rad]."""
    if flange.is_round:
        return 0.0
    return float(np.hypot(*flange.halves) * flange.halves.max() / flange.halves.min())
