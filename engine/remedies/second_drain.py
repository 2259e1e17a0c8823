"""A second drain like the first, where one cannot see the whole floor: a place from which the two part it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import shapely

from engine.bed.parts import divided, square_parts
from engine.job.model import BedShape
from engine.limits.words import place_words
from engine.phrases import phrase
from engine.remedies.regions import clear_places
from engine.remedies.remedy import Idea
from engine.remedies.steps import LENGTH_STEP, length_text
from engine.survey.spot import Needs

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from engine.bed.flange import Flange
    from engine.bed.parts import Part
    from engine.limits.findings import Finding
    from engine.remedies.remedy import Change
    from engine.remedies.trials import Trials
    from engine.survey.outline import FloorOutline
    from engine.types import Array

_GRID = 16  # places tried across the floor's longer side
_PARTED = 16  # places, nearest to the middle of what is hidden, at which the floor is parted
_MOST = 2  # places planned
_CUT = 3  # places at which ridges from inward corners are tried
_EDGE_ON = 1.0  # [mm] a wall whose line passes this near a place is hardly seen from it


def add_drain(trials: Trials, _: Finding) -> Iterator[Idea]:
    """Another drain like the only one, that sees what is hidden from it; the one with the shortest lines first."""
    floor, flanges, drains = trials.plan.outline, trials.flanges, trials.job.drains
    if isinstance(floor, Needs) or isinstance(flanges, Needs) or len(drains) != 1 or flanges[0].is_channel:
        return
    if trials.job.bed.shape is not BedShape.LEVEL_WALLS:
        return
    places = _places(trials, floor, flanges[0])
    # Ridges from inward corners take long to try, so they are tried from a few of the places, spread over all.
    found = _parting(trials, (floor, flanges[0]), places, square_parts) or _parting(
        trials, (floor, flanges[0]), places[:: max(len(places) // _CUT, 1)][:_CUT], divided
    )
    for _longest, place in sorted(found, key=lambda pair: (pair[0], *pair[1].tolist()))[:_MOST]:
        at = place_words(float(place[0]), float(place[1]), floor, trials.units)
        yield Idea(phrase("add a second drain like the first {at}", at=at), _entries(trials, place))


def _parting(
    trials: Trials,
    ground: tuple[FloorOutline, Flange],
    places: list[Array],
    parted: Callable[..., tuple[Part, ...] | None],
) -> list[tuple[float, Array]]:
    """The places from which the floor is parted, with the longest line in any part [mm]."""
    (floor, flange), found = ground, []
    for place in places:
        trials.go_on()
        parts = parted(floor, (flange, replace(flange, centre=place)), (0.0, 0.0))
        if parts is not None:
            lines = [part.reach.edges.starts - part.reach.flange.centre for part in parts]
            found.append((round(max(float(np.hypot(*each.T).max()) for each in lines), 6), place))
    return found


def _places(trials: Trials, floor: FloorOutline, flange: Flange) -> list[Array]:
    """Places on whole steps that see every wall's line that the drain does not, nearest to those walls first."""
    starts, ends, inward = _edges(floor)
    unseen = ((flange.centre - starts) * inward).sum(axis=1) < _EDGE_ON
    if not unseen.any():
        return []
    middle = ((starts + ends) / 2)[unseen].mean(axis=0)
    region = clear_places(floor, flange)
    low, high = np.array(shapely.bounds(floor.polygon)).reshape(2, 2)
    step = LENGTH_STEP[trials.units]
    every = max(np.ceil(float((high - low).max()) / _GRID / step), 1.0) * step
    x, y = (np.arange(np.ceil(a / step) * step, b, every) for a, b in zip(low, high, strict=True))
    grid = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    grid = grid[shapely.intersects_xy(region, *grid.T)]
    seen = ((grid[:, None] - starts[unseen]) * inward[unseen]).sum(axis=2).min(axis=1) > _EDGE_ON
    grid = grid[seen]
    order = np.argsort(np.round(np.hypot(*(grid - middle).T), 6), kind="stable")
    return list(grid[order[:_PARTED]])


def _edges(floor: FloorOutline) -> tuple[Array, Array, Array]:
    sides = [border.sides for border in floor.borders]
    return (
        np.vstack([each.starts for each in sides]),
        np.vstack([each.ends for each in sides]),
        np.vstack([each.inward for each in sides]),
    )


def _entries(trials: Trials, place: Array) -> Change:
    """The entries of a drain like the first at a place."""
    (first,), units = trials.job.drains, trials.units
    x, y = (length_text(value, units) for value in place.tolist())
    own = (("bed.wall_height", ""),) if trials.job.bed.wall_height is not None else ()
    return (
        *((("drains[1].kind", first.kind.value),) if first.kind else ()),
        *((("drains[1].size", str(first.size.text)),) if first.size else ()),
        ("drains[1].at", f"x {x}, y {y}"),
        *((("drains[1].drop", str(first.drop.text)),) if first.drop else ()),
        *own,
    )
