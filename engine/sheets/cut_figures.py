"""What is cut, as plain values for the plan as JSON: strips, the boards they come from, straightedges."""

from __future__ import annotations

from engine.layout.bending import Bending
from engine.layout.stock import Board, StockPlan
from engine.layout.straightedges import Served, Straightedges
from engine.layout.strips import Strip
from engine.plan import Plan
from engine.sheets.figures import Figures, length
from engine.survey.spot import Needs


def cut_figures(plan: Plan) -> Figures:
    """Strips, straightedges and stock by key; None for what the plan still waits for.

    Lengths in [mm], angles in [deg].
    """
    strips, edges, stock = plan.strips, plan.straightedges, plan.stock
    return {
        "strips": None if isinstance(strips, Needs) else [_strip(strip) for strip in strips],
        "straightedges": None if isinstance(edges, Needs) else [length(each) for each in edges.lengths],
        "pulls": None if isinstance(edges, Needs) else _pulls(edges),
        "stock": None if isinstance(stock, Needs) else _stock(stock),
    }


def _strip(strip: Strip) -> Figures:
    return {
        "wall": strip.wall,
        "length": length(strip.length),
        "inner_length": length(strip.inner_length),
        "miters": [length(miter) for miter in strip.miters],
        "height": length(strip.height),
        "gap": length(strip.gap),
        "bevel": length(strip.bevel),
        "blank": length(strip.blank),
        "saw": [length(angle) for angle in strip.saw_settings],
        "is_sloped": strip.is_sloped,
        "points": [
            {
                "along": length(point.along),
                "top": length(point.top),
                "height": length(point.height),
                "gap": length(point.gap),
            }
            for point in strip.points
        ],
        "notches": [
            {"start": length(notch.start), "end": length(notch.end), "height": length(notch.height)}
            for notch in strip.notches
        ],
        "fits": strip.fits,
        "is_clear": strip.is_clear,
        "bending": strip.bending and _bending(strip.bending),
    }


def _bending(found: Bending) -> Figures:
    kerfs, pieces = found.kerfs, found.pieces
    return {
        "radius": length(found.radius),
        "length": length(found.length),
        "kerfs": kerfs
        and {
            "count": kerfs.count,
            "spacing": length(kerfs.spacing),
            "depth": length(kerfs.depth),
            "is_wall_side": kerfs.is_wall_side,
        },
        "pieces": {
            "count": pieces.count,
            "length": length(pieces.length),
            "saw": length(pieces.saw),
            "off": length(pieces.off),
        },
    }


def _pulls(edges: Straightedges) -> Figures:
    return {
        "longest": length(edges.longest),
        "shortest": length(edges.shortest),
        "edges": [{"length": length(edge.length), "serves": _served(edge.serves)} for edge in edges.edges],
        "bends": [
            {
                "corner": bend.corner,
                "x": length(bend.x),
                "y": length(bend.y),
                "longest": length(bend.longest),
                "shortest": length(bend.shortest),
                "serves": _served(bend.serves),
            }
            for bend in edges.bends
        ],
    }


def _served(served: tuple[Served, ...]) -> list[Figures]:
    return [{"wall": each.wall, "start": length(each.start), "end": length(each.end)} for each in served]


def _stock(stock: StockPlan) -> Figures:
    return {
        "length": length(stock.stock),
        "kerf": length(stock.kerf),
        "boards": [_board(board) for board in stock.boards],
        "bound": stock.bound,
        "is_fewest": stock.is_fewest,
        "offcuts": [length(offcut) for offcut in stock.offcuts],
        "splices": [{"wall": splice.wall, "along": length(splice.along)} for splice in stock.splices],
    }


def _board(board: Board) -> Figures:
    return {
        "pieces": [
            {
                "wall": piece.wall,
                "start": length(piece.start),
                "length": length(piece.length),
                "part": piece.part,
                "parts": piece.parts,
            }
            for piece in board.pieces
        ],
        "offcut": length(board.offcut),
    }
