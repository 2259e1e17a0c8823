"""The plan as text: strips, their boards as bars, straightedges."""

from collections.abc import Iterator
from itertools import accumulate

from ...layout.stock import Board, Splice
from ...layout.straightedges import Straightedges
from ...limits.words import length_over, length_under, nearly
from ...phrases import joined, phrase
from ...plan import FloorOutline, Plan, Strip
from ...quantities import Units, format_length
from ...survey.border import first_corner
from ...work.words import counted
from ..cut_words import (
    bend_words,
    board_words,
    end_words,
    gap_words,
    high_words,
    most_gap,
    proof_words,
    served_words,
    sloped_words,
    strip_troubles,
)
from ..words import entry, heading, item, paragraph

_BAR = 70  # signs for a whole board


def strips(plan: Plan) -> Iterator[str]:
    """The cut list: each strip's ends, heights, bevel, and what is wrong with it."""
    if not plan.strips or not plan.outline:
        return
    yield from heading("Perimeter strips, in walking order")
    yield from paragraph(
        "The outer face lies against the wall. An end is told by how far the saw is set off a square cut, and which "
        "face that leaves the shorter."
    )
    for strip in plan.strips:
        yield from _strip(strip, plan.outline, plan.units)


def _strip(strip: Strip, floor: FloorOutline, units: Units) -> Iterator[str]:
    yield from entry(
        strip.wall,
        f"{nearly(strip.length, units)} long, inner face {nearly(strip.inner_length, units)}, "
        f"{high_words(strip, units)} high with up to {length_over(most_gap(strip), units)} to bed under it, "
        f"top bevelled {strip.bevel:.1f} degrees down to the inner face",
    )
    for end in (0, 1):
        yield from entry("", end_words(strip, end, floor, units))
    for text in (sloped_words(strip, units), gap_words(strip, units), *strip_troubles(strip, units)):
        if text:
            yield from entry("", text)


def stock(plan: Plan) -> Iterator[str]:
    """The boards, in words and as bars."""
    if not plan.stock or not plan.stock.boards:
        return
    found, units = plan.stock, plan.units
    long = format_length(found.stock, units)
    yield from heading(f"Boards for the strips: {counted(len(found.boards), 'board')} of {long}")
    yield from paragraph(proof_words(found, units))
    for number, board in enumerate(found.boards, start=1):
        yield from entry(f"Board {number}", board_words(board, units))
        yield board_bar(board, found.stock)
    for splice in found.splices:
        yield from item(splice_words(splice, units))


def board_bar(board: Board, stock: float, signs: int = _BAR) -> str:
    """A board to scale: pieces named where there is room, dots for the rest; signs: a whole board's, but its first."""
    ends = accumulate((piece.length for piece in board.pieces), initial=0.0)
    cells = [round(end / stock * signs) for end in ends]
    drawn = [
        f"{piece.wall[: max(last - first - 1, 0)]:=^{max(last - first - 1, 0)}}|"
        for piece, first, last in zip(board.pieces, cells, cells[1:], strict=False)
    ]
    bar = "".join(drawn)
    return "|" + (bar if len(bar) == signs else bar.ljust(signs - 1, ".") + "|")


def splice_words(splice: Splice, units: Units) -> str:
    """Where a strip is spliced."""
    return phrase(
        "Splice the strip of {wall} {along} from {first}, with square ends: a board is shorter than the wall",
        wall=splice.wall,
        along=nearly(splice.along, units),
        first=first_corner(splice.wall),
    )


def straightedges(plan: Plan) -> Iterator[str]:
    """The lengths, longest first, the walls each serves, and one board for all."""
    edges, units = plan.straightedges, plan.units
    if not edges or not (edges.longest or edges.bends):
        return
    yield from heading("Straightedges, longest first: one board, trimmed from each to the next")
    yield from paragraph(
        "Each reaches from the strip's inner face to the flange's near edge and not to its far edge. Stretches of "
        "wall are measured from the wall's first corner."
    )
    yield from paragraph(trimmed_words(edges, units))
    for edge in edges.edges:
        yield from entry(nearly(edge.length, units), served_words(edge.serves, units))
    for bend in edges.bends:
        yield from item(bend_words(bend, plan))


def trimmed_words(edges: Straightedges, units: Units) -> str:
    """In practice: one board, and how it is trimmed; "" where no line ends at a flange."""
    if edges.lengths:
        order = joined(phrase(", then to "), [nearly(length, units) for length in edges.lengths])
        return phrase("One board, trimmed in this order as the work goes: {order}.", order=order)
    if edges.longest:
        return phrase(
            "The flange is so small that each line wants a length of its own: one board, trimmed "
            "little by little from {longest} to {shortest}, far corners first.",
            longest=length_over(edges.longest, units),
            shortest=length_under(edges.shortest, units),
        )
    return ""
