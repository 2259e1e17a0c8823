"""Strips as they are cut, and how they meet at the corners."""

import math
from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely

from ..arrays import preceding, turns_between
from ..bed.surfaces import Bed
from ..errors import JobError
from ..job.defaults import default_text, kerf, mark_step, strip_short, strip_thickness
from ..job.model import EdgeKind, Job
from ..phrases import phrase
from ..quantities import INCH, Units, format_length, round_down
from ..records import record
from ..survey.border import Border
from ..survey.outline import FloorOutline
from ..survey.rough_floor import RoughFloor
from ..types import Array
from .bending import Bending, bending
from .bevels import wall_slopes
from .marks import SPACING
from .strip_heights import LOWEST_STRIP, CutPoint, Notch, heights
from .wall_lines import WallLine, wall_lines

_NOISE = 1e-6  # [mm] a flange this little nearer to a wall than a strip is thick still lets it by
_TOLD = Units.pair(INCH / 16, 1.0)  # [mm] the step that a remedy's length is told in


@record
class Ends:
    """The two ends of a strip, in the order of its wall's corners.

    miters [deg]: the angle between the strip's outer face and each cut; allowances [mm]: how much shorter the inner
    face is at each end than the outer, negative where longer.
    """

    miters: tuple[float, float]
    allowances: tuple[float, float]


def corner_angles(floor: Border) -> Array:
    """The floor's angle at each corner (n,) [rad], over pi where the corner points into the floor."""
    turned = turns_between(preceding(_tangents(floor, 1.0)), _tangents(floor, 0.0))
    return np.pi - turned if floor.is_left else np.pi + turned


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

    Strips are cut at half their corner's angle, the inner face shorter by thickness / tan(half), longer where the
    corner points into the floor (a right triangle with the thickness as one side). At an open edge the end is square,
    or flush with the edge where the corner is sharper.
    """
    angles = corner_angles(floor).tolist()
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
    wall's; inner_length: the inner face's, 0 where its neighbours' strips meet before it; miters: the angle between
    outer face and cut at each end, 45 at a square corner; allowances, height, gap, notches, lowest: see `Ends` and
    `Heights`; bevel: the bed's slope square to the wall (`wall_slopes`).

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
        """Whether it is high enough for a strip all along."""
        return self.lowest >= LOWEST_STRIP

    @property
    def blank(self) -> float:
        """The length of board that it takes [mm]: over the wall's where a corner points into the floor."""
        length = self.bending.length if self.bending else self.length
        return length + sum(max(0.0, -allowance) for allowance in self.allowances)

    @property
    def cut_height(self) -> float:
        """The height of board that it takes [mm]: the highest of its points."""
        return max(point.height for point in self.points)

    @property
    def saw_settings(self) -> tuple[float, float]:
        """How far off a square cut the saw is set at each end [deg]: positive shortens the inner face."""
        first, last = self.miters
        return 90.0 - first, 90.0 - last


def strips(job: Job, bed: Bed, rough: RoughFloor) -> tuple[Strip, ...]:
    """The strips in walking order: one along each wall and curb, none along an open edge; then round each island.

    An open edge has nothing to fix one to. Raises JobError under strips.thickness for one typed that leaves no floor
    between.
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
        length, cut, high = float(border.lengths[i]), cuts[i], heights(lines[i], short, step)
        yield Strip(
            wall=border.walls[i],
            length=length,
            inner_length=max(0.0, _inner(border, i, thickness) - sum(cut.allowances)),
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
            bending=None if (arc := border.arcs[i]) is None else bending(arc, thickness, kerf(job), job.units),
            corners=border.ends_of(i),
            ring_name=border.ring_name,
        )


def _inner(border: Border, wall: int, thickness: float) -> float:
    """The length of a strip's inner face between cuts square to its ends [mm]: on a curve that of the inner arc."""
    arc = border.arcs[wall]
    return border.length(wall) if arc is None else max(0.0, arc.length - 2 * arc.half * thickness)


@lru_cache(maxsize=16)
def clear_of_flanges(border: Border, bed: Bed, thickness: float) -> list[bool]:
    """Whether each wall's strip keeps off every flange."""
    offs = [_distances(border, flange.centre) for flange in bed.reach.flanges]
    rims = [flange.half if flange.is_round else float(np.hypot(*flange.halves)) for flange in bed.reach.flanges]
    clear = [
        all(off[i] - rim >= thickness - _NOISE for off, rim in zip(offs, rims, strict=True))
        for i in range(len(offs[0]))
    ]
    if all(clear) or all(flange.is_round for flange in bed.reach.flanges):
        return clear
    rooms = [border.sides.least(shapely.distance(border.sides.lines, flange.polygon)) for flange in bed.reach.flanges]
    return [bool(room >= thickness - _NOISE) for room in np.min(rooms, axis=0)]


def _distances(border: Border, place: Array) -> list[float]:
    sides = border.sides
    offset = place - sides.starts
    along = (offset * sides.directions).sum(axis=1)
    beyond = along - np.minimum(np.maximum(along, 0.0), sides.lengths)
    return list(sides.least(np.hypot(beyond, (offset * sides.inward).sum(axis=1))).tolist())


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
