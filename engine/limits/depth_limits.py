"""How thin and thick the bed may be, by what it lies on, bonded or not."""

from ..job.defaults import barrier
from ..job.model import Barrier, FloorKind, Job, Typed
from ..phrases import phrase
from ..records import record
from ..survey.spot import Needs
from .rulebook import Figure, Limit, Rulebook, own_limit

NO_LEAST_DEPTH = Needs("bed.least_depth", phrase("this rulebook has no least depth: how thin may the bed be?"))


@record
class DepthLimits:
    """The planned bed's least and most depth [mm], None for none; and why these."""

    least: Limit | None
    most: Limit | None
    because: str = ""


def depth_limits(job: Job, book: Rulebook) -> DepthLimits:
    """The planned bed's depth limits: the rulebook's by its build, or the user's own in their place.

    With a liner between two beds that is the pre-slope, held to the same.
    """
    bonded = is_bonded(job)
    least = book.find(Figure.BONDED_LEAST if bonded else Figure.UNBONDED_LEAST)
    most = None if bonded else book.find(Figure.UNBONDED_MOST)
    return DepthLimits(
        least=_overridden(job.bed.least_depth, least),
        most=_overridden(job.bed.most_depth, most),
        because="" if bonded else _why_unbonded(job),
    )


def is_bonded(job: Job) -> bool:
    """Whether the bed lies on concrete with neither a barrier nor a cleavage membrane between."""
    return job.floor.kind is FloorKind.CONCRETE and barrier(job) is Barrier.NONE


def _why_unbonded(job: Job) -> str:
    if barrier(job) is not Barrier.NONE:
        return phrase("a bed over a moisture barrier is not bonded")
    return phrase("a bed on wood is not bonded") if job.floor.kind is FloorKind.WOOD else ""


def _overridden(own: Typed | None, limit: Limit | None) -> Limit | None:
    return limit if own is None else own_limit(own.value, str(own.text), limit)
