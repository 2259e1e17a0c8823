"""Two or three changes together, where fewer bring a stop; and whom to turn to where none will do."""

from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import TypeAlias

from ..bed.surfaces import NoBed
from ..limits.findings import Finding, Level
from ..limits.words import length_over, length_under
from ..packed import wording
from ..phrases import phrase
from ..survey.spot import Needs
from .remedy import Idea, Remedy
from .set_drops import eased_with
from .trials import DEPTHS, NOISE, Trials

_Cures: TypeAlias = Callable[[Trials, Finding], Iterator[Remedy]]
_FIRST = 8  # changes a second one is sought for, the lightest first
_SECOND = 4  # changes tried as the next of one
_MOST = 3  # changes together
_LEAVE = ("bed.most_depth", "floor.dead_load_allowance")


def together(trials: Trials, finding: Finding, firsts: Iterable[Remedy | Idea], cures: _Cures) -> Remedy | None:
    """Two changes that clear a finding with no stop, or three where no two do: the lightest planned.

    firsts: what clears it alone and brings a stop, or goes part of the way; cures: what clears a finding of another
    plan, first what brings no stop.
    """
    for _ in range(_MOST - 1):
        short: list[Remedy | Idea] = []
        for first, second in _with_another(trials, finding, islice(firsts, _FIRST), cures):
            idea = _both(first, second)
            remedy = trials.tried(finding, idea)
            if remedy is not None and not remedy.brings:
                less = (
                    _both(each, second)
                    for each in eased_with(trials, finding, Idea(first.says, first.change), second.change)
                )
                return next(filter(None, (trials.tried(finding, each) for each in less)), remedy)
            short.append(remedy or idea)
        firsts = short
    return None


def _with_another(
    trials: Trials, finding: Finding, firsts: Iterable[Remedy | Idea], cures: _Cures
) -> Iterator[tuple[Remedy | Idea, Remedy]]:
    """Each change with one more, which clears a stop that it leaves."""
    for first in firsts:
        after = trials.after(first.change)
        left = first.brings if isinstance(first, Remedy) else (finding.rule,)
        stops = after.plan.findings if after is not None else ()
        stop = next((stop for stop in stops if stop.level is Level.STOP and stop.rule in left), None)
        for second in islice(cures(after, stop), _SECOND) if after and stop else ():
            yield first, second


def _both(first: Remedy | Idea, second: Remedy) -> Idea:
    says = phrase("{first}; and with it {second}", first=first.says, second=second.says)
    return Idea(says, (*first.change, *second.change))


def none_alone(trials: Trials, finding: Finding, pair: Remedy | None) -> Iterator[str]:
    """Why no single change clears a stop, and whom to turn to where more do not."""
    if says := _no_height(trials, finding):
        yield says
    if pair is not None:
        yield phrase("one change alone: each that was planned and clears this brings a stop of its own")
    elif isinstance(bed := trials.plan.bed, NoBed) and finding.rule not in wording("whom"):
        yield wording("remedies")["no-bed-yet" if isinstance(bed, Needs) else "another-bed"]
    elif not trials.is_spent:  # else not each was tried, which is told
        whom = wording("whom").get(finding.rule) or phrase("a plumber, for another drain or another place of it")
        yield phrase(
            "one change of what is entered, or two or three together, without a stop that comes with them: none was "
            "found. Turn to {whom}",
            whom=whom,
        )


def _no_height(trials: Trials, finding: Finding) -> str:
    depth, limits = trials.plan.depth, trials.case.depth_limits
    if finding.rule not in DEPTHS or not depth or not limits.most or len(trials.job.drains) > 1:
        return ""
    least = max(0.0, limits.least.value if limits.least else 0.0)
    spread, room = depth.most.value - depth.least.value, max(limits.most.value - least, 0.0)
    if spread <= room + NOISE:
        return ""
    return phrase(
        "any height of the drain alone: the depth differs by {spread} over the floor, and the limits leave {room} "
        "between least and most",
        spread=length_over(spread, trials.units),
        room=length_under(room, trials.units),
    )


def is_leave(remedy: Remedy) -> bool:
    """Whether a change only puts one's own figure in a limit's place, for who has leave to."""
    return any(key in _LEAVE for key, _ in remedy.change)
