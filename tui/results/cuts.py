"""The pages of what is cut: strips wall by wall, their boards as bars, and the straightedges."""

from engine.job.defaults import strip_short
from engine.layout.straightedges import Straightedge
from engine.layout.strips import Strip
from engine.limits.words import length_over, length_under, nearly
from engine.phrases import counted_phrase, joined, phrase
from engine.plan import Plan
from engine.quantities import Units, format_length
from engine.sheets.cut_words import (
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
from engine.sheets.text.cuts import board_bar, splice_words, trimmed_words
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs

from ..widgets.sheet import Listing, SheetLine
from .lines import BLANK, NOWHERE, About, Place, end_of, head, indented, line, middle_of, on_wall

_BAR = 40  # signs for a whole board: it fits the narrowest sheet
_TOLD = 0.5  # [mm] the shortest rest of a board that is told
_FACE = phrase("Outer face to the wall. A saw setting is counted off a square cut.")
_REACH = phrase(
    "Each reaches from the strip's inner face to the flange's near edge and not to its far edge. A stretch is "
    "measured from the wall's first corner."
)


def strips(plan: Plan) -> Listing:
    """The cut list, wall by wall."""
    if isinstance(plan.strips, Needs) or not plan.outline:
        return
    yield head(phrase("Strips, in walking order"))
    if not plan.strips:
        yield SheetLine(phrase("No edge of this floor takes a strip."))
        return
    yield SheetLine(_FACE)
    for i, strip in enumerate(plan.strips):
        yield BLANK
        yield from _strip(strip, plan.outline, plan, f"strips[{i}]")


def _strip(strip: Strip, floor: FloorOutline, plan: Plan, path: str) -> Listing:
    units, wall = plan.job.units, strip.wall
    middle, key = middle_of(floor, wall), f"strip:{wall}"
    long, high = nearly(strip.length, units), high_words(strip, units)
    text: str = phrase("{wall}  {length} long, {height} high", wall=wall, length=long, height=high)
    worked = phrase(
        "The least that the bed stands over the rough floor along this wall, less the {short} that a strip is cut "
        "short, rounded down to the mark step.",
        short=format_length(strip_short(plan.job), units),
    )
    yield line(text, key, About("strip", worked, path=f"{path}.height"), middle)
    inner, gap = nearly(strip.inner_length, units), length_over(most_gap(strip), units)
    text = phrase("  inner face {length}, up to {gap} to bed under it", length=inner, gap=gap)
    about = About("strip.gap", _inner_worked(strip, units), path=f"{path}.inner_length")
    yield line(text, f"{key}:gap", about, middle)
    bevel = phrase("  top bevelled {angle} degrees down to the inner face", angle=f"{strip.bevel:.1f}")
    yield line(bevel, f"{key}:bevel", About("strip.bevel", path=f"{path}.bevel"), middle)
    for end in (0, 1):
        text = indented(end_words(strip, end, floor, units))
        yield line(text, f"{key}:end:{end}", About("strip.end"), end_of(floor, wall, end))
    if text := sloped_words(strip, units):
        yield line(indented(text), f"{key}:top", About("strip.top"), middle)
    if text := gap_words(strip, units):
        yield line(indented(text), f"{key}:under", About("strip.under"), middle)
    places = [on_wall(floor, wall, (notch.start + notch.end) / 2) for notch in strip.notches]
    for i, text in enumerate(strip_troubles(strip, units)):
        place = places[i] if i < len(places) else middle
        yield line(indented(text), f"{key}:trouble:{i}", About("strip.trouble"), place)


def _inner_worked(strip: Strip, units: Units) -> str:
    length, first, last = (nearly(abs(each), units) for each in (strip.length, *strip.allowances))
    parts = {"length": length, "first": first, "last": last}
    return phrase("The wall's {length}, with {first} for the cut at one end and {last} at the other.", **parts)


def boards(plan: Plan) -> Listing:
    """The boards as bars, what is left over, and where a strip is spliced."""
    found, units = plan.stock, plan.job.units
    if not found or not plan.outline:
        return
    yield head(
        counted_phrase(
            "{number} board of {length} for the strips",
            "{number} boards of {length} for the strips",
            len(found.boards),
            length=format_length(found.stock, units),
        )
    )
    yield SheetLine(proof_words(found, units))
    for i, board in enumerate(found.boards, start=1):
        place = middle_of(plan.outline, board.pieces[0].wall) if board.pieces else NOWHERE
        yield line(board_bar(board, found.stock, _BAR), f"board:{i}", About("board"), place)
        yield SheetLine(joined("", [f"  {i}: ", board_words(board, units)]), hangs=5)
    if found.splices:
        yield BLANK
        yield head(phrase("Splices"))
    for i, splice in enumerate(found.splices):
        place = on_wall(plan.outline, splice.wall, splice.along)
        yield line(splice_words(splice, units), f"splice:{i}", About("splice"), place)
    left = [length for length in found.offcuts if length > _TOLD]
    if left:
        yield BLANK
        words = ", ".join(length_under(length, units) for length in left)
        yield line(phrase("Left over, longest first: {lengths}", lengths=words), "offcuts", About("offcut"))


def edges(plan: Plan) -> Listing:
    """The one board and how it is trimmed, then what each length serves."""
    found, units = plan.straightedges, plan.job.units
    if not found or not plan.outline:
        return
    yield head(phrase("Straightedges, longest first"))
    trimmed = trimmed_words(found, units)
    if trimmed:
        says = phrase(
            "The longest line from a strip to the flange is {longest}, the shortest {shortest}.",
            longest=length_over(found.longest, units),
            shortest=length_under(found.shortest, units),
        )
        yield line(trimmed, "trimmed", About("straightedge", says))
    yield SheetLine(_REACH)
    for i, edge in enumerate(found.edges):
        yield BLANK
        yield from _edge(i, edge, plan.outline, units)
    for i, bend in enumerate(found.bends):
        yield BLANK
        yield line(bend_words(bend, plan), f"bend:{i}", About("bend"), Place(bend.x, bend.y))


def _edge(i: int, edge: Straightedge, floor: FloorOutline, units: Units) -> Listing:
    places = [on_wall(floor, served.wall, (served.start + served.end) / 2) for served in edge.serves]
    about = About("straightedge", path=f"straightedges[{i}]")
    yield line(nearly(edge.length, units), f"straightedge:{i}", about, (places or [NOWHERE])[0])
    if not edge.serves:
        yield SheetLine(indented(served_words((), units)))
    for k, (served, place) in enumerate(zip(edge.serves, places, strict=True)):
        text = indented(served_words((served,), units))
        yield line(text, f"straightedge:{i}:{k}", About("straightedge.serves"), place)
