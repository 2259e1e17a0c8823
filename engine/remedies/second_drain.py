"""One drain more, like the first, where those there miss part of the floor: a place from which all part it."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import shapely

from ..bed.drains import heads
from ..bed.flange import Flanges
from ..bed.parted_walls import PartedWalls
from ..bed.parts import Part, divided, square_parts
from ..bed.sight import Edges
from ..boxes import box_round, grid
from ..limits.checks.case import planned_fall
from ..limits.findings import Finding
from ..phrases import phrase
from ..survey.outline import FloorOutline
from ..survey.place_words import place_words
from ..types import Array, Mask
from .regions import clear_places
from .remedy import Change, Idea, Ideas
from .trials import Trials

_GRID = 16  # places tried across the floor's longer side
_PARTED = 16  # places nearest to the middle of what is hidden, with the floor parted
_MOST = 2  # places planned
_MOST_DRAINS = 3  # to which one is added
_CUT = 3  # places at which ridges from inward corners are tried
_EDGE_ON = 1.0  # [mm] a wall with its line this near a place is hardly seen


def add_drain(trials: Trials, _: Finding) -> Ideas:
    """One more drain that sees what the others do not, with the shortest lines first."""
    if "add_drain" not in trials.looked_for:
        trials.looked_for["add_drain"] = tuple(_ideas(trials))
    yield from trials.looked_for["add_drain"]


def _ideas(trials: Trials) -> Ideas:
    floor, flanges, drains = trials.plan.outline, trials.flanges, trials.job.drains
    if not floor or not flanges or flanges[0].is_channel:
        return
    if len(drains) >= _MOST_DRAINS or not trials.has_level_walls:
        return
    places = _places(trials, floor, flanges)
    found = _parting(trials, (floor, flanges), places, square_parts)
    if not found:
        # Ridges from inward corners take long: few places are tried, spread over all.
        few = places[:: max(len(places) // _CUT, 1)][: _CUT if len(drains) == 1 else 1]
        found = _parting(trials, (floor, flanges), few, divided)
    for _longest, place in sorted(found, key=lambda pair: (pair[0], *pair[1].tolist()))[:_MOST]:
        at = place_words(float(place[0]), float(place[1]), floor, trials.units)
        says = phrase(
            "add a second drain like the first {at}"
            if len(drains) == 1
            else "add drain {number}, like the first, {at}",
            number=len(drains) + 1,
            at=at,
        )
        yield Idea(says, _entries(trials, place))


def _parting(
    trials: Trials,
    ground: tuple[FloorOutline, Flanges],
    places: list[Array],
    parted: Callable[..., tuple[Part, ...] | None],
) -> list[tuple[float, Array]]:
    (floor, flanges), found = ground, []
    extra = tuple(head / planned_fall(trials.case) for head in (*heads(trials.job), 0.0))
    for place in places:
        trials.go_on()
        parts = parted(floor, (*flanges, replace(flanges[0], centre=place)), extra)
        if parts is not None:
            lines = [part.reach.edges.starts - part.reach.flange.centre for part in parts]
            found.append((round(max(float(np.hypot(*each.T).max()) for each in lines), 6), place))
    return found


def _places(trials: Trials, floor: FloorOutline, flanges: Flanges) -> list[Array]:
    """Places on whole steps that see every wall's line no drain does, nearest to those walls first."""
    starts, ends, inward = _unseen(trials, floor, flanges)
    if not len(starts):
        return []
    middle = ((starts + ends) / 2).mean(axis=0)
    region = clear_places(floor, flanges[0])
    low, high = box_round(floor.polygon)
    step = trials.step
    every = max(np.ceil(float((high - low).max()) / _GRID / step), 1.0) * step
    places = grid(np.ceil(low / step) * step, high, every)
    places = places[shapely.intersects_xy(region, *places.T)]
    places = places[((places[:, None] - starts) * inward).sum(axis=2).min(axis=1) > _EDGE_ON]
    order = np.argsort(np.round(np.hypot(*(places - middle).T), 6), kind="stable")
    return list(places[order[:_PARTED]])


def _unseen(trials: Trials, floor: FloorOutline, flanges: Flanges) -> tuple[Array, Array, Array]:
    """The walls (starts, ends, inward) whose lines no drain sees, on a parted floor its part's."""
    bed = trials.plan.bed
    if isinstance(bed, PartedWalls):
        found = [_off_sight(part.reach.edges, (part.reach.flange,), ~part.is_ridge) for part in bed.parts]
    else:
        edges = Edges.of(floor.rings)
        found = [_off_sight(edges, flanges, np.ones(len(edges.starts), dtype=bool))]
    starts, ends, inward = map(np.vstack, zip(*found, strict=True))
    return starts, ends, inward


def _off_sight(edges: Edges, flanges: Flanges, walls: Mask) -> tuple[Array, Array, Array]:
    centres = np.array([flange.centre for flange in flanges])
    off = ((centres[:, None] - edges.starts) * edges.inward).sum(axis=2).max(axis=0)
    unseen = walls & (off < _EDGE_ON)
    return edges.starts[unseen], edges.ends[unseen], edges.inward[unseen]


def _entries(trials: Trials, place: Array) -> Change:
    first, key = trials.job.drains[0], f"drains[{len(trials.job.drains)}]"
    x, y = (trials.text(value) for value in place.tolist())
    return (
        *(((f"{key}.kind", first.kind.value),) if first.kind else ()),
        *(((f"{key}.size", str(first.size.text)),) if first.size else ()),
        (f"{key}.at", f"x {x}, y {y}"),
        *(((f"{key}.drop", str(first.drop.text)),) if first.drop else ()),
        *trials.no_own_height,
    )
