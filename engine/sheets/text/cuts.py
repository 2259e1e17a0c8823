"""The plan as text: what is cut. The strips, the boards they come from drawn as bars, the straightedges."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.job.model import EdgeKind
from engine.limits.words import length_over, length_under, nearly, paced
from engine.quantities import format_length
from engine.sheets.words import entry, heading, item, paragraph
from engine.survey.spot import Needs
from engine.work.words import counted, listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.layout.stock import Board, Piece, StockPlan
    from engine.layout.straightedges import Bend, Served, Straightedges
    from engine.layout.strips import Strip
    from engine.plan import Plan
    from engine.quantities import Units
    from engine.survey.outline import FloorOutline

_BAR = 70  # signs that a whole board is drawn with
_SQUARE = 1e-6  # [mm] an end that shortens the inner face by less is cut square


# ------------------------------------------------------------------ strips


def strips(plan: Plan) -> Iterator[str]:
    """The cut list: each strip with its ends, its heights, its bevel, and what is wrong with it."""
    if isinstance(plan.strips, Needs) or isinstance(plan.outline, Needs) or not plan.strips:
        return
    yield from heading("Perimeter strips, in walking order")
    yield from paragraph(
        "The outer face lies against the wall. An end is told by how far the saw is set off a square cut, and which "
        "face that leaves the shorter."
    )
    for strip in plan.strips:
        yield from _strip(strip, plan.outline, plan.job.units)


def _strip(strip: Strip, floor: FloorOutline, units: Units) -> Iterator[str]:
    yield from entry(
        strip.wall,
        f"{nearly(strip.length, units)} long, inner face {nearly(strip.inner_length, units)}, "
        f"{length_under(strip.height, units)} high with up to {length_over(strip.gap, units)} to bed under it, "
        f"top bevelled {strip.bevel:.1f} degrees down to the inner face",
    )
    for end in (0, 1):
        yield from entry("", _end(strip, end, floor, units))
    if strip.is_sloped:
        yield from entry("", _sloped(strip, units))
    for text in _troubles(strip, units):
        yield from entry("", text)


def _end(strip: Strip, end: int, floor: FloorOutline, units: Units) -> str:
    """How a strip is cut at its first or last end: at the wall's own corner, and by the neighbour that it meets."""
    wall = floor.walls.index(strip.wall)
    neighbour = floor.kinds[wall - 1 if end == 0 else (wall + 1) % len(floor.kinds)]
    corner, allowance = strip.wall.split("-")[end], strip.allowances[end]
    if abs(allowance) < _SQUARE:
        meets = ", beside the open edge" if neighbour is EdgeKind.OPEN else ""
        return f"at {corner}: cut square{meets}"
    saw = f"saw {abs(strip.saw_settings[end]):.1f} degrees off square"
    if neighbour is EdgeKind.OPEN:
        return f"at {corner}: {saw}, flush with the open edge, inner face shorter"
    if allowance > 0:
        return f"at {corner}: inside corner, {saw}, inner face shorter by {nearly(allowance, units)}"
    return (
        f"at {corner}: outside corner, {saw}, inner face longer by {nearly(-allowance, units)}: leave the board "
        "that much longer than the wall"
    )


def _sloped(strip: Strip, units: Units) -> str:
    first = strip.wall.split("-")[0]
    points = [
        f"{length_under(point.height, units)} high at {paced(point.along, units)}" for point in strip.points
    ]
    return f"top sloped, straight from place to place, measured from {first}: {listed(points)}"


def _troubles(strip: Strip, units: Units) -> Iterator[str]:
    """What is out of the ordinary: high spots under it, no room over them, a flange in its way."""
    first = strip.wall.split("-")[0]
    for notch in strip.notches:
        yield (
            f"notch its foot {length_over(notch.height, units)} high from {paced(notch.start, units)} to "
            f"{paced(notch.end, units)} from {first}, over the high spot"
        )
    if not strip.fits:
        yield (
            "NO STRIP FITS HERE: the bed is too near to the rough floor. Grind the high spot, raise the drain, or "
            "screed this wall to its marks without a strip"
        )
    if not strip.is_clear:
        yield (
            "THE STRIP RUNS INTO A FLANGE: the flange lies nearer to this wall than the strip is thick. Cut the "
            "strip off beside it, and pack there by hand"
        )


# ------------------------------------------------------------------ stock


def stock(plan: Plan) -> Iterator[str]:
    """The boards, each in words and as a bar."""
    if isinstance(plan.stock, Needs) or not plan.stock.boards:
        return
    found, units = plan.stock, plan.job.units
    long = format_length(found.stock, units)
    yield from heading(f"Boards for the strips: {counted(len(found.boards), 'board')} of {long}")
    yield from paragraph(_proof(found, units))
    for number, board in enumerate(found.boards, start=1):
        yield from entry(f"Board {number}", _pieces(board, units))
        yield _bar(board, found.stock)
    yield from _splices(found, units)


def _proof(found: StockPlan, units: Units) -> str:
    proved = (
        "No fewer boards will do."
        if found.is_fewest
        else f"At least {found.bound} are needed; whether fewer than {len(found.boards)} will do is not proved."
    )
    return f"A saw cut takes {format_length(found.kerf, units)}. {proved}"


def _pieces(board: Board, units: Units) -> str:
    pieces = ", ".join(f"{_name(piece)} {nearly(piece.length, units)}" for piece in board.pieces)
    left = length_under(board.offcut, units)
    return f"{pieces}; {f'{left} left over' if board.offcut > 0.5 else 'nothing left over'}"


def _name(piece: Piece) -> str:
    return piece.wall if piece.parts == 1 else f"{piece.wall} part {piece.part} of {piece.parts}"


def _bar(board: Board, stock: float) -> str:
    """A board drawn to scale: pieces named where there is room, dots for what is left over."""
    ends = [0.0]
    for piece in board.pieces:
        ends.append(ends[-1] + piece.length)
    cells = [round(end / stock * _BAR) for end in ends]
    drawn = [
        f"{piece.wall[: max(last - first - 1, 0)]:=^{max(last - first - 1, 0)}}|"
        for piece, first, last in zip(board.pieces, cells, cells[1:], strict=False)
    ]
    bar = "".join(drawn)
    return "|" + (bar if len(bar) == _BAR else bar.ljust(_BAR - 1, ".") + "|")


def _splices(found: StockPlan, units: Units) -> Iterator[str]:
    for splice in found.splices:
        first = splice.wall.split("-")[0]
        yield from item(
            f"Splice the strip of {splice.wall} {nearly(splice.along, units)} from {first}, with square ends: a board "
            "is shorter than the wall"
        )


# ------------------------------------------------------------------ straightedges


def straightedges(plan: Plan) -> Iterator[str]:
    """The lengths longest first, which walls each one serves, and the one board that serves for all."""
    edges, units = plan.straightedges, plan.job.units
    if isinstance(edges, Needs) or not (edges.longest or edges.bends):
        return
    yield from heading("Straightedges, longest first: one board, trimmed from each to the next")
    yield from paragraph(
        "Each reaches from the strip's inner face to the flange's near edge and not to its far edge. Stretches of "
        "wall are measured from the wall's first corner."
    )
    yield from _trimmed(edges, units)
    for edge in edges.edges:
        yield from entry(nearly(edge.length, units), _serves(edge.serves, units))
    for bend in edges.bends:
        yield from item(_bend(bend, units))


def _trimmed(edges: Straightedges, units: Units) -> Iterator[str]:
    """The practical answer."""
    if edges.lengths:
        order = ", then to ".join(nearly(length, units) for length in edges.lengths)
        yield from paragraph(f"One board, trimmed in this order as the work goes: {order}.")
    elif edges.longest:
        yield from paragraph(
            f"The flange is so small that each line wants a length of its own: one board, trimmed little by little "
            f"from {length_over(edges.longest, units)} to {length_under(edges.shortest, units)}, far corners first."
        )


def _serves(served: tuple[Served, ...], units: Units) -> str:
    if not served:
        return "a corner alone"
    return "serves " + ", ".join(_stretch(each, units) for each in served)


def _stretch(served: Served, units: Units) -> str:
    wall = served.wall or "an island's side"
    return f"{wall} from {paced(served.start, units)} to {paced(served.end, units)}"


def _bend(bend: Bend, units: Units) -> str:
    corner = f"corner {bend.corner}" if bend.corner else "an island's corner"
    return (
        f"Round {corner} the water bends, and no board follows it to the flange: pull from the strip to that corner, "
        f"one board trimmed from {length_over(bend.longest, units)} to {length_under(bend.shortest, units)}; "
        f"{_serves(bend.serves, units)}"
    )
