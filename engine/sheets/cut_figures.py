"""What is cut, as plain values for the plan as JSON: strips, the boards they come from, straightedges."""

from __future__ import annotations

from engine.layout.bending import Bending
from engine.layout.stock import Board, StockPlan
from engine.layout.straightedges import Served, Straightedges
from engine.layout.strips import Strip
from engine.plan import Plan
from engine.sheets.figures import Figures, known, length, lengths, plain


def cut_figures(plan: Plan) -> Figures:
    """Strips, straightedges and stock by key; None for what the plan still waits for.

    Lengths in [mm], angles in [deg].
    """
    return {
        "strips": known(plan.strips, lambda strips: [_strip(strip) for strip in strips]),
        "straightedges": known(plan.straightedges, lambda edges: [length(each) for each in edges.lengths]),
        "pulls": known(plan.straightedges, _pulls),
        "stock": known(plan.stock, _stock),
    }


def _strip(strip: Strip) -> Figures:
    return {
        "wall": strip.wall,
        **lengths(strip, "length", "inner_length"),
        "miters": [length(miter) for miter in strip.miters],
        **lengths(strip, "height", "gap", "bevel", "blank"),
        "saw": [length(angle) for angle in strip.saw_settings],
        "is_sloped": strip.is_sloped,
        "points": [lengths(point, "along", "top", "height", "gap") for point in strip.points],
        "notches": [lengths(notch, "start", "end", "height") for notch in strip.notches],
        **plain(strip, "fits", "is_clear"),
        "bending": strip.bending and _bending(strip.bending),
    }


def _bending(found: Bending) -> Figures:
    kerfs, pieces = found.kerfs, found.pieces
    return {
        **lengths(found, "radius", "length"),
        "kerfs": kerfs
        and {"count": kerfs.count, **lengths(kerfs, "spacing", "depth"), "is_wall_side": kerfs.is_wall_side},
        "pieces": {"count": pieces.count, **lengths(pieces, "length", "saw", "off")},
    }


def _pulls(edges: Straightedges) -> Figures:
    return {
        **lengths(edges, "longest", "shortest"),
        "edges": [{"length": length(edge.length), "serves": _served(edge.serves)} for edge in edges.edges],
        "bends": [
            {
                "corner": bend.corner,
                **lengths(bend, "x", "y", "longest", "shortest"),
                "serves": _served(bend.serves),
            }
            for bend in edges.bends
        ],
    }


def _served(served: tuple[Served, ...]) -> list[Figures]:
    return [{"wall": each.wall, **lengths(each, "start", "end")} for each in served]


def _stock(stock: StockPlan) -> Figures:
    return {
        "length": length(stock.stock),
        "kerf": length(stock.kerf),
        "boards": [_board(board) for board in stock.boards],
        **plain(stock, "bound", "is_fewest"),
        "offcuts": [length(offcut) for offcut in stock.offcuts],
        "splices": [{"wall": splice.wall, **lengths(splice, "along")} for splice in stock.splices],
    }


def _board(board: Board) -> Figures:
    return {
        "pieces": [
            {"wall": piece.wall, **lengths(piece, "start", "length"), **plain(piece, "part", "parts")}
            for piece in board.pieces
        ],
        "offcut": length(board.offcut),
    }
