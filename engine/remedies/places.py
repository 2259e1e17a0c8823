"""Moving a drain: the nearest place that will do, in the words in which its place is given."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from itertools import product

import numpy as np
import shapely

from engine.bed.flange import Flange
from engine.bed.kernel import kernel
from engine.job.defaults import mark_step
from engine.job.model import AtOffsets, AtWall, BedShape, Place
from engine.limits.checks.case import planned_fall
from engine.limits.checks.falls import FINER_MARKS
from engine.limits.findings import Finding
from engine.limits.rulebook import Measured
from engine.phrases import phrase
from engine.quantities import format_length, round_up
from engine.remedies.parted_moves import Parting
from engine.remedies.regions import Runs, clear_places, excess_fall, nearest_allowed, seeing_places
from engine.remedies.remedy import Idea
from engine.remedies.trials import Trials
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs
from engine.types import Array, Shape

_TRIES = 3  # places on the step that are planned, nearest first
_AROUND = (0, -1, 1, -2, 2)  # steps
_PARALLEL = 1e-3
_RING = 0.06  # of the floor's longer side: the first ring that a drain is moved on
_WIDER = (1.0, 2.0, 4.0, 6.0)  # times that
_HALVINGS = 4


def move_clear(trials: Trials, finding: Finding) -> Iterator[Idea]:
    """A drain moved to where its flange stands clear on the floor, or farther, to where level walls suit it."""
    found = _drain(trials, int((finding.key or "drains[0]").partition("[")[2].partition("]")[0]))
    if found is not None:
        region = clear_places(found[1], found[2])
        yield from _moves(trials, found, region, _anywhere, phrase("there its flange stands clear on the floor"))
        yield from move_for_falls(trials, finding)


def least_moves(trials: Trials, excess: Callable[[int, Array], Array], why: str) -> Iterator[Idea]:
    """Each of several drains moved to the nearest place with no excess, the shortest move first."""
    drains = [found for i in range(len(trials.job.drains)) if (found := _drain(trials, i))]
    ideas = [
        idea
        for found in drains
        for idea in _moves(trials, found, clear_places(found[1], found[2]), partial(excess, found[0]), why)
    ]
    yield from sorted(ideas, key=lambda idea: idea.figure or 0.0)


def ring_moves(trials: Trials, i: int, parting: Parting, off: tuple[Array, str]) -> Iterator[Idea]:
    """A drain moved to a place with no excess, found in rings round it, straight off a spot (2,) first; and why."""
    found, (spot, why) = _drain(trials, i), off
    if found is None:
        return
    home, region = found[2].centre, clear_places(found[1], found[2])
    size = float(np.ptp(found[1].corners, axis=0).max())

    def at(centres: Array) -> Array:
        trials.go_on()
        return parting.excess(i, centres)

    axes = np.vstack([found[1].directions[0], found[1].inward[0]])
    ahead = (home - spot) / np.hypot(*(home - spot))
    wider = _WIDER if parting.is_square else _WIDER[:2]
    rays = sorted([*axes, *-axes], key=lambda ray: -round(float(ray @ ahead), 6))
    place = _in_rings(region, at, home, ([ahead, *rays[:-1]], [size * _RING * times for times in wider]))
    if place is None:
        return
    far = float(np.hypot(*(place - home)))

    def short(centres: Array) -> Array:
        return np.asarray(far - np.hypot(*(centres - home).T))

    yield from _moved_to(trials, found, place, (region, short, home), why)


def _in_rings(
    region: Shape, excess: Callable[[Array], Array], home: Array, rings: tuple[list[Array], list[float]]
) -> Array | None:
    """The nearest place (2,) without excess on ever wider rings, brought nearer by halving; None where none is.

    rings: the ways to look (2,), and the rings' radii [mm].
    """
    rays, radii = rings

    def is_allowed(ray: Array, far: float) -> bool:
        place = home + ray * far
        return bool(shapely.intersects_xy(region, *place)) and excess(place[None])[0] <= _BESIDE

    ways = ((ray, radius) for radius in radii for ray in rays)
    found = next((way for way in ways if is_allowed(*way)), None)
    if found is None:
        return None
    ray, high = found
    low = 0.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if is_allowed(ray, middle) else (middle, high)
    return home + ray * high


def move_into_sight(trials: Trials, _: Finding) -> Iterator[Idea]:
    """The only drain moved to where it sees the whole floor: where the falls allow that, else wherever it does."""
    found = _only_drain(trials)
    if found is None:
        return
    region = seeing_places(found[1], found[2])
    words = phrase("from there one drain sees the whole floor")
    if (excess := _excess(trials, found, mark_step(trials.job))) is not None:
        yield from _moves(trials, found, region, excess, words)
    yield from _moves(trials, found, region, _anywhere, words)


def no_place_in_sight(trials: Trials) -> str:
    """That no place sees the whole floor, where that is so; "" where one does."""
    found = _only_drain(trials)
    if found is None or not shapely.is_empty(seeing_places(found[1], found[2])):
        return ""
    if len(kernel(found[1])):
        return phrase("the places that see the whole floor are too near the walls for this drain's flange")
    return phrase("there is no place from which one drain would see the whole floor")


def move_for_falls(trials: Trials, _: Finding) -> Iterator[Idea]:
    """The only drain of level walls moved to where the shortest run is long enough for the longest one's height.

    With the marks as they are, else with finer ones, which round the walls' height up by less.
    """
    found = _only_drain(trials)
    if found is None or trials.job.bed.shape is not BedShape.LEVEL_WALLS:
        return
    if trials.job.bed.wall_height is not None:
        return
    region, why = seeing_places(found[1], found[2]), phrase("there the runs to the walls are equal enough")
    coarse, finer = mark_step(trials.job), FINER_MARKS[trials.units]
    if (excess := _excess(trials, found, coarse)) is not None:
        yield from _moves(trials, found, region, excess, why)
    if finer < coarse and (excess := _excess(trials, found, finer)) is not None:
        marks = format_length(finer, trials.units)
        for idea in _moves(
            trials, found, region, excess, phrase("{why}, with the marks to {marks}", why=why, marks=marks)
        ):
            yield idea._replace(change=(*idea.change, ("bed.mark_step", marks)))


def best_ratio(trials: Trials) -> float | None:
    """The least that the longest run can be of the shortest, over all places that see the whole floor [-]."""
    found = _only_drain(trials)
    if found is None:
        return None
    runs = _runs(trials, found)
    region = seeing_places(found[1], found[2])

    def ratio(centres: Array) -> Array:
        longest, shortest = runs(centres)
        return longest / np.maximum(shortest, 1e-9)

    least = _lowest(region, ratio, found[2].centre)
    return None if least is None else float(ratio(least[None])[0])


def _lowest(region: Shape, function: Callable[[Array], Array], place: Array) -> Array | None:
    best: Array | None = None

    def above(centres: Array) -> Array:
        nonlocal best
        values = function(centres)
        at = int(np.argmin(values))
        if best is None or values[at] < function(best[None])[0]:
            best = np.asarray(centres[at])
        return np.maximum(values, np.finfo(float).tiny)

    nearest_allowed(region, above, place)
    return best


# --- which drain, and what it is held to

_Found = tuple[int, "FloorOutline", "Flange", "Place"]


def _drain(trials: Trials, i: int) -> _Found | None:
    floor, flanges = trials.plan.outline, trials.flanges
    if isinstance(floor, Needs) or isinstance(flanges, Needs) or i >= len(flanges):
        return None
    place = trials.job.drains[i].at
    return None if place is None else (i, floor, flanges[i], place)


def _only_drain(trials: Trials) -> _Found | None:
    return _drain(trials, 0) if len(trials.job.drains) == 1 else None


def _runs(trials: Trials, found: _Found) -> Runs:
    return Runs(found[1], found[2], square=trials.plan.rulebook.measured is Measured.SQUARE)


def _excess(trials: Trials, found: _Found, step: float) -> Callable[[Array], Array] | None:
    most = trials.plan.rulebook.most_fall
    if most is None:
        return None
    fall = planned_fall(trials.case)
    return excess_fall(_runs(trials, found), fall, most.value, step)


def _anywhere(centres: Array) -> Array:
    return np.zeros(len(centres))


# --- the move in words


def _moves(trials: Trials, found: _Found, region: Shape, excess: Callable[[Array], Array], why: str) -> Iterator[Idea]:
    exact = nearest_allowed(region, excess, found[2].centre)
    if exact is not None:
        yield from _moved_to(trials, found, exact, (region, excess, found[2].centre), why)


_Held = tuple["Shape", Callable[["Array"], "Array"], "Array"]  # where it may stand, what it breaks there, where it does


def _moved_to(trials: Trials, found: _Found, exact: Array, held: _Held, why: str) -> Iterator[Idea]:
    i, floor, flange, place = found
    name = phrase("the drain") if len(trials.job.drains) == 1 else phrase("drain {number}", number=i + 1)
    for text, at, spot in _on_step(trials, place, floor, exact, held):
        by = float(np.hypot(*(spot - flange.centre)))
        shown = trials.text(round_up(by, trials.step))
        says = phrase("move {drain} by {by}, to {place}: {why}", drain=name, by=shown, place=at, why=why)
        yield Idea(says, ((f"drains[{i}].at", text),), by)


def _on_step(
    trials: Trials, place: Place, floor: FloorOutline, exact: Array, held: _Held
) -> Iterator[tuple[str, str, Array]]:
    """Texts, words and places (2,) [mm] on the step round an exact place that are allowed, the shortest move first."""
    region, excess, home = held
    origin, axes, words = _form(place, floor)
    if (first := np.linalg.solve(axes, exact - origin)).min() < 0 and words is not _POINT:
        origin, axes, words = np.zeros(2), np.eye(2), _POINT
        first = exact
    step = trials.step
    near = np.floor(np.round(first / step, _CALM) + 0.5)  # half a step goes up, whatever its last bits
    pairs = np.array([near + shift for shift in product(_AROUND, _AROUND)]) * step
    spots = origin + pairs @ axes.T
    allowed = shapely.dwithin(region, shapely.points(spots), _BESIDE)  # on its edge is in it
    allowed &= excess(spots) <= _BESIDE
    far = np.round(np.hypot(*(spots - home).T), _CALM)
    order = np.argsort(np.where(allowed, far, np.inf), kind="stable")
    for row in order[: min(_TRIES, int(allowed.sum()))].tolist():
        lengths = [trials.text(v) for v in pairs[row].tolist()]
        yield words[0].format(*lengths), words[1](*lengths), np.asarray(spots[row])


_BESIDE = 1e-6  # [mm]
_CALM = 6  # decimals that are told apart
_Words = tuple[str, Callable[[str, str], str]]  # a place as it is typed, and how it is said
_POINT: _Words = ("x {}, y {}", "x {}, y {}".format)


def _off_both(wall: str, other: str, off: str, off_other: str) -> str:
    return phrase("{off} from {wall} and {off_2} from {wall_2}", off=off, wall=wall, off_2=off_other, wall_2=other)


def _along(wall: str, along: str, off: str) -> str:
    return phrase("{along} along {wall} and {off} off it", along=along, wall=wall, off=off)


def _form(place: Place, floor: FloorOutline) -> tuple[Array, Array, _Words]:
    """A place as origin + axes @ (first, second), with its words, in the drain's own form; else by coordinates."""
    match place:
        case AtOffsets(first_wall=one, second_wall=other):
            walls = [floor.walls.index(one), floor.walls.index(other)]
            normals = floor.inward[walls]
            if abs(float(np.linalg.det(normals))) > _PARALLEL:
                offsets = (normals * floor.corners[walls]).sum(axis=1)
                axes = np.asarray(np.linalg.inv(normals))
                return (np.asarray(axes @ offsets), axes, (f"{one} {{}}, {other} {{}}", partial(_off_both, one, other)))
        case AtWall(wall=wall):
            i = floor.walls.index(wall)
            axes = np.column_stack([floor.directions[i], floor.inward[i]])
            return (np.asarray(floor.corners[i]), axes, (f"{wall} {{}} off {{}}", partial(_along, wall)))
        case _:
            pass
    return np.zeros(2), np.eye(2), _POINT
