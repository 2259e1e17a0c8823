"""How steep the parts of a floor become where one of its several drains is moved, with level walls."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations, permutations

import numpy as np

from engine.bed.flange import Flange
from engine.bed.level_walls import runs
from engine.bed.parts import divided, square_parts
from engine.quantities import round_up
from engine.records import result
from engine.survey.outline import FloorOutline
from engine.types import Array, Mask

_BESIDE = 1e-6  # [mm]
_ALLOWED = 1 + 1e-9  # times the most fall


@result
class Parting:
    """A floor with several drains, and what level walls on it are held to.

    heads [mm]: how much higher than the first each drain stands; fall, most [-]; height: what the walls stand at for
    the least that they may (k,) -> (k,) [mm]; held: the drains whose parts have to be gentle enough; is_square: whether
    only ridges square across the ways between drains are tried, which is quicker.
    """

    floor: FloorOutline
    flanges: tuple[Flange, ...]
    heads: tuple[float, ...]
    fall: float
    most: float
    height: Callable[[Array], Array]
    held: tuple[int, ...]
    square: bool
    is_square: bool

    @property
    def is_open(self) -> bool:
        """Whether all places see each other, so that straight ridges alone part the floor, and runs are plain lines."""
        return self.floor.is_convex and not self.square

    def excess(self, number: int, centres: Array) -> Array:
        """By how much the walls stand too high for the most fall where a drain is moved to places (k, 2), (k,) [mm].

        Infinite where the floor is not parted so that each drain sees its part whole; 0 or less is allowed.
        """
        heads = np.array(self.heads)
        over = self._over(number, centres, heads / self.fall)
        if heads.any() and not np.isfinite(over).all():  # as the parts' own: else ridges run midway
            over = np.where(np.isfinite(over), over, self._over(number, centres, np.zeros(len(heads))))
        return over

    def _over(self, number: int, centres: Array, extra: Array) -> Array:
        """The same with ridges by how much longer than they are the ways to each drain count (d,) [mm]."""
        if self.is_open:
            near, far = self._by_cells(number, centres, extra)
        else:
            near, far = np.array([self._by_parts(number, centre, extra) for centre in centres]).transpose(1, 2, 0)
        heads = np.array(self.heads)[:, None]
        walls = self.height((heads + self.fall * far).max(axis=0))
        over = walls - heads - self.most * near * _ALLOWED
        return np.where((near > 0).all(axis=0), over[list(self.held)].max(axis=0), np.inf)

    def _by_parts(self, number: int, centre: Array, extra: Array) -> tuple[list[float], list[float]]:
        """The shortest and the longest run of each drain's part [mm], with one of them at a place (2,)."""
        flanges = [replace(each, centre=centre) if i == number else each for i, each in enumerate(self.flanges)]
        parts = (square_parts if self.is_square else divided)(self.floor, flanges, extra.tolist())
        if parts is None:
            return [0.0] * len(flanges), [0.0] * len(flanges)
        found = [runs(part.reach, square=self.square) for part in parts]
        return [each.shortest.value for each in found], [each.longest.value for each in found]

    def _by_cells(self, number: int, centres: Array, extra: Array) -> tuple[Array, Array]:
        """The shortest and the longest run of each drain's part (d, k) [mm], with one at places (k, 2).

        A part is a convex cell of the power diagram: its nearest side is the nearest of all lines that bound it, and
        its farthest place is a corner. To a flange that is not round the shortest run is taken square to that side.
        """
        places = np.repeat(np.array([flange.centre for flange in self.flanges])[:, None], len(centres), axis=1)
        places[number] = centres
        ridges = _ridges(places, self.flanges, extra)
        sides = self.floor.sides
        off = ((places[:, :, None] - sides.starts) * sides.inward).sum(axis=3)
        near, far = np.empty((2, *places.shape[:2]))
        for i, flange in enumerate(self.flanges):
            own = [ridges[i, j] for j in range(len(places)) if j != i]
            walls = (off[i] - flange.rim(-sides.inward)).min(axis=1)
            near[i] = np.min([walls, *(foot - flange.rim(towards) for towards, foot in own)], axis=0)
            corners = self._corners(places[i], own)
            away = corners - places[i][:, None]
            length = np.maximum(np.hypot(away[..., 0], away[..., 1]), _BESIDE)
            with np.errstate(invalid="ignore"):
                beyond = length - flange.rim((away / length[..., None]).reshape(-1, 2)).reshape(length.shape)
            far[i] = np.where(self._holds(corners, places[i], own), beyond, 0.0).max(axis=1)
        return near, far

    def _corners(self, place: Array, ridges: list[tuple[Array, Array]]) -> Array:
        """Where a cell may have corners (k, c, 2): the floor's, and where ridges meet walls and each other."""
        sides = self.floor.sides
        along = sides.ends - sides.starts
        found = [np.broadcast_to(sides.starts, (len(place), *sides.starts.shape))]
        with np.errstate(divide="ignore", invalid="ignore"):
            for towards, foot in ridges:
                start = ((sides.starts - place[:, None]) * towards[:, None]).sum(axis=2)
                part = (foot[:, None] - start) / (along * towards[:, None]).sum(axis=2)
                found.append(sides.starts + part[..., None] * along)
            for (one, near), (other, beyond) in combinations(ridges, 2):
                turn = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
                x = (near * other[:, 1] - beyond * one[:, 1]) / turn
                y = (one[:, 0] * beyond - other[:, 0] * near) / turn
                found.append((place + np.column_stack([x, y]))[:, None])
        return np.concatenate(found, axis=1)

    def _holds(self, points: Array, place: Array, ridges: list[tuple[Array, Array]]) -> Mask:
        """Which of the points (k, c, 2) lie in the cell round a drain at places (k, 2)."""
        sides = self.floor.sides
        with np.errstate(invalid="ignore"):
            inside = (((points[:, :, None] - sides.starts) * sides.inward).sum(axis=3) >= -_BESIDE).all(axis=2)
            for towards, foot in ridges:
                ahead = ((points - place[:, None]) * towards[:, None]).sum(axis=2)
                inside &= ahead <= foot[:, None] + _BESIDE
        return np.asarray(inside)


def _ridges(places: Array, flanges: tuple[Flange, ...], extra: Array) -> dict[tuple[int, int], tuple[Array, Array]]:
    """For drains at places (d, k, 2): the way from one towards another (k, 2), and how far the ridge is off (k,) [mm].

    As the parts' own: across the middle of the way between two drains' edges, moved towards the one that counts longer.
    """
    pairs = list(permutations(range(len(places)), 2))
    away = {(i, j): places[j] - places[i] for i, j in pairs}
    apart = {pair: np.maximum(np.hypot(*offset.T), _BESIDE) for pair, offset in away.items()}
    towards = {pair: offset / apart[pair][:, None] for pair, offset in away.items()}
    mean = np.mean(list(apart.values()), axis=0)
    weights = []
    for i, flange in enumerate(flanges):
        others = [pair for pair in pairs if pair[0] == i]
        nearest = np.argmin([apart[pair] for pair in others], axis=0)
        rims = np.array([flange.rim(towards[pair]) for pair in others])
        weights.append(mean * (np.take_along_axis(rims, nearest[None], axis=0)[0] - extra[i]))
    return {(i, j): (towards[i, j], far / 2 + (weights[i] - weights[j]) / (2 * far)) for (i, j), far in apart.items()}


def walls_on_step(step: float) -> Callable[[Array], Array]:
    """What the walls stand at for the least that they may: rounded up to the mark step [mm]."""
    return lambda heights: np.array([round_up(height, step) for height in heights.tolist()])


def walls_at(height: float) -> Callable[[Array], Array]:
    """The walls at a height of the user's own [mm], whatever they need."""
    return lambda heights: np.full(len(heights), height)
