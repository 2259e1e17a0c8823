"""The plan drawing: the floor from above, to scale, with all that has a place."""

import numpy as np
import shapely

from ...bed.drains import flanges
from ...bed.flange import Flanges
from ...limits.findings import Finding
from ...plan import FloorOutline, Plan
from ...quantities import format_length
from ...survey.place_words import place_words
from ...types import Array
from .contours import BedLines, Contour, bed_lines
from .edges import draw_edges, labels_round, name_corners, name_walls, tick_marks
from .frame import Frame
from .labels import Canvas
from .legend import draw_legend, scale_words
from .spots import draw_drains, draw_extremes, draw_findings, draw_readings, keep_off_readings, name_extremes
from .svg import Drawing, Face, cut_off, path, patterns, picture

# Lengths in [mm of paper].
_WIDE = 104.0  # for the floor itself
_TALL, _LEAST_TALL = 90.0, 60.0  # without findings, and with many
_STOP, _FINDING = 18.0, 7.5  # that the sheet needs for them
_MARGINS = (11.5, 9.5, 11.5, 25.0)
_STRAIGHT = 0.03  # lesser bends of a contour are left out
_LEVEL = Face(2.3, "level")
_PARTS = (0.12, 0.62, 0.37, 0.87, 0.25, 0.5, 0.75, 0.05, 0.95, 0.3, 0.7)  # of a contour, where its name may stand
_LEAST_WIDTH, _LEGEND = 112.0, 14.0  # for the legend; what it takes more than a small floor


def plan_drawing(
    plan: Plan, findings: list[tuple[int, Finding]], room: tuple[float, float] | None = None
) -> Drawing | None:
    """The floor from above, in a room [mm of paper], with its legend; None without an outline."""
    floor, units = plan.outline, plan.units
    if not floor:
        return None
    rings = flanges(plan.job, floor)
    if not rings:
        rings = ()
    frame = _frame(plan, floor, room or (_WIDE, _tall(plan)))
    title = f"The floor from above, {scale_words(frame.scale, units)}"
    root = picture("plan", frame.size, title, _says(plan, floor, rings))
    canvas = Canvas(root, frame, labels_round(floor, frame), units)
    lines = bed_lines(plan.bed, units, _STRAIGHT * frame.scale)
    patterns(root, "post")
    _draw_floor(canvas, plan, floor, lines)
    keep_off_readings(canvas, plan.readings)
    draw_drains(canvas, rings)
    draw_findings(canvas, findings)
    _draw_measured(canvas, plan)
    for contour in lines.contours:
        canvas.inside(canvas.bare(contour.level), _along(contour, frame), _LEVEL)
    cut_off(root, draw_legend(canvas, plan, lines))
    return Drawing(title, root)


def _draw_floor(canvas: Canvas, plan: Plan, floor: FloorOutline, lines: BedLines) -> None:
    draw_edges(canvas.root, floor, canvas.frame)
    for contour in lines.contours:
        path(canvas.root, [canvas.frame.paper(line) for line in contour.lines], "contour")
    for points in (*(ridge.points for ridge in lines.ridges), *lines.level):
        path(canvas.root, [canvas.frame.paper(points)], "ridge")
    for ends in lines.valleys:
        path(canvas.root, [canvas.frame.paper(ends)], "valley")
    name_corners(canvas, floor)
    if plan.marks:
        tick_marks(canvas, plan.marks, floor)
    name_walls(canvas, floor)


def _draw_measured(canvas: Canvas, plan: Plan) -> None:
    if not plan.depth:
        draw_readings(canvas, plan.readings)
        return
    draw_extremes(canvas, plan.depth)
    draw_readings(canvas, plan.readings)
    name_extremes(canvas, plan.depth)


def _frame(plan: Plan, floor: FloorOutline, room: tuple[float, float]) -> Frame:
    points = np.vstack([floor.ring, *floor.islands])
    frame = Frame.around(points, room, _MARGINS, plan.units)
    spare = max(0.0, min(_LEAST_WIDTH, room[0] + _LEGEND) - frame.size[0]) / 2
    left, top, right, bottom = _MARGINS
    return Frame.around(points, room, (left + spare, top, right + spare, bottom), plan.units)


def _tall(plan: Plan) -> float:
    taken = _FINDING * (len(plan.findings) + len(plan.needs))
    if plan.has_stop:
        taken += _STOP
    return max(_LEAST_TALL, _TALL - taken)


def _says(plan: Plan, floor: FloorOutline, rings: Flanges) -> str:
    units = plan.units
    walls = ", ".join(
        f"{wall} {format_length(floor.length(i), units)}"
        + ("" if floor.kinds[i].value == "wall" else f" ({floor.kinds[i].value})")
        for i, wall in enumerate(floor.walls)
    )
    drains = "; ".join(
        f"a {ring.kind.value} drain {place_words(float(ring.centre[0]), float(ring.centre[1]), floor, units)}"
        for ring in rings
    )
    return f"Outline with corners {floor.names[0]} to {floor.names[-1]}: {walls}." + (f" {drains}." if drains else "")


def _along(contour: Contour, frame: Frame) -> list[Array]:
    longest = shapely.linestrings(frame.paper(contour.lines[0]))
    return list(shapely.get_coordinates(shapely.line_interpolate_point(longest, _PARTS, normalized=True)))
