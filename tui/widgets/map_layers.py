"""What the map can show, and the figures under its cells."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from enum import Enum
from functools import cached_property
from typing import Protocol

import numpy as np
import shapely

from engine.bed.drains import flanges
from engine.bed.flange import Flanges
from engine.bed.surfaces import Hidden
from engine.phrases import phrase, shaped
from engine.plan import Plan
from engine.quantities import Dimension, Units, format_fall
from engine.records import result
from engine.survey.spot import Needs
from engine.types import Array, Mask

from ..terminal import capital
from .map_frame import Frame
from .map_strokes import Stencil
from .map_water import NUDGE, built_bed, deepest, standing

_FELT = Units.pair(3, 2)  # digits of a fall felt by a difference, in in/ft or %
_SURE = 5e-5  # [in/ft], [%] how near a sixteenth it is one


class Surface(Protocol):
    """Anything with a height everywhere on the floor: the bed, the rough floor."""

    def height(self, points: Array) -> Array:
        """Heights over the drain (k,) [mm] at points (k, 2) [mm]."""


class MapLayer(Enum):
    """The map's layers, in the keys' order; the value is the name shown, in English."""

    DEPTH = phrase("Depth of mud")
    BED = phrase("Bed height")
    ROUGH = phrase("Rough floor")
    FALL = phrase("Fall of the bed")
    WATER = phrase("Water on the bed")
    ERROR = phrase("Built over plan")

    @property
    def dimension(self) -> Dimension:
        """What its figures measure."""
        return Dimension.FALL if self is MapLayer.FALL else Dimension.LENGTH

    @property
    def following(self) -> MapLayer:
        """The layer after it, round and round."""
        layers = list(MapLayer)
        return layers[(layers.index(self) + 1) % len(layers)]


BUILT_LAYERS = (MapLayer.WATER, MapLayer.ERROR)  # those of the finished bed, once it was read


@result
class Field:
    """A layer's figures at the floor's cells (k,) [mm] or [-], and its least and most on the whole floor."""

    values: Array
    least: float
    most: float


@result
class Samples:
    """The plan's surfaces at the middles of the floor's cells, each asked for once, if needed."""

    plan: Plan
    frame: Frame
    stencil: Stencil

    @cached_property
    def points(self) -> Array:
        """The middles of the floor's cells, row by row (k, 2) [mm]."""
        return self.frame.centres()[self.stencil.on_floor[1:-1, 1:-1].ravel()]

    @cached_property
    def bed(self) -> Array:
        """The bed's height (k,) [mm]."""
        return heights(bed_surface(self.plan), self.points)

    @cached_property
    def rough(self) -> Array:
        """The rough floor's height (k,) [mm]."""
        return heights(rough_surface(self.plan), self.points)

    @cached_property
    def fall(self) -> Array:
        """The bed's steepness (k,) [-], not a number on the flanges, where there is no bed."""
        falls = fall_at(self.plan, self.points, self.bed)
        falls[on_flanges(self.plan, self.points)] = np.nan
        return falls


def bed_surface(plan: Plan) -> Surface | None:
    """The bed, once one can be built."""
    return plan.bed or None


def rough_surface(plan: Plan) -> Surface | None:
    """The rough floor, once its heights are tied to the drain's."""
    return plan.rough or None


def heights(surface: Surface | None, points: Array) -> Array:
    """A surface's heights (k,) [mm] at points (k, 2) [mm]; not a number without a surface."""
    if surface is None or not len(points):
        return np.full(len(points), np.nan)
    return surface.height(points)


def drain_flanges(plan: Plan) -> Flanges:
    """The drains' flanges in plan, known before their heights, up to the first without a place."""
    if plan.drains:
        return tuple(drain.flange for drain in plan.drains)
    drains = plan.job.drains
    for end in range(len(drains), 0, -1):
        if plan.outline and (found := flanges(replace(plan.job, drains=drains[:end]), plan.outline)):
            return found
    return ()


def fall_at(plan: Plan, points: Array, here: Array) -> Array:
    """The bed's steepness (k,) [-] at points (k, 2) [mm] where its height is `here` (k,) [mm].

    A one-sided difference over some thousandths of a millimetre: right to 1e-5 of itself off creases.
    """
    aside = np.concatenate([points + np.array(step) for step in ((NUDGE, 0.0), (0.0, NUDGE))])
    rise = (heights(bed_surface(plan), aside).reshape(2, -1) - here) / NUDGE
    return np.asarray(np.hypot(rise[0], rise[1]))


def felt_fall(fall: float, units: Units) -> str:
    """A fall [-] felt by a difference, told to no digit more than that gives."""
    unit = 1.0 / 12.0 if units is Units.INCH else 0.01
    near, clean = round(fall / unit, _FELT[units]), round(fall / unit * 16) / 16
    return format_fall((clean if abs(clean - fall / unit) < _SURE else near) * unit, units)


def on_flanges(plan: Plan, points: Array) -> Mask:
    """Which points (k, 2) [mm] lie on a drain's flange."""
    covered = np.zeros(len(points), dtype=bool)
    for flange in drain_flanges(plan):
        covered |= shapely.contains_xy(flange.polygon, points[:, 0], points[:, 1])
    return covered


def waits_for(plan: Plan, layer: MapLayer) -> str:
    """Why a layer cannot be drawn yet; nothing when it can."""
    if layer is MapLayer.WATER:
        return _water_words(plan)
    if layer is MapLayer.ERROR:
        return _not_yet(layer, phrase("Readings of the finished bed tell it.")) if built_bed(plan) is None else ""
    why = why_waiting(plan, layer)
    return _not_yet(layer, why) if why else ""


def waits_briefly(plan: Plan, layer: MapLayer) -> str:
    """The same in few words."""
    if layer is MapLayer.WATER and bed_surface(plan) is not None:
        return layer.value if built_bed(plan) is None else phrase("{layer}: none stands", layer=layer.value)
    return phrase("{layer}: not yet", layer=layer.value)


def why_waiting(plan: Plan, layer: MapLayer) -> str:
    """What a layer of figures still needs; nothing when it can be drawn."""
    needed = _NEEDED[layer]
    if "bed" in needed and isinstance(plan.bed, Hidden):
        return _hidden_words(plan.bed)
    missing = next((stage for name in needed if isinstance(stage := getattr(plan, name), Needs)), None)
    return "" if missing is None else shaped(missing.says, capital)


def _not_yet(layer: MapLayer, why: str) -> str:
    return phrase("{layer}: not yet. {why}", layer=layer.value, why=why)


def _water_words(plan: Plan) -> str:
    if (built := built_bed(plan)) is not None:
        return "" if built.ponds else _runs(phrase("No water stands."))
    if bed_surface(plan) is None:
        return _not_yet(MapLayer.WATER, phrase("It runs over the bed, and there is none yet."))
    return _runs(phrase("Where it stands is told by readings of the finished bed."))


def _runs(stands: str) -> str:
    return phrase("{layer}: arrows show where it runs. {stands}", layer=MapLayer.WATER.value, stands=stands)


def _hidden_words(hidden: Hidden) -> str:
    return phrase(
        "The drain does not see {wall}{past}, so level walls do not fit this floor.",
        wall=hidden.wall,
        past=phrase(" past corner {corner}", corner=hidden.corner) if hidden.corner else "",
    )


def field(samples: Samples, layer: MapLayer) -> Field | None:
    """A layer's figures; None while the plan has none, or no cell does."""
    if waits_for(samples.plan, layer):
        return None
    values, known = _FIELDS[layer](samples)
    seen = np.concatenate([values[np.isfinite(values)], known])
    if not seen.size:
        return None
    return Field(values, float(seen.min()), float(seen.max()))


def _depth(samples: Samples) -> tuple[Array, Array]:
    depth = samples.plan.depth
    known = [depth.least.value, depth.most.value] if depth else []
    return samples.bed - samples.rough, np.array(known)


def _bed(samples: Samples) -> tuple[Array, Array]:
    floor = samples.plan.outline
    corners = floor.ring if floor else np.empty((0, 2))
    return samples.bed, np.append(heights(bed_surface(samples.plan), corners), 0.0)


def _rough(samples: Samples) -> tuple[Array, Array]:
    rough = samples.plan.rough
    known = [rough.lowest.value, rough.highest.value] if rough else []
    return samples.rough, np.array(known)


_NEEDED = {
    MapLayer.DEPTH: ("bed", "rough"),
    MapLayer.BED: ("bed",),
    MapLayer.ROUGH: ("rough",),
    MapLayer.FALL: ("bed",),
}


def _error(samples: Samples) -> tuple[Array, Array]:
    built = built_bed(samples.plan)
    if built is None:
        return np.full(len(samples.points), np.nan), np.array([])
    known = [station.error for station in built.stations]
    return built.surface.error(samples.points), np.array(known)


_FIELDS: dict[MapLayer, Callable[[Samples], tuple[Array, Array]]] = {
    MapLayer.DEPTH: _depth,
    MapLayer.BED: _bed,
    MapLayer.ROUGH: _rough,
    MapLayer.FALL: lambda samples: (samples.fall, np.array([])),
    MapLayer.WATER: lambda samples: (standing(samples.plan, samples.points), deepest(samples.plan)),
    MapLayer.ERROR: _error,
}


def missing_outline(plan: Plan | None, picture: str) -> str:
    """What has to come before an outline can be drawn, in words."""
    question: str = phrase("how long are the walls?")
    if plan is not None and isinstance(plan.outline, Needs):
        question = plan.outline.says
    return phrase("{picture} starts with the outline: {question}", picture=picture, question=question)
