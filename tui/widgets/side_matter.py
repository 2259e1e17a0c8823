"""A cut: its surfaces, and what fills each place of it on a grid with enlarged heights (ground, mud, tile, drain)."""

from enum import IntEnum

import numpy as np
import shapely
from numpy.typing import NDArray

from engine.bed.flange import Flange
from engine.job.defaults import over_liner, tiled
from engine.plan import Plan
from engine.records import record, result
from engine.sheets.cut import AHEAD, Cut
from engine.types import Array, Mask

from .map_frame import ROW_TO_COLUMN
from .map_layers import bed_surface, drain_flanges, heights, rough_surface

_TIMES = (0.1, 0.2, 0.5, 1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50)
_ROUND_SURFACES = 1.5  # [rows] ground drawn under the lowest place, and air over the highest
_NOISE = 1e-9  # of a row


@result
class Profile:
    """The surfaces along a cut, (k,) [mm] over the drain, not a number where there is none.

    along (k,) [mm] from the start; is_floor (k,): off it the cut runs through an island or outside the outline.
    """

    along: Array
    is_floor: Mask
    rough: Array
    bed: Array


class Matter(IntEnum):
    """What fills a place of the cut."""

    AIR = 0
    GROUND = 1
    MUD = 2
    UPPER_BED = 3
    TILE = 4
    FLANGE = 5
    OUTLET = 6


@record
class Layers:
    """What lies on the bed: the upper bed (0 without one) and the tile with its setting [mm]."""

    upper_bed: float
    tile: float

    @property
    def total(self) -> float:
        """From the bed to the top of the tile [mm]."""
        return self.upper_bed + self.tile


@record
class Scale:
    """How a cut is drawn: rows in all, [mm] a row, times heights are enlarged, the lower edge [mm]."""

    rows: int
    up: float
    times: float
    bottom: float


def scale_for(surfaces: Profile, layers: Layers, across: float, rows: int) -> Scale | None:
    """The largest enlargement for so many rows, at `across` [mm] a column; None without heights."""
    known = np.concatenate([surfaces.rough, surfaces.bed + layers.total])
    known = known[np.isfinite(known)]
    if not known.size:
        return None
    low, high = min(float(known.min()), 0.0), max(float(known.max()), 0.0)
    true = ROW_TO_COLUMN * across
    fitting = [times for times in _TIMES if (high - low) * times / true + _ROUND_SURFACES <= rows]
    times = fitting[-1] if fitting else _TIMES[0]
    up = true / times
    taken = min(rows, int(np.ceil((high - low) / up + _ROUND_SURFACES - _NOISE)))
    return Scale(taken, up, times, low - up)


def matter(cut: Cut, surfaces: Profile, layers: Layers, scale: Scale) -> NDArray[np.int8]:
    """What fills each half row of the drawing, top row first, (2 rows, columns)."""
    heights = scale.bottom + (np.arange(2 * scale.rows)[::-1, None] + 0.5) * scale.up / 2
    heights -= _NOISE * scale.up  # a surface right through a half row's middle fills it, whatever the last digit
    grid = np.full((2 * scale.rows, len(surfaces.along)), Matter.AIR, dtype=np.int8)
    lower = np.where(np.isfinite(surfaces.rough), surfaces.rough, surfaces.bed - scale.up / 2)
    under = _on_flange(cut, surfaces.along)
    tops = surfaces.bed + layers.upper_bed
    if layers.total:
        grid[(heights < tops + layers.tile) & ~under] = Matter.TILE
    grid[(heights < tops) & ~under] = Matter.UPPER_BED
    grid[heights < surfaces.bed] = Matter.MUD
    grid[heights < lower] = Matter.GROUND if np.isfinite(surfaces.rough).any() else Matter.AIR
    if layers.total:
        _show_thinnest(grid, tops + layers.tile, scale, ~under & np.isfinite(surfaces.bed))
    _set_drain(grid, cut, surfaces.along, heights[:, 0], scale)
    return grid


def _on_flange(cut: Cut, along: Array) -> Mask:
    under = (along > cut.rim[0]) & (along < cut.rim[1])
    under[np.argmin(np.abs(along - cut.drain))] = True
    return under


def _show_thinnest(grid: NDArray[np.int8], tops: Array, scale: Scale, columns: Mask) -> None:
    """Tile thinner than half a row is drawn half a row thick, lest it be lost."""
    halves = np.ceil((tops - scale.bottom) / (scale.up / 2) - 0.5 + _NOISE)
    rows = len(grid) - np.maximum(np.nan_to_num(halves), 1).astype(int)
    at = np.flatnonzero(columns & (rows >= 0))
    at = at[grid[rows[at], at] != Matter.GROUND]  # none is seen where the rough floor stands too high
    grid[rows[at], at] = Matter.TILE


def _set_drain(grid: NDArray[np.int8], cut: Cut, along: Array, heights: Array, scale: Scale) -> None:
    rim = (heights < 0) & (heights > -scale.up)
    grid[heights < 0, int(np.argmin(np.abs(along - cut.drain)))] = Matter.OUTLET
    grid[np.ix_(rim, _on_flange(cut, along))] = Matter.FLANGE


def profile(plan: Plan, cut: Cut, along: Array) -> Profile:
    """The surfaces at distances (k,) [mm] along a cut."""
    points = cut.points(along)
    is_floor = np.zeros(len(along), dtype=bool)
    if plan.outline:
        # Ends lie on walls: a hair of the floor's edge counts as floor.
        is_floor = shapely.dwithin(plan.outline.polygon, shapely.points(points), AHEAD)
    return Profile(
        along,
        is_floor,
        np.where(is_floor, heights(rough_surface(plan), points), np.nan),
        np.where(is_floor, heights(bed_surface(plan), points), np.nan),
    )


def first_flange(plan: Plan) -> Flange | None:
    """The flange a cut goes through, once it has a place."""
    return next(iter(drain_flanges(plan)), None)


def layers_on_bed(plan: Plan) -> Layers:
    """What lies on the bed: over a liner an upper bed, always the tile with membrane and mortar."""
    return Layers(over_liner(plan.job), tiled(plan.job))
