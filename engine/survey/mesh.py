"""Where readings stand, and the triangles between them laid over the floor."""

from functools import cached_property, lru_cache

import numpy as np
import shapely

from ..arrays import distinct, following, groups
from ..records import Same, result
from ..types import Array, Index
from .outline import FloorOutline
from .pieces import Pieces, cut_to_floor
from .tin import Sides, Ties, boundary, delaunay, doubled_areas, settled, sides, ties

_RANK = 1e-9  # of a line's length: stations this near it fix no slope across
_INSIDE = 1e-9  # a weight this far below 0 still counts as inside a triangle
_MANY_PAIRS = 1_000_000  # from here on a search tree is quicker
_BOX_ROOM = 1e-6  # [mm]
_LAST_FIRST = [2, 0, 1]  # a triangle's corners from its third on


@result
class Sites:
    """Stations (n, 2) [mm], each place once, and the one that each reading was taken at, owner (r,)."""

    stations: Array
    owner: Index

    @cached_property
    def _triangles(self) -> Index:
        return delaunay(self.stations)

    @cached_property
    def _sides(self) -> Sides:
        return sides(self._triangles)

    @cached_property
    def _ties(self) -> Ties:
        return ties(self.stations, self._triangles, self._sides.pairs)

    @cached_property
    def ring(self) -> Index:
        """The stations round the triangles (k,), counter-clockwise, however ties are settled (see `boundary`)."""
        return boundary(self.stations, self._triangles, self._sides.outer)

    @cached_property
    def _leans(self) -> Array:
        """A pseudo-inverse: what each height adds to the gradient (2, n) [1/mm]; on one line, only along it."""
        left, sizes, right = np.linalg.svd(self.stations - self.stations.mean(axis=0), full_matrices=False)
        kept = sizes > _RANK * sizes[0]
        return np.asarray((right[kept].T / sizes[kept]) @ left[:, kept].T)

    def heights(self, drops: Array) -> Array:
        """The stations' heights over the level line (n,) [mm]: the means of the readings' drops (r,)."""
        return -np.bincount(self.owner, weights=drops) / np.bincount(self.owner)

    def triangles(self, heights: Array) -> Index:
        """The triangles (t, 3) between stations, counter-clockwise; none where all stand on one line.

        Of four or more stations on one circle the split gives the higher floor.
        """
        triangles = self._triangles
        return settled(self.stations, heights, triangles, self._ties) if len(triangles) > 1 else triangles

    def gradient(self, heights: Array) -> Array:
        """The least-squares plane's gradient (2,) [-]."""
        return np.asarray(self._leans @ (heights - heights.mean()))


@lru_cache(maxsize=4)
def sites(places: bytes) -> Sites:
    """The sites of readings at places (r, 2) [mm], r >= 1, as an array's bytes; those nearer than a millionth are one.

    The same for the same bytes: other drops find their triangles again.
    """
    found = np.frombuffer(places).reshape(-1, 2)
    first, owner = groups(*np.round(found, 6).T)
    return Sites(found[first], owner)


@result
class Footing:
    """What points hang on: three stations each (3, k), the parts (2, k) of the rises from the first to the others.

    Inside the hull they are a triangle's corners. beyond (2, k) [mm]: from the hull's nearest point, where the parts
    hold, to the point; 0 inside.
    """

    stations: Index
    parts: Array
    beyond: Array

    @cached_property
    def is_inside(self) -> bool:
        """Whether all points lie inside the hull."""
        return not self.beyond.any()

    @cached_property
    def weights(self) -> Array:
        """What each of the three counts for (3, k) [-], but for what lies beyond the hull."""
        return np.array([1.0 - self.parts[0] - self.parts[1], *self.parts])

    def shares(self, count: int) -> Array:
        """The same of each of so many stations (count, k)."""
        found = np.zeros((count, self.stations.shape[1]))
        np.add.at(found, (self.stations, np.arange(found.shape[1])), self.weights)
        return found

    def heights(self, stations: Array, gradient: Array) -> Array:
        """The points' heights (k,) from the stations' (n,) [mm]; beyond the hull by a plane's gradient (2,) [-]."""
        first, second, third = stations.take(self.stations)
        nearest: Array = first + self.parts[0] * (second - first) + self.parts[1] * (third - first)
        if self.is_inside:
            return nearest
        return np.asarray(nearest + self.beyond[0] * gradient[0] + self.beyond[1] * gradient[1])


@result
class Mesh:
    """Triangles (t, 3) between stations (n, 2) [mm] on a floor, and the ring (k,) of stations round them."""

    floor: FloorOutline
    stations: Array
    ring: Index
    triangles: Index

    @cached_property
    def _strips(self) -> tuple[Array, Array, Array]:
        """The ring's sides: starts (k, 2), ways along them (k, 2) and those squared (k,) [mm]."""
        starts = self.stations[self.ring]
        along = following(starts) - starts
        return starts, along, np.maximum((along * along).sum(axis=1), np.finfo(float).tiny)

    @cached_property
    def _side_ends(self) -> Index:
        return np.array([self.ring, following(self.ring), self.ring])

    @cached_property
    def _corners(self) -> Index:
        return np.ascontiguousarray(self.triangles.T[_LAST_FIRST])

    @cached_property
    def _leans(self) -> Array:
        """Each triangle's plane per unit rise from its third corner to its first, x and y, and to its second (4, t)."""
        c, a, b = self.stations[self._corners]
        (ux, uy), (vx, vy) = (a - c).T, (b - c).T
        return np.asarray(np.array([vy, -vx, -uy, ux]) / (ux * vy - uy * vx))

    @cached_property
    def boxes(self) -> tuple[Array, Array]:
        """The triangles' boxes: low and high corners (t, 2) [mm], with a little room."""
        a, b, c = (self.stations[self.triangles[:, k]] for k in range(3))
        low, high = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
        return low - _BOX_ROOM, high + _BOX_ROOM

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree(shapely.linestrings(np.stack(self.boxes, axis=1)))

    def footing(self, points: Array) -> Footing:
        """What points (k, 2) [mm] hang on."""
        rows, owners = self._candidates(points)
        parts = self._parts(points[rows], owners)
        inside = ((parts >= -_INSIDE).all(axis=0) & (parts[0] + parts[1] <= 1 + _INSIDE)).nonzero()[0]
        return self._footing(points, rows[inside], owners[inside], parts[:, inside])

    def _footing(self, points: Array, rows: Index, owners: Index, found: Array) -> Footing:
        """Of some points (r,) the owners and parts are found; others lie outside the hull."""
        stations = np.full((3, len(points)), -1)
        parts, beyond = np.zeros((2, 2, len(points)))
        stations[:, rows], parts[:, rows] = self._corners[:, owners], found
        outside = (stations[0] < 0).nonzero()[0]
        if outside.size:
            stations[:, outside], parts[0, outside], beyond[:, outside] = self._on_hull(points[outside])
        return Footing(stations, parts, beyond)

    def _candidates(self, points: Array) -> tuple[Index, Index]:
        if len(points) * len(self.triangles) > _MANY_PAIRS:
            rows, owners = self._tree.query(shapely.points(points))
            return rows, owners
        low, high = self.boxes
        x, y = points[:, 0, None], points[:, 1, None]
        rows, owners = np.nonzero((x >= low[:, 0]) & (x <= high[:, 0]) & (y >= low[:, 1]) & (y <= high[:, 1]))
        return rows, owners

    def _parts(self, points: Array, owners: Index) -> Array:
        x, y = (points - self.stations[self._corners[0, owners]]).T
        ax, ay, bx, by = self._leans[:, owners]
        return np.array([ax * x + ay * y, bx * x + by * y])

    def _on_hull(self, points: Array) -> tuple[Index, Array, Array]:
        """Of the hull points nearest to points: stations (3, k), first part (k,) and what lies beyond (2, k)."""
        starts, along, squared = self._strips
        x, y = (points[:, None] - starts).transpose(2, 0, 1)
        t = np.minimum(np.maximum((x * along[:, 0] + y * along[:, 1]) / squared, 0.0), 1.0)
        x, y = x - t * along[:, 0], y - t * along[:, 1]
        nearest = (x * x + y * y).argmin(axis=1)
        at = np.arange(len(points)), nearest
        return self._side_ends[:, nearest], t[at], np.array([x[at], y[at]])

    def slopes_near(self, heights: Array, centre: Array, reach: float) -> Array:
        """The gradients (m, 2) [-] of the planes within a square of that reach round a place."""
        low, high = self.boxes
        near = ((low <= centre + reach) & (high >= centre - reach)).all(axis=1)
        third, first, second = heights[self._corners[:, near]]
        ax, ay, bx, by = self._leans[:, near]
        first, second = first - third, second - third
        return np.array([first * ax + second * bx, first * ay + second * by]).T

    def slopes_beyond(self, heights: Array, gradient: Array) -> Array:
        """The gradients (k, 2) [-] of the strips outside the hull's sides."""
        _, along, squared = self._strips
        change = heights[following(self.ring)] - heights[self.ring] - along @ gradient
        return gradient + (change / squared)[:, None] * along

    @cached_property
    def pieces(self) -> Pieces:
        """The floor cut into pieces on which the surface is one plane."""
        return cut_to_floor(self)

    @cached_property
    def corners(self) -> Array:
        """The stations, then the cut parts' corners (c, 2) [mm]."""
        return np.concatenate([self.stations, self.pieces.cut.corners])

    @cached_property
    def pairs(self) -> Index:
        """The corners (k, 2) between which the pieces' edges run."""
        return np.concatenate([self.pieces.edges, self.pieces.cut.sides + len(self.stations)])

    @cached_property
    def used(self) -> Index:
        """The corners (u,) that lie on the floor."""
        return np.concatenate([distinct(self.pieces.edges), np.arange(len(self.stations), len(self.corners))])

    @cached_property
    def cut(self) -> Footing:
        """What the cut parts' corners, then centroids hang on, each on its part's plane."""
        cut = self.pieces.cut
        points = np.concatenate([cut.corners, cut.centroids])
        owners = np.concatenate([cut.owners[cut.part], cut.owners])
        rows = (owners >= 0).nonzero()[0]
        return self._footing(points, rows, owners[rows], self._parts(points[rows], owners[rows]))

    @cached_property
    def areas(self) -> Array:
        """The areas of the triangles wholly on the floor [mm2]."""
        return doubled_areas(self.stations, self.pieces.whole) / 2


def mesh(floor: FloorOutline, sites: Sites, triangles: Index) -> Mesh:
    """The mesh of triangles between sites on a floor; the same for the same."""
    return _mesh(floor, sites, triangles.tobytes())


@lru_cache(maxsize=4)
def _mesh(floor: FloorOutline, sites: Sites, triangles: bytes) -> Mesh:
    return Mesh(floor, sites.stations, sites.ring, np.frombuffer(triangles, dtype=np.intp).reshape(-1, 3))


@lru_cache(maxsize=16)
def stood(mesh: Mesh, places: Same[Array]) -> Footing:
    """What these very points hang on in this very mesh."""
    return mesh.footing(places.it)
