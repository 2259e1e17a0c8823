"""From a floor with several drains to its bed with level walls, or to why there is none."""

from collections.abc import Callable
from dataclasses import replace
from typing import NamedTuple

from ..phrases import phrase
from ..quantities import round_up
from ..survey.spot import Needs
from .falls import Terms
from .hidden import Hidden, hidden_part
from .level_walls import LevelWalls, runs
from .parted_walls import PartedWalls
from .parts import Part, divided, hiding_parts
from .reach import SharedReach
from .valley.bed import ValleyWalls

_TOO_NEAR = Needs(
    "drains[1].at",
    phrase("the drains stand too near each other for a ridge between them: move them apart, or leave one out"),
)


def parted_walls(own: float | None, reach: SharedReach, terms: Terms) -> PartedWalls | Hidden | Needs:
    """Level walls round several drains: one height at every wall and ridge, the least that no part falls too little.

    own: the wall height that the user sets [mm], if any. A part that its drain does not see whole gets valleys.
    """
    parts = _parts(reach)
    if parts is None:
        return _TOO_NEAR
    found = []
    for number, part in enumerate(parts):
        sketch = _sketch(reach, number, part, terms)
        if isinstance(sketch, Hidden):
            return sketch
        found.append(sketch)
    least = max(head + sketch.least for head, sketch in zip(terms.heads, found, strict=True))
    height = round_up(least, terms.mark_step) if own is None else own
    if height <= max(terms.heads):
        return Needs("bed.wall_height", phrase("a drain stands as high as these walls: give more, or leave it out"))
    beds = tuple(sketch.raised(height - head) for head, sketch in zip(terms.heads, found, strict=True))
    return PartedWalls(reach, parts, beds, terms.heads, height)


def _parts(reach: SharedReach) -> tuple[Part, ...] | None:
    """The floor's parts; by ridges midway where one would run through a flange, as between drains of unlike heights.

    With level walls a ridge stands over both its drains anywhere: its place only shares out falls.
    """
    floor, flanges, midway = reach.floor, reach.flanges, (0.0,) * len(reach.heads)
    tried = [(parted, extra) for extra in dict.fromkeys((reach.heads, midway)) for parted in (divided, hiding_parts)]
    found = (parted(floor, flanges, extra) for parted, extra in [*tried, (hiding_parts, ())])
    return next((parts for parts in found if parts), None)


class _Sketch(NamedTuple):
    """A part's bed: how high its walls stand over its drain at least [mm], and what it is with walls so high [mm]."""

    least: float
    raised: Callable[[float], LevelWalls | ValleyWalls]


def _sketch(reach: SharedReach, number: int, part: Part, terms: Terms) -> _Sketch | Hidden:
    """A drain's part of the bed before its walls' height is known; what is hidden where none was found."""
    hidden = hidden_part(part.reach, reach.floor)
    if hidden is None:
        found = runs(part.reach, square=terms.square)
        return _Sketch(terms.fall * found.longest.value, lambda height: LevelWalls(part.reach, height, found))
    from .valley.plan import Wanted, least_height, lowest, raised  # noqa: PLC0415  few floors need valleys

    hidden = replace(hidden, drains=len(reach.flanges), drain=number)
    wanted = Wanted(terms.fall, terms.most_fall, terms.mark_step, None, terms.square)
    bed = lowest(part.reach, hidden, wanted)
    if isinstance(bed, Hidden):
        return bed
    return _Sketch(least_height(bed, terms.fall), lambda height: raised(bed, height, terms.most_fall))
