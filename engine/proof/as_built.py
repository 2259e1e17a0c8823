"""As built: the finished bed's readings against the plan."""

from functools import cached_property
from typing import NamedTuple

import numpy as np
import shapely

from ..bed.drains import SetDrain
from ..bed.surfaces import Bed, Hidden, NoBed
from ..job.model import Job
from ..limits.rulebook import Measured, Rulebook
from ..phrases import phrase
from ..records import result
from ..survey.advice import LEAST_DISAGREEMENT
from ..survey.outline import FloorOutline
from ..survey.places import locate_all
from ..survey.spot import Needs, Spot
from ..survey.typed_step import reading_error
from ..types import Array, Mask
from .falls import Lines, all_lines, extreme_falls, lines_from
from .mend import Mending, mending
from .mesh import ON_RIM
from .surface import BuiltSurface
from .water import Pond

_BESIDE_FLOOR = 1.0  # [mm] a station this near counts as on it
_SURE = 2.0  # standard errors that hold 19 times in 20


class BuiltStation(NamedTuple):
    """A finished bed's reading: its number in the job; place, drop, height, planned height, error [mm]."""

    number: int
    x: float
    y: float
    drop: float
    height: float
    planned: float
    error: float


@result
class AsBuilt:
    """What the readings of a finished bed say.

    on_flange: readings on flanges, planned as high as those; line: the drop from the level line to the datum [mm];
    moved: how far that is from the line the floor was read by [mm], 0 where nothing says so; off_floor: unused
    readings' numbers; sure: what two readings' difference is sure to, 19 times in 20 [mm].
    """

    stations: tuple[BuiltStation, ...]
    on_flange: tuple[BuiltStation, ...]
    surface: BuiltSurface
    line: float
    moved: float
    off_floor: tuple[int, ...]
    sure: float
    square: bool

    @property
    def floor(self) -> FloorOutline:
        """The floor that the bed lies on."""
        return self.surface.bed.reach.floor

    @property
    def worst(self) -> Spot:
        """The largest error [mm], up positive, with its place."""
        worst = max(self.stations, key=lambda station: round(abs(station.error), 6))
        return Spot(worst.error, worst.x, worst.y)

    @property
    def ponds(self) -> tuple[Pond, ...]:
        """Where water would stand, deepest first."""
        return self.surface.ponds

    @cached_property
    def lines(self) -> Lines:
        """The lines from walls to drain."""
        return all_lines(self.surface.bed, self.surface.stations, square=self.square)

    @cached_property
    def _falls(self) -> tuple[Spot, Spot]:
        return extreme_falls(self.surface, self.lines)

    @property
    def least_fall(self) -> Spot:
        """The least fall along any line [-], with its wall's place."""
        return self._falls[0]

    @property
    def most_fall(self) -> Spot:
        """The most fall along any line [-], with its wall's place."""
        return self._falls[1]

    def falls_from(self, places: Array) -> tuple[Spot, ...]:
        """The falls [-] of the lines from places (k, 2) on the walls."""
        lines = lines_from(self.surface.bed, places)
        falls = lines.falls(self.surface.height(lines.starts))
        return tuple(Spot(fall, x, y) for fall, (x, y) in zip(falls.tolist(), lines.starts.tolist(), strict=True))

    @cached_property
    def mending(self) -> Mending:
        """What to shave and fill, and what the bed is like then."""
        return mending(self.surface, self.lines)


def as_built(
    job: Job, book: Rulebook, floor: FloorOutline, drains: tuple[SetDrain, ...] | Needs, bed: Bed | NoBed
) -> AsBuilt | Needs:
    """The finished bed by the job's as-built readings, or what is missing to judge it.

    Where a flange's reading puts the level line farther off the floor's than two readings of one place may differ, the
    line has moved, and that reading counts. Raises JobError for a place that is none.
    """
    if isinstance(bed, Needs):
        return bed
    if isinstance(bed, Hidden):
        return Needs("bed.shape", phrase("there is no planned bed to judge the built one by: choose even fall"))
    if isinstance(drains, Needs):
        return drains
    places = locate_all([reading.at for reading in job.as_built], floor, "as_built[{}].at", job.units)
    drops = np.array([reading.drop.value for reading in job.as_built])
    top = _flange_heights(drains, places)
    is_on = ~np.isnan(top)
    line, moved = _line(drains[0].drop, (drops + top)[is_on])
    if line is None:
        return Needs("drains[0].drop", phrase("how far is it from the level line down to the drain's flange?"))
    used = ~is_on & shapely.dwithin(floor.polygon, shapely.points(places), _BESIDE_FLOOR)
    if not used.any():
        return Needs("as_built", phrase("how high is the finished bed? One reading on it at least, off the flange"))
    stations = _stations(used, places, drops, line, bed.height(places[used]))
    surface = BuiltSurface(bed, places[used], np.array([station.error for station in stations]))
    on_flange = _stations(is_on, places, drops, line, top[is_on])
    stray = tuple(np.flatnonzero(~is_on & ~used).tolist())
    sure = float(_SURE * np.sqrt(2.0) * reading_error(job.as_built, job.units))
    return AsBuilt(stations, on_flange, surface, line, moved, stray, sure, book.measured is Measured.SQUARE)


def _flange_heights(drains: tuple[SetDrain, ...], places: Array) -> Array:
    heights = np.full(len(places), np.nan)
    for drain in drains:
        heights[drain.flange.stretch(places) <= ON_RIM] = drain.height
    return heights


def _line(drop: float | None, told: Array) -> tuple[float | None, float]:
    if not told.size:
        return drop, 0.0
    line = float(told.mean())
    if drop is None:
        return line, 0.0
    moved = line - drop
    return (line, moved) if abs(moved) > LEAST_DISAGREEMENT + 1e-6 else (drop, 0.0)


def _stations(which: Mask, places: Array, drops: Array, line: float, planned: Array) -> tuple[BuiltStation, ...]:
    heights = line - drops[which]
    columns = (np.flatnonzero(which), places[which], drops[which], heights, planned)
    rows = zip(*(column.tolist() for column in columns), strict=True)
    return tuple(BuiltStation(i, x, y, drop, height, plan, height - plan) for i, (x, y), drop, height, plan in rows)
