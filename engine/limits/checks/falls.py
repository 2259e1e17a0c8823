"""Fall: no line too flat to drain, none too steep to stand on."""

from dataclasses import replace

import shapely

from ...bed.level_walls import LevelWalls
from ...bed.parted_walls import PartedWalls
from ...bed.surfaces import Bed, beds_of, valley_parts
from ...bed.valley.bed import ValleyWalls
from ...job.defaults import has_liner, mark_step
from ...job.model import BedShape, Job
from ...packed import wording
from ...phrases import joined, phrase
from ...quantities import INCH, Dimension, Units, parse, round_down, round_up
from ...survey.outline import FloorOutline
from ...survey.sides import CHORD_OFF
from ..findings import Change
from ..rulebook import Figure, Limit, Measured
from ..words import enough, fall_over, fall_under, fine
from .case import RELATIVE_NOISE, Case, Finding, Findings, Level, Needs, Spot, is_above, is_below, planned_fall
from .valleys import too_steep, without_own_height

FINEST_MARKS = Units.pair(INCH / 32, 0.5)  # [mm] as a pencil can mark
_HAIR = 1e-6  # [mm]
_ON_WALL = 1e-3  # [mm] a place this near a wall is on it
_LEFT_OUT = (
    phrase("leave the wall height out: it is then as high as the fall asks for"),
    "bed.wall_height",
    (("bed.wall_height", ""),),
)


def check_falls(case: Case, bed: Bed) -> Findings:
    """Findings fall-low, fall-steep, one each a drain's part, and why no level walls can meet both."""
    least, most = case.book.least_fall, case.book.most_fall
    wanted, asked = most_wanted(case)
    parts = beds_of(bed)
    held = [held_falls(part, case.stages.outline) for part in parts]
    flattest, steepest = min(low for low, _ in held), max(high for _, high in held)
    drains = [(number,) for number in range(len(parts))] if len(parts) > 1 else [()]
    for own, part, (low, _) in zip(drains, parts, held, strict=True):
        if is_below(low, asked.value):
            yield replace(_low(case, bed, part.least_fall_at, (wanted, asked)), drains=own)
    for own, part, (_, high) in zip(drains, parts, held, strict=True):
        if most and is_above(high, most.value):
            verdict = too_steep(case, part, most) if isinstance(part, ValleyWalls) else ""
            yield _steep(case, bed, part.most_fall_at, (least, most), (verdict, own))
    if most and (is_below(flattest, least.value) or is_above(steepest, most.value)) and _is_plain(bed):
        yield from _unequal_runs(case, steepest / flattest, least, most)


def held_falls(part: Bed, floor: FloorOutline | Needs) -> tuple[float, float]:
    """The least and most fall of a drain's part [-], as held to limits.

    A curved wall's chords lie up to CHORD_OFF off it, so runs to it are as unsure: a fall breaks a limit when no run
    within that doubt keeps it. Else no round room could have one fall all round. Runs to straight walls are exact, and
    so are the falls of all that is no cone.
    """
    if not isinstance(part, LevelWalls) or not floor or not floor.is_curved:
        return part.least_fall, part.most_fall
    far, near = part.runs.longest, part.runs.shortest
    least = part.wall_height / (far.value - _unsure(floor, far))
    return least, part.wall_height / (near.value + _unsure(floor, near))


def _unsure(floor: FloorOutline, spot: Spot) -> float:
    """How unsure a run to a wall is [mm]: not at all where a straight one meets the place."""
    meets = shapely.dwithin(floor.sides.lines, shapely.points(spot.x, spot.y), _ON_WALL)
    walls = floor.sides.walls[meets].tolist()
    return CHORD_OFF if walls and all(floor.arcs[wall] for wall in walls) else 0.0


def finer_marks(job: Job) -> list[float]:
    """Steps finer than a job's for marks [mm], coarsest first, down to what a pencil can mark."""
    return [step for times in (8, 4, 2, 1) if (step := times * FINEST_MARKS[job.units]) < mark_step(job) - _HAIR]


def most_wanted(case: Case) -> tuple[Figure, Limit]:
    """The steepest least fall asked of the bed: a floor's, a mortar bed's, a liner's base's."""
    return max(_wanted(case), key=lambda each: each[1].value)


def _wanted(case: Case) -> list[tuple[Figure, Limit]]:
    figures = [Figure.FALL_LEAST, Figure.BED_FALL_LEAST]
    if has_liner(case.job):
        figures.append(Figure.LINER_FALL_LEAST)
    return [(figure, limit) for figure in figures if (limit := case.book.find(figure))]


def _which(case: Case, figure: Figure) -> str:
    still = "" if figure in case.book.own else _still_in_force(case)
    return phrase(", the {figure}{still}", figure=figure.words, still=still)


def _still_in_force(case: Case) -> str:
    own = case.book.own.get(Figure.FALL_LEAST)
    if own is None:
        return ""
    left = [figure for figure, limit in _wanted(case) if is_below(own.value, limit.value)]
    others = joined(phrase(" and "), [figure.words for figure in left if figure not in case.book.own])
    if not others:
        return ""
    words = Figure.FALL_LEAST.words
    return phrase("; your own {figure} does not lower it: set the {others} too", figure=words, others=others)


def _low(case: Case, bed: Bed, spot: Spot, asked: tuple[Figure, Limit]) -> Finding:
    figure, least = asked
    remedy, key, change = _raise_walls(case, bed, least) or _more_fall(case, bed, least)
    return least.broken(
        "fall-low",
        says=phrase(
            "the fall is {fall} {where}, less than {least}{which}",
            fall=fall_under(spot.value, case.units),
            where=_where(case, bed, spot),
            least=case.limit_fall(least),
            which="" if figure is Figure.FALL_LEAST else _which(case, figure),
        ),
        remedy=remedy,
        spot=spot,
        key=key,
        change=change,
    )


def _steep(
    case: Case, bed: Bed, spot: Spot, limits: tuple[Limit, Limit], known: tuple[str, tuple[int, ...]]
) -> Finding:
    """known: whether it can be gentler, in words; whose part it is in, none with one drain."""
    (least, most), (verdict, drains) = limits, known
    remedy, key, change = (
        _lower_walls(case, bed, least, most)
        or (without_own_height(case, bed, most) and _LEFT_OUT)
        or _even_fall(case, bed, most)
    )
    return most.broken(
        "fall-steep",
        says=phrase(
            "the fall{to} is {fall} {where}, more than {most}{verdict}",
            to=phrase(" to drain {drain}", drain=drains[0] + 1) if drains else "",
            fall=fall_over(spot.value, case.units),
            where=_where(case, bed, spot),
            most=case.limit_fall(most),
            verdict=verdict,
        ),
        remedy=remedy,
        spot=spot,
        key=key,
        change=change,
        drains=drains,
    )


def _where(case: Case, bed: Bed, spot: Spot) -> str:
    square = case.book.measured is Measured.SQUARE
    same = bed.most_fall <= bed.least_fall * (1 + RELATIVE_NOISE)
    where = phrase("everywhere") if same else case.at(spot)
    return phrase("{where}, measured square to the wall", where=where) if square else where


def _is_plain(bed: Bed) -> bool:
    if not isinstance(bed, LevelWalls | PartedWalls) or bed.wall_height <= 0:
        return False
    if isinstance(bed, PartedWalls) and (any(bed.heads) or valley_parts(bed)):
        return False
    expected = bed.wall_height / bed.longest_run
    return abs(bed.least_fall - expected) <= RELATIVE_NOISE * expected


def _raise_walls(case: Case, bed: Bed, least: Limit) -> tuple[str, str, Change] | None:
    if case.job.bed.wall_height is None or not _is_plain(bed):
        return None
    needed = round_up(least.value * bed.longest_run, mark_step(case.job))
    text = _height_text(case, needed, least.value * bed.longest_run, float("inf"))
    more = case.length(needed - bed.wall_height)
    words = phrase(
        "set the wall height to {height}, {more} more, or leave it out", height=case.length(needed), more=more
    )
    return words, "bed.wall_height", (("bed.wall_height", text),)


def _more_fall(case: Case, bed: Bed, least: Limit) -> tuple[str, str, Change]:
    limit = case.limit_fall(least)
    if bed.shape is not BedShape.LEVEL_WALLS or is_below(planned_fall(case), least.value):
        own = (("bed.wall_height", ""),) if case.job.bed.wall_height is not None else ()
        return (phrase("plan a fall of at least {limit}", limit=limit), "bed.fall", (("bed.fall", least.text), *own))
    if case.job.bed.wall_height is not None:
        return _LEFT_OUT
    return phrase("take an even fall, which keeps {limit} along every line", limit=limit), "bed.shape", ()


def _lower_walls(case: Case, bed: Bed, least: Limit, most: Limit) -> tuple[str, str, Change] | None:
    if not _is_plain(bed):
        return None
    low, high = least.value * bed.longest_run, most.value * (bed.wall_height / bed.most_fall)
    coarse = mark_step(case.job)
    for step in (coarse, *finer_marks(case.job)):
        text = _height_text(case, round_down(high, step), low, high)
        if text:
            finer = case.length(step) if step < coarse else ""
            words = phrase(
                "set the wall height to {height}{marks}: then no line is steeper than {most} and none flatter than "
                "{least}",
                height=text,
                marks=phrase(" and the marks to {finer}", finer=finer) if finer else "",
                most=case.limit_fall(most),
                least=case.limit_fall(least),
            )
            marks = (("bed.mark_step", finer),) if finer else ()
            return words, "bed.wall_height", (("bed.wall_height", text), *marks)
    return None


def _height_text(case: Case, height: float, low: float, high: float) -> str:
    text = case.length(height)
    written = parse(text, Dimension.LENGTH, case.units)
    return text if low * (1 - RELATIVE_NOISE) <= written <= high * (1 + RELATIVE_NOISE) else ""


def _even_fall(case: Case, bed: Bed, most: Limit) -> tuple[str, str, Change]:
    planned, limit = planned_fall(case), case.limit_fall(most)
    gentler = is_above(planned, most.value)
    fall = (("bed.fall", most.text),) if gentler else ()
    if bed.shape is not BedShape.LEVEL_WALLS:
        return phrase("plan a fall of at most {limit}", limit=limit), "bed.fall", fall
    shown = limit if gentler else case.fall(planned)
    words = phrase("take an even fall: it keeps every line at {shown}, with the walls no longer level", shown=shown)
    return words, "bed.shape", (("bed.shape", BedShape.EVEN_FALL.value), *fall)


def _unequal_runs(case: Case, unequal: float, least: Limit, most: Limit) -> Findings:
    allowed = most.value / least.value
    if not is_above(unequal, allowed):
        return
    room, move = phrase("no difference"), ""
    if is_above(allowed, 1.0):
        room = phrase("at most {times} times", times=f"{round_down(allowed, 0.01):.2f}")
        move = phrase(", or move the drain until it is {room}", room=room)
    yield Finding(
        "runs-unequal",
        Level.NOTE,
        says=phrase(
            "no bed with level walls can be both steep and gentle enough here: the longest run to the drain "
            "is {times} times the shortest, and from {least} to {most} there is room for {room}",
            times=f"{round_up(unequal, 0.01):.2f}",
            least=case.limit_fall(least),
            most=case.limit_fall(most),
            room=room,
        ),
        remedy=phrase("take an even fall, or a plane to a channel{move}", move=move),
        source=joined("; ", dict.fromkeys((least.cited, most.cited))),
        key="bed.shape",
    )


def check_exact_fall(case: Case, bed: Bed) -> Findings:
    """Note no-tolerance, where least and most fall are one: what being a little off comes to."""
    least, most = case.book.least_fall, case.book.most_fall
    if most is None or is_above(most.value, least.value) or bed.longest_run <= 0:
        return
    step, run = enough(fine(case.units), case.units), bed.longest_run
    steeper, flatter = (f"1:{1 / (least.value + way * step / run):.1f}" for way in (1, -1))
    yield Finding(
        "no-tolerance",
        Level.NOTE,
        says=phrase(
            "{fall} is at once the least and the most fall: over the longest run of {run}, {step} too high "
            "is already {steeper}, and as much too low {flatter}",
            fall=case.limit_fall(least),
            run=case.over(run),
            step=case.length(step),
            steeper=steeper,
            flatter=flatter,
        ),
        remedy=wording("remedies")["one-fall-alone"],
        source=joined("; ", dict.fromkeys((least.cited, most.cited))),
        key="bed.fall",
    )
