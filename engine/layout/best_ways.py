"""Best ways: from which parts of each wall a way to the drains is the shortest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from ..bed.even_fall import EvenFall
from ..bed.flange import Flange
from ..bed.reach import Reach, taut
from ..types import Array, Index, Mask
from .seen import Side, Stretch, seen_between, seen_off, seen_round, whole

_TIE = 1e-6  # [mm] ways that differ less are equally long
_SAMPLES = np.linspace(0.0, 1.0, 33)
_QUARTER = np.pi / 2
_HALVINGS = 24  # of a step between samples: 4 microns of 2 m


class Way(NamedTuple):
    """A way from a stretch of wall: straight to a place, or square to an edge there (its outward direction), and on.

    rest: how long it counts from there [mm]; flange: whose edge or corner or disc that is, None for a bend.
    """

    stretch: Stretch
    place: Array
    square: Array | None
    rest: float
    flange: Flange | None


def all_ways(bed: EvenFall, walls: tuple[Side, ...]) -> list[Way]:
    """The ways from all in sight of a drain, and from all that bends round a corner."""
    reaches = zip(bed.reach.reaches, bed.reach.heads, strict=True)
    return [way for reach, head in reaches for way in (*_straight(reach, walls, head), *_bent(reach, walls, head))]


def _straight(reach: Reach, walls: tuple[Side, ...], head: float) -> Iterator[Way]:
    """Ways to a flange, that count `head` [mm] longer: to a disc's centre, else square to a side or to a corner."""
    flange = reach.flange
    if flange.is_round:
        for stretch in whole(walls) if reach.is_open else seen_round(reach.fan, walls):
            yield Way(stretch, flange.centre, None, head - flange.half, flange)
        return
    for beam in reach.beams:
        for stretch in seen_off(beam, walls):
            yield Way(stretch, beam.start, beam.square, head, flange)
    heading = float(np.arctan2(*flange.axis[::-1])) + np.pi
    for k, fan in enumerate(reach.corner_fans):
        for stretch in seen_between(fan, walls, heading + k * _QUARTER, _QUARTER):
            yield Way(stretch, flange.corners[k], None, head, flange)


def _bent(reach: Reach, walls: tuple[Side, ...], head: float) -> Iterator[Way]:
    for node in reach.nodes:
        for stretch in seen_between(node.fan, walls, *taut(node)):
            yield Way(stretch, node.place, None, node.way + head, None)


def best_parts(bed: EvenFall, walls: Sequence[Side], ways: Sequence[Way]) -> list[list[Stretch]]:
    """For each way the parts of its stretch on which no way is shorter.

    One may be only round islands and between drains: there stretches are sampled, changes halved; parts between samples
    are missed.
    """
    if not (bed.reach.has_ridges and ways):
        return [[way.stretch] for way in ways]
    compared = _Compared(bed, walls, ways)
    first, last = compared.spans
    rows = np.repeat(np.arange(len(ways)), len(_SAMPLES))
    at = (first[:, None] + _SAMPLES * (last - first)[:, None]).ravel()
    best = compared.is_best(rows, at).reshape(len(ways), -1)
    changed, step = np.nonzero(best[:, 1:] != best[:, :-1])
    at = at.reshape(len(ways), -1)
    low, high, before = at[changed, step], at[changed, step + 1], best[changed, step]
    for _ in range(_HALVINGS if len(changed) else 0):
        middle = (low + high) / 2
        same = compared.is_best(changed, middle) == before
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    found = []
    for row, (side, start, end) in enumerate(way.stretch for way in ways):
        parts = list(pairwise([start, *low[changed == row].tolist(), end]))
        found.append([Stretch(side, *part) for part in parts[0 if best[row, 0] else 1 :: 2]])
    return found


class _Compared:
    """Ways beside the shortest, along their stretches."""

    def __init__(self, bed: EvenFall, walls: Sequence[Side], ways: Sequence[Way]) -> None:
        sides = [walls[way.stretch.side] for way in ways]
        self.bed = bed
        self.starts = np.array([side.start for side in sides])
        self.alongs = np.array([side.along for side in sides])
        self.places = np.array([way.place for way in ways])
        self.squares = np.array([np.zeros(2) if way.square is None else way.square for way in ways])
        self.is_square = np.array([way.square is not None for way in ways])
        self.rests = np.array([way.rest for way in ways])
        self.spans = np.array([[way.stretch.start, way.stretch.end] for way in ways]).T

    def is_best(self, rows: Index, at: Array) -> Mask:
        """Whether each of the ways `rows` is the shortest from places along its wall."""
        points = self.starts[rows] + at[:, None] * self.alongs[rows]
        offset = points - self.places[rows]
        to_edge = (offset * self.squares[rows]).sum(axis=1)
        own = np.where(self.is_square[rows], to_edge, np.hypot(*offset.T)) + self.rests[rows]
        return np.asarray(own <= self.bed.reach.way(points) + _TIE)
