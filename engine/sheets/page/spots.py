"""Places on the drawing: drains, readings, thinnest and deepest, findings."""

import numpy as np
import shapely

from ...bed.depth import Depth
from ...bed.flange import Flanges
from ...limits.findings import Finding
from ...plan import Station
from ...types import Array
from .labels import Canvas, around, width
from .svg import Face, add, path, words

MOST_CROSSES = 400  # more would blacken the drawing
_MOST_DROPS = 40  # more cannot be read
_CROSS = 0.9 * np.array([[[-1.0, 0.0], [1.0, 0.0]], [[0.0, -1.0], [0.0, 1.0]]])  # [mm]
DIAMOND = 1.6 * np.array([[0.0, -1.0], [1.0, 0.0], [0.0, 1.0], [-1.0, 0.0]])  # [mm]
BADGE = 1.9  # [mm] half a finding's badge
_DRAIN = Face(3.1, "drain")
_DROP = Face(2.3, "drop")
_EXTREME = Face(2.3, "extreme-name")
_NUMBER = Face(2.7, "badge-number")


def draw_drains(canvas: Canvas, flanges: Flanges) -> None:
    """The flanges, each with axes and name."""
    frame = canvas.frame
    for i, flange in enumerate(flanges, start=1):
        centre, corners = frame.paper(flange.centre[None])[0], frame.paper(flange.corners)
        if flange.is_round:
            radius = flange.half / frame.scale
            add(canvas.root, "circle", cx=centre[0], cy=centre[1], r=radius, class_="flange")
            canvas.labels.take(shapely.Point(centre).buffer(radius))
        else:
            path(canvas.root, [corners], "flange", closed=True)
            canvas.labels.take(shapely.polygons(corners))
        arms = flange.frame * flange.halves[:, None]
        ends = [frame.paper(flange.centre + np.array([-1.0, 1.0])[:, None] * arm) for arm in arms]
        path(canvas.root, ends, "axis")
        name = "drain" if len(flanges) == 1 else f"drain {i}"
        canvas.inside(name, _round_about(corners, name), _DRAIN)


def _round_about(corners: Array, text: str) -> list[Array]:
    (left, top), (right, low) = corners.min(axis=0), corners.max(axis=0)
    middle, half = (left + right) / 2, width(text, _DRAIN.size) / 2 + 1.0
    level = [np.array([x, (top + low) / 2]) for x in (right + half, left - half)]
    return [np.array([middle, low + 2.4]), np.array([middle, top - 2.4]), *level]


def keep_off_readings(canvas: Canvas, stations: tuple[Station, ...]) -> None:
    """Leaves the readings' crosses free of words."""
    keep_off(canvas, _crosses(canvas, stations))


def _crosses(canvas: Canvas, stations: tuple[Station, ...]) -> Array:
    places = [[station.x, station.y] for station in stations] if len(stations) <= MOST_CROSSES else []
    return canvas.frame.paper(np.array(places).reshape(-1, 2))


def keep_off(canvas: Canvas, places: Array) -> None:
    """Leaves crosses at places (k, 2) on the paper free of words."""
    for place in places:
        canvas.labels.take(shapely.box(*(place - 1.0), *(place + 1.0)))


def draw_readings(canvas: Canvas, stations: tuple[Station, ...]) -> None:
    """A cross at each reading; of a few, the drop beside it."""
    places = _crosses(canvas, stations)
    for place in places:
        crossed(canvas, place)
    if len(stations) <= _MOST_DROPS:
        for station, place in zip(stations, places, strict=True):
            text = canvas.bare(station.drop)
            canvas.inside(text, around(place, text, _DROP.size, 1.0), _DROP)


def crossed(canvas: Canvas, at: Array) -> None:
    """A reading's sign: a cross in a ring, seen on a wall's line too."""
    add(canvas.root, "circle", cx=at[0], cy=at[1], r=0.9, class_="ring")
    path(canvas.root, list(at + _CROSS), "reading")


def draw_extremes(canvas: Canvas, depth: Depth) -> None:
    """Signs where the bed is thinnest and deepest."""
    for spot in (depth.least, depth.most):
        at = canvas.frame.spot(spot.x, spot.y)
        path(canvas.root, [at + DIAMOND], "extreme", closed=True)
        canvas.labels.take(shapely.Point(at).buffer(1.4))


def name_extremes(canvas: Canvas, depth: Depth) -> None:
    """What those signs mean, beside them."""
    for name, spot in (("thinnest", depth.least), ("deepest", depth.most)):
        at = canvas.frame.spot(spot.x, spot.y)
        canvas.inside(name, around(at, name, _EXTREME.size, 1.6), _EXTREME)


def draw_findings(canvas: Canvas, findings: list[tuple[int, Finding]]) -> None:
    """A numbered badge beside each finding's place, tied to it by a line."""
    for number, finding in findings:
        if finding.x is None or finding.y is None:
            continue
        at = canvas.frame.spot(finding.x, finding.y)
        found = canvas.labels.find("00", around(at, "00", 2 * BADGE, 1.0), 2 * BADGE, inside=True)
        where = at if found is None else found
        path(canvas.root, [np.array([at, where])], "leader")
        add(canvas.root, "circle", cx=at[0], cy=at[1], r=0.5, class_="dot")
        badge(canvas, where, BADGE, finding.level.value)
        words(canvas.root, str(number), where, _NUMBER)


def badge(canvas: Canvas, at: Array, half: float, level: str = "") -> None:
    """A finding's badge round a place, twice `half` [mm of paper] wide."""
    x, y = (at - half).tolist()
    classes = f"badge {level}".rstrip()
    add(canvas.root, "rect", x=x, y=y, width=2 * half, height=2 * half, rx=0.6, class_=classes)
