"""Straightedges: the fewest lengths, and what each one serves."""

import math
from functools import lru_cache
from typing import TypeAlias

from ..bed.surfaces import Bed
from ..job.defaults import mark_step, strip_thickness
from ..job.model import Job
from ..quantities import round_down, round_up
from ..records import record
from ..survey.outline import FloorOutline
from .pull_lines import Bent, pull_lines
from .pulls import Pull

_SHY = 1e-4  # [mm] a length keeps so far inside what serves
_MOST = 200  # lengths; to a smaller flange one board is trimmed on the way
_SHOWN = 0.5  # [mm] shorter stretches of wall are not told
_AT_BEND = 1.0  # [mm] a bend this near a corner is that corner


Part: TypeAlias = tuple[float, float]  # from place to place along a wall [mm]


@record
class Served:
    """A stretch of a wall or an island's side, from place to place along it [mm]."""

    wall: str
    start: float
    end: float


@record
class Straightedge:
    """A length to cut a board to [mm], and what it serves that no shorter one does."""

    length: float
    serves: tuple[Served, ...]


@record
class Bend:
    """A place where lines end short of the flange: a corner that ways bend round, or a relay of valleys.

    Told with the lines' lengths and whence they come; corner: its name, None inside the floor; x, y; all [mm]. With no
    flange to reach onto each line wants its own length: one board, trimmed from longest to shortest.
    """

    corner: str | None
    x: float
    y: float
    longest: float
    shortest: float
    serves: tuple[Served, ...]


@record
class Straightedges:
    """The straightedges longest first, in the order of work: one board serves, trimmed from each to the next.

    longest, shortest: the lines to a flange, from the strip's inner face to its near edge [mm]; 0 for none. Were over
    200 needed there are none: one board is trimmed from the one to the other.
    """

    edges: tuple[Straightedge, ...]
    bends: tuple[Bend, ...]
    longest: float
    shortest: float

    @property
    def lengths(self) -> tuple[float, ...]:
        """The lengths, longest first [mm]."""
        return tuple(edge.length for edge in self.edges)


def straightedges(job: Job, bed: Bed) -> Straightedges:
    """The fewest straightedges for a bed; exact.

    One serves a line if it reaches from the strip's inner face to the flange's near edge, not its far one; they stand
    as far inside what serves as their number allows, in whole mark steps where those serve. Lines to a bend or a relay
    are told apart.
    """
    return _planned(bed, strip_thickness(job), mark_step(job))


@lru_cache(maxsize=4)
def _planned(bed: Bed, thickness: float, step: float) -> Straightedges:
    found = pull_lines(bed, thickness)
    pulls = [pull for pull in found.straight if max(pull.near) > _SHY]
    lengths = _fewest(pulls, step)
    return Straightedges(
        edges=tuple(_with_stretches(pulls, lengths)),
        bends=tuple(_bend(bent, bed.reach.floor) for bent in found.bent),
        longest=max((max(pull.near) for pull in pulls), default=0.0),
        shortest=max(0.0, min((min(pull.near) for pull in pulls), default=0.0)),
    )


def _fewest(pulls: list[Pull], step: float) -> list[float]:
    """The fewest lengths [mm], longest first; none without lines, or where they would be too many.

    From the long end, the longest line left sets each least length, and so their number; from the short end each is set
    between its least and the most that leaves no line behind, sharing spare.
    """
    least: list[float] = []
    length = max((max(pull.near) for pull in pulls), default=0.0) + _SHY
    while length > 2 * _SHY:
        least.append(length)
        if len(least) > _MOST:
            return []
        length = max(pull.most_near(length + _SHY) for pull in pulls) + _SHY
    lengths: list[float] = []
    for left in range(len(least), 0, -1):
        low = least[left - 1]
        most = min(pull.least_far((lengths[-1] if lengths else 2 * _SHY) - _SHY) for pull in pulls) - _SHY
        high = max(low, most)
        length = low + (high - low) * left / (left + 1)
        wholes = (round_down(length, step), round_up(length, step))
        lengths.append(next((whole for whole in wholes if low <= whole <= high), length))
    return lengths[::-1]


def _with_stretches(pulls: list[Pull], lengths: list[float]) -> list[Straightedge]:
    left = [(pull, [part]) for pull in pulls if (part := pull.off_strip())]
    edges = []
    for length in reversed(lengths):
        served: list[Served] = []
        waiting = []
        for pull, parts in left:
            part = pull.served(length)
            if part is None:
                waiting.append((pull, parts))
                continue
            taken, rest = _split(parts, part)
            served += [_served(pull, *part) for part in taken]
            if rest:
                waiting.append((pull, rest))
        left = waiting
        edges.append(Straightedge(length, _told(served)))
    return edges[::-1]


def _served(pull: Pull, start: float, end: float) -> Served:
    return Served(pull.wall, pull.on_wall(start), pull.on_wall(end))


def _split(parts: list[Part], other: Part) -> tuple[list[Part], list[Part]]:
    inside, outside = [], []
    for start, end in parts:
        low, high = max(start, other[0]), min(end, other[1])
        if high <= low:
            outside.append((start, end))
            continue
        inside.append((low, high))
        outside += [part for part in ((start, low), (high, end)) if part[0] < part[1]]
    return inside, outside


def _told(served: list[Served]) -> tuple[Served, ...]:
    joined: list[Served] = []
    for part in sorted(served, key=lambda part: (len(part.wall), part.wall, part.start, part.end)):
        last = joined[-1] if joined else None
        if last and last.wall == part.wall and part.start <= last.end + _SHOWN:
            joined[-1] = Served(last.wall, last.start, max(last.end, part.end))
        else:
            joined.append(part)
    return tuple(part for part in joined if part.end - part.start > _SHOWN)


def _bend(bent: Bent, floor: FloorOutline) -> Bend:
    corners = (corner for border in floor.borders for corner in zip(border.names, border.corners.tolist(), strict=True))
    at = (bent.x, bent.y)
    return Bend(
        corner=next((name for name, place in corners if math.dist(place, at) < _AT_BEND), None),
        x=bent.x,
        y=bent.y,
        longest=max(max(pull.near) for pull in bent.pulls),
        shortest=max(0.0, min(min(pull.near) for pull in bent.pulls)),
        serves=_told([_served(pull, pull.start, pull.end) for pull in bent.pulls]),
    )
