"""Valley lines: what is set out on the floor where valleys lead water."""

from typing import NamedTuple

from .parted_walls import PartedWalls
from .surfaces import Bed
from .valley.bed import Line, ValleyWalls


class ValleyPart(NamedTuple):
    """A bed with valleys: its drain's number from 0, how much higher that drain stands than the first [mm]."""

    drain: int
    bed: ValleyWalls
    head: float

    @property
    def valleys(self) -> tuple[Line, ...]:
        """Its valleys, from the flange outward, with heights over the first drain."""
        return tuple(line.over(self.head, self.drain) for line in self.bed.valleys)

    @property
    def ridges(self) -> tuple[Line, ...]:
        """Its level lines from walls to islands, with heights over the first drain."""
        return tuple(line.over(self.head, self.drain) for line in self.bed.ridges)


def valley_parts(bed: Bed) -> tuple[ValleyPart, ...]:
    """The parts of a bed in which valleys lead water, by their drains."""
    if isinstance(bed, ValleyWalls):
        return (ValleyPart(0, bed, 0.0),)
    if isinstance(bed, PartedWalls):
        return tuple(
            ValleyPart(number, own, head)
            for number, (own, head) in enumerate(zip(bed.beds, bed.heads, strict=True))
            if isinstance(own, ValleyWalls)
        )
    return ()


def valley_lines(bed: Bed) -> tuple[Line, ...]:
    """All valleys of a bed, drain by drain, with heights over the first drain."""
    return tuple(line for part in valley_parts(bed) for line in part.valleys)


def level_lines(bed: Bed) -> tuple[Line, ...]:
    """All level lines of a bed from walls to islands, with heights over the first drain."""
    return tuple(line for part in valley_parts(bed) for line in part.ridges)
