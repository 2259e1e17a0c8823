"""Strips along the walls as a hand sets them."""

from dataclasses import replace
from functools import cached_property

import numpy as np
import shapely

from ..arrays import distinct, groups
from ..bed.parted_walls import PartedWalls
from ..bed.surfaces import Bed, valley_parts
from ..layout.marks import Mark
from ..records import result
from ..survey.border import Border
from ..types import Array, Index, Shape
from .falls import Lines, all_lines, on_border, runs_to_drain, square_lines

LEVEL = 609.6  # [mm] how far a usual level of 2 ft reaches (common practice, no source)
ON_BORDER = 0.1  # [mm] a place farther from every wall and island stands on the floor
_STEP = 10.0  # [mm] how far apart lines start along strips
_AT_END = 0.01  # [mm] a line that starts this near is the end's own
_BENT = 1e-6  # [mm]
_EVEN = 1e-6  # [-] of a step: no step more for so little
_MOST_LINES = 3000  # about so many on a large floor


@result
class Strips:
    """Strips between ends (n,), and lines (m,) from them: between which ends, and how far on (0 to 1).

    places: the ends' (k, 2), border by border; tops (n,): the heights they are set to, planned (n,): the bed's there,
    over the datum [mm]; shares (n,): see `share`; lengths (m,): of the lines' strips [mm].
    """

    places: tuple[Array, ...]
    tops: Array
    planned: Array
    shares: Array
    lines: Lines
    first: Index
    second: Index
    part: Array
    lengths: Array

    def along(self, values: Array) -> Array:
        """Figures of the ends (..., n), straight between them, at the lines' starts (..., m)."""
        return values[..., self.first] * (1 - self.part) + values[..., self.second] * self.part

    def of(self, numbers: Index) -> "Strips":
        """The same with some of the lines."""
        return replace(
            self,
            lines=self.lines.of(numbers),
            first=self.first[numbers],
            second=self.second[numbers],
            part=self.part[numbers],
            lengths=self.lengths[numbers],
        )

    @cached_property
    def own_lines(self) -> Index:
        """The line that starts at each end (n,), -1 for none."""
        own = np.full(len(self.tops), -1)
        for ends, away in ((self.second, 1 - self.part), (self.first, self.part)):
            at = np.flatnonzero(away * self.lengths <= _AT_END)
            own[ends[at]] = at
        return own

    @property
    def at_ends(self) -> Index:
        """The lines that start at ends."""
        return self.own_lines[self.own_lines >= 0]

    @cached_property
    def telling(self) -> Index:
        """The lines that can fail first: the ends' own, and those whose run bends down along the strip."""
        order = np.lexsort((self.part, self.second, self.first))
        before, here, after = order[:-2], order[1:-1], order[2:]
        alike = (self.first[before] == self.first[after]) & (self.second[before] == self.second[after])
        span = self.part[after] - self.part[before]
        share = (self.part[here] - self.part[before]) / np.where(span > 0, span, 1.0)
        runs, heads = self.lines.runs, self.lines.heads
        chord = runs[before] + share * (runs[after] - runs[before])
        level = (heads[before] == heads[here]) & (heads[here] == heads[after])
        tells = np.ones(len(order), dtype=bool)
        tells[1:-1] = ~alike | ~level | (runs[here] > chord + _BENT)
        return distinct(np.concatenate([order[tells], self.at_ends]))


def strips(bed: Bed, marks: tuple[Mark, ...], *, square: bool) -> Strips:
    """A bed's strips: they end at corners; where walls are not level at every mark, to which they are set.

    square: as in `all_lines`.
    """
    borders = bed.reach.floor.borders
    ends = [_ends(bed, border, marks) for border in borders]
    places = tuple(places for places, _ in ends)
    whole = np.vstack(places)
    step = max(_STEP, sum(float(border.lengths.sum()) for border in borders) / _MOST_LINES)
    fine = np.vstack([whole, *(_fine(border, step) for border in borders)])
    lines = _straight(bed, fine, square=square)
    located = first, _, part, lengths = between(borders, places, lines.starts)
    shares = share(runs_to_drain(bed, whole)[0])
    tops = np.concatenate([tops for _, tops in ends])
    found = Strips(places, tops, bed.height(whole), shares, lines, *located)
    once, _ = groups(first, np.round(part * lengths / _AT_END), np.round(lines.runs / _AT_END))
    return found.of(np.sort(once))


def share(runs: Array) -> Array:
    """How much of a hand's error a place has (k,) [-], so far [mm] from what it is set from.

    Beyond a level's reach it is read off the line and has all; nearer, the level lies between, and leans as much less
    as the run is shorter.
    """
    return np.clip(runs / LEVEL, 0.0, 1.0)


def between(borders: tuple[Border, ...], places: tuple[Array, ...], points: Array) -> tuple[Index, Index, Array, Array]:
    """Between which two ends points (k, 2) on borders lie, how far on (0 to 1), and their way [mm]."""
    rings, found = [shapely.linearrings(border.ring) for border in borders], shapely.points(points)
    nearest = np.argmin([shapely.distance(ring, found) for ring in rings], axis=0)
    first, second = np.zeros((2, len(points)), dtype=np.intp)
    part, lengths = np.zeros((2, len(points)))
    before = 0
    for number, (ring, own) in enumerate(zip(rings, places, strict=True)):
        here = nearest == number
        at, following, part[here], lengths[here] = _between(ring, own, found[here])
        first[here], second[here] = before + at, before + following
        before += len(own)
    return first, second, part, lengths


def _straight(bed: Bed, places: Array, *, square: bool) -> Lines:
    """The lines from borders on which the bed falls straight to a drain, where no valley leads."""
    if square and bed.has_level_walls:
        lines = square_lines(bed)
        return lines.of(on_border(bed, lines.starts, ON_BORDER))
    lines, bent = all_lines(bed, places, square=square), [part.drain for part in valley_parts(bed)]
    if not bent:
        return lines
    owners = bed.owners(lines.starts) if isinstance(bed, PartedWalls) else np.zeros(len(lines.runs))
    return lines.of(~np.isin(owners, bent))


def _ends(bed: Bed, border: Border, marks: tuple[Mark, ...]) -> tuple[Array, Array]:
    own = [mark for mark in marks if mark.ring_name == border.ring_name]
    if bed.has_level_walls or not own:
        return border.corners, bed.height(border.corners)
    return np.array([[mark.x, mark.y] for mark in own]), np.array([mark.above_drain for mark in own])


def _fine(border: Border, step: float) -> Array:
    counts = np.ceil(border.lengths / step - _EVEN).astype(np.intp)
    walls = np.repeat(np.arange(len(counts)), counts)
    alongs = [np.arange(count) * length / count for count, length in zip(counts, border.lengths, strict=True)]
    return border.on_walls(walls, np.concatenate(alongs))


def _between(ring: Shape, ends: Array, points: Shape) -> tuple[Index, Index, Array, Array]:
    stand, lie = (shapely.line_locate_point(ring, shapely.points(ends)), shapely.line_locate_point(ring, points))
    whole = float(shapely.length(ring))
    stand, lie = (np.where(places > whole - _AT_END, 0.0, places) for places in (stand, lie))
    order = np.argsort(stand, kind="stable")
    at = np.searchsorted(stand[order] - _AT_END, lie, side="right") - 1  # a place at an end is that end's
    following = (at + 1) % len(order)
    lengths = (stand[order[following]] - stand[order[at]]) % whole
    lengths = np.where(lengths > 0, lengths, whole)
    on = lie - stand[order[at]]
    part = np.where(np.abs(on) <= _AT_END, 0.0, on % whole) / lengths
    return order[at], order[following], np.clip(part, 0.0, 1.0), lengths
