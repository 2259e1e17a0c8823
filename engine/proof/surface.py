"""The finished bed as its readings tell it."""

from dataclasses import replace
from functools import cached_property, lru_cache

import numpy as np

from ..bed.depth import standing
from ..bed.surfaces import Bed
from ..records import Same, result
from ..survey.rough_floor import RoughFloor, rough_floor
from ..survey.tin import sides
from ..types import Array, Index, Mask
from .mesh import ON_RIM, Mesh, mesh_of, rim
from .water import Pond, deepest_places, filled, flood, has_pits, ponds

LEAST_POND = 0.5  # [mm] thinner water clings anyway
_STRAIGHT = 1e-9  # [-] slopes this near are one


@result
class BuiltSurface:
    """A planned bed and its errors (k,) [mm], up positive, at stations (k, 2) off the flanges.

    Between stations and flanges' rims, where it is 0, the error is straight over the readings' triangles; beyond, it is
    that of the nearest place they reach. Several at one place count by their mean.
    """

    bed: Bed
    stations: Array
    errors: Array

    @cached_property
    def _off(self) -> RoughFloor:
        """The error as a surface; no slope goes past the readings."""
        places = np.vstack([self.stations, *(rim(flange) for flange in self.bed.reach.flanges)])
        errors = np.concatenate([self.errors, np.zeros(len(places) - len(self.stations))])
        return replace(rough_floor(self.bed.reach.floor, places, -errors), gradient=np.zeros(2))

    def error(self, points: Array) -> Array:
        """The error (k,) [mm] at points (k, 2), up positive."""
        return np.where(_on_metal(self.bed, points), 0.0, self._off.height(points))

    def shares(self, points: Array) -> Array:
        """How much each station's error counts for at points (k, p) [-]."""
        off, metal = self._off, _on_metal(self.bed, points)
        away = self.stations[:, None] - off.stations
        owner = np.hypot(away[..., 0], away[..., 1]).argmin(axis=1)
        shares = off.mesh.footing(points).shares(len(off.stations))[owner]
        return np.where(metal, 0.0, shares / np.bincount(owner)[owner, None])

    def height(self, points: Array) -> Array:
        """The built height over the datum (k,) [mm] at points (k, 2) on the floor."""
        return self.bed.height(points) + self.error(points)

    def height_again(self, points: Array) -> Array:
        """The same at places asked for again: what hangs on them alone is remembered."""
        places = Same(points)
        errors = np.where(_metal_again(self.bed, places), 0.0, self._off.standing(places))
        return standing(self.bed, places) + errors

    def mended(self, errors: Array) -> "BuiltSurface":
        """The same bed with other errors (k,) [mm]."""
        other = BuiltSurface(self.bed, self.stations, errors)
        other.__dict__["mesh"] = self.mesh
        return other

    @cached_property
    def mesh(self) -> Mesh:
        """The floor in triangles, with chains of nodes where the error bends."""
        return mesh_of(self.bed, self.stations, self._off.stations[_bends(self._off)])

    @cached_property
    def levels(self) -> tuple[Array, Array]:
        """Height and water level (n,) [mm] at the mesh's nodes."""
        heights = self.height_again(self.mesh.nodes)
        if not has_pits(heights, self.mesh.edges, self.mesh.outlets):
            return heights, heights
        level = filled(heights, self.mesh.edges, self.mesh.outlets)
        return heights, np.where(np.isfinite(level), level, heights)

    @cached_property
    def catchment(self) -> Index:
        """The drain that water runs to from each of the mesh's nodes (n,), -1 for none."""
        return flood(self.levels[0], self.mesh.edges, self.mesh.outlets).outlet

    @cached_property
    def catchment_areas(self) -> Array:
        """How much floor drains to each drain (d,) [mm2], by triangles' lowest corners."""
        triangles = self.mesh.triangles
        lowest = np.argmin(self.levels[0][triangles], axis=1)
        owners = self.catchment[triangles[np.arange(len(triangles)), lowest]]
        drained = owners >= 0
        return np.bincount(owners[drained], self.mesh.areas[drained], len(self.bed.reach.flanges)).astype(float)

    @cached_property
    def ponds(self) -> tuple[Pond, ...]:
        """Where water would stand, deepest first."""
        return ponds(self.mesh, *self.levels, LEAST_POND)

    @property
    def pond_places(self) -> list[tuple[float, float]]:
        """Where those are deepest, x, y [mm], in no order: sooner known than all about them."""
        return deepest_places(self.mesh, *self.levels, LEAST_POND)


def _bends(off: RoughFloor) -> Index:
    triangles, heights, found = off.triangles, off.heights, sides(off.triangles)
    slopes = off.mesh.slopes_near(heights, np.zeros(2), np.inf)[found.pairs // 3]
    bent = np.abs(slopes[:, 0] - slopes[:, 1]).max(axis=1, initial=0.0) > _STRAIGHT
    shown = np.concatenate([found.pairs[bent, 0], found.outer])
    ends = np.sort(np.column_stack([triangles.ravel()[shown], np.roll(triangles, -1, axis=1).ravel()[shown]]), axis=1)
    ends = ends[(heights[ends] != 0).any(axis=1)]
    return np.asarray(ends[np.lexsort(ends.T[::-1])])


def _on_metal(bed: Bed, points: Array) -> Mask:
    return np.asarray(np.any([flange.stretch(points) <= ON_RIM for flange in bed.reach.flanges], axis=0))


@lru_cache(maxsize=8)
def _metal_again(bed: Bed, places: Same[Array]) -> Mask:
    return _on_metal(bed, places.it)
