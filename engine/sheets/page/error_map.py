"""The error map: how far the finished bed is off the plan, and where water stands."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
import shapely

from ...arrays import groups
from ...limits.words import length_over, nearly
from ...plan import Plan
from ...proof.mend import OFF
from ...quantities import Units, format_length
from ...types import Array, Mask, Shape
from .contours import at_corners, fine_triangles, over
from .edges import draw_edges, labels_round, name_corners
from .frame import Frame
from .labels import Canvas, around
from .legend import FACE, ROW, draw_signs, scale_words
from .spots import crossed, draw_drains, keep_off
from .svg import Drawing, Face, add, cut_off, path, patterns, picture, words

if TYPE_CHECKING:
    from ...proof.as_built import AsBuilt, BuiltStation
    from ...proof.water import Pond

_PARTS = 40  # of the floor's extent, a triangle each at most: 2 mm of paper
_ROOM = (48.0, 36.0)  # [mm of paper] for the floor itself
_MARGINS = (12.0, 5.5, 12.0, 16.0)
_UNDER = 7.0  # [mm of paper] from the floor to the legend
_MOST_NAMED = 40  # more cannot be read
_ERROR = Face(2.3, "drop")
_DEEP = Face(2.5, "drain")
_TIDY = 3  # digits of a millimetre to which two triangles' corners agree


def error_map(plan: Plan) -> Drawing | None:
    """The finished bed's errors at its readings, where it is too high or low, its water; None without any."""
    built, units = plan.as_built, plan.units
    if not built:
        return None
    floor = built.floor
    frame = Frame.around(np.vstack([floor.ring, *floor.islands]), _ROOM, _MARGINS, units)
    title = "How far it is off the plan, from above"
    root = picture("errors", frame.size, title, _says(built, units))
    canvas = Canvas(root, frame, labels_round(floor, frame), units)
    patterns(root, "high", "low", "water")
    _draw(canvas, built)
    cut_off(root, _legend(canvas, built))
    return Drawing(title, root)


def _draw(canvas: Canvas, built: AsBuilt) -> None:
    floor = built.floor
    draw_edges(canvas.root, floor, canvas.frame)
    triangles = fine_triangles(built.surface.bed, _PARTS)
    errors = at_corners(built.surface.error, triangles)
    for sign, name in ((1.0, "high"), (-1.0, "low")):
        _fill(canvas, over(triangles, sign * errors, OFF), name)
    heights = at_corners(built.surface.height, triangles)
    for pond in built.ponds:
        _fill(canvas, pond_shape(triangles, heights, pond), "water")
    draw_drains(canvas, built.surface.bed.reach.flanges)
    name_corners(canvas, floor)
    places = canvas.frame.paper(np.array([[station.x, station.y] for station in built.stations]))
    for place in places:
        crossed(canvas, place)
    keep_off(canvas, places)
    named = sorted(zip(built.stations, places, strict=True), key=lambda each: -round(abs(each[0].error), 6))
    off = sum(abs(station.error) > OFF for station in built.stations)
    for station, place in named[: min(off, _MOST_NAMED)]:
        _name(canvas, station, place)
    for pond in built.ponds:
        text = f"water {canvas.told(length_over(pond.depth, canvas.units))}"
        at = canvas.frame.spot(pond.x, pond.y)
        canvas.inside(text, np.concatenate([around(at, text, _DEEP.size, gap) for gap in (1.2, 4.0)]), _DEEP)
    for station, place in named[off:_MOST_NAMED]:  # the nearer to the plan, the less it says
        _name(canvas, station, place)


def _name(canvas: Canvas, station: BuiltStation, place: Array) -> None:
    text = _signed(canvas, station.error)
    canvas.inside(text, around(place, text, _ERROR.size, 1.0), _ERROR)


def _fill(canvas: Canvas, shape: Shape, name: str) -> None:
    for part in () if shape.is_empty else shapely.get_parts(shape):
        lines = [canvas.frame.paper(shapely.get_coordinates(ring)) for ring in shapely.get_rings(part)]
        path(canvas.root, lines, f"off-{name}", closed=True)


def _signed(canvas: Canvas, error: float) -> str:
    text = canvas.told(nearly(abs(error), canvas.units))
    if text == canvas.told(nearly(0.0, canvas.units)):
        return text
    return f"+{text}" if error > 0 else f"-{text}"


def _signs(canvas: Canvas, built: AsBuilt) -> Iterator[tuple[str, str]]:
    units = canvas.units
    yield "reading", f"reading: {units.value} over (+) or under (-) the plan"
    most = format_length(OFF, units)
    errors = built.surface.errors
    if (errors > OFF).any():
        yield "high", f"more than {most} high"
    if (errors < -OFF).any():
        yield "low", f"more than {most} low"
    if built.ponds:
        yield "water", f"standing water, {units.value} deep"


def _legend(canvas: Canvas, built: AsBuilt) -> float:
    at = np.array([1.0, canvas.frame.size[1] - canvas.frame.margins[3] + _UNDER])
    words(canvas.root, scale_words(canvas.frame.scale, canvas.units), at, FACE)
    return draw_signs(canvas, _signs(canvas, built), at + np.array([0.0, ROW]), _sign)


def _sign(canvas: Canvas, sign: str, at: Array) -> None:
    if sign == "reading":
        crossed(canvas, at + np.array([3.2, 0.0]))
    else:
        add(canvas.root, "rect", x=at[0] + 0.5, y=at[1] - 1.3, width=5.4, height=2.6, class_=f"off-{sign}")


def _says(built: AsBuilt, units: Units) -> str:
    high = nearly(max(float(built.surface.errors.max()), 0.0), units)
    low = nearly(max(-float(built.surface.errors.min()), 0.0), units)
    return (
        f"Errors of the finished bed at {len(built.stations)} readings, from {low} low to {high} high; "
        f"places where water stands: {len(built.ponds)}."
    )


def pond_shape(triangles: Array, heights: Array, pond: Pond) -> Shape:
    """What a pond covers of triangles (t, 3, 2); empty where no corner lies under it.

    heights: at their corners (t, 3) [mm], over the datum of the pond's level.
    """
    near = np.flatnonzero(_near(triangles, pond))
    wet = near[_wetted(triangles[near], heights[near], pond)]
    return over(triangles[wet], -heights[wet], -pond.level)


def _near(triangles: Array, pond: Pond) -> Mask:
    """The triangles (t,) a pond may reach: within its box's diagonal of its deepest place."""
    place, across = np.array([pond.x, pond.y]), math.hypot(pond.long, pond.wide)
    beyond = (triangles.min(axis=1) > place + across) | (triangles.max(axis=1) < place - across)
    return np.asarray(~beyond.any(axis=1))


def _wetted(triangles: Array, heights: Array, pond: Pond) -> Mask:
    corners = np.round(triangles.reshape(-1, 2), _TIDY)
    first, owner = groups(*corners.T)
    owner, under = owner.reshape(-1, 3), heights < pond.level
    low = np.zeros(len(first), dtype=bool)
    low[owner[under]] = True
    away = np.hypot(*(corners[first] - (pond.x, pond.y)).T)
    wet = np.zeros(len(first), dtype=bool)
    wet[np.where(low, away, np.inf).argmin()] = low.any()
    while True:
        reached = (wet[owner] & under).any(axis=1)
        before = np.count_nonzero(wet)
        wet[owner[reached][under[reached]]] = True
        if np.count_nonzero(wet) == before:
            return np.asarray(reached)
