"""What a drain does not see of its floor."""

from typing import Literal

import numpy as np

from ..phrases import phrase
from ..records import record
from ..survey.outline import FloorOutline
from ..types import Array
from .even_fall import hidden_area
from .reach import Node, Reach, taut


@record
class Hidden:
    """A part of the floor that the drain does not see straight; false, as it stands in a bed's stead.

    corner: the hiding corner's letter, None for an island's; x, y its place [mm]; wall: one behind it; drains: how many
    there are; drain: the number from 0 of the one it is hidden from; bound: a slope that every bed with level walls
    reaches [-], 0 where unknown.
    """

    corner: str | None
    x: float
    y: float
    wall: str
    drains: int = 1
    bound: float = 0.0
    drain: int = 0

    def __bool__(self) -> Literal[False]:
        return False


def hidden_part(reach: Reach, floor: FloorOutline | None = None) -> Hidden | None:
    """The corner that hides most of the floor from the drain's centre; None where every wall is seen.

    floor: whose corners and walls tell it, where the reach is a part's. Hiding corners are those in straight sight that
    ways bend round; of a wall seen only edge-on, its nearer end.
    """
    if reach.sees_whole:
        return None
    edge = int(np.argmin(reach.offs))
    hiding = [(area, node) for node in reach.nodes if node.is_direct and (area := hidden_area(node)) > 0]
    if hiding:
        worst = max(hiding, key=lambda hidden: round(hidden[0], 3))[1]  # of two alike the first
        corner = worst.place
        edge = _edge_behind(reach, worst)
    else:
        ends = (reach.edges.starts[edge], reach.edges.ends[edge])
        corner = min(ends, key=lambda end: float(np.hypot(*(end - reach.flange.centre))))
    told = reach.floor if floor is None else floor
    letter = _at(told.corners, corner)
    name = None if letter is None else told.names[letter]
    x, y = corner.tolist()
    return Hidden(name, x, y, _wall_at(told, (reach.edges.starts[edge] + reach.edges.ends[edge]) / 2))


def _edge_behind(reach: Reach, node: Node) -> int:
    heading = node.place - node.before
    start, width = taut(node)
    middle = start + width / 2
    bends_left = heading[0] * np.sin(middle) - heading[1] * np.cos(middle) > 0
    return _at(reach.edges.ends if bends_left else reach.edges.starts, node.place) or 0


def _wall_at(floor: FloorOutline, place: Array) -> str:
    for border in floor.borders:
        (side,) = border.sides.at(place[None]).tolist()
        if side >= 0:
            own = not border.ring_name
            return floor.walls[border.sides.walls[side]] if own else phrase("the floor behind the island")
    return phrase("the ridge")


def _at(corners: Array, place: Array) -> int | None:
    same = np.flatnonzero((corners == place).all(axis=1))
    return int(same[0]) if same.size else None
