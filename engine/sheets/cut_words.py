"""What is cut, in words: strips, boards' pieces, what straightedges serve."""

from collections.abc import Iterator, Sequence

from ..bed.surfaces import valley_parts
from ..job.model import EdgeKind
from ..layout.bending import Bending
from ..layout.stock import Board, Piece, StockPlan
from ..layout.straightedges import Bend, Served
from ..limits.words import length_over, length_under, nearly
from ..packed import wording
from ..phrases import joined, phrase
from ..plan import FloorOutline, NoBed, Plan, Strip
from ..quantities import Units, format_length
from ..records import record
from ..survey.border import corner_words
from ..survey.place_words import paced, place_words
from ..work import words
from ..work.words import listed

_VARIED = 2  # so many lengths that read unlike make a height or a gap vary
_SEEN = 0.8  # [mm] a gap that bends less is straight: half a mark's finest step
_SQUARE = 1e-6  # [mm] an end that shortens the inner face less is cut square


@record
class Ending:
    """How a strip's end is cut, in words: its corner, what the saw does, the faces' change."""

    corner: str
    saw: str
    faces: str


def ending(strip: Strip, end: int, floor: FloorOutline, units: Units) -> Ending:
    """How a strip's first or last end is cut, by the corner and the neighbour it meets."""
    border, wall = floor.border_of(strip.wall)
    neighbour = border.kinds[wall - 1 if end == 0 else (wall + 1) % len(border.kinds)]
    corner, allowance = strip.corners[end], strip.allowances[end]
    if abs(allowance) < _SQUARE:
        meets = phrase("beside the open edge") if neighbour is EdgeKind.OPEN else ""
        return Ending(corner, phrase("cut square"), meets)
    saw = phrase("saw {angle} degrees off square", angle=f"{abs(strip.saw_settings[end]):.1f}")
    if neighbour is EdgeKind.OPEN:
        return Ending(corner, phrase("{saw}, flush with the open edge", saw=saw), phrase("inner face shorter"))
    if allowance > 0:
        return Ending(
            corner,
            phrase("inside corner, {saw}", saw=saw),
            phrase("inner face shorter by {allowance}", allowance=nearly(allowance, units)),
        )
    return Ending(
        corner,
        phrase("outside corner, {saw}", saw=saw),
        phrase(
            "inner face longer by {allowance}: leave the board that much longer than the wall",
            allowance=nearly(-allowance, units),
        ),
    )


def end_words(strip: Strip, end: int, floor: FloorOutline, units: Units) -> str:
    """How a strip's end is cut, in one sentence."""
    found = ending(strip, end, floor, units)
    return phrase("at {corner}: {cuts}", corner=found.corner, cuts=joined(", ", filter(None, (found.saw, found.faces))))


def high_words(strip: Strip, units: Units) -> str:
    """A strip's height: from least to most where those read unlike."""
    heights = [point.height for point in strip.points]
    low, high = (length_under(each(heights), units) for each in (min, max))
    return low if low == high else phrase("{low} to {high}", low=low, high=high)


def most_gap(strip: Strip) -> float:
    """The most left under a cut strip [mm]."""
    return max(0.0, *(point.gap for point in strip.points))


def tapers(strip: Strip, units: Units) -> bool:
    """Whether a strip's heights read unlike from place to place."""
    return len({length_under(point.height, units) for point in strip.points}) >= _VARIED


def sloped_words(strip: Strip, units: Units) -> str:
    """A strip's height from place to place; "" where all read alike."""
    if not tapers(strip, units):
        return ""
    points = [
        phrase("{height} high at {along}", height=length_under(point.height, units), along=paced(point.along, units))
        for point in strip.points
    ]
    return _placed(phrase("top sloped"), strip, points)


def gap_words(strip: Strip, units: Units) -> str:
    """What is left under a strip from place to place, nothing on a high spot; "" where all are alike."""
    found = _bends([(point.along, max(point.gap, 0.0)) for point in strip.points])
    gaps = [length_over(gap, units) for _, gap in found]
    if len(set(gaps)) < _VARIED:
        return ""
    points = [
        phrase("{gap} at {along}", gap=gap, along=paced(along, units))
        for gap, (along, _) in zip(gaps, found, strict=True)
    ]
    return _placed(phrase("to bed under it"), strip, points)


def _placed(what: str, strip: Strip, points: Sequence[str]) -> str:
    return phrase(
        "{what}, straight from place to place, measured from {first}: {points}",
        what=what,
        first=strip.corners[0],
        points=listed(points),
    )


def _bends(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    (left, low), (right, high) = points[0], points[-1]
    if len(points) <= 2 or right <= left:
        return points
    off = [abs(gap - low - (high - low) * (along - left) / (right - left)) for along, gap in points]
    worst = max(range(len(points)), key=off.__getitem__)
    if off[worst] <= _SEEN:
        return [points[0], points[-1]]
    return [*_bends(points[: worst + 1])[:-1], *_bends(points[worst:])]


def bending_words(found: Bending, units: Units) -> str:
    """How a strip meets a curved wall: by saw kerfs, or as straight pieces."""
    pieces = phrase(
        "one straight piece, at most {off} off the wall"
        if found.pieces.count == 1
        else "{count} straight pieces with outer faces {length} long, joints sawn {saw} degrees off square",
        count=found.pieces.count,
        length=nearly(found.pieces.length, units),
        saw=f"{found.pieces.saw:.1f}",
        off=length_over(found.pieces.off, units),
    )
    radius = nearly(found.radius, units)
    if found.kerfs is None:
        return phrase(
            "curved to a radius of {radius}, too tight to bend with saw kerfs: made of {pieces}",
            radius=radius,
            pieces=pieces,
        )
    kerfs = phrase(
        "one saw kerf across the middle of its {face} face, {depth} deep"
        if found.kerfs.count == 1
        else "{count} saw kerfs in its {face} face, {depth} deep and {spacing} apart",
        count=found.kerfs.count,
        face=phrase("outer" if found.kerfs.is_wall_side else "inner"),
        depth=length_under(found.kerfs.depth, units),
        spacing=length_under(found.kerfs.spacing, units),
    )
    return phrase(
        "curved to a radius of {radius}: bend a board {length} long with {kerfs}, or make it of {pieces}",
        radius=radius,
        length=nearly(found.length, units),
        kerfs=kerfs,
        pieces=pieces,
    )


def strip_troubles(strip: Strip, units: Units) -> Iterator[str]:
    """What is unusual: a curve, high spots under it, no room over them, a flange in its way."""
    if strip.bending:
        yield bending_words(strip.bending, units)
    for notch in strip.notches:
        yield phrase(
            "notch its foot {height} high from {start} to {end} from {first}, over the high spot",
            height=length_over(notch.height, units),
            start=paced(notch.start, units),
            end=paced(notch.end, units),
            first=strip.corners[0],
        )
    if not strip.fits:
        yield wording("work")["no-strip-fits"]
    if not strip.is_clear:
        yield wording("work")["strip-on-flange"]


def proof_words(found: StockPlan, units: Units) -> str:
    """What a saw cut takes, and whether fewer boards would do."""
    proved = phrase(
        "No fewer boards will do."
        if found.is_fewest
        else "At least {bound} are needed; whether fewer than {boards} will do is not proved.",
        bound=found.bound,
        boards=len(found.boards),
    )
    return phrase("A saw cut takes {kerf}. {proved}", kerf=format_length(found.kerf, units), proved=proved)


def board_words(board: Board, units: Units) -> str:
    """A board's pieces, and what is left over."""
    pieces = [
        phrase("{piece} {length}", piece=piece_name(piece), length=nearly(piece.length, units))
        for piece in board.pieces
    ]
    is_left = board.offcut > 0.5
    left = phrase("{left} left over" if is_left else "nothing left over", left=length_under(board.offcut, units))
    return phrase("{pieces}; {left}", pieces=joined(", ", pieces), left=left)


def piece_name(piece: Piece) -> str:
    """A piece's wall, and its part of a spliced strip."""
    if piece.parts == 1:
        return piece.wall
    return phrase("{wall} part {number} of {parts}", wall=piece.wall, number=piece.part, parts=piece.parts)


def served_words(served: tuple[Served, ...], units: Units) -> str:
    """The stretches of wall a straightedge serves."""
    if not served:
        return phrase("a corner alone")
    ends = ((each.wall, paced(each.start, units), paced(each.end, units)) for each in served)
    stretches = [phrase("{wall} from {start} to {end}", wall=wall, start=start, end=end) for wall, start, end in ends]
    return phrase("serves {stretches}", stretches=joined(", ", stretches))


def bend_place(bend: Bend, plan: Plan) -> str:
    """The corner that water bends round, or where a valley ends."""
    if not _has_valleys(plan) or not plan.outline:
        return corner_words(bend.corner or "")
    return place_words(bend.x, bend.y, plan.outline, plan.units)


def _has_valleys(plan: Plan) -> bool:
    return not isinstance(plan.bed, NoBed) and bool(valley_parts(plan.bed))


def bend_lengths(bend: Bend, units: Units) -> tuple[str, str]:
    """The longest and shortest that one board is trimmed to, as sawn."""
    return words.length_over(bend.longest, units), words.length_under(bend.shortest, units)


def bend_words(bend: Bend, plan: Plan) -> str:
    """What is pulled to a corner that water bends round, or to a valley's end."""
    units = plan.units
    longest, shortest = bend_lengths(bend, units)
    why = phrase(
        "To the valley's end {place}, where facets point and no flange is"
        if _has_valleys(plan)
        else "Round {place} the water bends, and no board follows it to the flange",
        place=bend_place(bend, plan),
    )
    return phrase(
        "{why}: pull from the strip to there, one board trimmed from {longest} to {shortest}; {served}",
        why=why,
        longest=longest,
        shortest=shortest,
        served=served_words(bend.serves, units),
    )
