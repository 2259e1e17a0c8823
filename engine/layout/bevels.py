"""Bevels: how steeply the bed leaves each wall, square to it."""

from functools import lru_cache

import numpy as np

from ..bed.even_fall import EvenFall
from ..bed.level_walls import LevelWalls
from ..bed.parted_walls import PartedWalls
from ..bed.planes import PlaneBed, Planes
from ..bed.surfaces import Bed
from ..bed.valley.bed import ValleyWalls
from ..survey.border import Border
from ..survey.sides import Sides
from ..types import Array
from .wall_lines import way_sources

_OFF = 5e-3  # [mm] a step off the wall, into the floor
_CLEAR = 0.05  # [mm] how far from a wall's ends it is asked
_RIDGE_SAMPLES = np.linspace(0.0, 1.0, 33)


@lru_cache(maxsize=16)
def wall_slopes(border: Border, bed: Bed) -> Array:
    """The bed's slope square to each wall, at the wall (n,) [-].

    Level walls: where the line to the flange's centre is R long, r of it on the flange, the facet leaves a wall at
    square distance p with the slope H R / (p (R - r)); told is that nearest the foot of the square from the centre,
    beside a round flange the steepest, and the steepest of a curved wall's chords. Valleys: that of the steepest facet
    on the wall. Even fall: the fall times the cosine of the way's angle to the square, at its most. One plane: times
    that of the wall's angle to the channel.
    """
    if isinstance(bed, LevelWalls):
        return _level(border, (bed,))
    if isinstance(bed, PartedWalls):
        return _level(border, bed.beds)
    return _facets(border, bed) if isinstance(bed, ValleyWalls) else _just_off(border, bed)


def _level(border: Border, beds: tuple[LevelWalls | ValleyWalls, ...]) -> Array:
    steepest = np.zeros(len(border.names))
    for bed in beds:
        edges = bed.reach.edges
        sides = border.sides.at((edges.starts + edges.ends) / 2)
        walls = border.sides.walls[sides]
        slopes = _at_edges(bed) if isinstance(bed, ValleyWalls) else _at_feet(bed)
        np.maximum.at(steepest, walls[sides >= 0], slopes[sides >= 0])
    return steepest


def _at_edges(bed: ValleyWalls) -> Array:
    slopes = np.zeros(len(bed.reach.edges.starts))
    on_wall = bed.mesh.walls >= 0
    np.maximum.at(slopes, bed.mesh.walls[on_wall], bed.falls.most[on_wall])
    return slopes


def _at_feet(bed: LevelWalls) -> Array:
    flange, edges = bed.reach.flange, bed.reach.edges
    along = edges.ends - edges.starts
    length = np.hypot(*along.T)
    along = along / length[:, None]
    offset = flange.centre - edges.starts
    square = (offset * edges.inward).sum(axis=1)
    feet = np.clip((offset * along).sum(axis=1), 0.0, length)
    lines = edges.starts + feet[:, None] * along - flange.centre
    far = np.hypot(*lines.T)
    run = far - flange.rim(lines / far[:, None])
    return np.asarray(bed.wall_height * far / (square * run))


def _facets(border: Border, bed: ValleyWalls) -> Array:
    number = border.edge_sides
    slopes = np.zeros(len(number))
    slopes[number] = _at_edges(bed)[border.first_edge : border.first_edge + len(number)]
    return border.sides.most(slopes)


def _just_off(border: Border, bed: EvenFall | PlaneBed | Planes) -> Array:
    """By two heights just off the wall, at the feet of all that ways run to, and at the wall's ends and middle."""
    sides = border.sides
    places = [_asked(sides, bed, side) for side in range(len(sides.starts))]
    rows = np.repeat(np.arange(len(places)), [len(place) for place in places])
    on_wall = sides.starts[rows] + np.concatenate(places)[:, None] * sides.directions[rows]
    steps = np.minimum(_OFF, sides.lengths[rows] / 16)
    step = steps[:, None] * sides.inward[rows]
    near, far = np.split(bed.height(np.vstack([on_wall + step, on_wall + 2 * step])), 2)
    on_floor = np.isfinite(near) & np.isfinite(far)  # in a sharp corner a step off one wall is past the other
    fall = (near[on_floor] - far[on_floor]) / steps[on_floor]
    steepest = np.zeros(len(places))
    np.maximum.at(steepest, rows[on_floor], np.clip(fall, 0.0, bed.fall))
    return sides.most(steepest)


def _asked(sides: Sides, bed: EvenFall | PlaneBed | Planes, side: int) -> Array:
    length = float(sides.lengths[side])
    clear = min(_CLEAR, length / 4)
    alongs = [np.array([0.0, length / 2, length])]
    if isinstance(bed, EvenFall):
        alongs.append((way_sources(bed) - sides.starts[side]) @ sides.directions[side])
        if bed.reach.has_ridges:
            alongs.append(_RIDGE_SAMPLES * length)
    if isinstance(bed, Planes):
        alongs.append(bed.crossings(sides.starts[side], sides.directions[side]))
    return np.asarray(np.clip(np.concatenate(alongs), clear, length - clear))
