"""What is cut, on the page: strips, straightedges, and boards as bars."""

import math
from xml.etree.ElementTree import Element

import numpy as np

from ...layout.stock import Board, Piece, StockPlan
from ...layout.straightedges import Served
from ...limits.words import length_over, length_under, nearly
from ...plan import FloorOutline, Needs, Plan, Strip
from ...quantities import Units, format_length
from ...records import record
from ...survey.border import first_corner
from ...survey.place_words import paced
from ...work.words import counted
from ..cut_words import (
    bend_lengths,
    bend_place,
    board_words,
    ending,
    high_words,
    most_gap,
    piece_name,
    strip_troubles,
    tapers,
)
from .labels import width
from .svg import Drawing, Face, add, patterns, picture, words

# Lengths in [mm of paper].
_WIDE = 186.0  # for the whole drawing
_BAR = 3.6
_ROW = 4.5
_NUMBER = 5.0  # for a board's number before it
_APART = 4.0
_NAME = Face(2.6, "piece-name")
_COUNT = Face(2.6, "board-number")
_LEAST = 0.3  # a smaller rest is not drawn
_FEW = 2  # boards up to here get a row each


@record
class StripRow:
    """A strip of the cut list; more: what else its cutting asks for."""

    wall: str
    length: str
    inner: str
    first: str
    last: str
    height: str
    gap: str
    bevel: str
    more: tuple[str, ...]


def strip_rows(plan: Plan) -> list[StripRow]:
    """The strips in walking order; none until they are planned."""
    if isinstance(plan.strips, Needs) or not plan.outline:
        return []
    return [_strip(strip, plan.outline, plan.units) for strip in plan.strips]


def _strip(strip: Strip, floor: FloorOutline, units: Units) -> StripRow:
    first, last = (_end(strip, end, floor, units) for end in (0, 1))
    return StripRow(
        wall=strip.wall,
        length=nearly(strip.length, units),
        inner=nearly(strip.inner_length, units),
        first=first,
        last=last,
        height=_sloped(strip, units) if tapers(strip, units) else high_words(strip, units),
        gap=_gap(strip, units),
        bevel=f"{strip.bevel:.1f}",
        more=tuple(strip_troubles(strip, units)),
    )


def _gap(strip: Strip, units: Units) -> str:
    gaps = [max(point.gap, 0.0) for point in strip.points]
    least = length_over(min(gaps), units)
    most = length_over(most_gap(strip), units)
    return most if least == most else f"{least.removesuffix(f' {units.value}')} to {most}"


def _end(strip: Strip, end: int, floor: FloorOutline, units: Units) -> str:
    found, allowance = ending(strip, end, floor, units), strip.allowances[end]
    saw = found.saw.replace(" corner, saw", "").replace(" degrees off square", "")
    return saw if allowance >= 0 else f"{saw}, +{nearly(-allowance, units)}"


def _sloped(strip: Strip, units: Units) -> str:
    unit = f" {units.value}"
    points = (
        f"{length_under(point.height, units)} at {paced(point.along, units)}".replace(unit, "")
        for point in strip.points
    )
    return ", ".join(points)


def straightedge_rows(plan: Plan) -> list[tuple[str, str]]:
    """Each straightedge's length, longest first, with what it serves."""
    if not plan.straightedges:
        return []
    units = plan.units
    return [(nearly(edge.length, units), _served(edge.serves, units)) for edge in plan.straightedges.edges]


def _served(serves: tuple[Served, ...], units: Units) -> str:
    walls: dict[str, list[str]] = {}
    for each in serves:
        ends = (paced(end, units).removesuffix(f" {units.value}") for end in (each.start, each.end))
        walls.setdefault(each.wall, []).append(" to ".join(ends))
    return "; ".join(f"{wall} {', '.join(stretches)}" for wall, stretches in walls.items()) or "a corner alone"


def bends(plan: Plan) -> list[tuple[str, str]]:
    """What is pulled to corners water bends round, and valleys' ends: both lengths, its use."""
    if not plan.straightedges:
        return []
    units = plan.units
    return [
        (" to ".join(bend_lengths(bend, units)), f"to {bend_place(bend, plan)}: {_served(bend.serves, units)}")
        for bend in plan.straightedges.bends
    ]


def board_bars(stock: StockPlan, units: Units) -> Drawing | None:
    """The boards as bars, two in a row if more than two; None for none."""
    if not stock.boards:
        return None
    columns, room = _columns(stock), _room(stock)
    rows = math.ceil(len(stock.boards) / columns)
    long = format_length(stock.stock, units)
    title = f"Boards for the strips: {counted(len(stock.boards), 'board')} of {long}"
    says = [f"Board {i} of {long}: {board_words(board, units)}." for i, board in enumerate(stock.boards, 1)]
    root = picture("boards", (_WIDE, rows * _ROW), title, " ".join(says))
    patterns(root, "spare")
    for i, board in enumerate(stock.boards):
        row, column = divmod(i, columns)
        left = column * (room + _NUMBER + _APART)
        middle = row * _ROW + _ROW / 2
        words(root, str(i + 1), np.array([left + 1.6, middle]), _COUNT)
        _bar(root, board, stock, units, (left + _NUMBER, middle - _BAR / 2, room))
    return Drawing(title, root)


def crowded(stock: StockPlan, units: Units) -> list[str]:
    """The boards in words whose bars have no room for words."""
    per = _room(stock) / stock.stock
    return [
        f"Board {number}: {board_words(board, units)}."
        for number, board in enumerate(stock.boards, start=1)
        if not all(_is_told(piece, piece.length * per, units) for piece in board.pieces)
    ]


def spliced(stock: StockPlan, units: Units) -> list[str]:
    """Where strips longer than a board are spliced, a wall each."""
    places: dict[str, list[str]] = {}
    for splice in stock.splices:
        places.setdefault(splice.wall, []).append(nearly(splice.along, units))
    return [f"{wall} {' and '.join(found)} from {first_corner(wall)}" for wall, found in places.items()]


def _room(stock: StockPlan) -> float:
    columns = _columns(stock)
    return (_WIDE - _APART * (columns - 1)) / columns - _NUMBER


def _columns(stock: StockPlan) -> int:
    return 1 if len(stock.boards) <= _FEW else 2


def _texts(piece: Piece, units: Units) -> tuple[str, ...]:
    name, long = piece_name(piece), nearly(piece.length, units)
    part = f"{piece.wall} {piece.part}/{piece.parts}"
    return f"{name}: {long}", *([f"{part}: {long}", part] if piece.parts > 1 else []), name, piece.wall


def _is_told(piece: Piece, wide: float, units: Units) -> bool:
    long = nearly(piece.length, units)
    return any(_fits(text, wide) for text in _texts(piece, units) if text.endswith(long))


def _fits(text: str, wide: float) -> bool:
    return width(text, _NAME.size) * 0.9 + 1.0 < wide


def _bar(root: Element, board: Board, stock: StockPlan, units: Units, place: tuple[float, float, float]) -> None:
    x, top, room = place
    end, per = x + room, room / stock.stock
    for piece in board.pieces:
        _part(root, (x, top, piece.length * per), "piece", _texts(piece, units))
        x += piece.length * per + max(stock.kerf * per, 0.25)
    if end - x > _LEAST:
        left = length_under(board.offcut, units)
        _part(root, (x, top, end - x), "spare", (f"left {left}", left))


def _part(root: Element, place: tuple[float, float, float], class_: str, texts: tuple[str, ...]) -> None:
    x, top, wide = place
    add(root, "rect", x=x, y=top, width=wide, height=_BAR, class_=class_)
    fitting = [text for text in texts if _fits(text, wide)]
    for text in fitting[:1]:
        words(root, text, np.array([x + wide / 2, top + _BAR / 2]), _NAME)
