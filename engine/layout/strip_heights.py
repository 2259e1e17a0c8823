"""Strip heights: how high a strip is cut along its wall."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from ..quantities import round_down, round_up
from ..records import record
from .wall_lines import WallLine

_LEVEL = 1e-6  # [mm] a bed that varies less along a wall is level
LOWEST_STRIP = 6.0  # [mm] a lower strip splits when it is ripped and fixed (common practice, no source)
_NOTCHED = 0.25  # of a wall's length may be notched (common practice, no source)
_LEAST_NOTCH = 0.5  # [mm] shorter ones are a stroke of the rasp


@record
class CutPoint:
    """A place along a strip: top over the datum, the height cut there, and what is left under it; all [mm]."""

    along: float
    top: float
    height: float
    gap: float


@record
class Notch:
    """A stretch of a strip's foot to cut away over a high spot: along its wall, how high at most [mm]."""

    start: float
    end: float
    height: float


@record
class Heights:
    """A strip's heights, all [mm].

    height, gap: of a strip of one height: the least depth less what it is cut short, in whole steps down, and the most
    left under it. points: as it is cut; notches: where its foot is cut away; lowest: its least cut height.
    """

    height: float
    gap: float
    is_sloped: bool
    points: tuple[CutPoint, ...]
    notches: tuple[Notch, ...]
    lowest: float


def heights(line: WallLine, short: float, step: float) -> Heights:
    """The heights of the strip along a wall that stays `short` clear of the floor, in whole steps down; all [mm].

    Where the bed is level along the wall so is the foot: one height does. Else the top follows the bed, and the foot is
    the lowest straight line clear of the floor, as a board stands. Where a high spot leaves too little the foot is
    lowered till a quarter of its length is notched.
    """
    depths = [top - below for top, below in zip(line.bed, line.rough, strict=True)]
    height = round_down(min(depths) - short, step)
    is_sloped = max(line.bed) - min(line.bed) > _LEVEL
    foot = _resting(line).raised(short) if is_sloped else _Foot(line.bed[0] - height, 0.0)
    notches: tuple[Notch, ...] = ()
    lowest = min(top - foot.at(x) for x, top in zip(line.alongs, line.bed, strict=True)) if is_sloped else height
    if lowest < LOWEST_STRIP:
        spare = [foot.at(x) - z - short for x, z in zip(line.alongs, line.rough, strict=True)]
        lower = round_down(_share_of_length(line.alongs, spare, _NOTCHED), step)
        foot, lowest = foot.raised(-lower), lowest + lower
        notches = _notches(line.alongs, [value - lower for value in spare], step)
    return Heights(
        height=height,
        gap=max(depths) - height,
        is_sloped=is_sloped,
        points=_cut_points(line, depths, foot, step),
        notches=notches,
        lowest=lowest,
    )


@record
class _Foot:
    """A strip's straight foot: its height over the datum at the wall's first corner [mm], its slope [-]."""

    start: float
    slope: float

    def at(self, along: float) -> float:
        return self.start + along * self.slope

    def raised(self, by: float) -> _Foot:
        return _Foot(self.start + by, self.slope)


def _cut_points(line: WallLine, depths: list[float], foot: _Foot, step: float) -> tuple[CutPoint, ...]:
    points: list[CutPoint] = []
    for i in _told(line, depths):
        along, top = line.alongs[i], line.bed[i]
        if points and along - points[-1].along <= _LEVEL:
            continue
        height = round_down(top - foot.at(along), step)
        points.append(CutPoint(along, top, height, depths[i] - height))
    return tuple(points)


def _told(line: WallLine, depths: list[float]) -> list[int]:
    told = {i for i, is_mark in enumerate(line.is_mark) if is_mark}
    for values in (depths, [-depth for depth in depths], line.bed):
        least = min(values)
        if min(map(values.__getitem__, told)) > least + _LEVEL:
            told.add(values.index(least))
    return sorted(told)


def _resting(line: WallLine) -> _Foot:
    """The straight line over the rough floor that is lowest at the wall's middle.

    It is the upper hull's edge (monotone chain, Andrew 1979) that spans the middle.
    """
    hull: list[tuple[float, float]] = []
    for x, z in zip(line.alongs, line.rough, strict=True):
        while len(hull) > 1 and _is_under(hull[-2], hull[-1], (x, z)):
            hull.pop()
        if not hull or x > hull[-1][0]:
            hull.append((x, z))
    middle = line.alongs[-1] / 2
    last = next(i for i in range(1, len(hull)) if hull[i][0] >= middle)
    (x0, z0), (x1, z1) = hull[last - 1], hull[last]
    slope = (z1 - z0) / (x1 - x0)
    return _Foot(z0 - x0 * slope, slope)


def _is_under(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> bool:
    return (b[1] - a[1]) * (c[0] - a[0]) <= (c[1] - a[1]) * (b[0] - a[0])


def _share_of_length(alongs: list[float], values: list[float], share: float) -> float:
    levels, at = np.sort(values), np.array(values)
    low, high = np.minimum(at[:-1], at[1:]), np.maximum(at[:-1], at[1:])
    rise = np.where(high > low, high - low, 1.0)
    parts = np.clip((levels[:, None] - low) / rise, 0.0, 1.0)
    below = np.where(high > low, parts, levels[:, None] >= high) @ np.diff(alongs)
    return float(np.interp(share * alongs[-1], below, levels))


def _notches(alongs: list[float], spare: list[float], step: float) -> tuple[Notch, ...]:
    found: list[Notch] = []
    for (x0, x1), (a, b) in zip(pairwise(alongs), pairwise(spare), strict=True):
        if min(a, b) >= 0 or x1 <= x0:
            continue
        crossing = x0 + (x1 - x0) * a / (a - b) if (a < 0) != (b < 0) else x1
        start, end = (x0, crossing) if a < 0 else (crossing, x1)
        if found and start <= found[-1].end + _LEVEL:
            found[-1] = Notch(found[-1].start, end, max(found[-1].height, -min(a, b)))
        else:
            found.append(Notch(start, end, -min(a, b)))
    return tuple(
        Notch(notch.start, notch.end, round_up(notch.height, step))
        for notch in found
        if notch.end - notch.start >= _LEAST_NOTCH
    )
