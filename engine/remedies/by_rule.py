"""Which changes are sought at which finding, and the answers of a whole plan."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import islice, product
from typing import TypeAlias

from ..limits.findings import Finding, Level
from ..packed import wording
from ..plan import Plan
from .builds import allow_load, allow_thicker, bond, curb_moved, enlarge, lighten, split
from .built import mend, mend_least, never_within, once_set
from .channels import cut_apart, cut_channel, move_channel
from .drain_height import just_out, set_as_far, set_for_curb, set_for_depth
from .drain_moves import move_clear, move_for_depth, move_for_fall, move_for_falls, move_into_sight, move_to_a_bed
from .drawn_channels import cut_for_falls, draw_ends
from .falls import gentler, just_enough, lower_walls, set_fall, steeper, steeper_to_curb, with_finer_marks
from .ground import fill, grind
from .outlines import close_walk, correct_length
from .places import no_place_for_falls, no_place_in_sight
from .pushed_walls import push_part_way, push_wall
from .remedy import Answer, Change, Idea, Ideas, Remedy, is_floor_work
from .second_drain import add_drain
from .several import leave_out, level_out, level_with_others, move_apart, move_one, set_one, set_one_for_curb
from .shapes import (
    channel_along_wall,
    even_at_another_fall,
    even_fall,
    lengthen_channel,
    level_walls,
    offered,
    one_plane,
)
from .small_steps import without_steps
from .stations import as_meant, left_out, readings_missing
from .together import is_leave, none_alone, together
from .trials import DEPTHS, FALLS, TOO_LONG, Trials

Maker: TypeAlias = Callable[[Trials, Finding], Ideas]
_Told: TypeAlias = tuple[Change, ...]  # by a shorter look
_Alone: TypeAlias = tuple[list[Remedy], tuple[dict[str, str], bool, bool, _Told]]  # and what was left untried

_MOST = 4  # remedies told of one finding
_BUILT_FALLS = ("built-fall-low", "built-fall-steep")
_LIGHTEST_FIRST: dict[str, tuple[Maker, ...]] = {
    "bed-thin": (set_for_depth, set_one, grind, set_fall, level_walls),
    "bed-below-floor": (
        set_for_depth,
        *map(just_out, (set_for_depth, set_one, grind, set_fall)),
        set_one,
        grind,
        set_fall,
        level_walls,
    ),
    "bed-thick": (set_for_depth, set_one, fill, set_fall, even_fall, split, grind, allow_thicker),
    "fall-low": (offered, just_enough, even_fall),
    "drain-proud": (level_out, steeper),
    "fall-steep": (
        offered,
        gentler,
        with_finer_marks,
        lower_walls,
        without_steps,
        move_for_falls,
        cut_for_falls,
        level_with_others,
        move_one,
        even_fall,
        channel_along_wall,
    ),
    "runs-unequal": (move_for_falls, cut_for_falls),
    "hidden-floor": (without_steps, move_to_a_bed, move_into_sight, even_fall, channel_along_wall, add_drain),
    "drain-outside": (move_clear, move_channel, cut_channel),
    "flange-over-wall": (one_plane, even_fall, move_clear, move_channel, cut_channel),
    "flanges-overlap": (move_apart, cut_apart, leave_out),
    "plane-blocked": (offered, even_fall),
    "channel-short": (lengthen_channel, offered),
    "curb-low": (curb_moved, set_for_curb, set_one_for_curb),
    "curb-high": (curb_moved, set_for_curb, set_one_for_curb, steeper_to_curb),
    "floor-small": (enlarge, push_wall),
    "floor-load": (lighten, even_fall, level_walls, allow_load),
    "outline-misclosed": (correct_length, close_walk, *(partial(close_walk, as_well=count) for count in (1, 2))),
    "reading-odd": (as_meant, left_out),
    "large-tile-cone": (channel_along_wall,),
    "floor-sunk": (set_fall, even_fall),
    **dict.fromkeys(
        ("own-figure", "bond-unsure", "upper-bed-thin", "wood-no-barrier", "wood-no-lath", "mix-rich", "mix-lean"),
        (offered,),
    ),
    **dict.fromkeys(("ponding", *_BUILT_FALLS), (mend_least, mend)),
}

_LAST: dict[str, tuple[Maker, ...]] = {  # sought where no other change alone will do
    **dict.fromkeys(DEPTHS, (bond, even_at_another_fall, draw_ends, move_for_depth)),
    "fall-low": (level_with_others, move_for_fall),
    "fall-steep": (even_at_another_fall, leave_out),
    **dict.fromkeys(("flange-over-wall", "drain-outside", "drain-proud"), (leave_out,)),
}
_KINDS = (*DEPTHS, "fall-low")  # of which each kind is sought where all others are hard
_LEAVE: tuple[Maker, ...] = (allow_thicker, allow_load)
_SOON: tuple[Maker, ...] = (offered, curb_moved, set_for_curb, set_for_depth, even_fall, level_walls)  # few plans each
_PLACED: tuple[Maker, ...] = (move_for_falls, cut_for_falls, level_with_others, move_one, channel_along_wall)


def remedies(
    plan: Plan, is_wanted: Callable[[], bool] | None = None, before: Sequence[Answer] = ()
) -> tuple[Answer, ...]:
    """What can be done about each finding of a plan, in order, each remedy planned.

    before: a shorter look's answers, which this one continues. Raises Superseded as soon as `is_wanted`, asked before
    each trial, says no.
    """
    trials = Trials(plan, is_wanted)
    graver = [finding for finding in plan.findings if finding.level is not Level.NOTE]
    for maker, finding in product(_SOON, graver):  # first, so that no search leaves nothing for them
        if maker in _LIGHTEST_FIRST.get(finding.rule, ()) and (finding.level is Level.STOP or maker is offered):
            _first_that_clears(trials, finding, maker(trials, finding))
    told = [tuple(remedy.change for remedy in answer.best) for answer in before] or [()] * len(plan.findings)
    alone = [*map(partial(_alone, trials), plan.findings, told)]  # together they take long
    return tuple(_answer(trials, *each) for each in zip(plan.findings, alone, strict=True))


def _alone(trials: Trials, finding: Finding, told: _Told) -> _Alone:
    trials.untried, trials.is_open, trials.is_spent, trials.before = {}, False, False, told
    found = list(_each(trials, finding))
    return found, (trials.untried, trials.is_open, trials.is_spent, told)


def _answer(trials: Trials, finding: Finding, alone: _Alone) -> Answer:
    found, (trials.untried, trials.is_open, trials.is_spent, trials.before) = alone
    none: list[str] = []
    clean = [remedy for remedy in found if not remedy.brings]
    if finding.level is Level.STOP and all(map(is_leave, clean)):
        part_way = set_as_far(trials, finding) if finding.rule in DEPTHS else ()
        firsts: list[Remedy | Idea] = [*part_way, *(remedy for remedy in found if remedy.brings)]
        if finding.rule in DEPTHS and trials.is_steep:
            firsts += even_fall(trials, finding)
        if finding.rule == "floor-small":
            firsts = [*push_part_way(trials, finding)]
        if finding.rule in _BUILT_FALLS:
            firsts = [*_planned_anew(trials), *firsts]
        last = _last(trials, finding)
        leaves = (_LEAVE,) if clean else (_LEAVE, ())
        pairs = (together(trials, finding, firsts, partial(_cures, without=leave)) for leave in leaves)
        pair = next(filter(None, pairs), None)
        found += filter(None, (*last, pair))
        none += () if last else none_alone(trials, finding, pair)
    elif finding.level is Level.STOP and finding.rule in _KINDS and all(map(_is_hard, clean)):
        found += _last(trials, finding)
    if finding.rule in _BUILT_FALLS and not any(not remedy.brings for remedy in found):
        none += never_within(trials)
    found.sort(key=lambda remedy: (bool(remedy.brings), is_leave(remedy)))
    ruled_out = (*_ruled_out(trials, finding), *none)
    return Answer(tuple(found[:_MOST]), ruled_out, trials.is_open or trials.is_spent)


def _is_hard(remedy: Remedy) -> bool:
    is_reshaped = remedy.clears[0] == "fall-low" and "bed.shape" in dict(remedy.change)
    return is_reshaped or is_leave(remedy) or is_floor_work(remedy.change)


def _last(trials: Trials, finding: Finding) -> list[Remedy]:
    """The first that does; for a bed too thin, thick or flat, of each kind."""
    lasts = (_first_that_clears(trials, finding, maker(trials, finding)) for maker in _LAST.get(finding.rule, ()))
    clean = (remedy for remedy in lasts if remedy and not remedy.brings)
    return [*clean] if finding.rule in _KINDS else [*islice(clean, 1)]


def _planned_anew(trials: Trials) -> Ideas:
    """What clears the plan's falls by the bed's figures alone: the finished bed is mended by that plan."""
    for own in trials.plan.findings:
        for remedy in _each(trials, own, _PLACED) if own.rule in FALLS else ():
            if all(key.startswith("bed.") for key, _ in remedy.change):
                yield Idea(remedy.says, remedy.change)


def _each(trials: Trials, finding: Finding, without: tuple[Maker, ...] = ()) -> Iterator[Remedy]:
    told: set[Change] = set()
    for maker in _LIGHTEST_FIRST.get(finding.rule, ()):
        if trials.is_over and maker not in _SOON:
            trials.is_spent = True
            continue
        if maker in without:
            continue
        remedy = _first_that_clears(trials, finding, maker(trials, finding))
        if remedy is not None and remedy.change not in told:
            told.add(remedy.change)
            yield remedy


def _cures(trials: Trials, finding: Finding, without: tuple[Maker, ...]) -> Iterator[Remedy]:
    return iter(sorted(_each(trials, finding, without), key=lambda remedy: bool(remedy.brings)))


def _first_that_clears(trials: Trials, finding: Finding, ideas: Ideas) -> Remedy | None:
    spoiled = None
    for idea in ideas:
        remedy = trials.tried(finding, idea)
        if remedy is not None and not remedy.brings:
            return remedy
        spoiled = spoiled or remedy
    return spoiled


def _ruled_out(trials: Trials, finding: Finding) -> Iterator[str]:
    by_falls = [*no_place_for_falls(trials)] if finding.rule in ("runs-unequal", "fall-steep") else []
    if finding.rule in _LIGHTEST_FIRST:
        is_told = by_falls and trials.plan.outline and trials.plan.outline.is_convex
        untried = [says for what, says in trials.untried.items() if not (is_told and what == "at")]
        yield from dict.fromkeys([*untried, *([TOO_LONG] if trials.is_spent else [])])
    if finding.rule == "hidden-floor" and (says := no_place_in_sight(trials)):
        yield says
    yield from by_falls
    if finding.rule == "readings-few" and (says := readings_missing(trials)):
        yield says
    if finding.rule in ("ponding", *_BUILT_FALLS) and (says := once_set(trials, finding)):
        yield says
    if finding.rule in wording("no-change"):
        yield wording("no-change")[finding.rule]
