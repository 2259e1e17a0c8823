"""What stands on the map beside the shades: drains, islands, readings, the places of findings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import Enum
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import shapely

from engine.limits.findings import Finding, Level
from engine.plan import Plan, Station
from engine.types import Mask

from .ink import Ink
from .map_frame import ROW_TO_COLUMN, Frame
from .map_layers import BUILT_LAYERS, MapLayer, drain_flanges, on_flanges
from .map_water import built_bed, room_for, tag

if TYPE_CHECKING:
    from engine.proof.as_built import BuiltStation

    from .looks import Looks

_CELLS_A_STATION = 8  # more than one reading in so many cells would hide the map
_MOST_NUMBERED = 9


class MarkKind(Enum):
    """What a mark stands for; the value is its ink."""

    ISLAND = Ink.ISLAND
    DRAIN = Ink.DRAIN
    STATION = Ink.STATION
    STOP = Ink.STOP
    CAUTION = Ink.CAUTION
    NOTE = Ink.NOTE


class Mark(NamedTuple):
    """One character over a cell; number: the finding's place in the list, else 0."""

    kind: MarkKind
    row: int
    column: int
    character: str
    number: int = 0


DRAIN = "╬"
ASCII_DRAIN = "O"
STATION = "+"
ISLAND = "/"
FURTHER = "!"  # a finding past the ninth

_KINDS = {Level.STOP: MarkKind.STOP, Level.CAUTION: MarkKind.CAUTION, Level.NOTE: MarkKind.NOTE}


def marks(plan: Plan, layer: MapLayer, frame: Frame, on_floor: Mask, looks: Looks) -> Iterator[Mark]:
    """All marks, what matters most last: a later mark covers an earlier one."""
    yield from _islands(plan, frame)
    read = read_on(plan, layer)
    cells = (frame.cell(station.x, station.y) for station in read)
    is_shown = len(read) * _CELLS_A_STATION <= int(on_floor.sum())
    drawn = [Mark(MarkKind.STATION, *_free_cell(*cell, on_floor), STATION) for cell in cells if is_shown]
    drawn += _drains(plan, frame, looks)
    numbers = tuple(_drain_numbers(plan, frame, without(on_floor, drawn)))
    yield from (*drawn, *numbers, *_findings(plan.findings, frame, without(on_floor, numbers)))


def read_on(plan: Plan, layer: MapLayer) -> tuple[Station | BuiltStation, ...]:
    """The readings a layer goes by: the finished bed's where it shows that, else the rough floor's."""
    built = built_bed(plan) if layer in BUILT_LAYERS else None
    return plan.readings if built is None else built.stations


def _islands(plan: Plan, frame: Frame) -> Iterator[Mark]:
    if not plan.outline:
        return
    for ring in plan.outline.islands:
        island = shapely.polygons(ring)
        x, y = frame.centres().T
        cells = np.flatnonzero(shapely.intersects_xy(island, x, y))
        places = [(row + 1, column + 1) for row, column in (divmod(int(i), frame.columns - 2) for i in cells)]
        middle = shapely.point_on_surface(island)
        for row, column in places or [frame.cell(middle.x, middle.y)]:
            yield Mark(MarkKind.ISLAND, row, column, ISLAND)


def _drains(plan: Plan, frame: Frame, looks: Looks) -> Iterator[Mark]:
    character = ASCII_DRAIN if looks.ascii else DRAIN
    for cell in np.flatnonzero(on_flanges(plan, frame.centres())).tolist():
        row, column = divmod(cell, frame.columns - 2)
        yield Mark(MarkKind.DRAIN, row + 1, column + 1, character)
    for flange in drain_flanges(plan):  # narrower than a cell, it is on the middle of none
        start, end = flange.ends
        for place in np.linspace(start, end, frame.columns if flange.is_channel else 1).tolist():
            yield Mark(MarkKind.DRAIN, *frame.cell(*place), character)


def _drain_numbers(plan: Plan, frame: Frame, free: Mask) -> Iterator[Mark]:
    rings = drain_flanges(plan)
    for number, flange in enumerate(rings if len(rings) > 1 else (), start=1):
        room = room_for(tag(number), free)
        if room.any():
            row, column = frame.cell(*flange.centre.tolist())
            row, column = _free_cell(row, column + 1, room)
            numbered = [Mark(MarkKind.DRAIN, row, column + i, sign) for i, sign in enumerate(tag(number))]
            free = without(free, numbered)
            yield from numbered


def without(free: Mask, drawn: Iterable[Mark]) -> Mask:
    """Those free cells that none of these marks takes."""
    left = free.copy()
    for mark in drawn:
        left[mark.row, mark.column] = False
    return left


def _findings(findings: tuple[Finding, ...], frame: Frame, on_floor: Mask) -> Iterator[Mark]:
    free = on_floor
    for index, finding in enumerate(findings):
        if finding.x is None or finding.y is None:
            continue
        cell = _free_cell(*frame.cell(finding.x, finding.y), free)
        character = str(index + 1) if index < _MOST_NUMBERED else FURTHER
        yield (mark := Mark(_KINDS[finding.level], *cell, character, index + 1))
        free = without(free, [mark])


def _free_cell(row: int, column: int, free: Mask) -> tuple[int, int]:
    if free[row, column] or not free.any():
        return row, column
    rows, columns = np.nonzero(free)
    nearest = int(np.argmin(ROW_TO_COLUMN * np.abs(rows - row) + np.abs(columns - column)))
    return int(rows[nearest]), int(columns[nearest])
