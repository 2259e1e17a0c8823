"""The figures at one spot of the floor, as numbers and in words."""

import numpy as np
import shapely

from engine.limits.words import length_over, worked
from engine.phrases import joined, phrase
from engine.plan import Plan
from engine.proof.words import error_words
from engine.quantities import INCH, Units, format_length
from engine.records import record
from engine.sheets.sure_words import sure_at
from engine.survey.outline import FloorOutline
from engine.survey.sides import Sides
from engine.types import Array, Mask

from .map_layers import (
    BUILT_LAYERS,
    MapLayer,
    Surface,
    bed_surface,
    drain_flanges,
    fall_at,
    felt_fall,
    heights,
    on_flanges,
    rough_surface,
)
from .map_water import built_bed, runs_to, standing, water_surface

_ASIDE = Units.pair(INCH / 8, 1.0)  # [mm] how finely distances along the floor are told
_LEAST_SINE = 0.25  # walls closer to parallel than this make a poor pair to measure from
_PAST_END = 1e-6  # of a wall's length
_ON_WALL = 1e-2  # [mm]
_BESIDE = 5e-2  # [mm] how far beside a wall the bed's fall is felt
_HULL_EDGE = 1e-6  # [mm] on the edge of the readings' hull is still inside


@record
class FromWall:
    """A square distance from a wall [mm]."""

    wall: str
    distance: float


@record
class SpotFigures:
    """What a plan says at one place; figures are None where it is not that far.

    bed, rough: over the drain [mm]; depth, and what it is sure to [mm]; fall [-]; is_guessed: no readings are round it;
    off: how far the finished bed is over the planned one, water: how deep it stands there [mm]; drain: which of several
    water runs to.
    """

    is_on_floor: bool
    is_on_drain: bool
    walls: tuple[FromWall, ...]
    bed: float | None
    rough: float | None
    depth: float | None
    sure: float | None
    fall: float | None
    is_guessed: bool
    off: float | None
    water: float | None
    drain: int | None
    units: Units

    def words(self, layer: MapLayer = MapLayer.DEPTH) -> str:
        """The figures a layer is about in a sentence or two; plain text, never markup."""
        place = self._place()
        if not self.is_on_floor:
            return phrase("{place}: off the floor.", place=place)
        if self.is_on_drain:
            return phrase("{place}: the drain's flange, all heights are counted from its top.", place=place)
        figures = [part for part in self._parts(layer) if part] or [phrase("no figures here yet")]
        return phrase("{place}: {figures}.", place=place, figures=joined(", ", figures))

    def _place(self) -> str:
        step = _ASIDE[self.units]
        ends = [set(wall.wall.split("-")) for wall in self.walls if wall.distance < step / 2]
        if len(ends) == 2 and len(corner := ends[0] & ends[1]) == 1:
            return phrase("Corner {at}", at=corner.pop())
        places = [
            phrase("On {wall}", wall=w.wall)
            if w.distance < step / 2
            else phrase("{distance} from {wall}", distance=format_length(w.distance, self.units, step), wall=w.wall)
            for w in self.walls
        ]
        return joined(", ", places or [phrase("Here")])

    def _parts(self, layer: MapLayer) -> list[str]:
        runs = "" if self.drain is None else phrase("runs to drain {number}", number=self.drain)
        bed = "" if self.bed is None else phrase("bed {height}", height=self._over(self.bed))
        falls = "" if self.fall is None else phrase("slopes {fall}", fall=felt_fall(self.fall, self.units))
        if self.off is not None and self.bed is not None and layer in BUILT_LAYERS:
            return [
                "" if self.water is None else phrase("water {depth} deep", depth=length_over(self.water, self.units)),
                error_words(self.off, self.units),
                phrase("bed {height}", height=self._over(self.bed + self.off)),
                runs,
            ]
        if layer is MapLayer.WATER:
            return [runs, bed, falls]
        return [
            "" if self.depth is None else self._depth(self.depth),
            bed,
            "" if self.rough is None else phrase("rough floor {height}", height=self._over(self.rough)),
            falls,
            phrase("rough floor guessed, no readings round it") if self.is_guessed and self.rough is not None else "",
        ]

    def _depth(self, depth: float) -> str:
        deep = format_length(depth, self.units)
        if self.sure is None:
            return phrase("mud {depth} deep", depth=deep)
        return phrase("mud {depth} +/- {sure}", depth=deep, sure=worked(self.sure, self.units))

    def _over(self, mm: float) -> str:
        text = format_length(abs(mm), self.units)
        if text == format_length(0.0, self.units):
            return phrase("level with the drain")
        return phrase("{height} over the drain" if mm > 0 else "{height} under the drain", height=text)


def spot_figures(plan: Plan, x: float, y: float) -> SpotFigures:
    """What the plan says at a place x, y [mm]."""
    point = np.array([[x, y]])
    floor = plan.outline or None
    is_inside = floor is not None and bool(shapely.intersects_xy(floor.polygon, x, y))
    is_drain = bool(on_flanges(plan, point)[0])
    bed = _height(bed_surface(plan), point) if is_inside else None
    rough = _height(rough_surface(plan), point) if is_inside else None
    has_depth = bed is not None and rough is not None
    has_fall = bed is not None and not is_drain
    sure = sure_at(plan, point) if has_depth else None
    return SpotFigures(
        is_inside,
        is_drain,
        nearest_walls(floor, point[0]) if floor is not None else (),
        bed,
        rough,
        None if bed is None or rough is None else bed - rough,
        None if sure is None else float(sure[0]),
        _fall(plan, floor, point) if has_fall and floor is not None else None,
        _is_guessed(plan, x, y),
        *(_built(plan, point) if has_fall else (None, None)),
        _drain(plan, point) if has_fall else None,
        plan.units,
    )


def _built(plan: Plan, point: Array) -> tuple[float | None, float | None]:
    built = built_bed(plan)
    if built is None:
        return None, None
    water = float(standing(plan, point)[0])
    return float(built.surface.error(point)[0]), water if np.isfinite(water) else None


def _drain(plan: Plan, point: Array) -> int | None:
    surface = water_surface(plan) if len(drain_flanges(plan)) > 1 else None
    if surface is None:
        return None
    number = int(runs_to(surface, point)[0])
    return number + 1 if number >= 0 else None


def _fall(plan: Plan, floor: FloorOutline, point: Array) -> float:
    """The bed's fall [-] at a point (1, 2); on a wall, level along it, that of the bed beside."""
    sides = floor.sides
    is_square, away = _from_sides(sides, point)
    on = is_square & (np.abs(away) < _ON_WALL)
    # In a corner farther off one wall than the other, off the crease between.
    beside = point + _BESIDE * (np.arange(1, on.sum() + 1)[:, None] * sides.inward[on]).sum(axis=0)
    return float(fall_at(plan, beside, heights(bed_surface(plan), beside))[0])


def _from_sides(sides: Sides, point: Array) -> tuple[Mask, Array]:
    """The sides that a point is square to, and how far off each it is [mm]."""
    offset = point - sides.starts
    along = (offset * sides.directions).sum(axis=1) / sides.lengths
    return (along >= -_PAST_END) & (along <= 1 + _PAST_END), (offset * sides.inward).sum(axis=1)


def nearest_walls(floor: FloorOutline, point: Array) -> tuple[FromWall, ...]:
    """The square distances to the nearest wall and the nearest that crosses its direction.

    Only walls square to the point: past a wall's end no tape could take the distance.
    """
    sides = floor.sides
    is_square, away = _from_sides(sides, point)
    faces = is_square & (away >= -_PAST_END * sides.lengths)
    order = [int(i) for i in np.argsort(np.where(faces, away, np.inf), kind="stable") if faces[i]]
    if not order:
        return ()
    first = order[0]
    sines = np.abs(np.linalg.det(np.stack(np.broadcast_arrays(sides.inward, sides.inward[first]), axis=1)))
    other = sides.walls != sides.walls[first]
    second = next((i for i in order if sines[i] >= _LEAST_SINE and other[i]), None)
    chosen = [first] if second is None else [first, second]
    return tuple(FromWall(floor.walls[sides.walls[i]], max(float(away[i]), 0.0)) for i in chosen)


def _height(surface: Surface | None, point: Array) -> float | None:
    value = float(heights(surface, point)[0])
    return value if np.isfinite(value) else None


def _is_guessed(plan: Plan, x: float, y: float) -> bool:
    if not plan.rough or plan.rough.assumed or not len(plan.rough.triangles):
        return True
    hull = shapely.polygons(plan.rough.stations[plan.rough.mesh.ring])
    return bool(shapely.distance(hull, shapely.points(x, y)) > _HULL_EDGE)
