"""The floor's edge on paper: walls, curbs and open edges, their letters and lengths."""

from collections.abc import Sequence
from xml.etree.ElementTree import Element

import numpy as np
import shapely

from ...job.model import EdgeKind
from ...layout.marks import Mark
from ...quantities import format_length
from ...survey.border import Border
from ...survey.outline import FloorOutline
from ...types import Array
from .frame import Frame
from .labels import Canvas, Labels, width
from .svg import Face, add, line, path, upright, words

LETTER = Face(4.4, "corner")
LENGTH = Face(3.1, "length")
ALONG = Face(2.3, "along")
_OUT = (6.3, 7.6, 9.2, 3.9)  # [mm] off the edge, for lengths, in the order tried
_IN = (3.0, 4.5)  # [mm] and inside, where the floor leaves no room outside
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)  # of a wall: where its length may stand
_LETTER_OUT = (4.6, 6.0, 7.5, 9.5)
_NUMBER_IN = (1.8, 2.4, 3.2)  # [mm] off an island's corner, its number
_TICK_OUT = (3.4, 4.6, 2.9)
_TICK = 1.9  # [mm]


def draw_edges(root: Element, floor: FloorOutline, frame: Frame) -> None:
    """All round the floor: bands outside its edge, then the blank floor, then its edge."""
    walls = [frame.paper(_points(floor, i)) for i in range(len(floor.walls))]
    bands = add(root, "g", class_="bands")
    for kind, classes in _BANDS.items():
        for wall, own in zip(walls, floor.kinds, strict=True):
            if own is kind:
                for class_ in classes:
                    path(bands, [wall], class_)
    path(root, [frame.paper(ring) for ring in (floor.ring, *floor.islands)], "floor", closed=True)
    for island in floor.islands:
        path(root, [frame.paper(island)], "island", closed=True)
    for wall, kind, name in zip(walls, floor.kinds, floor.walls, strict=True):
        path(root, [wall], f"edge {kind.value}").set("data-wall", name)


# Walls over curbs, so that they meet squarely.
_BANDS = {EdgeKind.CURB: ("band-curb", "band-curb-inside"), EdgeKind.WALL: ("band-wall",)}


def _points(floor: FloorOutline, wall: int) -> Array:
    sides = floor.sides
    return np.vstack([sides.starts[sides.walls == wall], floor.ends[wall]])


def _outward(border: Border, wall: int, along: float) -> Array:
    return -border.square_to(wall, along) * [1.0, -1.0]


def _from_corner(border: Border, corner: int) -> Array:
    way = _outward(border, corner - 1, border.length(corner - 1)) + _outward(border, corner, 0.0)
    return way / max(float(np.hypot(*way)), 0.1)


def name_corners(canvas: Canvas, floor: FloorOutline) -> None:
    """The corners' letters, outside the floor."""
    for i, (name, corner) in enumerate(zip(floor.names, canvas.frame.paper(floor.corners), strict=True)):
        places = [corner + _from_corner(floor, i) * far for far in _LETTER_OUT]
        if not canvas.outside(name, places, LETTER):
            words(canvas.root, name, places[0], LETTER)
    for island in floor.borders[1:]:
        _number_corners(canvas, island)


def _number_corners(canvas: Canvas, island: Border) -> None:
    middle = shapely.point_on_surface(shapely.polygons(canvas.frame.paper(island.corners)))
    canvas.outside(island.ring_name, [np.array([middle.x, middle.y])], ALONG)
    for i, corner in enumerate(canvas.frame.paper(island.corners)):
        away = _from_corner(island, i)
        if not canvas.outside(str(i + 1), [corner + away * far for far in _NUMBER_IN], ALONG):
            canvas.inside(str(i + 1), [corner - away * far for far in _NUMBER_IN], ALONG)


def name_walls(canvas: Canvas, floor: FloorOutline) -> None:
    """The walls' lengths along them, with the word for what is no wall."""
    for i, kind in enumerate(floor.kinds):
        text = format_length(floor.length(i), canvas.units) + _SAID[kind]
        turned = upright(floor.directions[i] * [1.0, -1.0])
        outside, inside = _beside(canvas, floor, i, _OUT), _beside(canvas, floor, i, [-far for far in _IN])
        if not (canvas.outside(text, outside, LENGTH, turned) or canvas.inside(text, inside, LENGTH, turned)):
            words(canvas.root, text, outside[0], LENGTH, turned)


def _beside(canvas: Canvas, floor: FloorOutline, wall: int, fars: Sequence[float]) -> list[Array]:
    places = []
    for share in _SHARES:
        along = floor.length(wall) * share
        at, out = canvas.frame.paper(floor.on_wall(wall, np.array([along])))[0], _outward(floor, wall, along)
        places += [at + out * far for far in fars]
    return places


_SAID = {EdgeKind.WALL: "", EdgeKind.CURB: " curb", EdgeKind.OPEN: " open edge"}


def tick_marks(canvas: Canvas, marks: tuple[Mark, ...], floor: FloorOutline) -> None:
    """Wall marks: a tick outside the wall, with how far along it stands."""
    for mark in marks:
        if mark.along is None:
            continue
        at, out = canvas.frame.spot(mark.x, mark.y), _outward(*floor.border_of(mark.at), mark.along)
        line(canvas.root, at, at + out * _TICK, "tick")
        text = canvas.bare(mark.along)
        beside = abs(float(out[0])) * (width(text, ALONG.size) - ALONG.size) / 2
        canvas.outside(text, [at + out * (far + beside) for far in _TICK_OUT], ALONG)


def labels_round(floor: FloorOutline, frame: Frame) -> Labels:
    """Room for words on the floor, and outside off its bands."""
    labels = Labels(shapely.Polygon(frame.paper(floor.ring), [frame.paper(ring) for ring in floor.islands]))
    for i, kind in enumerate(floor.kinds):
        if kind is not EdgeKind.OPEN:
            wall = shapely.linestrings(frame.paper(_points(floor, i)))
            band = shapely.buffer(wall, 2.3 if kind is EdgeKind.CURB else 1.2, cap_style="flat")
            labels.take(shapely.difference(band, labels.floor))
    return labels
