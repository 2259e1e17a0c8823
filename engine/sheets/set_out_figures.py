"""What is set out beside the marks and cut, as plain values for the JSON."""

from collections.abc import Iterator
from functools import partial

import numpy as np

from ..bed.catchments import ridge_lines
from ..bed.parts import Ridge
from ..layout.bending import Bending
from ..layout.stock import Board, StockPlan
from ..layout.straightedges import Served, Straightedges
from ..plan import Job, Plan, RoughFloor, SetDrain, Strip
from ..survey.advice import next_corner
from ..survey.outline import FloorOutline, next_diagonal
from .catchment_words import planned_catchments
from .figures import Figures, known, length, lengths, place, plain, ratio, whole

_TOLD = 1e-6  # [-] of the floor: the least that is told


def set_out_figures(plan: Plan) -> Figures:
    """By key, lengths [mm]; None for what still waits. Drains are counted from 1."""
    return {
        "tape": known(
            plan.outline,
            lambda floor: [
                {"name": one.name, **lengths(one, "measured", "adjusted", "misfit", "oddness")}
                for one in floor.residuals
            ],
        ),
        "next_diagonal": known(plan.outline, partial(_diagonal, plan.job)),
        "curves": known(plan.outline, lambda floor: list(_curves(floor))),
        "channels": known(plan.drains, lambda drains: list(_channels(drains))),
        "ridges": _ridges(plan),
        "catchments": _catchments(plan),
        "next_reading": _next_reading(plan),
    }


def _diagonal(job: Job, floor: FloorOutline) -> Figures | None:
    fix = next_diagonal(job, floor)
    if fix is None:
        return None
    return {
        "from": floor.names[fix.start],
        "to": floor.names[fix.end],
        "least_sure": floor.names[fix.corner],
        **lengths(fix, "unsure", "left"),
    }


def _curves(floor: FloorOutline) -> Iterator[Figures]:
    for wall, arc in zip(floor.walls, floor.arcs, strict=True):
        if arc:
            yield {
                "wall": wall,
                **lengths(arc, "chord", "rise"),
                "radius": length(abs(arc.radius)),
                "length": length(arc.length),
            }


def _channels(drains: tuple[SetDrain, ...]) -> Iterator[Figures]:
    for number, drain in enumerate(drains, 1):
        flange = drain.flange
        if flange.is_channel:
            start, end = flange.ends.tolist()
            yield {
                "drain": number,
                "from": place(*start),
                "to": place(*end),
                "length": length(flange.length),
                "width": length(flange.size),
            }


def _ridges(plan: Plan) -> list[Figures] | None:
    if not plan.bed or not plan.rough:
        return None
    return [_ridge(ridge, plan.rough) for ridge in ridge_lines(plan.bed)]


def _ridge(ridge: Ridge, rough: RoughFloor) -> Figures:
    below = rough.height(ridge.points).tolist()
    rows = zip(ridge.points.tolist(), ridge.heights.tolist(), below, strict=True)
    return {
        "drains": [drain + 1 for drain in ridge.drains],
        "points": [
            {**place(*point), "above_drain": length(high), "above_rough": length(high - low)}
            for point, high, low in rows
        ],
    }


def _next_reading(plan: Plan) -> Figures | None:
    floor, rough, read = plan.outline, plan.rough, [(station.x, station.y) for station in plan.readings]
    if not floor or not rough or not read:
        return None
    corner, left = next_corner(floor.polygon, floor.corners, np.array(read))
    return {"at": floor.names[corner], "guessed": ratio(left)} if left < rough.guessed - _TOLD else None


def _catchments(plan: Plan) -> list[Figures] | None:
    if not plan.bed:
        return None
    areas = planned_catchments(plan)
    return [{"area": whole(area), "share": ratio(area / sum(areas))} for area in areas]


def cut_figures(plan: Plan) -> Figures:
    """Strips, straightedges and stock by key, lengths [mm], angles [deg]; None for what still waits."""
    return {
        "strips": known(plan.strips, lambda strips: [_strip(strip) for strip in strips]),
        "straightedges": known(plan.straightedges, lambda edges: [length(each) for each in edges.lengths]),
        "pulls": known(plan.straightedges, _pulls),
        "stock": known(plan.stock, _stock),
    }


def _strip(strip: Strip) -> Figures:
    return {
        "wall": strip.wall,
        **lengths(strip, "length", "inner_length", "miters", "height", "gap", "bevel", "blank"),
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
            {"corner": bend.corner, **lengths(bend, "x", "y", "longest", "shortest"), "serves": _served(bend.serves)}
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
        **lengths(stock, "offcuts"),
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
