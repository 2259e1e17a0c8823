"""Where readings stand, and what hangs on their places alone."""

from functools import cached_property, lru_cache

import numpy as np

from ..distinct import groups
from ..records import result
from ..types import Array, Index
from .tin import Sides, Ties, boundary, delaunay, settled, sides, ties

_RANK = 1e-9  # stations nearer than this to one line, relative to its length, fix no slope across it


@result
class Sites:
    """Stations (n, 2) [mm], each place once, and which of them each reading was taken at, owner (r,)."""

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
        """The stations round the triangles (k,), counter-clockwise, whichever way ties are settled (see `boundary`)."""
        return boundary(self.stations, self._triangles, self._sides.outer)

    @cached_property
    def _leans(self) -> Array:
        """What each station's height adds to the least-squares plane's gradient (2, n) [1/mm]: a pseudo-inverse.

        Along the line only where all stations stand on one.
        """
        left, sizes, right = np.linalg.svd(self.stations - self.stations.mean(axis=0), full_matrices=False)
        kept = sizes > _RANK * sizes[0]
        return np.asarray((right[kept].T / sizes[kept]) @ left[:, kept].T)

    def heights(self, drops: Array) -> Array:
        """The stations' heights over the level line (n,) [mm] from the readings' drops (r,): their means."""
        return -np.bincount(self.owner, weights=drops) / np.bincount(self.owner)

    def triangles(self, heights: Array) -> Index:
        """The triangles (t, 3) between stations, counter-clockwise; none where all stand on one line.

        Where four or more stations lie on one circle the split is the one that gives the higher floor.
        """
        triangles = self._triangles
        return settled(self.stations, heights, triangles, self._ties) if len(triangles) > 1 else triangles

    def gradient(self, heights: Array) -> Array:
        """The least-squares plane's gradient (2,) [-]."""
        return np.asarray(self._leans @ (heights - heights.mean()))


@lru_cache(maxsize=4)
def sites(places: bytes) -> Sites:
    """The sites of readings at places (r, 2) [mm], r >= 1, as an array's bytes; those nearer than a millionth are one.

    The same for the same bytes, so that readings with other drops find their triangles again.
    """
    found = np.frombuffer(places).reshape(-1, 2)
    first, owner = groups(*np.round(found, 6).T)
    return Sites(found[first], owner)
