"""The change that a check itself names: taken as it is, with figures to build by."""

from ..job.model import BedShape
from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import Dimension, parse, round_down, round_up
from .remedy import Idea, Ideas
from .shapes import even_fall
from .trials import Trials


def offered(trials: Trials, finding: Finding) -> Ideas:
    """The finding's own change, in its own words; another shape as that is told."""
    if dict(finding.change).get("bed.shape") == BedShape.EVEN_FALL:
        yield from even_fall(trials, finding)
    elif finding.change:
        yield Idea(finding.remedy, finding.change)


def curb_moved(trials: Trials, finding: Finding) -> Ideas:
    """The curb built higher or lower, its drop on a step to build by."""
    now = trials.job.curb.drop
    if not finding.change or now is None:
        return
    asked = parse(finding.change[0][1], Dimension.LENGTH, trials.units)
    is_up = asked < now.value
    drop = (round_down if is_up else round_up)(asked, trials.step)
    if drop > 0:
        text = trials.text(drop)
        by = abs(drop - now.value)
        shown = trials.text(round_up(by, trials.step / 2))
        says = phrase(
            "build the curb {by} higher: line reading {reading}"
            if is_up
            else "build the curb {by} lower: line reading {reading}",
            by=shown,
            reading=text,
        )
        yield Idea(says, (("curb.drop", text),), by)
