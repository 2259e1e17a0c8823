"""The side view: the floor cut through the drain, heights drawn too tall, and told so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import shapely

from ...arrays import distinct
from ...bed.flange import Flange
from ...job.defaults import over_liner, tiled
from ...job.model import EdgeKind
from ...limits.words import length_over, length_under
from ...plan import FloorOutline, Plan
from ...quantities import INCH, Units, format_length
from ...records import result
from ...types import Array, Mask
from ..cut import AHEAD, Cut, CutFrom, cut_through
from .frame import scale_for
from .labels import width
from .svg import Drawing, Face, add, line, path, patterns, picture, words

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

# Lengths in [mm of paper].
_ROOM = 76.0  # for the cut itself
_SIDE = 25.0  # for the words at either end
_TALL = 16.5  # for all heights
_GROUND = 3.5  # of rough floor under its lowest place
_TOP = 4.8
_BOTTOM = 8.6
_TIMES = (1, 2, 3, 4, 5, 6, 8, 10)
_SAMPLES = 241
_SIZE = 2.6  # letters
_FIRST = _TOP - 3.0  # an end's first line of words
_ROW = 3.6  # from line to line
_ROWS = 5


@result
class _Section:
    """A cut as drawn: the scale across, how many times taller heights are, and the heights (k,) [mm].

    Its methods tell places on paper [mm].
    """

    cut: Cut
    scale: float
    times: float
    along: Array
    on_floor: Mask
    rough: Array
    bed: Array
    upper: float
    tile: float
    units: Units

    @property
    def low(self) -> float:
        return min(float(self.rough[self.on_floor].min()), 0.0)

    @property
    def high(self) -> float:
        return max(float(self.bed[self.on_floor].max()), 0.0) + self.upper + self.tile

    @property
    def size(self) -> tuple[float, float]:
        return self.cut.length / self.scale + 2 * _SIDE, self.foot + _BOTTOM

    @property
    def foot(self) -> float:
        """Where the cut and all words beside it end."""
        return max(self.up(self.low) + _GROUND, _FIRST + _ROWS * _ROW + 1.0)

    def across(self, along: Array | float) -> Array:
        return np.asarray(along) / self.scale + _SIDE

    def up(self, height: float) -> float:
        return _TOP + (self.high - height) * self.times / self.scale

    def line(self, heights: Array) -> Array:
        y = _TOP + (self.high - heights) * self.times / self.scale
        return np.column_stack([self.across(self.along), y])


def side_view(plan: Plan, room: float = _ROOM) -> Drawing | None:
    """The cut from the way out, else the longest, through the first drain; None without a bed."""
    section = _section(plan, room)
    if section is None:
        return None
    tall = f"; heights drawn {section.times:g} times too tall" if section.times > 1 else ""
    drain = "the drain" if len(plan.job.drains) == 1 else "drain 1"
    title = f"Side view through {drain}, {_from(section.cut)}{tall}"
    root = picture("side", section.size, title, " ".join(_says(section)))
    patterns(root, "mud", "ground", "tile")
    _layers(root, section)
    _drain(root, section)
    _ends(root, section)
    _drain_words(root, section, plan)
    _fillings(root, section)
    return Drawing(title, root)


def _from(cut: Cut) -> str:
    ends = ((cut.wall, cut.kind), (cut.far_wall, cut.far_kind))
    return "from " + " to ".join(name if kind is EdgeKind.WALL else f"{name} ({kind.value})" for name, kind in ends)


def _section(plan: Plan, room: float) -> _Section | None:
    floor, bed, rough, drains = plan.outline, plan.bed, plan.rough, plan.drains
    if not floor or not bed or not rough or not drains:
        return None
    cut = _cut(floor, drains[0].flange)
    along = distinct(np.append(np.linspace(0.0, cut.length, _SAMPLES), np.clip(cut.rim, 0.0, cut.length)))
    points = cut.points(along)
    on_floor = shapely.dwithin(floor.polygon, shapely.points(points), AHEAD)
    heights = np.zeros((2, len(along)))
    for surface, row in zip((rough, bed), heights, strict=True):
        row[on_floor] = surface.height(points[on_floor])
    upper, tile = over_liner(plan.job), tiled(plan.job)
    section = _Section(cut, 1.0, 1.0, along, on_floor, heights[0], heights[1], upper, tile, plan.units)
    return _scaled(section, room)


def _cut(floor: FloorOutline, flange: Flange) -> Cut:
    cuts = [cut_through(floor, flange, wall, CutFrom.FOOT) for wall in floor.walls]
    lines = shapely.linestrings(np.array([[cut.start, cut.end] for cut in cuts]))
    on_floor = shapely.covers(shapely.buffer(floor.polygon, 1.0), lines).tolist()
    whole = [cut for cut, is_whole in zip(cuts, on_floor, strict=True) if is_whole]
    out = [cut for cut in whole if cut.kind is not EdgeKind.WALL]
    return max(out or whole or cuts, key=lambda each: round(each.length, 3))


def _scaled(section: _Section, room: float) -> _Section:
    scale = scale_for((section.cut.length, 1.0), (room, 1.0), section.units)
    tall = (section.high - section.low) / scale
    times = next((times for times in reversed(_TIMES) if tall * times <= _TALL), 1)
    return replace(section, scale=scale, times=float(times))


def _says(section: _Section) -> Iterator[str]:
    units = section.units
    for end, wall in ((0, section.cut.wall), (-1, section.cut.far_wall)):
        bed, deep = _at_end(section, end)
        yield f"At {wall} the bed is {length_over(bed, units)} over the drain and {length_over(deep, units)} deep."
    yield "From below: rough floor, bed, tile."


def _at_end(section: _Section, end: int) -> tuple[float, float]:
    return float(section.bed[end]), float(section.bed[end] - section.rough[end])


# --- what lies where


def _runs(mask: Mask) -> Iterator[slice]:
    edges = np.flatnonzero(np.diff(mask.astype(int), prepend=0, append=0))
    for start, end in edges.reshape(-1, 2).tolist():
        if end - start > 1:
            yield slice(start, end)


def _layers(root: Element, section: _Section) -> None:
    rough, bed = section.line(section.rough), section.line(section.bed)
    upper = section.line(section.bed + section.upper)
    top = section.line(section.bed + section.upper + section.tile)
    low = section.up(section.low) + _GROUND
    start, end = section.cut.rim
    for run in _runs(section.on_floor):
        ground = np.column_stack([rough[run][:, 0], np.full(len(rough[run]), low)])
        _between(root, rough[run], ground, "ground")
        path(root, [rough[run]], "rough-line")
        _between(root, bed[run], np.maximum(rough[run], bed[run]), "mud")
    for side in (section.along <= start, section.along >= end):
        for run in _runs(section.on_floor & side):
            if section.upper:
                _between(root, upper[run], bed[run], "mud")
                path(root, [bed[run]], "liner")
            _between(root, top[run], upper[run], "tile")


def _between(root: Element, upper: Array, lower: Array, class_: str) -> None:
    path(root, [np.concatenate([upper, lower[::-1]])], class_, closed=True)


def _drain(root: Element, section: _Section) -> None:
    x0, x1 = section.across(np.array(section.cut.rim)).tolist()
    zero, low = section.up(0.0), section.up(section.low) + _GROUND
    middle, half = (x0 + x1) / 2, min((x1 - x0) * 0.18, 3.0)
    add(root, "rect", x=middle - half, y=zero, width=2 * half, height=low - zero + 1.0, class_="outlet")
    add(root, "rect", x=x0, y=zero, width=x1 - x0, height=0.8, class_="solid")
    top = section.up(section.upper + section.tile)
    add(root, "rect", x=middle - half * 1.6, y=top, width=half * 3.2, height=0.7, class_="solid")
    path(root, [np.array([[x, top], [x, zero]]) for x in (middle - half, middle + half)], "outlet-line")


def _ends(root: Element, section: _Section) -> None:
    top, low = _TOP - 3.5, section.up(section.low) + _GROUND
    for end, sign, kind in ((0, -1.0, section.cut.kind), (-1, 1.0, section.cut.far_kind)):
        x = float(section.across(section.along[end]))
        if kind is not EdgeKind.OPEN:
            wide, class_ = (3.4, "curb-cut") if kind is EdgeKind.CURB else (1.2, "solid")
            left = min(x, x + sign * wide)
            add(root, "rect", x=left, y=top, width=wide, height=low - top, class_=class_)
        _end_words(root, section, end, sign, x)


def _end_words(root: Element, section: _Section, end: int, sign: float, x: float) -> None:
    cut, units = section.cut, section.units
    name, kind = (cut.wall, cut.kind) if end == 0 else (cut.far_wall, cut.far_kind)
    bed, deep = _at_end(section, end)
    lines = [
        name if kind is EdgeKind.WALL else f"{name}, {kind.value}",
        "bed over drain",
        length_over(bed, units),
        "depth of the bed",
        length_over(deep, units),
    ]
    for i, text in enumerate(lines):
        at = np.array([x + sign * 4.6, _FIRST + i * _ROW])
        words(root, text, at, Face(_SIZE, ("start" if sign > 0 else "finish") + ("" if i in (1, 3) else " strong")))


def _drain_words(root: Element, section: _Section, plan: Plan) -> None:
    if not plan.drains:
        return
    units, drain = plan.units, plan.drains[0]
    text = f"flange {length_over(drain.above_rough, units)} over the rough floor"
    if drain.drop is not None:
        text += f", {length_under(drain.drop, units)} under the line"
    middle, half = float(section.across(section.cut.drain)), width(text, _SIZE) / 2
    x = min(max(middle, half), section.size[0] - half)
    words(root, text, np.array([x, section.foot + 3.2]), Face(_SIZE))


def _fillings(root: Element, section: _Section) -> None:
    y, x, units = section.size[1] - 2.4, 1.0, section.units
    beds = ("bed, liner (dashed), bed",) if section.upper else ("bed",)
    for class_, text in (("tile", "tile, mortar"), ("mud", *beds), ("ground", "rough floor")):
        add(root, "rect", x=x, y=y - 1.3, width=6.0, height=2.6, class_=f"{class_} framed")
        words(root, text, np.array([x + 7.2, y]), Face(_SIZE, "start"))
        x += 9.5 + width(text, _SIZE) * 0.86
    height = INCH if units is Units.INCH else 20.0
    tall = height * section.times / section.scale
    low, x = section.foot, 1.5
    for level in (low, low - tall):
        line(root, np.array([x - 1.0, level]), np.array([x + 1.0, level]), "dimension")
    line(root, np.array([x, low]), np.array([x, low - tall]), "dimension")
    at = np.array([x + 1.6, min(max(low - tall / 2, _FIRST + _ROWS * _ROW), low + 2.0)])
    words(root, f"{format_length(height, units)} high", at, Face(_SIZE, "start"))
