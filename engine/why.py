"""How a figure came about: the formula, this job's numbers put in, and the source of its limit."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, TypeAlias

from engine.bed.depth import Depth
from engine.bed.even_fall import EvenFall
from engine.bed.surfaces import Hidden
from engine.bed.valley.bed import ValleyWalls
from engine.job import defaults
from engine.job.model import BedShape
from engine.limits.depth_limits import depth_limits
from engine.limits.drain_range import range_words
from engine.limits.figure_page import figure_page
from engine.limits.rulebook import default_fall
from engine.limits.words import fall_over, fall_under, length_over, length_under, paced, place_words
from engine.quantities import format_area, format_fall, format_length, format_share, format_volume, round_up
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs, Spot

if TYPE_CHECKING:
    from collections.abc import Callable

    from engine.layout.marks import Mark
    from engine.limits.rulebook import Limit
    from engine.plan import Plan
    from engine.quantities import Units

Pages: TypeAlias = tuple[str, list[tuple[str, str]]]
_VALLEY_FALL = (
    "The slope of facets, valleys and creases; where a rulebook measures square to walls, of facets at walls"
)
_LINE_HOLDS = "It holds only while the level line stands as high as it stood for the readings."
_ROUNDING = (
    "Printed figures are rounded to the side that keeps their promise; the plan itself is not rounded."
)


def explained(plan: Plan, figure: str) -> Pages | None:
    """Title and paragraphs on how a figure came about; None where there is no figure of that name.

    The name is the figure's place in the plan as JSON ("bed.wall_height", "marks[0]") or plain words ("wall height",
    "mark at A", "mark at A-B 2": the second along that wall, or the key of a rulebook's figure: "figures.curb_least").
    """
    name = " ".join(figure.lower().replace("_", " ").split())
    mark = _found_mark(plan, figure)
    if mark is not None:
        return _mark(plan, mark)
    page = _PAGES.get(_PLACES.get(name, name))
    if page is None:
        return figure_page(plan.rulebook, figure, plan.job.units)
    return page(plan)


_MARK_AT = re.compile(
    r"marks? at ([A-Z]{1,2}(?:-[A-Z]{1,2})?|island \d{1,3} (?:corner \d{1,3}|side \d{1,3}-\d{1,3}))(?: (\d{1,6}))?"
)


def known_figures(plan: Plan) -> tuple[str, ...]:
    """The names of all figures that can be explained."""
    marks = () if isinstance(plan.marks, Needs) else tuple(f"marks[{i}]" for i in range(len(plan.marks)))
    own = tuple(f"figures.{figure.key}" for figure in plan.rulebook.own)
    return tuple(place.replace(" ", "_") for place in _PLACES) + own + marks


def figure_paths(plan: Plan, figure: str) -> tuple[str, ...]:
    """Where a figure asked for by plain words stands in the plan as JSON, the likeliest first."""
    mark = _found_mark(plan, figure)
    if mark is not None and not isinstance(plan.marks, Needs):
        return (f"marks[{plan.marks.index(mark)}].{_mark_figure(figure)}",)
    name = " ".join(figure.lower().replace("_", " ").split())
    page = _PLACES.get(name, name)
    return tuple(place.replace(" ", "_") for place, shown in _PLACES.items() if shown == page)


def _mark_figure(figure: str) -> str:
    """Which of a mark's figures is asked for: the one named last in a path, else the one read off the line."""
    named = re.search(r"\]\.(\w+)$", figure.strip())
    return named[1] if named else "below_line"


def _found_mark(plan: Plan, figure: str) -> Mark | None:
    """The mark meant by "marks[3]" or "mark at A-B 2"."""
    if isinstance(plan.marks, Needs):
        return None
    numbered = re.fullmatch(r"marks?\[(\d{1,6})\](?:\.\w+)?", figure.strip())
    if numbered:
        number = int(numbered[1])
        return plan.marks[number] if number < len(plan.marks) else None
    named = _MARK_AT.fullmatch(figure.strip())
    if not named:
        return None
    along = [mark for mark in plan.marks if mark.at == named[1]]
    number = int(named[2] or 1)
    return along[number - 1] if 1 <= number <= len(along) else None


def mark_place(mark: Mark, units: Units) -> str:
    """Where a mark is: "A", or "A-B at 12 in"."""
    return mark.at if mark.along is None else f"{mark.at} at {paced(mark.along, units)}"


def _mark(plan: Plan, mark: Mark) -> Pages:
    units = plan.job.units
    step = format_length(defaults.mark_step(plan.job), units)
    above, over = length_over(mark.above_drain, units), length_over(mark.above_rough, units)
    rough = mark.above_drain - mark.above_rough
    lies = f"{format_length(abs(rough), units)} {'over' if rough > 0 else 'under'} the drain"
    paragraphs = [
        ("Over the drain", f"The bed's height at this place of the wall, rounded up to {step}: {above}."),
        ("Over the rough floor", f"The rough floor lies {lies} here: the mark is {over} over it."),
        _line(plan, mark, above),
        ("Rounding", _ROUNDING),
    ]
    return f"The mark at {mark_place(mark, units)}", paragraphs


def _line(plan: Plan, mark: Mark, above: str) -> tuple[str, str]:
    units = plan.job.units
    if mark.below_line is None or isinstance(plan.drains, Needs) or plan.drains[0].drop is None:
        return "Level line", "No drop is known for the drain yet, so the mark has no reading off the line."
    drop = format_length(plan.drains[0].drop, units)
    how = "planned" if plan.drains[0].planned else "measured"
    below = length_under(mark.below_line, units)
    text = f"The drain's drop ({how}) {drop}, less {above}: {below}. {_LINE_HOLDS}"
    return "Down from the level line", text


def _wall_height(plan: Plan) -> Pages:
    units, bed = plan.job.units, plan.bed
    if isinstance(bed, Needs | Hidden):
        return _waiting("The wall height")
    if plan.job.bed.wall_height is not None:
        return "The wall height", [("", f"Your own figure: {plan.job.bed.wall_height.text}.")]
    own = plan.job.bed.fall
    fall = default_fall(plan.rulebook) if own is None else own.value
    whose = "your own" if own is not None else f"the rulebook's least: {plan.rulebook.least_fall.cited}"
    product = format_length(fall * bed.longest_run, units, 0.01)
    if isinstance(bed, ValleyWalls):
        return _valley_height(plan, bed, (fall, product, whose))
    text = f"{format_fall(fall, units)} x {length_over(bed.longest_run, units)} = {product}"
    if bed.shape is BedShape.LEVEL_WALLS:
        step = format_length(defaults.mark_step(plan.job), units)
        text += f", rounded up to {step}: {format_length(bed.wall_height, units)}."
    return "The wall height", [
        ("Fall x longest run", text),
        ("The fall", f"It is {whose}."),
        ("Rounding", _ROUNDING),
    ]


def _valley_height(plan: Plan, bed: ValleyWalls, figures: tuple[float, str, str]) -> Pages:
    units, (fall, product, whose) = plan.job.units, figures
    step = format_length(defaults.mark_step(plan.job), units)
    height = format_length(bed.wall_height, units)
    text = f"{format_fall(fall, units)} x {length_over(bed.longest_run, units)} = {product}"
    if abs(round_up(fall * bed.longest_run, defaults.mark_step(plan.job)) - bed.wall_height) > 1e-6:
        text += ", raised a little because the facets are gentler so"
    text += f", rounded up to {step}: {height}. All heights of the bed are raised alike."
    shortest = EvenFall(bed.reach, fall)
    least = (
        f"With walls all level nothing lower than {length_under(shortest.wall_height, units)} can be: water from the "
        f"farthest place has {length_over(shortest.longest_run, units)} to go at least."
    )
    return "The wall height", [
        ("Fall x longest way down a crease and along the valleys", text),
        ("The least there could be", least),
        ("The fall", f"It is {whose}."),
        ("Rounding", _ROUNDING),
    ]


def _longest_run(plan: Plan) -> Pages:
    if isinstance(plan.bed, Needs | Hidden):
        return _waiting("The longest run")
    spot = plan.bed.least_fall_at
    how = {
        BedShape.LEVEL_WALLS: "The longest straight line from the flange's edge to a wall",
        BedShape.EVEN_FALL: "The longest way that water takes along the floor to the flange's edge, round corners",
    }
    text = how.get(plan.bed.shape, "The longest way to the flange's edge")
    if isinstance(plan.bed, ValleyWalls):
        text, spot = (
            "The longest way from a wall down a crease and along the valleys to the flange's edge",
            plan.bed.longest,
        )
    return "The longest run", [
        ("", f"{text}: {length_over(plan.bed.longest_run, plan.job.units)}{_at(plan, spot)}.")
    ]


def _least_fall(plan: Plan) -> Pages:
    if isinstance(plan.bed, Needs | Hidden):
        return _waiting("The least fall")
    spot, units = plan.bed.least_fall_at, plan.job.units
    what = _VALLEY_FALL if isinstance(plan.bed, ValleyWalls) else "Height at the wall over the run"
    text = f"{what}, where that is least: {fall_under(spot.value, units)}{_at(plan, spot)}."
    return "The least fall", [("", text), _limit("At least", plan.rulebook.least_fall)]


def _most_fall(plan: Plan) -> Pages:
    if isinstance(plan.bed, Needs | Hidden):
        return _waiting("The most fall")
    spot, units = plan.bed.most_fall_at, plan.job.units
    what = _VALLEY_FALL if isinstance(plan.bed, ValleyWalls) else "Height at the wall over the run"
    text = f"{what}, where that is most: {fall_over(spot.value, units)}{_at(plan, spot)}."
    most = plan.rulebook.most_fall
    return "The most fall", [("", text), *_bound(plan), _limit("At most", most)]


def _bound(plan: Plan) -> list[tuple[str, str]]:
    """What no bed with level walls could better, where the bed has valleys."""
    bed = plan.bed
    if not isinstance(bed, ValleyWalls):
        return []
    bound = fall_under(bed.bound, plan.job.units)
    text = (
        f"With this drain every bed whose walls are level and that keeps the fall reaches {bound} somewhere."
    )
    return [("What every such bed reaches", text)]


def _least_depth(plan: Plan) -> Pages:
    if not isinstance(plan.depth, Depth):
        return _waiting("The least depth")
    spot, limits = plan.depth.least, depth_limits(plan.job, plan.rulebook)
    text = f"The bed's height less the rough floor's, where that is least: {length_under(spot.value, plan.job.units)}"
    return "The least depth", [
        ("", f"{text}{_at(plan, spot)}."),
        _limit("At least", limits.least),
        _why(limits.because),
    ]


def _most_depth(plan: Plan) -> Pages:
    if not isinstance(plan.depth, Depth):
        return _waiting("The most depth")
    spot, limits = plan.depth.most, depth_limits(plan.job, plan.rulebook)
    text = f"The bed's height less the rough floor's, where that is most: {length_over(spot.value, plan.job.units)}"
    return "The most depth", [
        ("", f"{text}{_at(plan, spot)}."),
        _limit("At most", limits.most),
        _why(limits.because),
    ]


def _volume(plan: Plan) -> Pages:
    if not isinstance(plan.depth, Depth) or not isinstance(plan.outline, FloorOutline):
        return _waiting("The deck mud")
    units, area = plan.job.units, plan.outline.area
    mean = format_length(plan.depth.volume / area, units)
    text = f"The depth added up over the whole floor: {format_area(area, units)} x {mean} on average = "
    return "The deck mud", [
        ("", f"{text}{format_volume(plan.depth.volume, units)}, packed, nothing added for waste.")
    ]


def _drain(plan: Plan) -> Pages:
    if isinstance(plan.drains, Needs):
        return _waiting("The drain's height")
    drain, units = plan.drains[0], plan.job.units
    if not drain.planned:
        text = f"You measured the flange: {format_length(drain.drop or 0.0, units)} under the level line."
    else:
        least = depth_limits(plan.job, plan.rulebook).least
        limit = "" if least is None else f" of {least.text}"
        text = (
            f"No drop is entered, so this is the lowest height that leaves the least depth{limit} everywhere."
        )
    above = f"Its top is {format_length(drain.above_rough, units)} above the rough floor there."
    ends = [] if plan.drain_range is None else [*range_words(plan.case, plan.drain_range)]
    return "The drain's height", [("", text), ("", above), *((name, f"{says}.") for name, says in ends)]


def _guessed(plan: Plan) -> Pages:
    if isinstance(plan.rough, Needs):
        return _waiting("What is guessed")
    share = format_share(plan.rough.guessed, plan.job.units)
    text = (
        f"{share} of the floor lies outside the readings. There the rough floor is taken to go on like the plane "
        "that fits all readings best. A reading in that corner turns the guess into knowledge."
    )
    return "What is guessed", [("", text)]


def _area(plan: Plan) -> Pages:
    if not isinstance(plan.outline, FloorOutline):
        return _waiting("The floor's area")
    area = format_area(plan.outline.area, plan.job.units)
    return "The floor's area", [("", f"What lies inside the walls, islands left out: {area}.")]


def _least_bed(plan: Plan) -> Pages:
    if plan.least_bed is None:
        return _waiting("The bed that would save the most mud")
    text = (
        "The lowest surface that falls at least the least fall and at most the most fall along the water's ways, and "
        "keeps the least depth over the rough floor everywhere. No other bed within these limits takes less mud. Where "
        "the floor is high it lifts the bed there and all that drains over that place."
    )
    return "The bed that would save the most mud", [("", text)]


def _digest(plan: Plan) -> Pages:
    del plan
    text = (
        "Eight letters and digits computed from the plan's figures. Two people who read out the same digest have "
        "the very same numbers before them."
    )
    return "The digest", [("", text)]


_PAGES: dict[str, Callable[[Plan], Pages]] = {
    "wall height": _wall_height,
    "longest run": _longest_run,
    "least fall": _least_fall,
    "most fall": _most_fall,
    "least depth": _least_depth,
    "most depth": _most_depth,
    "volume": _volume,
    "drain": _drain,
    "guessed": _guessed,
    "area": _area,
    "least bed": _least_bed,
    "digest": _digest,
}
_PLACES = {
    "bed.wall height": "wall height",
    "bed.longest run": "longest run",
    "bed.least fall": "least fall",
    "bed.most fall": "most fall",
    "bed.least depth": "least depth",
    "bed.least depth.depth": "least depth",
    "bed.most depth": "most depth",
    "bed.most depth.depth": "most depth",
    "bed.volume": "volume",
    "drains[0].above rough": "drain",
    "drains[0].height": "drain",
    "guessed": "guessed",
    "outline.area": "area",
    "digest": "digest",
}


def _at(plan: Plan, spot: Spot) -> str:
    if not isinstance(plan.outline, FloorOutline):
        return ""
    return f", {place_words(spot.x, spot.y, plan.outline, plan.job.units)}"


def _limit(word: str, limit: Limit | None) -> tuple[str, str]:
    if limit is None:
        return "Limit", "This rulebook has none."
    return "Limit", f"{word} {limit.text}. Source: {limit.cited}."


def _why(because: str) -> tuple[str, str]:
    return "Why this limit", because or "The bed is bonded to the floor."


def _waiting(title: str) -> Pages:
    return title, [("", "The job is not far enough for this figure yet.")]
