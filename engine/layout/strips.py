"""Strips as cut: how they meet at corners, how steeply the bed leaves each wall."""

import math
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely

from ..arrays import preceding, turns_between
from ..bed.even_fall import EvenFall
from ..bed.level_walls import LevelWalls, facing
from ..bed.parted_walls import PartedWalls
from ..bed.planes import PlaneBed, Planes
from ..bed.surfaces import Bed
from ..bed.valley.bed import ValleyWalls
from ..errors import JobError
from ..job.defaults import default_text, kerf, mark_step, strip_short, strip_thickness
from ..job.model import EdgeKind, Job
from ..phrases import phrase
from ..quantities import INCH, Units, format_length, round_down
from ..records import record
from ..survey.border import Border
from ..survey.outline import FloorOutline
from ..survey.rough_floor import RoughFloor
from ..survey.sides import Sides
from ..types import Array
from .bending import Bending, bending
from .marks import SPACING
from .strip_heights import LOWEST_STRIP, CutPoint, Notch, heights
from .wall_lines import WallLine, wall_lines, way_sources

_NOISE = 1e-6  # [mm] a flange this little nearer to a wall than a strip is thick still lets it by
_TOLD = Units.pair(INCH / 16, 1.0)  # [mm] what a remedy's length is told to
_OFF = 5e-3  # [mm] a step off the wall, into the floor
_CLEAR = 0.05  # [mm] from a wall's ends
_RIDGE_SAMPLES = np.linspace(0.0, 1.0, 33)


@record
class Ends:
    """The two ends of a strip, in the order of its wall's corners.

    miters [deg]: between outer face and cut; allowances [mm]: how much shorter the inner face is at each end than the
    outer, negative where longer.
    """

    miters: tuple[float, float]
    allowances: tuple[float, float]


def _tangents(floor: Border, part: float) -> Array:
    along = floor.directions.copy()
    for wall, arc in enumerate(floor.arcs):
        if arc:
            x, y = arc.normals(np.array([part]))[0]
            along[wall] = (y, -x) if floor.is_left else (-y, x)
    return along


@lru_cache(maxsize=16)
def ends(floor: Border, thickness: float) -> tuple[Ends, ...]:
    """The ends of a strip along each wall, thickness [mm].

    Cut at half the corner's angle, the inner face is shorter by thickness / tan(half), longer at an inward corner (a
    right triangle with the thickness as one side). At an open edge the end is square, or flush with the edge where the
    corner is sharper.
    """
    turned = turns_between(preceding(_tangents(floor, 1.0)), _tangents(floor, 0.0))
    angles = (np.pi - turned if floor.is_left else np.pi + turned).tolist()
    has_strip = [kind is not EdgeKind.OPEN for kind in floor.kinds]
    found = []
    for wall, angle in enumerate(angles):
        last = (wall + 1) % len(angles)
        first_cut = _cut(angle, neighbour=has_strip[wall - 1])
        last_cut = _cut(angles[last], neighbour=has_strip[last])
        found.append(
            Ends(
                (math.degrees(first_cut), math.degrees(last_cut)),
                (_allowance(first_cut, thickness), _allowance(last_cut, thickness)),
            )
        )
    return tuple(found)


def _cut(angle: float, *, neighbour: bool) -> float:
    return angle / 2 if neighbour else min(angle, math.pi / 2)


def _allowance(angle: float, thickness: float) -> float:
    return thickness * math.cos(angle) / math.sin(angle)


@record
class Strip:
    """The strip along a wall, a curb or an island's side, in the order of its corners; lengths [mm], angles [deg].

    corners: the wall's ends, on an island without its name; ring_name: the island's, "" on the outline. length: the
    wall's; inner_length: the inner face's, 0 where its neighbours' strips meet before it; miters (45 at a square
    corner), allowances, height, gap, notches, lowest: see `Ends` and `Heights`; bevel: the bed's slope square to the
    wall (`wall_slopes`).

    points: as it is cut, at ends, marks, and where most and least is left under it: one height where the bed is level
    along the wall, else a top that follows the marks from a straight foot (is_sloped). is_clear: it keeps off every
    flange; bending: how it is brought to a curved wall, None to a straight one.
    """

    wall: str
    length: float
    inner_length: float
    miters: tuple[float, float]
    allowances: tuple[float, float]
    height: float
    gap: float
    bevel: float
    points: tuple[CutPoint, ...]
    is_sloped: bool
    notches: tuple[Notch, ...]
    lowest: float
    is_clear: bool
    bending: Bending | None = None
    corners: tuple[str, str] = ("", "")
    ring_name: str = ""

    @property
    def fits(self) -> bool:
        """Whether it is high enough all along."""
        return self.lowest >= LOWEST_STRIP

    @property
    def blank(self) -> float:
        """The length of board that it takes [mm]: over the wall's at an inward corner."""
        length = self.bending.length if self.bending else self.length
        return length + sum(max(0.0, -allowance) for allowance in self.allowances)

    @property
    def cut_height(self) -> float:
        """The height of board that it takes [mm]: its highest point's."""
        return max(point.height for point in self.points)

    @property
    def saw_settings(self) -> tuple[float, float]:
        """How far off square the saw is set at each end [deg]; positive shortens the inner face."""
        first, last = self.miters
        return 90.0 - first, 90.0 - last


def strips(job: Job, bed: Bed, rough: RoughFloor) -> tuple[Strip, ...]:
    """The strips in walking order, one along each wall and curb; then round each island.

    None at an open edge: there is nothing to fix it to. Raises JobError under strips.thickness for one typed that
    leaves no floor.
    """
    thickness, floor = strip_thickness(job), bed.reach.floor
    clear = [clear_of_flanges(border, bed, thickness) for border in floor.borders]
    if not all(map(all, clear)):
        _refuse_no_floor(job, floor, thickness)
    lines = wall_lines(floor, bed, rough, SPACING[job.units])
    around = zip(floor.borders, lines, clear, strict=True)
    return tuple(strip for each in around for strip in _round(job, bed, *each))


def _round(job: Job, bed: Bed, border: Border, lines: tuple[WallLine, ...], clear: list[bool]) -> Iterator[Strip]:
    thickness, short, step = strip_thickness(job), strip_short(job), mark_step(job)
    slopes = wall_slopes(border, bed).tolist()
    cuts = ends(border, thickness)
    for i, kind in enumerate(border.kinds):
        if kind is EdgeKind.OPEN:
            continue
        length, cut, high, arc = float(border.lengths[i]), cuts[i], heights(lines[i], short, step), border.arcs[i]
        inner = length if arc is None else max(0.0, arc.length - 2 * arc.half * thickness)  # square to its ends
        yield Strip(
            wall=border.walls[i],
            length=length,
            inner_length=max(0.0, inner - sum(cut.allowances)),
            miters=cut.miters,
            allowances=cut.allowances,
            height=high.height,
            gap=high.gap,
            bevel=math.degrees(math.atan(slopes[i])),
            points=high.points,
            is_sloped=high.is_sloped,
            notches=high.notches,
            lowest=high.lowest,
            is_clear=clear[i],
            bending=None if arc is None else bending(arc, thickness, kerf(job), job.units),
            corners=border.ends_of(i),
            ring_name=border.ring_name,
        )


@lru_cache(maxsize=16)
def clear_of_flanges(border: Border, bed: Bed, thickness: float) -> list[bool]:
    """Whether each wall's strip keeps off every flange."""
    rooms = [border.sides.least(flange.away(border.sides.lines)) for flange in bed.reach.flanges]
    return [bool(room >= thickness - _NOISE) for room in np.min(rooms, axis=0)]


def _refuse_no_floor(job: Job, floor: FloorOutline, thickness: float) -> None:
    typed = job.strips.thickness
    if typed is None:
        return
    widest = float(shapely.length(shapely.maximum_inscribed_circle(floor.polygon)))
    if thickness >= widest:
        most = format_length(round_down(widest, _TOLD[job.units]), job.units)
        raise JobError(
            "strips.thickness",
            typed.text,
            phrase("strips this thick meet in the middle and leave no floor between them"),
            phrase("give less than {most}; {usual} is usual", most=most, usual=default_text(job, "strips.thickness")),
        )


@lru_cache(maxsize=16)
def wall_slopes(border: Border, bed: Bed) -> Array:
    """The bed's slope square to each wall, at the wall (n,) [-].

    Level walls: where the line to the flange's centre is R long, r of it on the flange, the facet leaves a wall at
    square distance p with the slope H R / (p (R - r)); told is that nearest the foot of the square from the centre,
    beside a round flange the steepest, and the steepest of a curved wall's chords. Valleys: the steepest facet's on the
    wall. Even fall: the most of the fall times the cosine of the way's angle to the square. One plane: times that of
    the wall's angle to the channel.
    """
    if isinstance(bed, LevelWalls | ValleyWalls):
        return _level(border, (bed,))
    return _level(border, bed.beds) if isinstance(bed, PartedWalls) else _just_off(border, bed)


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
    flange, feet = bed.reach.flange, facing(bed.reach)
    far = np.hypot(*(feet - flange.centre).T)
    return np.asarray(bed.wall_height * far / (bed.reach.offs * flange.runs(feet)))


def _just_off(border: Border, bed: EvenFall | PlaneBed | Planes) -> Array:
    sides = border.sides
    places = [_asked(sides, bed, side) for side in range(len(sides.starts))]
    rows = np.repeat(np.arange(len(places)), [len(place) for place in places])
    on_wall = sides.starts[rows] + np.concatenate(places)[:, None] * sides.directions[rows]
    steps = np.minimum(_OFF, sides.lengths[rows] / 16)
    step = steps[:, None] * sides.inward[rows]
    near, far = np.split(bed.height(np.vstack([on_wall + step, on_wall + 2 * step])), 2)
    on_floor = np.isfinite(near) & np.isfinite(far)  # in a sharp corner a step off one wall is past another
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
