"""A page on each figure that has one: formula, this job's numbers in it, its limit's source."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import TypeAlias

from ..bed.drains import SetDrain
from ..bed.even_fall import EvenFall
from ..bed.falls import OneFall
from ..bed.parted_walls import PartedWalls
from ..bed.surfaces import Bed, valley_parts
from ..bed.valley.bed import ValleyWalls
from ..job import defaults
from ..job.model import BedShape
from ..limits.depth_limits import depth_limits
from ..limits.drain_range import range_words
from ..limits.rulebook import Limit, default_fall
from ..limits.words import fall_over, fall_under, higher, length_over, length_under
from ..packed import wording
from ..phrases import phrase
from ..plan import Mark, Plan
from ..quantities import Units, format_area, format_fall, format_length, format_share, format_volume, round_up
from ..survey.place_words import paced, place_words
from ..survey.spot import Spot

Paragraphs: TypeAlias = list[tuple[str, str]]
Pages: TypeAlias = tuple[str, Paragraphs]
_SAME = 1e-6  # [mm]


def mark_place(mark: Mark, units: Units) -> str:
    """Where a mark is: "A", or "A-B at 12 in"."""
    return mark.at if mark.along is None else phrase("{at} at {along}", at=mark.at, along=paced(mark.along, units))


def mark_page(plan: Plan, mark: Mark) -> Pages:
    """How a mark's three figures came about."""
    units = plan.units
    step = format_length(defaults.mark_step(plan.job), units)
    above, over = length_over(mark.above_drain, units), length_over(mark.above_rough, units)
    rough = mark.above_drain - mark.above_rough
    height = format_length(abs(rough), units)
    lies = phrase("{height} over the drain" if rough > 0 else "{height} under the drain", height=height)
    paragraphs = [
        (
            phrase("Over the drain"),
            phrase(
                "The bed's height at this place of the wall, rounded up to {step}: {above}.", step=step, above=above
            ),
        ),
        (
            phrase("Over the rough floor"),
            phrase("The rough floor lies {lies} here: the mark is {over} over it.", lies=lies, over=over),
        ),
        _line(plan, mark, above),
        _rounding(),
    ]
    return phrase("The mark at {place}", place=mark_place(mark, units)), paragraphs


def _line(plan: Plan, mark: Mark, above: str) -> tuple[str, str]:
    units = plan.units
    if mark.below_line is None or not plan.drains or plan.drains[0].drop is None:
        return phrase("Level line"), phrase(
            "No drop is known for the drain yet, so the mark has no reading off the line."
        )
    text = phrase(
        "The drain's drop ({how}) {drop}, less {above}: {below}. {holds}",
        how=phrase("planned" if plan.drains[0].planned else "measured"),
        drop=format_length(plan.drains[0].drop, units),
        above=above,
        below=length_under(mark.below_line, units),
        holds=wording("why")["line-holds"],
    )
    return phrase("Down from the level line"), text


def _wall_height(plan: Plan) -> Paragraphs | None:
    bed = plan.bed
    if not bed:
        return None
    if plan.job.bed.wall_height is not None:
        return [("", phrase("Your own figure: {height}.", height=plan.job.bed.wall_height.text))]
    own = plan.job.bed.fall
    fall = default_fall(plan.rulebook) if own is None else own.value
    whose = (
        phrase("your own")
        if own is not None
        else phrase("the rulebook's least: {cited}", cited=plan.rulebook.least_fall.cited)
    )
    ends = [(phrase("The fall"), phrase("It is {whose}.", whose=whose)), _rounding()]
    if isinstance(bed, ValleyWalls):
        return [*_valley_height(plan, bed, fall), *ends]
    reckoned = parted_height(plan, bed, fall) if isinstance(bed, PartedWalls) else _height(plan, bed, fall)
    return [(phrase("Fall x longest run"), reckoned), *ends]


def _height(plan: Plan, bed: Bed, fall: float) -> str:
    """The sum for one drain's wall height, or the height at the longest run's end."""
    units = plan.units
    run = bed.farthest.value if isinstance(bed, OneFall) else bed.longest_run
    text = _product(fall, run, units)
    if run != bed.longest_run:
        text = phrase(
            "{product}; a way to a drain that stands higher counts as longer by that over the fall", product=text
        )
    if not bed.has_level_walls:
        return text
    return phrase(
        "{product}, rounded up to {step}: {height}.",
        product=text,
        step=format_length(defaults.mark_step(plan.job), units),
        height=format_length(bed.wall_height, units),
    )


def _product(fall: float, run: float, units: Units) -> str:
    return f"{format_fall(fall, units)} x {length_over(run, units)} = {format_length(fall * run, units, 0.01)}"


def _valley_height(plan: Plan, bed: ValleyWalls, fall: float) -> Paragraphs:
    units, step = plan.units, defaults.mark_step(plan.job)
    text = _product(fall, bed.longest_run, units)
    if abs(round_up(fall * bed.longest_run, step) - bed.wall_height) > 1e-6:
        text = phrase("{product}, raised a little because the facets are gentler so", product=text)
    text = phrase(
        "{product}, rounded up to {step}: {height}. All heights of the bed are raised alike.",
        product=text,
        step=format_length(step, units),
        height=format_length(bed.wall_height, units),
    )
    shortest = EvenFall(bed.reach, fall)
    least = phrase(
        "With walls all level nothing lower than {wall_height} can be: water from the "
        "farthest place has {run} to go at least.",
        wall_height=length_under(shortest.wall_height, units),
        run=length_over(shortest.longest_run, units),
    )
    return [
        (phrase("Fall x longest way down a crease and along the valleys"), text),
        (phrase("The least there could be"), least),
    ]


def _longest_run(plan: Plan) -> Paragraphs | None:
    bed = plan.bed
    if not bed:
        return None
    how = {
        BedShape.LEVEL_WALLS: phrase("The longest straight line from the flange's edge to a wall"),
        BedShape.EVEN_FALL: phrase(
            "The longest way that water takes along the floor to the flange's edge, round corners"
        ),
    }
    text = how.get(bed.shape, phrase("The longest way to the flange's edge"))
    if isinstance(bed, PartedWalls):
        text = phrase("The longest straight line from a flange's edge to a wall or ridge of its part")
        bed = bed.farthest_reaching
    if isinstance(bed, ValleyWalls):
        text = phrase("The longest way from a wall down a crease and along the valleys to the flange's edge")
    run = length_over(bed.longest_run, plan.units)
    return [("", phrase("{text}: {run}{at}.", text=text, run=run, at=_at(plan, bed.longest)))]


def _fall(plan: Plan, *, most: bool) -> Paragraphs | None:
    if not plan.bed:
        return None
    spot, units, book = plan.bed.most_fall_at if most else plan.bed.least_fall_at, plan.units, plan.rulebook
    what = wording("why")["valley-fall"] if valley_parts(plan.bed) else phrase("Height at the wall over the run")
    told = fall_over(spot.value, units) if most else fall_under(spot.value, units)
    text = _extreme(plan, what, spot, told, most=most)
    bound = _bound(plan) if most else []
    return [("", text), *bound, _limit(book.most_fall if most else book.least_fall, most=most)]


def _extreme(plan: Plan, what: str, spot: Spot, told: str, *, most: bool) -> str:
    return phrase(
        "{what}, where that is most: {spot}{at}." if most else "{what}, where that is least: {spot}{at}.",
        what=what,
        spot=told,
        at=_at(plan, spot),
    )


def _bound(plan: Plan) -> list[tuple[str, str]]:
    bed = plan.bed
    if not isinstance(bed, ValleyWalls) or not bed.bound:
        return []
    text = phrase(
        "With this drain every bed whose walls are level and that keeps the fall reaches {bound} somewhere.",
        bound=fall_under(bed.bound, plan.units),
    )
    return [(phrase("What every such bed reaches"), text)]


def _depth(plan: Plan, *, most: bool) -> Paragraphs | None:
    if not plan.depth:
        return None
    spot = plan.depth.most if most else plan.depth.least
    units, limits = plan.units, depth_limits(plan.job, plan.rulebook)
    told = length_over(spot.value, units) if most else length_under(spot.value, units)
    return [
        ("", _extreme(plan, phrase("The bed's height less the rough floor's"), spot, told, most=most)),
        _limit(limits.most if most else limits.least, most=most),
        (phrase("Why this limit"), limits.because or phrase("The bed is bonded to the floor.")),
    ]


def _volume(plan: Plan) -> Paragraphs | None:
    if not plan.depth or not plan.outline:
        return None
    units, area = plan.units, plan.outline.area
    text = phrase(
        "The depth added up over the whole floor: {area} x {mean} on average = {volume}, packed, "
        "nothing added for waste.",
        area=format_area(area, units),
        mean=format_length(plan.depth.volume / area, units),
        volume=format_volume(plan.depth.volume, units),
    )
    return [("", text)]


def _drain(plan: Plan) -> Paragraphs | None:
    if not plan.drains:
        return None
    told, units = [], plan.units
    for i, drain in enumerate(plan.drains, 1):
        name = phrase("Drain {number}", number=i) if len(plan.drains) > 1 else ""
        top = format_length(drain.above_rough, units)
        above = phrase("Its top is {height} above the rough floor there.", height=top)
        told += [(name, _height_of(drain, plan)), ("", above)]
    ends = [] if plan.drain_range is None else [*range_words(plan.case, plan.drain_range)]
    return [*told, *((name, phrase("{says}.", says=says)) for name, says in ends)]


def _height_of(drain: SetDrain, plan: Plan) -> str:
    if not drain.planned:
        return phrase(
            "Its drop was left out: it stands level with the first drain measured, {drop} under the level line."
            if drain.level
            else "You measured the flange: {drop} under the level line.",
            drop=format_length(drain.drop or 0.0, plan.units),
        )
    least = depth_limits(plan.job, plan.rulebook).least
    return phrase(
        "No drop is entered, so this is the lowest height that leaves the least depth{limit} everywhere.",
        limit="" if least is None else phrase(" of {least}", least=least.text),
    )


def _guessed(plan: Plan) -> Paragraphs | None:
    if not plan.rough:
        return None
    text = phrase(
        "{share} of the floor lies outside the readings. There the rough floor is taken to "
        "go on like the plane that fits all readings best. A reading in that corner turns "
        "the guess into knowledge.",
        share=format_share(plan.rough.guessed, plan.units),
    )
    return [("", text)]


def _area(plan: Plan) -> Paragraphs | None:
    if not plan.outline:
        return None
    area = format_area(plan.outline.area, plan.units)
    return [("", phrase("What lies inside the walls, islands left out: {area}.", area=area))]


def _least_bed(plan: Plan) -> Paragraphs | None:
    return None if plan.least_bed is None else [("", wording("why")["least-bed"])]


def _rounding() -> tuple[str, str]:
    return phrase("Rounding"), wording("why")["rounding"]


_PAGES: Mapping[str, tuple[str, Callable[[Plan], Paragraphs | None]]] = {
    "wall height": (phrase("The wall height"), _wall_height),
    "longest run": (phrase("The longest run"), _longest_run),
    "least fall": (phrase("The least fall"), partial(_fall, most=False)),
    "most fall": (phrase("The most fall"), partial(_fall, most=True)),
    "least depth": (phrase("The least depth"), partial(_depth, most=False)),
    "most depth": (phrase("The most depth"), partial(_depth, most=True)),
    "volume": (phrase("The deck mud"), _volume),
    "drain": (phrase("The drain's height"), _drain),
    "guessed": (phrase("What is guessed"), _guessed),
    "area": (phrase("The floor's area"), _area),
    "least bed": (phrase("The bed that would save the most mud"), _least_bed),
    "digest": (phrase("The digest"), lambda _: [("", wording("why")["digest"])]),
}


def named_page(plan: Plan, name: str) -> Pages | None:
    """A figure's page by its name; None for none."""
    if name not in _PAGES:
        return None
    title, told = _PAGES[name]
    return title, told(plan) or [("", phrase("The job is not far enough for this figure yet."))]


def _at(plan: Plan, spot: Spot) -> str:
    if not plan.outline:
        return ""
    return phrase(", {spot}", spot=place_words(spot.x, spot.y, plan.outline, plan.units))


def _limit(limit: Limit | None, *, most: bool) -> tuple[str, str]:
    if limit is None:
        return phrase("Limit"), phrase("This rulebook has none.")
    word = phrase("At most" if most else "At least")
    return phrase("Limit"), phrase("{word} {limit}. Source: {cited}.", word=word, limit=limit.text, cited=limit.cited)


def parted_height(plan: Plan, bed: PartedWalls, fall: float) -> str:
    """The sum for the walls' height, by the part that needs the highest; fall [-]."""
    units, step = plan.units, defaults.mark_step(plan.job)
    needed = [head + fall * own.wall_height / own.least_fall for head, own in zip(bed.heads, bed.beds, strict=True)]
    at = needed.index(max(needed))
    head, run = bed.heads[at], bed.beds[at].longest_run
    text = phrase(
        "drain {number} decides: {fall} x {run} = {product}",
        number=at + 1,
        fall=format_fall(fall, units),
        run=length_over(run, units),
        product=format_length(fall * run, units, 0.01),
    )
    if abs(head) > _SAME:
        text = phrase(
            "{product}, over its flange, which stands {head} than drain 1's", product=text, head=higher(head, units)
        )
    if abs(round_up(head + fall * run, step) - bed.wall_height) > _SAME:
        text = phrase("{product}, raised a little because the facets are gentler so", product=text)
    return phrase(
        "{product}, rounded up to {step}: {height} over drain 1, along every wall and ridge.",
        product=text,
        step=format_length(step, units),
        height=format_length(bed.wall_height, units),
    )
