"""What is cut, in words: a strip's ends, heights and troubles, what comes from a board, what a straightedge serves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.bed.valley.bed import ValleyWalls
from engine.job.model import EdgeKind
from engine.limits.words import length_over, length_under, nearly, paced, place_words
from engine.quantities import format_length
from engine.records import dataclass
from engine.survey.border import corner_words
from engine.survey.spot import Needs
from engine.work.words import listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.layout.bending import Bending
    from engine.layout.stock import Board, Piece, StockPlan
    from engine.layout.straightedges import Bend, Served
    from engine.layout.strips import Strip
    from engine.plan import Plan
    from engine.quantities import Units
    from engine.survey.outline import FloorOutline

_SQUARE = 1e-6  # [mm] an end that shortens the inner face by less is cut square


@dataclass(frozen=True, slots=True)
class Ending:
    """How a strip's end is cut, in words: at which corner, what the saw does, and what that does to the faces."""

    corner: str
    saw: str
    faces: str


def ending(strip: Strip, end: int, floor: FloorOutline, units: Units) -> Ending:
    """How a strip is cut at its first or last end: at the wall's own corner, and by the neighbour that it meets."""
    border, wall = floor.border_of(strip.wall)
    neighbour = border.kinds[wall - 1 if end == 0 else (wall + 1) % len(border.kinds)]
    corner, allowance = strip.corners[end], strip.allowances[end]
    if abs(allowance) < _SQUARE:
        meets = "beside the open edge" if neighbour is EdgeKind.OPEN else ""
        return Ending(corner, "cut square", meets)
    saw = f"saw {abs(strip.saw_settings[end]):.1f} degrees off square"
    if neighbour is EdgeKind.OPEN:
        return Ending(corner, f"{saw}, flush with the open edge", "inner face shorter")
    if allowance > 0:
        return Ending(corner, f"inside corner, {saw}", f"inner face shorter by {nearly(allowance, units)}")
    return Ending(
        corner,
        f"outside corner, {saw}",
        f"inner face longer by {nearly(-allowance, units)}: leave the board that much longer than the wall",
    )


def end_words(strip: Strip, end: int, floor: FloorOutline, units: Units) -> str:
    """How a strip is cut at an end, in one sentence."""
    found = ending(strip, end, floor, units)
    return f"at {found.corner}: {', '.join(filter(None, (found.saw, found.faces)))}"


def sloped_words(strip: Strip, units: Units) -> str:
    """How high a strip with a sloped top is, from place to place."""
    first = strip.corners[0]
    points = [
        f"{length_under(point.height, units)} high at {paced(point.along, units)}" for point in strip.points
    ]
    return f"top sloped, straight from place to place, measured from {first}: {listed(points)}"


def bending_words(found: Bending, units: Units) -> str:
    """How a strip is brought to a curved wall: by saw kerfs, or as straight pieces."""
    pieces = (
        f"{found.pieces.count} straight pieces with outer faces {nearly(found.pieces.length, units)} long, joints sawn "
        f"{found.pieces.saw:.1f} degrees off square"
    )
    radius = nearly(found.radius, units)
    if found.kerfs is None:
        return f"curved to a radius of {radius}, too tight to bend with saw kerfs: made of {pieces}"
    face = "outer" if found.kerfs.is_wall_side else "inner"
    return (
        f"curved to a radius of {radius}: bend a board {nearly(found.length, units)} long with "
        f"{found.kerfs.count} saw kerfs in its {face} face, {length_under(found.kerfs.depth, units)} deep and "
        f"{length_under(found.kerfs.spacing, units)} apart, or make it of {pieces}"
    )


def strip_troubles(strip: Strip, units: Units) -> Iterator[str]:
    """What is out of the ordinary: a curve, high spots under it, no room over them, a flange in its way."""
    first = strip.corners[0]
    if strip.bending:
        yield bending_words(strip.bending, units)
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


def proof_words(found: StockPlan, units: Units) -> str:
    """What a saw cut takes, and whether fewer boards would do."""
    proved = (
        "No fewer boards will do."
        if found.is_fewest
        else f"At least {found.bound} are needed; whether fewer than {len(found.boards)} will do is not proved."
    )
    return f"A saw cut takes {format_length(found.kerf, units)}. {proved}"


def board_words(board: Board, units: Units) -> str:
    """The pieces that come from a board, and what is left over."""
    pieces = ", ".join(f"{piece_name(piece)} {nearly(piece.length, units)}" for piece in board.pieces)
    left = length_under(board.offcut, units)
    return f"{pieces}; {f'{left} left over' if board.offcut > 0.5 else 'nothing left over'}"


def piece_name(piece: Piece) -> str:
    """A piece's wall, and which part of its strip it is where the strip is spliced."""
    return piece.wall if piece.parts == 1 else f"{piece.wall} part {piece.part} of {piece.parts}"


def served_words(served: tuple[Served, ...], units: Units) -> str:
    """The stretches of wall that a straightedge serves."""
    if not served:
        return "a corner alone"
    return "serves " + ", ".join(_stretch(each, units) for each in served)


def _stretch(served: Served, units: Units) -> str:
    return f"{served.wall} from {paced(served.start, units)} to {paced(served.end, units)}"


def bend_words(bend: Bend, plan: Plan) -> str:
    """What is pulled to a corner that the water bends round, or to a valley's end."""
    units = plan.job.units
    if isinstance(plan.bed, ValleyWalls):
        return _to_valley(bend, plan)
    corner = corner_words(bend.corner or "")
    return (
        f"Round {corner} the water bends, and no board follows it to the flange: pull from the strip to that corner, "
        f"one board trimmed from {length_over(bend.longest, units)} to {length_under(bend.shortest, units)}; "
        f"{served_words(bend.serves, units)}"
    )


def _to_valley(bend: Bend, plan: Plan) -> str:
    units = plan.job.units
    place = "" if isinstance(plan.outline, Needs) else place_words(bend.x, bend.y, plan.outline, units)
    return (
        f"To the valley's end {place}, where facets point and no flange is: pull from the strip to that end, one board "
        f"trimmed from {length_over(bend.longest, units)} to {length_under(bend.shortest, units)}; "
        f"{served_words(bend.serves, units)}"
    )
