"""The boards that the strips are cut from, drawn as bars: pieces, saw cuts, and what is left over."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from engine.layout.stock import Board, Piece, StockPlan
from engine.limits.words import length_under, nearly
from engine.quantities import Units, format_length
from engine.sheets.cut_words import board_words, piece_name
from engine.sheets.page.labels import width
from engine.sheets.page.svg import Drawing, Face, add, patterns, picture, words
from engine.survey.border import first_corner
from engine.work.words import counted

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_WIDE = 186.0  # [mm of paper] for the whole drawing
_BAR = 3.6  # [mm of paper]
_ROW = 4.5
_NUMBER = 5.0  # [mm of paper] for a board's number before it
_APART = 4.0
_NAME = Face(2.6, "piece-name")
_COUNT = Face(2.6, "board-number")
_LEAST = 0.3  # [mm of paper] a smaller rest is not drawn
_FEW = 2  # boards up to here get a row each


def board_bars(stock: StockPlan, units: Units) -> Drawing | None:
    """The boards as bars, two in a row where there are more than two; None where none is cut."""
    if not stock.boards:
        return None
    columns, room = _columns(stock), _room(stock)
    rows = math.ceil(len(stock.boards) / columns)
    title = f"Boards for the strips: {counted(len(stock.boards), 'board')} of {format_length(stock.stock, units)}"
    root = picture("boards", (_WIDE, rows * _ROW), title, " ".join(_says(stock, units)))
    patterns(root, "spare")
    for i, board in enumerate(stock.boards):
        row, column = divmod(i, columns)
        left = column * (room + _NUMBER + _APART)
        middle = row * _ROW + _ROW / 2
        words(root, str(i + 1), np.array([left + 1.6, middle]), _COUNT)
        _bar(root, board, stock, units, (left + _NUMBER, middle - _BAR / 2, room))
    return Drawing(title, root)


def crowded(stock: StockPlan, units: Units) -> list[str]:
    """The boards in words whose pieces have no room in their bars for name and length."""
    found = []
    for number, board in enumerate(stock.boards, start=1):
        per = _room(stock) / stock.stock
        if not all(_is_told(piece, piece.length * per, units) for piece in board.pieces):
            found.append(f"Board {number}: {board_words(board, units)}.")
    return found


def spliced(stock: StockPlan, units: Units) -> list[str]:
    """Where strips longer than a board are spliced, a wall each."""
    places: dict[str, list[str]] = {}
    for splice in stock.splices:
        places.setdefault(splice.wall, []).append(nearly(splice.along, units))
    return [f"{wall} {' and '.join(found)} from {first_corner(wall)}" for wall, found in places.items()]


def _room(stock: StockPlan) -> float:
    """How long a whole board is drawn [mm of paper]."""
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


def _says(stock: StockPlan, units: Units) -> Iterator[str]:
    for i, board in enumerate(stock.boards, start=1):
        yield f"Board {i} of {format_length(stock.stock, units)}: {board_words(board, units)}."
