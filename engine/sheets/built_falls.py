"""The fall built from each mark to the drain."""

from collections.abc import Iterator

import numpy as np

from ..bed.level_walls import LevelWalls
from ..bed.parted_walls import PartedWalls
from ..limits.rulebook import Measured
from ..limits.words import fall_under
from ..phrases import phrase
from ..plan import Mark, Plan
from ..why import mark_place

MOST_TOLD = 60  # further lines stand in the JSON
_NOISE = 1e-9


def built_falls(plan: Plan) -> Iterator[tuple[Mark, float]]:
    """Each mark with the fall [-] from there; without lines of hardly any run."""
    built = plan.as_built
    if not built or not plan.marks:
        return
    spots = built.falls_from(np.array([[mark.x, mark.y] for mark in plan.marks]))
    found = {(spot.x, spot.y): spot.value for spot in spots}
    for mark in plan.marks:
        if (mark.x, mark.y) in found:
            yield mark, found[mark.x, mark.y]


def fall_words(plan: Plan, mark: Mark, fall: float) -> str:
    """A line's fall and start, and if it is too low; slanting lines are not judged of level walls measured square."""
    parts = {"fall": fall_under(fall, plan.units), "place": mark_place(mark, plan.units)}
    is_square = plan.rulebook.measured is Measured.SQUARE and isinstance(plan.bed, LevelWalls | PartedWalls)
    is_low = not is_square and fall < plan.rulebook.least_fall.value * (1 - _NOISE)
    return phrase("{fall} from {place}, too low" if is_low else "{fall} from {place}", **parts)
