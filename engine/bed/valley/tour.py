"""The walk round the valleys on one side of them, the floor on the right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.types import Array

if TYPE_CHECKING:
    from engine.bed.valley.net import Net


def tour(net: Net, start: int, toward: Array) -> list[int]:
    """Place numbers from `start` back to it, round the side of the net that faces the place `toward` (2,).

    At each place the walk takes the first valley counter-clockwise from the one it came by. Alone, the start is the
    whole walk.
    """
    if not net.around[start]:
        return [start]
    first = net.next_round(start, net.heading_to(start, toward))
    walk, at = [start, first], first
    while True:
        onward = net.next_round(at, net.heading(at, walk[-2]))
        if at == start and onward == first:
            return walk
        walk.append(onward)
        at = onward
