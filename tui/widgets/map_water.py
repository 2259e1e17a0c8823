"""The water layer: which way water runs over each cell, to which drain, its depth on the bed as built."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
import shapely

from engine.bed.catchments import drained_to
from engine.phrases import phrase
from engine.plan import Plan
from engine.proof.surface import LEAST_POND, BuiltSurface
from engine.quantities import format_share
from engine.sheets.catchment_words import built_catchments, planned_catchments
from engine.types import Array, Index, Mask

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from engine.proof.as_built import AsBuilt

    from .map_frame import Frame

ARROWS = "→↗↑↖←↙↓↘"
ASCII_ARROWS = ">/^\\</v\\"
NUDGE = 2e-3  # [mm] how far to step aside to feel the fall
_MOST_NUMBERED = 9
_TAG_EVERY, _TAG_SHIFT = 11, 4  # [cells] along a row from one drain's number to the next, and from row to row
_BESIDE = 25.0  # [mm] how far beside a pond its film is looked for


def built_bed(plan: Plan) -> AsBuilt | None:
    """The finished bed, once it was read."""
    return plan.as_built or None


def water_surface(plan: Plan) -> BuiltSurface | None:
    """The bed that water runs over: as built where read, else as planned, if any."""
    if (built := built_bed(plan)) is not None:
        return built.surface
    if not plan.bed:
        return None
    return BuiltSurface(plan.bed, np.empty((0, 2)), np.empty(0))


def standing(plan: Plan, points: Array) -> Array:
    """How deep water stands (k,) [mm] at points (k, 2); not a number where none does, or nothing was read."""
    surface = water_surface(plan)
    depth = np.full(len(points), np.nan)
    if surface is None or plan.as_built is None or not surface.ponds:
        return depth
    heights, levels = surface.levels
    away = (np.hypot(*(points - (pond.x, pond.y)).T) - np.hypot(pond.long, pond.wide) for pond in surface.ponds)
    about = np.flatnonzero(np.min(list(away), axis=0) <= _BESIDE)
    near = _nearest(surface, points[about])
    under = levels[near] - surface.height(points[about])
    wet = (levels[near] - heights[near] >= LEAST_POND / 2) & (under > 0)
    depth[about[wet]] = under[wet]
    return depth


def deepest(plan: Plan) -> Array:
    """The depth of the deepest water [mm] as an array of one, or of none."""
    built = built_bed(plan)
    return np.array([pond.depth for pond in built.ponds[:1]] if built else [])


def arrows(plan: Plan, points: Array, *, ascii_only: bool) -> NDArray[np.str_]:
    """A character a point (k,): which way the bed falls there."""
    surface = water_surface(plan)
    if surface is None:
        return np.full(len(points), " ")
    asked = np.concatenate([points + np.array(step) for step in ((0.0, 0.0), (NUDGE, 0.0), (0.0, NUDGE))])
    here, across, up = surface.height(asked).reshape(3, -1)
    turn = np.arctan2(here - up, here - across) / (np.pi / 4)
    signs = np.array(list(ASCII_ARROWS if ascii_only else ARROWS))
    found: NDArray[np.str_] = signs[np.round(turn).astype(int) % 8]
    return found


def number_drains(plan: Plan, frame: Frame, free: Mask, characters: NDArray[np.str_]) -> None:
    """Writes among the arrows, in free cells, which of several drains the water runs to."""
    surface = water_surface(plan)
    if surface is None or not 1 < len(surface.bed.reach.flanges) <= _MOST_NUMBERED:
        return
    room = room_for(f" {tag(1)} ", free)
    room &= np.add.outer(_TAG_SHIFT * np.arange(len(free)), np.arange(free.shape[1])) % _TAG_EVERY == 0
    rows, columns = np.nonzero(room)
    first, last = runs_to(surface, np.concatenate([frame.under(rows, columns + i) for i in (0, 4)])).reshape(2, -1)
    for row, column, number in zip(rows, columns, np.where(first == last, first, -1), strict=True):
        if number >= 0:
            characters[row, column + 1 : column + 4] = list(tag(number + 1))


def runs_to(surface: BuiltSurface, points: Array) -> Index:
    """The number of the drain that water runs to (k,) from points (k, 2), -1 for none."""
    if not len(surface.stations):
        return drained_to(surface.bed, points)
    return surface.catchment[_nearest(surface, points)]


def catchment_shares(plan: Plan) -> Iterator[tuple[str, str]]:
    """Each of several drains as among the arrows, and its share of the floor in words."""
    areas = built_catchments(plan) or planned_catchments(plan)
    for number, area in enumerate(areas if len(areas) <= _MOST_NUMBERED else (), start=1):
        share = format_share(area / sum(areas), plan.units)
        yield tag(number), phrase("drain {number} takes {share}", number=number, share=share)


def tag(number: int) -> str:
    """A drain's number on the map, where a bare number is a finding's."""
    return f"({number})"


def room_for(text: str, free: Mask) -> Mask:
    """The cells from which a text finds free cells along its row."""
    room = free.copy()
    for column in range(1, len(text)):
        room &= np.pad(free, ((0, 0), (0, column)))[:, column:]
    return room


def _nearest(surface: BuiltSurface, points: Array) -> Index:
    tree = shapely.STRtree(shapely.points(surface.mesh.nodes))
    return np.asarray(tree.nearest(shapely.points(points)))
