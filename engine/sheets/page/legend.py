"""Under the plan drawing: its scale, a bar to check it, what lines and signs mean."""

from collections.abc import Callable, Iterable, Iterator

import numpy as np

from ...job.model import EdgeKind
from ...plan import Plan
from ...quantities import FOOT, INCH, Units, format_length
from ...types import Array
from .contours import BedLines
from .labels import Canvas, width
from .spots import DIAMOND, MOST_CROSSES, badge, crossed
from .svg import Face, add, line, path, words

FACE = Face(2.5, "legend")
_FIGURE = Face(2.5, "bar-figure")
_NARROW = 0.84  # what small letters take of a label's reckoned width
_UNDER = 13.0  # [mm of paper] from the floor to the scale bar
ROW = 3.5  # [mm]
_SIGN = 7.0  # [mm] room for a sign before its words
_BARS = Units.pair(
    tuple(INCH * part for part in (1, 2, 3, 6)) + tuple(FOOT * part for part in (1, 2, 5, 10)),
    (20.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0, 2000.0),
)
_PART_LEAST = 11.0  # [mm of paper] a part of the bar
_PARTS = 3
_TRUE = ("true to scale where this bar measures so", "to scale if this bar measures so", "if this is so long")


def scale_words(scale: float, units: Units) -> str:
    """The scale in words."""
    unit = units.value
    return f"1:{scale:g}: 1 {unit} on paper is {scale:g} {unit} on the floor"


def draw_legend(canvas: Canvas, plan: Plan, lines: BedLines) -> float:
    """The scale bar, then the signs in rows; how far down they reach [mm of paper]."""
    start, top = 1.0, canvas.frame.size[1] - canvas.frame.margins[3] + _UNDER
    _scale_bar(canvas, np.array([start, top]))
    return draw_signs(canvas, _signs(plan, lines), np.array([start, top + 4.4]), _sign)


def draw_signs(
    canvas: Canvas, signs: Iterable[tuple[str, str]], at: Array, draw: Callable[[Canvas, str, Array], None]
) -> float:
    """Signs and meanings in rows from a place (2,); how far down they reach [mm of paper]."""
    start, y = at.tolist()
    x = start
    for sign, text in signs:
        needed = _SIGN + width(text, FACE.size) * _NARROW + 2.0
        if x + needed > canvas.frame.size[0] and x > start:
            x, y = start, y + ROW
        draw(canvas, sign, np.array([x, y]))
        words(canvas.root, text, np.array([x + _SIGN, y]), FACE)
        x += needed
    return float(y + ROW / 2)


def _scale_bar(canvas: Canvas, at: Array) -> None:
    units, scale = canvas.units, canvas.frame.scale
    part = next((part for part in _BARS[units] if part / scale >= _PART_LEAST), _BARS[units][-1])
    wide = part / scale
    bar = add(canvas.root, "g", class_="scale-bar")
    for i in range(_PARTS):
        add(bar, "rect", x=at[0] + i * wide, y=at[1] - 0.6, width=wide, height=1.2, class_=f"part-{i % 2}")
    for i in range(_PARTS + 1):
        text = format_length(i * part, units) if i == _PARTS else canvas.bare(i * part)
        words(bar, text, at + np.array([i * wide, -2.2]), _FIGURE if i else FACE)
    beyond = width(format_length(_PARTS * part, units), _FIGURE.size) / 2 + 2.0
    room = canvas.frame.size[0] - at[0] - _PARTS * wide - beyond
    text = next((text for text in _TRUE if width(text, FACE.size) * _NARROW <= room), _TRUE[-1])
    words(bar, text, at + np.array([_PARTS * wide + beyond, -0.2]), FACE)


def _signs(plan: Plan, lines: BedLines) -> Iterator[tuple[str, str]]:
    if not plan.outline:
        return
    kinds = set(plan.outline.kinds)
    yield from ((kind.value, name) for kind, name in _EDGES.items() if kind in kinds)
    if plan.outline.islands:
        yield "island", "island: no bed"
    if 0 < len(plan.readings) <= MOST_CROSSES:
        yield "reading", f"reading ({plan.units.value} down from the level line)"
    elif plan.readings:
        yield "", f"{len(plan.readings)} readings: too many to draw"
    yield from _planned(plan, lines)


_EDGES = {EdgeKind.WALL: "wall", EdgeKind.CURB: "curb", EdgeKind.OPEN: "open edge"}


def _planned(plan: Plan, lines: BedLines) -> Iterator[tuple[str, str]]:
    units = plan.units
    if plan.marks:
        yield "tick", f"wall mark ({units.value} from the wall's first corner)"
    if lines.ridges:
        yield "ridge", "ridge between drains"
    if lines.level:
        yield "ridge", "level ridge to an island"
    if lines.valleys:
        yield "valley", "valley, carries the water"
    if lines.contours:
        yield "contour", f"bed over the drain, a line every {format_length(lines.step, units)}"
    if plan.depth:
        yield "extreme", "bed thinnest, deepest"
    if any(finding.x is not None for finding in plan.findings):
        yield "badge", "place of a finding"


def _sign(canvas: Canvas, sign: str, at: Array) -> None:
    root, middle = canvas.root, at + np.array([3.2, 0.0])
    ends = at + np.array([[0.5, 0.0], [6.0, 0.0]])
    up = np.array([0.0, 1.0])
    match sign:
        case "wall":
            path(root, [ends], "sign-wall")
        case "curb":
            path(root, [ends - 0.7 * up, ends + 0.7 * up], "sign-curb")
        case "open":
            path(root, [ends], "edge open")
        case "island":
            add(root, "rect", x=at[0] + 1.5, y=at[1] - 1.2, width=3.6, height=2.4, class_="island")
        case "tick":
            line(root, middle - up, middle + up, "tick")
        case "contour" | "ridge" | "valley":
            path(root, [ends], sign)
        case "reading":
            crossed(canvas, middle)
        case "extreme":
            path(root, [middle + DIAMOND], "extreme", closed=True)
        case "badge":
            badge(canvas, middle, 1.3)
