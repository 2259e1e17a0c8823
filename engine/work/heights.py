"""Finished heights of tile, curb and drain."""

from functools import lru_cache
from itertools import accumulate, pairwise

import numpy as np

from ..bed.depth import standing
from ..job.model import EdgeKind
from ..records import Same, record
from ..survey.mesh import Mesh
from ..types import Array
from .site import Site

_SAMPLES = np.linspace(0.0, 1.0, 65)  # bends between two of them hide less than 0.01 mm
_ON_EDGE = 1e-3  # [mm]


@record
class Finished:
    """The tile's face at a corner [mm]: over the datum, the first drain's grate and the rough floor.

    below_line: under the level line, None where none is known.
    """

    at: str
    above_datum: float
    above_grate: float
    above_rough: float
    below_line: float | None


@record
class Beside:
    """The finished floor along a curb or an open edge [mm].

    low, high: the tile's face over the datum; least, most: over the rough floor. An open edge's rough floor has to lie
    `most` under the finished floor outside, `bed_most` under one that gets the same tile.
    """

    edge: str
    kind: EdgeKind
    low: float
    high: float
    least: float
    most: float
    bed_most: float

    @property
    def is_level(self) -> bool:
        """Whether the tile runs level along the edge, to 0.01 mm."""
        return self.high - self.low < 0.01


@record
class Heights:
    """Finished heights [mm]: the grate over the datum, the tile at corners and along curbs and open edges.

    curb_over_drain, curb_over_floor: the curb's top over the highest drain, and the lowest tile beside it; or None.
    """

    grate: float
    corners: tuple[Finished, ...]
    thresholds: tuple[Beside, ...]
    curb_over_drain: float | None
    curb_over_floor: float | None


def heights(site: Site) -> Heights:
    """A planned bed's finished heights, an edge's in 65 places and wherever the rough floor's slope changes."""
    places, parts = _looked_at(site.rough.mesh, site.thresholds)
    found = standing(site.bed, places)
    beds, depths = found.tolist(), (found - site.rough.standing(places)).tolist()
    corners = []
    for name, bed, depth in zip(site.floor.names, beds, depths, strict=False):  # the edges' are left
        top = bed + site.build_up
        line = None if site.line is None else site.line - top
        corners.append(Finished(name, top, bed, depth + site.build_up, line))
    along = zip(site.thresholds, pairwise(parts), strict=True)
    beside = tuple(_beside(site, edge, beds[start:end], depths[start:end]) for edge, (start, end) in along)
    return Heights(site.build_up, tuple(corners), beside, *_curb_over(site, beside))


@lru_cache(maxsize=4)
def _looked_at(mesh: Mesh, edges: tuple[int, ...]) -> tuple[Same[Array], list[int]]:
    lines = [along_edge(mesh, edge) for edge in edges]
    points = np.concatenate([mesh.floor.corners, *lines])
    return Same(points), list(accumulate([len(mesh.floor.corners), *map(len, lines)]))


def _curb_over(site: Site, beside: tuple[Beside, ...]) -> tuple[float | None, float | None]:
    top = site.curb_top
    if top is None:
        return None, None
    highest = max(drain.height for drain in site.drains) + site.build_up
    return top - highest, top - min(edge.low for edge in beside if edge.kind is EdgeKind.CURB)


def _beside(site: Site, edge: int, beds: list[float], depths: list[float]) -> Beside:
    return Beside(
        edge=site.floor.walls[edge],
        kind=site.floor.kinds[edge],
        low=min(beds) + site.build_up,
        high=max(beds) + site.build_up,
        least=min(depths) + site.build_up,
        most=max(depths) + site.build_up,
        bed_most=max(depths) + site.upper_bed,
    )


def along_edge(mesh: Mesh, edge: int) -> Array:
    """Points along an edge (k, 2) [mm]: even, and where the rough floor's slope changes."""
    sides = mesh.floor.sides
    found = [mesh.floor.on_wall(edge, mesh.floor.length(edge) * _SAMPLES)]
    for side in np.flatnonzero(sides.walls == edge).tolist():
        start, direction = sides.starts[side], sides.directions[side]
        offset = mesh.corners - start
        along, off = offset @ direction, offset @ sides.inward[side]
        bends = along[(np.abs(off) < _ON_EDGE) & (along > 0) & (along < sides.lengths[side])]
        found.append(start + bends[:, None] * direction)
    return np.concatenate(found)
