"""Lath: sheets in rows on the floor, and fasteners."""

import math
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import shapely

from ..layout.packing import pack
from ..records import record
from ..survey.outline import FloorOutline
from .site import Site, framed

_NOISE = 1e-6  # [mm]


@record
class LathPiece:
    """A piece: its row and sheet, both from 1, its length and width [mm].

    corners: where it lies, ((x, y), ...) [mm], laps and what stands over the floor included.
    """

    row: int
    sheet: int
    length: float
    width: float
    corners: tuple[tuple[float, float], ...]


@record
class Lath:
    """A floor's lath: pieces row by row, whole sheets to buy, fasteners, the floor's area [mm2]."""

    pieces: tuple[LathPiece, ...]
    sheets: int
    fasteners: int
    area: float


@record
class _Run:
    """A piece before it is cut, by the rows' own axes [mm]."""

    row: int
    start: float
    end: float
    low: float
    high: float


class _Sheet(NamedTuple):
    length: float
    width: float
    lap: float


def lath(site: Site) -> Lath:
    """Lath over the whole floor, rows along A-B or square to it, whichever takes fewer sheets, then fewer pieces.

    Rows and pieces lap; whole sheets lie first in each stretch of a row, offcuts serve other rows.
    """
    rules = site.rules
    sheet = _Sheet(rules.lath_sheet_length.value, rules.lath_sheet_width.value, rules.lath_lap.value)
    return Lath(*_laid(site.floor, sheet), fasteners(site), site.floor.area)


@lru_cache(maxsize=4)
def _laid(floor: FloorOutline, sheet: _Sheet) -> tuple[tuple[LathPiece, ...], int]:
    points = [framed(floor, ring) for ring in (floor.ring, *floor.islands)]
    found = []
    for turned in (False, True):
        rings = [ring[:, ::-1] if turned else ring for ring in points]
        runs = tuple(_runs(sheet, shapely.Polygon(rings[0], rings[1:])))
        sheets = _cut(runs, sheet.length)
        found.append((max(sheets), len(runs), runs, sheets, turned))
    count, _, runs, sheets, turned = min(found, key=lambda laid: laid[:2])
    numbered = zip(runs, sheets, strict=True)
    return tuple(_piece(floor, run, number, turned=turned) for run, number in numbered), count


def piece_box(piece: LathPiece, site: Site) -> tuple[tuple[float, float], tuple[float, float]]:
    """A piece's nearest and farthest corner, along A-B and square off it from A [mm]."""
    places = framed(site.floor, np.array(piece.corners))
    (left, low), (right, high) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
    return (left, low), (right, high)


def fasteners(site: Site) -> int:
    """How many fasteners hold lath at their spacing both ways, edges included.

    A grid of spacing s has (a / s + 1)(b / s + 1) = A / s2 + P / 2 s + 1 points over a rectangle; so for any outline
    (Pick's theorem), islands' edges counted.
    """
    spacing = site.rules.lath_fastener_spacing.value
    edges = float(shapely.length(site.floor.polygon))
    return math.ceil(site.floor.area / spacing**2 + edges / (2 * spacing) + 1 - _NOISE)


def _runs(sheet: _Sheet, polygon: object) -> Iterator[_Run]:
    """Each row's stretches, in pieces that lap; rows run along the first axis."""
    width, lap = sheet.width, sheet.lap
    left, bottom, right, top = shapely.bounds(polygon).tolist()
    count = max(1, math.ceil((top - bottom - lap) / (width - lap) - _NOISE))
    lows = bottom + (width - lap) * np.arange(count)
    highs = np.minimum(lows + width, top)
    bands = shapely.box(left - 1, lows, right + 1, highs)
    parts, rows = shapely.get_parts(shapely.intersection(polygon, bands), return_index=True)
    found = zip(rows.tolist(), shapely.bounds(parts).tolist(), strict=True)
    for row, part in sorted(found, key=lambda each: (each[0], each[1][0])):
        if part[3] - part[1] > _NOISE:
            yield from _pieces(row, part[0], part[2], (lows[row].item(), highs[row].item()), sheet)


def _pieces(row: int, start: float, end: float, band: tuple[float, float], sheet: _Sheet) -> Iterator[_Run]:
    at = start
    while end - at > sheet.length + _NOISE:
        yield _Run(row, at, at + sheet.length, *band)
        at += sheet.length - sheet.lap
    yield _Run(row, at, end, *band)


def _cut(runs: tuple[_Run, ...], length: float) -> tuple[int, ...]:
    sheets = [0] * len(runs)
    for sheet, numbers in enumerate(pack([run.end - run.start for run in runs], length, 0.0).boards, start=1):
        for i in numbers:
            sheets[i] = sheet
    return tuple(sheets)


def _piece(floor: FloorOutline, run: _Run, sheet: int, *, turned: bool) -> LathPiece:
    ring = np.array([[run.start, run.low], [run.end, run.low], [run.end, run.high], [run.start, run.high]])
    axes = np.array([floor.directions[0], floor.inward[0]])
    corners = floor.corners[0] + (ring[:, ::-1] if turned else ring) @ axes
    return LathPiece(
        row=run.row + 1,
        sheet=sheet,
        length=run.end - run.start,
        width=run.high - run.low,
        corners=tuple((x, y) for x, y in np.round(corners, 6).tolist()),
    )
