"""The pages of the wall marks, of the bed with all findings in full and the digest, and of how sure the plan is."""

from collections.abc import Iterator, Sequence
from functools import partial

from engine.bed.drains import SetDrain
from engine.bed.falls import OneFall
from engine.job.model import BedShape
from engine.layout.marks import Mark
from engine.limits.drain_range import range_words
from engine.limits.words import fall_over, fall_under, length_over, length_under
from engine.packed import wording
from engine.phrases import joined, phrase, shaped
from engine.plan import Plan
from engine.quantities import CUBIC_FOOT, LITRE, Units, format_area, format_share, format_volume, round_up
from engine.remedies.fits import fits
from engine.sheets.catchment_words import planned_catchments, share_words
from engine.sheets.digest import digest
from engine.sheets.least_bed import least_bed_words
from engine.sheets.sure_words import HAND_TITLE, SURE_TITLE, hand_rows, marks_sure_words, sure_rows
from engine.sheets.words import Row
from engine.survey.place_words import place_words
from engine.survey.spot import Spot
from engine.why import mark_place

from ..terminal import sentence
from ..tongues import told
from ..widgets.findings import level_words
from ..widgets.sheet import Listing, SheetLine
from .lines import BLANK, About, figure, head, headed, rows

_PLACE_CELLS = 14
_FIGURE_CELLS = 9
_MEANS = phrase("line: down from the level line; drain: over its flange; floor: over the rough floor.")
_PAPER = phrase("Right goes on to strips, shopping and the order of work. Ctrl+P writes it all as a page to print.")
_NO_LINE = phrase("A mark has no reading off the line until the drain's drop or readings are entered.")
_MUD_STEP = Units.pair(CUBIC_FOOT / 100, LITRE / 10)  # [mm3] the last digit shown
_LAST_WORD = phrase("The local code overrides everything here. Cut and mix with dust and skin protection.")


def marks(plan: Plan) -> Listing:
    """What is needed, the marks, the drain."""
    yield from needs(plan)
    yield from _marks(plan)
    yield from _drain(plan)
    yield BLANK
    yield SheetLine(_PAPER)


def needs(plan: Plan) -> Listing:
    """What is still needed for a whole plan."""
    lines = [
        SheetLine(joined("", ["- ", need.says]), f"need:{i}", hangs=2, goes_to=need.key)
        for i, need in enumerate(plan.needs)
    ]
    return headed(phrase("Still needed for a whole plan: Enter goes there"), lines)


def _marks(plan: Plan) -> Listing:
    if not plan.marks:
        return
    units = plan.job.units
    yield head(phrase("Wall marks, in walking order"))
    yield SheetLine(_MEANS)
    columns = [shaped(name, _to_the_right) for name in (phrase("line"), phrase("drain"), phrase("floor"))]
    yield SheetLine(joined("", [f"{units.value:<{_PLACE_CELLS}}", *columns]))
    ring = ""
    for i, mark in enumerate(plan.marks):
        if mark.ring_name != ring:
            ring = mark.ring_name
            yield SheetLine(phrase("Round {island}, its corners numbered in the order they were given:", island=ring))
        figures = "".join(_to_the_right(text) for text in _columns(mark, units))
        place = shaped(mark_place(mark, units), partial(_place, ring=ring, unit=units.value))
        yield SheetLine(joined("", [place, figures]), f"mark:{i}", mark.x, mark.y)
    sure = marks_sure_words(plan)
    if sure:
        yield SheetLine(phrase("floor: {sure}.", sure=sure))
    if any(mark.below_line is None for mark in plan.marks):
        yield SheetLine(_NO_LINE)
    yield BLANK


def _columns(mark: Mark, units: Units) -> Iterator[str]:
    """A mark's figures without unit: down from the line, over the drain, over the rough floor."""
    line = "" if mark.below_line is None else length_under(mark.below_line, units)
    for text in (line, length_over(mark.above_drain, units), length_over(mark.above_rough, units)):
        yield text.removesuffix(f" {units.value}")


def _place(text: str, ring: str, unit: str) -> str:
    return f"{text.removeprefix(f'{told(ring)} ').removesuffix(f' {unit}'):<{_PLACE_CELLS}}"


def _to_the_right(text: str) -> str:
    return text.rjust(_FIGURE_CELLS)


def _drain(plan: Plan) -> Listing:
    for i, drain in enumerate(plan.drains or ()):
        yield head(phrase("Drain {number}", number=i + 1) if len(plan.job.drains) > 1 else phrase("Drain"))
        yield from _flange(drain, f"drain:{i}", plan.job.units)
        if not i:  # the others go with the first
            yield from _range(plan, Spot.at(0.0, drain.flange.centre))


def _flange(drain: SetDrain, key: str, units: Units) -> Listing:
    spot = Spot.at(0.0, drain.flange.centre)
    level = phrase("level with the first that was measured" if drain.level else "as measured")
    how = phrase("planned, the lowest that works") if drain.planned else level
    top = phrase("{height} over the rough floor ({how})", height=length_over(drain.above_rough, units), how=how)
    yield figure(phrase("Flange top"), top, key, spot)
    if drain.drop is not None:
        down = phrase("{drop} down to it", drop=length_under(drain.drop, units))
        yield figure(phrase("Level line"), down, key, spot)


def _range(plan: Plan, drain: Spot) -> Listing:
    found = plan.drain_range
    if found is None:
        return
    ends = {
        "Lowest it may stand": (phrase("Lowest"), found.lowest),
        "Highest it may stand": (phrase("Highest"), found.highest),
    }
    for name, says in range_words(plan.case, found):
        short, end = ends.get(name, (name, None))
        yield figure(short, says, "drain:0", (end and end.spot) or drain)


def bed(plan: Plan) -> Listing:
    """What is needed, the bed, the findings, the digest."""
    yield from needs(plan)
    yield from _bed(plan)
    yield head(phrase("Findings"))
    for i, finding in enumerate(plan.findings):
        text = joined(" ", [level_words(finding), sentence(finding.says), sentence(finding.remedy)])
        yield SheetLine(text, f"finding:{i}", finding.x, finding.y, hangs=2)
    if not plan.findings:
        yield SheetLine(phrase("None so far." if plan.needs else "None."))
    yield BLANK
    shapes = [SheetLine(joined("", ["- ", sentence(fit.says)]), "least_fall", hangs=2) for fit in fits(plan)]
    yield from headed(phrase("Shapes that can meet both limits of fall"), shapes)
    least = [figure(name, says, "least_bed") for name, says in least_bed_words(plan)]
    yield from headed(phrase("The bed that would save the most mud"), least)
    yield figure(phrase("Digest"), digest(plan), "digest")
    yield SheetLine(_LAST_WORD)


def _bed(plan: Plan) -> Listing:
    surface, units = plan.bed, plan.job.units
    if not surface:
        return
    least, most = surface.least_fall_at, surface.most_fall_at
    walls = phrase(
        "{height} over the flange" if surface.shape is BedShape.LEVEL_WALLS else "up to {height} over the flange",
        height=length_over(surface.wall_height, units),
    )
    yield head(phrase("Bed"))
    yield figure(phrase("Wall height"), walls, "wall_height")
    longest = surface.longest if isinstance(surface, OneFall) else least
    yield figure(phrase("Longest run"), length_over(surface.longest_run, units), "longest_run", longest)
    yield figure(phrase("Least fall"), fall_under(least.value, units), "least_fall", least)
    yield figure(phrase("Most fall"), fall_over(most.value, units), "most_fall", most)
    if plan.depth:
        thin, thick = plan.depth.least, plan.depth.most
        yield figure(phrase("Least depth"), _at(length_under(thin.value, units), thin, plan), "least_depth", thin)
        yield figure(phrase("Most depth"), _at(length_over(thick.value, units), thick, plan), "most_depth", thick)
        mud = format_volume(round_up(plan.depth.volume, _MUD_STEP[units]), units)
        yield figure(phrase("Deck mud"), phrase("{mud} packed, without waste", mud=mud), "volume")
    yield figure(phrase("Floor"), format_area(surface.reach.floor.area, units), "area")
    areas = planned_catchments(plan)
    for i, area in enumerate(areas):
        name, about = phrase("Drain {number} takes", number=i + 1), About("catchment", path=f"catchments[{i}].share")
        yield figure(name, share_words(area, areas, units), f"catchment:{i}", about=about)
    if plan.rough:
        guessed = phrase("{share} of the floor", share=format_share(plan.rough.guessed, units))
        yield figure(phrase("Guessed"), guessed, "guessed")
    yield BLANK


def _at(text: str, spot: Spot, plan: Plan) -> str:
    if not plan.outline:
        return text
    place = place_words(spot.x, spot.y, plan.outline, plan.job.units)
    return phrase("{depth}, {place}", depth=text, place=place)


def sure(plan: Plan) -> Listing:
    """How sure the depth is, and the room for the hand."""
    yield from _part(SURE_TITLE, list(sure_rows(plan)), "sure")
    yield from _part(HAND_TITLE, list(hand_rows(plan)), "hand")


def _part(title: str, found: Sequence[Row], topic: str) -> Listing:
    if not found:
        return
    yield head(title)
    yield from rows(found, topic)
    yield BLANK
    yield SheetLine(wording("holds")[topic])
    yield BLANK
