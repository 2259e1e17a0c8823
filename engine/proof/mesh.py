"""The floor in small triangles."""

from functools import cached_property

import numpy as np
import shapely

from ..arrays import groups, numbers_of
from ..bed.catchments import ridge_lines
from ..bed.flange import Flange
from ..bed.level_walls import LevelWalls
from ..bed.surfaces import Bed, beds_of, valley_parts
from ..bed.valley.bed import ValleyWalls
from ..boxes import along, along_ring, box_round
from ..records import result
from ..survey.tin import delaunay, doubled_areas, edges_of, steady
from ..types import Array, Index, Shape

_CELLS = 1200  # about so many nodes on a floor
_RIM = 25.0  # [mm] how far apart nodes stand round a flange
_LEAST_RIM = 24  # and at least so many
_APART = 0.5  # [cells] the grid's nodes keep this far from lines of nodes
_FINER = 0.6  # [cells] how far apart nodes stand where slopes meet
_ONE_PLACE = 1e-3  # [mm]
_NOISE = 1e-6  # [mm] off the floor: from farther no way leads to a drain
ON_RIM = 1.0 + 1e-9  # times as far from a flange's centre as its rim: on it
_ON_GRID = 2.0**-10  # [mm] nodes off a line by noise would be joined past others
_HALVINGS = 8  # of a piece of a chain that is no side of a triangle
_LEAST_PIECE = 2.0  # [mm] shorter ones dam up but a film


@result
class Mesh:
    """Triangles (t, 3) over nodes (n, 2) that fill the floor; outlets (n,): a node's flange, -1 for none."""

    nodes: Array
    triangles: Index
    outlets: Index

    @cached_property
    def edges(self) -> Index:
        """The triangles' sides as pairs of nodes (e, 2), each once."""
        return edges_of(self.triangles)

    @cached_property
    def areas(self) -> Array:
        """The triangles' areas (t,) [mm2]."""
        return doubled_areas(self.nodes, self.triangles) / 2


def mesh_of(bed: Bed, stations: Array, creases: Array) -> Mesh:
    """`_mesh_of`, remembered: places stay while figures are typed and changes tried."""
    floor, flanges = bed.reach.floor, bed.reach.flanges
    ridges = (np.stack([ridge.points[:-1], ridge.points[1:]], axis=1) for ridge in ridge_lines(bed))
    creases = np.concatenate([creases, *ridges])
    rims = (np.append(flange.corners, flange.size) for flange in flanges)
    facets = (part.bed.mesh.corners for part in valley_parts(bed))
    parts = [stations, creases, *floor.rings, *rims, *facets]
    words = [bed.shape.value, *(flange.kind.value for flange in flanges)]
    key = repr([words, [part.shape for part in parts]]).encode() + b"".join(part.tobytes() for part in parts)
    made = _LAST.pop(key, None) or _mesh_of(bed, stations, creases)
    _LAST[key] = made
    for old in list(_LAST)[:-_KEPT]:
        _LAST.pop(old, None)
    return made


_KEPT = 4  # meshes
_LAST: dict[bytes, Mesh] = {}


def _mesh_of(bed: Bed, stations: Array, creases: Array) -> Mesh:
    """Triangles over a bed's floor, with its stations (k, 2) among their nodes.

    Walls, rims, creases (m, 2, 2) and the meeting lines of level walls' slopes are chains of nodes for water, with an
    even grid of about 1,200 between.
    """
    reach = bed.reach
    polygon = reach.floor.polygon
    cell = float(np.sqrt(reach.floor.area / _CELLS))
    walls = [along_ring(ring, cell) for ring in reach.floor.rings]
    rims = [np.vstack([rim(flange), flange.centre[None]]) for flange in reach.flanges]
    sides = [
        _facet_sides(own) if isinstance(own, ValleyWalls) else _rays(own)
        for own in beds_of(bed)
        if isinstance(own, ValleyWalls | LevelWalls)
    ]
    segments = np.concatenate([*sides, creases])
    chains = [along(start, end, _FINER * cell) for start, end in segments]
    lines = shapely.multilinestrings([*shapely.linestrings(segments), *shapely.get_rings(polygon)])
    nodes = np.vstack([stations, *walls, *rims, *chains, _grid(polygon, lines, cell)])
    nodes = _apart(nodes[shapely.dwithin(polygon, shapely.points(nodes), _NOISE)])
    nodes, triangles = _held(nodes, chains) if valley_parts(bed) else (nodes, _triangles(nodes))
    triangles = triangles[shapely.intersects_xy(polygon, *nodes[triangles].mean(axis=1).T)]
    outlets = np.full(len(nodes), -1)
    for number, flange in enumerate(reach.flanges):
        outlets[flange.stretch(nodes) <= ON_RIM] = number
    return Mesh(nodes, triangles, outlets)


def _held(nodes: Array, chains: list[Array]) -> tuple[Array, Index]:
    """Nodes and triangles with the chains' pieces among their sides: others are halved by a node.

    Valleys' facets are steep: a side across a crease would dam up water.
    """
    pieces = np.concatenate([np.stack([chain[:-1], chain[1:]], axis=1) for chain in chains])
    triangles = _triangles(nodes)
    for _ in range(_HALVINGS):
        asked, places = (np.round(points / _ONE_PLACE) for points in (pieces.reshape(-1, 2), nodes))
        ends = numbers_of(asked, places).reshape(-1, 2)
        keys, sides = (np.sort(pairs, axis=1) @ [len(nodes), 1] for pairs in (ends, edges_of(triangles)))
        sides = np.sort(sides)
        found = sides[np.minimum(np.searchsorted(sides, keys), len(sides) - 1)] == keys
        long = np.hypot(*(pieces[:, 1] - pieces[:, 0]).T) > _LEAST_PIECE
        missed = ~found & long & (ends >= 0).all(axis=1) & (ends[:, 0] != ends[:, 1])
        if not missed.any():
            break
        middles = pieces[missed].mean(axis=1)
        halves = [np.stack(pair, axis=1) for pair in ((pieces[missed, 0], middles), (middles, pieces[missed, 1]))]
        pieces = np.concatenate([pieces[~missed], *halves])
        nodes = _apart(np.vstack([nodes, middles]))
        triangles = _triangles(nodes)
    return nodes, triangles


def _triangles(nodes: Array) -> Index:
    return steady(nodes, delaunay(np.round(nodes / _ON_GRID) * _ON_GRID))


def _apart(nodes: Array) -> Array:
    first, _ = groups(*np.round(nodes / _ONE_PLACE).T)
    return nodes[np.sort(first)]


def rim(flange: Flange) -> Array:
    """Places round a flange's rim (m, 2)."""
    if not flange.is_round:
        return along_ring(flange.corners, _RIM)
    count = max(_LEAST_RIM, int(np.ceil(2 * np.pi * flange.half / _RIM)))
    angles = 2 * np.pi * np.arange(count) / count
    return flange.centre + flange.half * np.column_stack([np.cos(angles), np.sin(angles)])


def _facet_sides(bed: ValleyWalls) -> Array:
    ends = np.stack([bed.mesh.corners, np.roll(bed.mesh.corners, -1, axis=1)], axis=2)
    across = np.ones(ends.shape[:2], dtype=bool)
    across[bed.mesh.walls >= 0, 1] = False  # from second corner to third: the wall itself
    ends = ends[across]
    flat = np.round([sorted(pair) for pair in ends.tolist()], 6).reshape(-1, 4)
    ends = flat[groups(*flat.T)[0]].reshape(-1, 2, 2)
    flange = bed.reach.flange
    for end, other in ((0, 1), (1, 0)):
        at_drain = np.hypot(*(ends[:, end] - flange.centre).T) < 2 * _ONE_PLACE
        ends[at_drain, end] = flange.rim_towards(ends[at_drain, other])
    return ends


def _rays(bed: LevelWalls) -> Array:
    flange, starts = bed.reach.flange, bed.reach.edges.starts
    ends = starts if flange.is_round else np.vstack([starts, _behind_corners(bed)])
    return np.stack([flange.rim_towards(ends), ends], axis=1)


def _behind_corners(bed: LevelWalls) -> Array:
    flange, fan = bed.reach.flange, bed.reach.fan
    offset = flange.corners - flange.centre
    met = fan.met[fan.gap(np.arctan2(offset[:, 1], offset[:, 0]))]
    return bed.reach.edges.hits(met, flange.centre, offset)


def _grid(polygon: Shape, lines: Shape, cell: float) -> Array:
    low, high = box_round(polygon)
    x, y = (np.arange(a + cell / 2, b, cell) for a, b in zip(low, high, strict=True))
    across, up = np.meshgrid(x, y)
    across[1::2] += cell / 2
    points = np.column_stack([across.ravel(), up.ravel()])
    points = points[shapely.contains_xy(polygon, *points.T)]
    shapely.prepare(lines)
    return np.asarray(points[~shapely.dwithin(lines, shapely.points(points), _APART * cell)])
