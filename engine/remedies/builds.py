"""The bed split by a liner, bonded, thicker, lighter, its load allowed; a larger floor, another curb."""

from dataclasses import replace
from itertools import product

import numpy as np

from ..job.defaults import has_liner, upper_bed
from ..job.model import FloorKind, Waterproofing
from ..limits.checks.case import NOISE
from ..limits.checks.load import work_site
from ..limits.depth_limits import is_bonded
from ..limits.findings import Finding
from ..limits.rulebook import Figure
from ..phrases import joined, phrase
from ..quantities import INCH, Dimension, Units, format_load, parse, round_down, round_up
from ..survey.outline import FloorOutline
from ..work.flood import flood_test
from ..work.heights import heights
from ..work.load import Load, load
from ..work.site import Site
from .remedy import Idea, Ideas
from .retold import Kept
from .set_drops import eased
from .trials import Trials

_STEP = {Units.INCH: parse("1 psf", Dimension.LOAD, Units.INCH), Units.MM: 0.05}  # [kPa] steps that loads are named in
_SIDES = (("A-B", ("B-C", "D-A")), ("B-C", ("C-D", "A-B")))  # and the walls that move as they grow
_ENDS = tuple(product((0, 1), repeat=2))
_FAR = np.array([[0, 0], [1, 0], [1, 1], [0, 1]])  # the corners at the sides' other ends than A


def bond(trials: Trials, _: Finding) -> Ideas:
    """The bed laid right on a concrete floor, bonded to it."""
    floor = trials.job.floor
    if floor.kind is FloorKind.CONCRETE and not is_bonded(trials.job):
        gone = tuple((f"floor.{key}", "") for key in ("moisture_barrier", "lath") if getattr(floor, key) is not None)
        yield Idea(
            phrase(
                "bond the bed to the slab: no moisture barrier, and a bond coat; only on a sound, clean slab that no "
                "damp comes through"
            ),
            (*gone, ("floor.bond_coat", "true")),
        )


def split(trials: Trials, _: Finding) -> Ideas:
    """Two beds with a liner between: the flange, which carries it, lower by the upper bed."""
    if has_liner(trials.job):
        return
    drops = [drain.drop.value for drain in trials.job.drains if drain.drop is not None]
    if len(drops) < len(trials.job.drains) or not drops:
        return
    depth = trials.plan.depth
    upper = max(upper_bed(trials.job), getattr(trials.case.book.find(Figure.UPPER_BED_LEAST), "value", 0.0))
    thick = round_up(upper, trials.step)
    if depth and depth.least.value < thick:
        return  # no pre-slope is left under it
    texts = [trials.text(round_up(drop + thick, trials.step)) for drop in drops]
    shown = trials.text(thick)
    yield Idea(
        phrase(
            "split the bed: a pre-slope, a liner on it, and {thick} of mud over that; the flange that the liner is "
            "clamped to goes {thick} lower (line reading {readings}), the finished floor stays where it is",
            thick=shown,
            readings=", ".join(texts),
        ),
        (
            ("build.waterproofing", Waterproofing.BETWEEN_BEDS.value),
            ("build.upper_bed", shown),
            *((f"drains[{i}].drop", text) for i, text in enumerate(texts)),
        ),
        thick,
    )


def allow_thicker(trials: Trials, _: Finding) -> Ideas:
    """A most depth of one's own: only with the specifier's word."""
    depth, most = trials.plan.depth, trials.case.depth_limits.most
    if not depth or most is None:
        return
    allowed = round_up(depth.most.value, trials.step)
    shown = trials.text(allowed)
    yield Idea(
        phrase(
            "allow a bed of {depth}, as your own figure, only if whoever specifies the floor calls for it: the "
            "rulebook's limit stays broken",
            depth=shown,
        ),
        (("bed.most_depth", shown),),
        allowed - most.value,
    )


def enlarge(trials: Trials, finding: Finding) -> Ideas:
    """One side of a rectangle longer at either end, or both, until the area fits, or the circle."""
    sides, step, floor = trials.job.outline.rectangle, trials.step, trials.plan.outline
    limit = trials.case.book.find(Figure.AREA_LEAST if finding.x is None else Figure.CIRCLE_LEAST)
    if sides is None or limit is None or trials.job.outline.tape or not floor:
        return  # with diagonals taped it is no rectangle
    least, wide = (limit.value, 0.0) if finding.x is None else (0.0, limit.value)
    owns = [side.value for side in sides]
    across = [max(own, round_up(wide, step)) for own in owns]
    ways = [
        (round_up(max(least / owns[1], across[0]), step), owns[1]),
        (owns[0], round_up(max(least / owns[0], across[1]), step)),
        (round_up(max(least / across[1], across[0]), step), across[1]),
    ]
    longer = [way for way in ways if sum(way) > sum(owns) + NOISE]
    ideas = [_longer(trials, floor, way, ends) for way in longer for ends in _ENDS]
    yield from sorted(ideas, key=lambda idea: (idea.figure, len(idea.change)))


def _longer(trials: Trials, floor: FloorOutline, way: tuple[float, float], ends: tuple[int, ...]) -> Idea:
    """Sides made longer; ends: 1 for each to grow at its first corner, 0 at its other."""
    grown = way - floor.corners[2]
    told = [(i, _SIDES[i], float(by), trials.text(way[i])) for i, by in enumerate(grown) if by > NOISE]
    says = [
        phrase("make {side} {by} longer: {length}", side=name, by=trials.text(round_up(by, trials.step)), length=text)
        for _, (name, _), by, text in told
    ]
    kept = Kept(trials, floor, replace(floor, corners=floor.corners + grown * (_FAR - ends)))
    words: str = joined(phrase(" and "), says)
    for i, (_, walls), by, _ in told:
        words = kept.said(words, walls[ends[i]], by)
    change = tuple((f"outline.rectangle[{i}]", text) for i, _, _, text in told)
    return Idea(words, (*change, *kept.change), float(grown.sum()))


def lighten(trials: Trials, finding: Finding) -> Ideas:
    """All drains lower, and the bed thinner, until the floor bears it at its deepest."""
    found = _loaded(trials)
    if found is None or found[1].allowance is None:
        return
    site, loaded = found
    over = max(loaded.worst.value, loaded.test_worst) - found[1].allowance
    yield from eased(trials, finding, -over / site.rules.bed_load_an_inch.value * INCH)


def allow_load(trials: Trials, _: Finding) -> Ideas:
    """A load the floor was checked for, entered: only with an engineer's word."""
    found = _loaded(trials)
    if found is None:
        return
    needed = max(found[1].worst.value, found[1].test_worst)
    text = format_load(round_up(needed, _STEP[trials.units]), trials.units)
    yield Idea(
        phrase(
            "enter {load} as what the floor was checked for, only once a licensed engineer has checked it for that",
            load=text,
        ),
        (("floor.dead_load_allowance", text),),
    )


def _loaded(trials: Trials) -> tuple[Site, Load] | None:
    site = work_site(trials.case)
    return None if site is None else (site, load(site, flood_test(site, heights(site))))


def curb_moved(trials: Trials, finding: Finding) -> Ideas:
    """The curb built higher or lower, its drop on a step."""
    now = trials.job.curb.drop
    if not finding.change or now is None:
        return
    asked = parse(finding.change[0][1], Dimension.LENGTH, trials.units)
    is_up = asked < now.value
    drop = (round_down if is_up else round_up)(asked, trials.step)
    if drop > 0:
        text, by = trials.text(drop), abs(drop - now.value)
        says = phrase(
            "build the curb {by} higher: line reading {reading}"
            if is_up
            else "build the curb {by} lower: line reading {reading}",
            by=trials.text(round_up(by, trials.step / 2)),
            reading=text,
        )
        yield Idea(says, (("curb.drop", text),), by)
