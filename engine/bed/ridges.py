"""Ridges: the lines along which water parts for one drain or another."""

from ..records import result
from ..types import Array


@result
class Ridge:
    """A ridge between the parts of two drains (their numbers from 0).

    points: the line it runs along (m, 2) [mm]; heights: the bed's there over the first drain (m,) [mm].
    """

    drains: tuple[int, int]
    points: Array
    heights: Array
