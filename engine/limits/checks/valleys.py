"""Level walls with floor hidden: the valleys that lead its water, or why none do."""

from ...bed.effort import MOST_ISLANDS
from ...bed.hidden import Hidden
from ...bed.surfaces import Bed, ValleyPart
from ...bed.valley.bed import Line, ValleyWalls, Verdict
from ...job.defaults import mark_step
from ...job.model import BedShape
from ...phrases import counted_phrase, joined, phrase
from ...quantities import round_up
from ..words import drain_words, fall_over, fall_under
from .case import Case, Finding, Level, Limit, is_above, planned_fall

_TOLD = 3  # valleys; the bed lists more


def check_valleys(case: Case, part: ValleyPart) -> Finding:
    """Finding hidden-floor: what a drain does not see, and the valleys that drain it."""
    bed, lines = part.bed, [_line(case, line, part) for line in part.valleys]
    told = lines[:_TOLD]
    if len(lines) > _TOLD:
        told.append(phrase("{number} more, listed with the bed", number=len(lines) - _TOLD))
    ridges = (
        phrase("; and a level ridge at the walls' height {ridges}", ridges=_ridge(case, part)) if bed.ridges else ""
    )
    return _finding(
        Level.CAUTION,
        counted_phrase(
            "{unseen}, so the bed does not fall straight to the drain everywhere: {number} valley leads the water "
            "there at {fall}: {valleys}{ridges}",
            "{unseen}, so the bed does not fall straight to the drain everywhere: {number} valleys lead the water "
            "there at {fall}: {valleys}{ridges}",
            len(lines),
            unseen=_unseen(bed.hidden),
            fall=fall_under(bed.valley_fall, case.units),
            valleys=joined("; ", told),
            ridges=ridges,
        ),
        phrase(
            "set the valleys out before any mud is laid, and pull each facet straight from its wall to its "
            "valley; or {even_fall}",
            even_fall=_even_fall(case),
        ),
        bed.hidden,
    )


def check_hidden(case: Case, hidden: Hidden) -> Finding:
    """Finding hidden-floor, where no bed has level walls: proved, or only not found."""
    says = joined("", (_unseen(hidden), _none_found(case, hidden)))
    return _finding(Level.STOP, says, _even_fall(case), hidden)


def _finding(level: Level, says: str, remedy: str, hidden: Hidden) -> Finding:
    change = (("bed.shape", BedShape.EVEN_FALL.value),)
    return Finding("hidden-floor", level, says, remedy, phrase("geometry"), hidden.x, hidden.y, "bed.shape", change)


def _none_found(case: Case, hidden: Hidden) -> str:
    if hidden.drains > 1:
        return phrase(
            ", no straight ridges were found that part the floor so that each of the {number} drains sees its own "
            "part whole, and no valleys that keep the fall in the parts, though such may exist",
            number=hidden.drains,
        )
    most = case.book.most_fall
    if most is not None and is_above(hidden.bound, most.value):
        return phrase(
            ", and no bed with level walls can keep its fall there within {limit}: with this drain every one "
            "reaches {reached} somewhere",
            limit=case.limit_fall(most),
            reached=fall_under(hidden.bound, case.units),
        )
    floor = case.stages.outline
    if floor and len(floor.islands) > MOST_ISLANDS:
        return phrase(
            ", and round more than {number} islands no valleys are looked for that would lead the water",
            number=MOST_ISLANDS,
        )
    return phrase(
        ", and no bed with level walls was found that keeps its fall there, by valleys either, though one may exist"
    )


def too_steep(case: Case, bed: ValleyWalls, most: Limit) -> str:
    """Whether a gentler bed with level walls can exist, in words."""
    limit = case.limit_fall(most)
    if bed.verdict is Verdict.IMPOSSIBLE:
        return phrase(
            "; it cannot be done within {limit}: {given} every bed with level walls that keeps {kept} reaches "
            "{reached} somewhere",
            limit=limit,
            given=phrase("with this drain" if bed.hidden.drains == 1 else "with the ridges where they are"),
            kept=case.fall(planned_fall(case)),
            reached=fall_under(bed.bound, case.units),
        )
    if natural := without_own_height(case, bed, most):
        return phrase("; with the wall height left out it is {fall}", fall=fall_over(natural, case.units))
    return phrase("; none within {limit} was found, though one may exist", limit=limit)


def without_own_height(case: Case, bed: Bed, most: Limit) -> float | None:
    """The most fall [-] with walls as high as the fall asks, within the limit; else None.

    Only for valleys to one drain with the user's own wall height.
    """
    if case.job.bed.wall_height is None or not isinstance(bed, ValleyWalls) or bed.hidden.drains > 1:
        return None
    asked = round_up(bed.wall_height * planned_fall(case) / bed.valley_fall, mark_step(case.job))
    found = bed.most_fall * asked / bed.wall_height
    return None if is_above(found, most.value) else found


def _unseen(hidden: Hidden) -> str:
    return phrase(
        "part of the floor along {wall} is hidden from {drain} by corner {corner}"
        if hidden.corner
        else "{wall} is hidden from {drain}",
        wall=hidden.wall,
        drain=drain_words(hidden.drain, hidden.drains),
        corner=hidden.corner,
    )


def _line(case: Case, line: Line, part: ValleyPart) -> str:
    return phrase(
        "one end {start}, the other {end}, {high} above {drain}",
        start=case.at(line.low) if line.drain is None else phrase("at the flange's edge"),
        end=case.at(line.high),
        high=case.length(line.high.value),
        drain=drain_words(0, part.bed.hidden.drains),
    )


def _ridge(case: Case, part: ValleyPart) -> str:
    return joined(
        phrase(" and "),
        (
            phrase("one end {start}, the other {end}", start=case.at(ridge.low), end=case.at(ridge.high))
            for ridge in part.ridges
        ),
    )


def _even_fall(case: Case) -> str:
    fall = case.fall(planned_fall(case))
    return phrase("take an even fall: it runs round the corner at {fall}, with the walls no longer level", fall=fall)
