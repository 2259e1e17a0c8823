"""Parts: a floor with several drains divided by straight ridges."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, permutations

import numpy as np
import shapely

from ..arrays import cross, following, preceding
from ..job.model import EdgeKind
from ..records import result
from ..survey.outline import FloorOutline, corner_names
from ..types import Array, Index, Mask, Shape
from .flange import Flange, Flanges
from .reach import EDGE_ON, Reach, bends_of
from .sight import Edges

_ON_RIDGE = 1e-6  # [mm] a side this far from every wall is a ridge
_LEAST_AREA, _NOTHING = 1.0, 1e-6  # [mm2]
_FEWEST = 3  # places of a ring; a sliver has no more that turn
CLEAR = 1.0  # [mm] ridges keep this far from every flange
_DIRECTIONS = 36  # in which ridges from corners into the floor are tried
MOST_CUT = 4  # drains for which ridges from corners are tried: more would take too long
_FLANGE_SEGMENTS = 16
CALM = 6  # decimals of lengths [mm] that are told apart


@result
class Part:
    """A drain's part of the floor, the ways to its drain, and which edges of its rings are ridges (e,)."""

    reach: Reach
    is_ridge: Mask

    @property
    def shape(self) -> Shape:
        """The part as a shapely polygon."""
        return self.reach.floor.polygon


@result
class Ridge:
    """A ridge between the parts of two drains (their numbers from 0).

    points: the line it runs along (m, 2); heights: the bed's there over the first drain (m,) [mm].
    """

    drains: tuple[int, int]
    points: Array
    heights: Array


def divided(floor: FloorOutline, flanges: Sequence[Flange], extra: Sequence[float]) -> tuple[Part, ...] | None:
    """The parts of a floor, each seen whole from its one drain; None where no straight ridges make such.

    extra: how much longer each drain's ways count, for standing higher [mm]. Ridges run square across the middle
    between two flanges' edges, moved towards the one counting longer: of two drains exactly, of more by the power
    diagram (Aurenhammer 1987). Else ridges from inward corners are tried, those with the shortest longest line taken.
    """
    if not _are_apart(flanges):
        return None
    parts = square_parts(floor, flanges, extra)
    if parts or len(flanges) > MOST_CUT:
        return parts
    cut = (_shared_out(floor, flanges, extra, pieces) for pieces in _cuts(floor, flanges))
    found = [parts for shares in cut if (parts := _checked(floor, flanges, shares))]
    return min(found, key=_longest, default=None)


def square_parts(floor: FloorOutline, flanges: Sequence[Flange], extra: Sequence[float]) -> tuple[Part, ...] | None:
    """The parts by ridges square across the ways between the drains; None where those do not do."""
    cells = _power_cells(floor, tuple(flanges), tuple(extra))
    return _checked(floor, flanges, [shapely.intersection(floor.polygon, cell) for cell in cells])


def hiding_parts(floor: FloorOutline, flanges: Sequence[Flange], extra: Sequence[float]) -> tuple[Part, ...] | None:
    """The parts by ridges square across the ways between the drains, which need not see them whole.

    Without `extra`, across the shortest ways between their edges. A piece cut off from its drain, or on no drain's side
    of all ridges, joins the part with the longest common side. None where a ridge runs through a flange.
    """
    if not _are_apart(flanges):
        return None
    cells = _power_cells(floor, tuple(flanges), tuple(extra))
    mains: list[Shape] = []
    # On a grid, pieces that meet in one place come apart.
    rest = shapely.difference(floor.polygon, shapely.union_all(cells, grid_size=_ON_RIDGE), grid_size=_ON_RIDGE)
    strays = [piece for piece in shapely.get_parts(rest) if shapely.area(piece) > _LEAST_AREA]
    for cell, flange in zip(cells, flanges, strict=True):
        pieces = shapely.get_parts(shapely.intersection(floor.polygon, cell))
        pieces = pieces[shapely.area(pieces) > _LEAST_AREA]
        own = shapely.intersects_xy(pieces, *flange.centre)
        if own.sum() != 1:
            return None
        mains.append(pieces[own][0])
        strays += list(pieces[~own])
    whole = _adopted(mains, strays)
    return None if whole is None else _checked(floor, flanges, whole, seen_whole=False)


def _are_apart(flanges: Sequence[Flange]) -> bool:
    """Between two drains at one place there is no way for a ridge to cross."""
    return bool(shapely.is_simple(shapely.multipoints([flange.centre for flange in flanges])))


def _adopted(mains: list[Shape], strays: list[Shape]) -> list[Shape] | None:
    while strays:
        # The common side is cut out twice, and differs in last digits.
        roomy = shapely.buffer(mains, _ON_RIDGE, join_style="mitre")
        common = shapely.length(shapely.intersection(shapely.boundary(strays)[:, None], roomy))
        stray, main = np.unravel_index(int(np.argmax(common)), common.shape)
        if common[stray][main] < CLEAR:
            return None
        joined = strays.pop(int(stray))
        mains[main] = shapely.snap(mains[main], joined, _ON_RIDGE)
        mains[main] = shapely.union(mains[main], shapely.snap(joined, mains[main], _ON_RIDGE))
    return mains


def _checked(
    floor: FloorOutline, flanges: Sequence[Flange], shapes: Sequence[Shape], *, seen_whole: bool = True
) -> tuple[Part, ...] | None:
    if (shapely.get_type_id(shapes) != shapely.GeometryType.POLYGON).any():
        return None
    if seen_whole:  # at a glance: most are not
        sides, of = _outer_sides(shapes)
        off = (np.array([flange.centre for flange in flanges])[of] - sides.starts) * sides.inward
        if (off.sum(axis=1) < EDGE_ON - _ON_RIDGE).any():
            return None
    parts = []
    for shape, flange in zip(shapes, flanges, strict=True):
        room = room_round(flange)
        if not shapely.contains(shape, room) and _cut_off(floor, room, shape) > _NOTHING:
            return None
        part = part_of(floor, flange, shape)
        if seen_whole and not part.reach.sees_whole:
            return None
        parts.append(part)
    return tuple(parts)


def _cut_off(floor: FloorOutline, room: Shape, shape: Shape) -> float:
    """How much of a flange's room ridges cut off [mm2]: of walls none is left."""
    return float(shapely.area(shapely.difference(shapely.intersection(room, floor.polygon), shape)))


@lru_cache(maxsize=16)
def room_round(flange: Flange) -> Shape:
    """What a part's ridges leave round a flange."""
    whole = flange.polygon if not flange.is_round else shapely.buffer(shapely.points(flange.centre), flange.half)
    return shapely.buffer(whole, CLEAR, quad_segs=_FLANGE_SEGMENTS)


def part_of(floor: FloorOutline, flange: Flange, shape: Shape) -> Part:
    """A piece of floor as a drain's part: edges on no wall are ridges."""
    reach = Reach(floor_of(_seamless(floor, shape)), flange)
    middles = (reach.edges.starts + reach.edges.ends) / 2
    away = shapely.distance(shapely.boundary(floor.polygon), shapely.points(middles))
    return Part(reach, away > _ON_RIDGE)


def _seamless(floor: FloorOutline, shape: Shape) -> Shape:
    """A piece without the places where pieces joined on a wall, which are no corners of the floor."""
    corners = shapely.multipoints(np.concatenate(floor.rings))
    rings = []
    for ring in shapely.get_rings(shape):
        places = shapely.get_coordinates(ring)[:-1]
        places = places[np.hypot(*(places - preceding(places)).T) > 2 * _ON_RIDGE]
        turn = np.abs(cross(places - preceding(places), following(places) - places))
        straight = turn < _ON_RIDGE * np.hypot(*(following(places) - preceding(places)).T)
        seam = straight & (shapely.distance(corners, shapely.points(places)) > _ON_RIDGE)
        rings.append(ring if (~seam).sum() < _FEWEST else shapely.linearrings(places[~seam]))
    return shapely.polygons(rings[0], holes=rings[1:] or None)


def floor_of(shape: Shape) -> FloorOutline:
    """A polygon as a floor of its own."""
    ring, *islands = (shapely.get_coordinates(each)[:-1] for each in shapely.get_rings(shape))
    return FloorOutline(ring, corner_names(len(ring)), (EdgeKind.WALL,) * len(ring), tuple(islands))


def _longest(parts: tuple[Part, ...]) -> float:
    longest = max(np.hypot(*(part.reach.edges.starts - part.reach.flange.centre).T).max() for part in parts)
    return round(float(longest), CALM)


@lru_cache(maxsize=8)
def _power_cells(floor: FloorOutline, flanges: Flanges, extra: tuple[float, ...]) -> list[Shape]:
    """The cells of the power diagram of the drains, cut to a box round the floor.

    With weights u, v the ridge of two drains D apart crosses their line D / 2 + (u - v) / (2 D) from the first. A
    weight is the rim less what the drain counts longer, times the drains' mean distance: two drains' ways then count
    alike.
    """
    centres = np.array([flange.centre for flange in flanges])
    apart = np.mean([np.hypot(*(a - b)) for a, b in combinations(centres, 2)])
    rims = [_rim(flange, centres) - more for flange, more in zip(flanges, extra, strict=False)]
    weights = apart * np.array(rims or [0.0] * len(flanges))
    box = shapely.buffer(shapely.box(*shapely.bounds(floor.polygon).tolist()), 1.0, join_style="mitre")
    far = 4 * float(np.hypot(*np.ptp(floor.ring, axis=0)))
    cells = [box] * len(flanges)
    for i, j in permutations(range(len(flanges)), 2):
        gap = shapely.shortest_line(room_round(flanges[i]), room_round(flanges[j]))
        ends = centres[[i, j]] if extra else shapely.get_coordinates(gap)
        cells[i] = shapely.intersection(cells[i], _half_plane(ends[0], ends[1], float(weights[i] - weights[j]), far))
    return cells


def _rim(flange: Flange, centres: Array) -> float:
    offset = centres - flange.centre
    away = np.hypot(*offset.T)
    nearest = int(np.argmin(np.where(away > 0, away, np.inf)))
    return float(flange.rim(offset[nearest] / away[nearest]))


def _half_plane(centre: Array, other: Array, gain: float, far: float) -> Shape:
    apart = max(float(np.hypot(*(other - centre))), _ON_RIDGE)
    towards = (other - centre) / apart
    across = np.array([-towards[1], towards[0]]) * far
    foot = centre + towards * (apart / 2 + gain / (2 * apart))
    return shapely.polygons(
        [foot - across, foot + across, foot + across - towards * far, foot - across - towards * far]
    )


def _cuts(floor: FloorOutline, flanges: Sequence[Flange]) -> Iterator[list[tuple[Shape, list[int]]]]:
    faces, centres = cut_floors(floor), np.array([flange.centre for flange in flanges])
    held = shapely.contains(faces[..., None], shapely.points(centres))
    may_do = (held.sum(axis=1) == 1).all(axis=1) & held.any(axis=2).all(axis=1)
    for pair, own in zip(faces[may_do], held[may_do], strict=True):
        yield [(face, np.flatnonzero(holds).tolist()) for face, holds in zip(pair, own, strict=True)]


def _outer_sides(shapes: Sequence[Shape]) -> tuple[Edges, Index]:
    rings = shapely.get_exterior_ring(shapes)
    rings = np.where(shapely.is_ccw(rings), rings, shapely.reverse(rings))
    places, of = shapely.get_coordinates(rings, return_index=True)
    kept = (of[1:] == of[:-1]) & (np.hypot(*np.diff(places, axis=0).T) > CLEAR)
    return Edges.between(places[:-1][kept], places[1:][kept]), of[:-1][kept]


@lru_cache(maxsize=4)
def cut_floors(floor: FloorOutline) -> Shape:
    """The halves (c, 2), shapely polygons, of a floor cut along each line from an inward corner."""
    far = 2 * float(np.hypot(*np.ptp(floor.ring, axis=0)))
    turns = np.arange(_DIRECTIONS) * 2 * np.pi / _DIRECTIONS
    corners = bends_of(floor)[0].repeat(_DIRECTIONS, axis=0)
    rays = np.tile(np.column_stack([np.cos(turns), np.sin(turns)]), (len(corners) // _DIRECTIONS, 1))
    lines = shapely.linestrings(np.stack([corners, corners + far * rays], axis=1))
    pieces, cut = shapely.get_parts(shapely.intersection(floor.polygon, lines), return_index=True)
    from_corner = shapely.distance(pieces, shapely.points(corners[cut])) < _ON_RIDGE
    pieces, cut = pieces[from_corner], cut[from_corner]
    first = np.diff(cut, prepend=-1) > 0  # of each line
    cut, spans = cut[first], shapely.length(pieces[first])
    cut, spans = cut[spans >= CLEAR], spans[spans >= CLEAR]
    # On past the wall: ending at it a cut would miss it by a last digit, and part nothing.
    pieces = shapely.linestrings(np.stack([corners[cut], corners[cut] + (spans + CLEAR)[:, None] * rays[cut]], axis=1))
    webs = shapely.union(shapely.boundary(floor.polygon), pieces)
    faces, cut = shapely.get_parts(shapely.polygonize(webs[:, None]), return_index=True)
    whole = shapely.area(faces) > _LEAST_AREA
    faces, cut = faces[whole], cut[whole]
    first = np.flatnonzero(np.diff(cut, prepend=-1))
    first = first[np.diff(first, append=len(cut)) == 2]
    return faces[np.column_stack([first, first + 1])]


def _shared_out(
    floor: FloorOutline, flanges: Sequence[Flange], extra: Sequence[float], pieces: list[tuple[Shape, list[int]]]
) -> list[Shape]:
    shares: dict[int, Shape] = {}
    for piece, numbers in pieces:
        if len(numbers) == 1:
            shares[numbers[0]] = piece
            continue
        cells = _power_cells(floor, tuple(flanges[i] for i in numbers), tuple(extra[i] for i in numbers))
        shares.update(zip(numbers, (shapely.intersection(piece, cell) for cell in cells), strict=True))
    return [shares[number] for number in range(len(flanges))]
