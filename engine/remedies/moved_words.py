"""A drain's move in words and as an entry, in the form of its place."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import NamedTuple

import numpy as np
import shapely

from ..bed.depth import Depth
from ..bed.flange import Flange
from ..bed.parts import CLEAR
from ..boxes import box_round
from ..job.model import AtOffsets, AtWall, Place
from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import Dimension, parse, round_down, round_up
from ..records import result
from ..survey.outline import FloorOutline
from ..types import Array, Shape
from .nearest import BESIDE, Judge, Lattice, Look, Nearest, nearest
from .regions import clear_places
from .remedy import Change, Idea, Ideas
from .trials import NOISE, Trials

TRIES = 3  # places planned, nearest first
_BLOCKS = 4_000  # judged where some are not known for sure; of many drains, each takes longer
_SIDES = 12
_PARALLEL = 1e-3
_MUD = 0.95  # of a step: nearly one of mud is one


@result
class Standing:
    """A drain: its number, floor, flange, and place as given; None of a channel, which has ends."""

    number: int
    floor: FloorOutline
    flange: Flange
    place: Place | None


def mud_between(trials: Trials) -> float:
    """How much mud stays between two flanges at least [mm]: nearly a step, and room for a ridge."""
    return max(_MUD * trials.step, 2 * CLEAR * trials.has_level_walls)


def kept_clear(trials: Trials, finding: Finding, number: int) -> list[Flange]:
    """The flanges a drain stays clear of: those a finding is about, and those it is clear of."""
    flanges = trials.flanges or ()
    return [
        other
        for i, other in enumerate(flanges)
        if i != number
        and (i in finding.drains or not shapely.intersection(flanges[number].polygon, other.polygon).area > NOISE)
    ]


def standing(trials: Trials, number: int) -> Standing | None:
    """A drain as it stands; None while its flange or the floor is unknown."""
    floor, flanges = trials.plan.outline, trials.flanges
    if not floor or not flanges or number >= len(flanges):
        return None
    return Standing(number, floor, flanges[number], trials.job.drains[number].at)


def drain_name(trials: Trials, number: int) -> str:
    """A drain's name."""
    if len(trials.job.drains) > 1:
        return phrase("drain {number}", number=number + 1)
    return phrase("the drain" if trials.job.drains[number].at else "the channel")


def as_ends(trials: Trials, number: int, places: "Iterable[Array | None]") -> Change:
    """A channel's ends [mm] that move, as entries."""
    ends = zip(("from", "to"), places, strict=True)
    return tuple(
        (f"drains[{number}].{end}", "x {}, y {}".format(*(_told(trials, value) for value in place.tolist())))
        for end, place in ends
        if place is not None
    )


def _told(trials: Trials, value: float) -> str:
    text = trials.text(value)
    is_told = abs(parse(text, Dimension.LENGTH, trials.units) - value) < NOISE
    return text if is_told else trials.nearest(value)


@result
class _Form:
    lattice: Lattice
    typed: str
    says: Callable[[str, str], str]


@result
class Moves:
    """A drain's nearest places on the step that will do, in its form.

    region, judge: where places may lie, what limit they keep; learn: takes in the bed at a place (2,).
    """

    standing: Standing
    form: _Form
    region: Shape
    judge: Judge
    found: Nearest
    learn: Callable[[Array, Depth], None] = lambda *_: None

    def ideas(self, trials: Trials, why: str) -> Ideas:
        """The moves in words, shortest first, and why they serve."""
        return (self.idea(trials, pair, why) for pair in self.found.pairs)

    def idea(self, trials: Trials, pair: Array, why: str) -> Idea:
        """The move to a place in words; figure: its length [mm]."""
        number, far = self.standing.number, float(self.far(pair[None])[0])
        by, name = trials.text(round_up(far, trials.step)), drain_name(trials, number)
        if self.standing.place is None:
            change = as_ends(trials, number, self.standing.flange.ends + pair * trials.step)
            (_, start), (_, end) = change
            place: str = phrase("lie from {start} to {end}", start=start, end=end)
        else:
            lengths = [trials.text(length) for length in (pair * trials.step).tolist()]
            change, place = ((f"drains[{number}].at", self.form.typed.format(*lengths)),), self.form.says(*lengths)
        says = phrase("move {drain} by {by}, to {place}: {why}", drain=name, by=by, place=place, why=why)
        return Idea(says, change, far)

    def far(self, pairs: Array) -> Array:
        """How far places are from the drain (k,) [mm]."""
        return self.form.lattice.far(pairs, self.standing.flange.centre)

    def that_may_do(self, pairs: Array) -> Array:
        """Those that lie in the region and may keep the limit."""
        pairs = pairs[self.form.lattice.is_in(pairs, self.region)]
        over = np.minimum(*self.judge(self.form.lattice.spots(pairs), np.zeros(len(pairs))))
        return pairs[over <= BESIDE]


def clear_on_floor(trials: Trials, stands: Standing, others: tuple[Shape, ...] = ()) -> Shape:
    """Where a drain's flange is clear of walls and other drains'; a channel may touch walls."""
    if stands.place is not None or trials.has_level_walls:
        return clear_places(stands.floor, stands.flange, others)
    taken = tuple(shapely.buffer(other, mud_between(trials)) for other in others)
    return clear_places(stands.floor, stands.flange, taken, margin=-BESIDE)


def many_sides(floor: FloorOutline) -> float:
    """How many times longer than in a plain room bounds take to judge a place: curved walls have many sides."""
    return max(1.0, len(floor.ring) / _SIDES)


class Share(NamedTuple):
    """How far a move may be [mm], the least share of the blocks to judge [-]; before: by a milder limit."""

    within: float = np.inf
    blocks: float = 0.0
    before: Nearest | None = None


_ALL = Share()


def moves(trials: Trials, stands: Standing, region: Shape, judge: Judge, share: Share = _ALL) -> Moves:
    """A drain's shortest moves on the step in a region that break no limit: see `nearest`."""

    def judged(spots: Array, slack: Array) -> tuple[Array, Array]:
        trials.go_on()
        return judge(spots, slack)

    form = _form(stands, region, trials.step)
    few = max(share.blocks, len(trials.job.drains) ** -1.5) / many_sides(stands.floor)
    look = Look(stands.flange.centre, share.within, TRIES, int(_BLOCKS * few), share.before)
    return Moves(stands, form, region, judged, nearest(form.lattice, region, judged, look))


def shown(trials: Trials, why: str, clear: float, apart: float) -> str:
    """Why a move serves, and of places how far apart [mm] none nearer will do; if 0, how near none will."""
    if apart > trials.step:
        return phrase("{why}; of places {apart} apart none nearer will do", why=why, apart=trials.text(apart))
    if apart:
        return why
    by = round_down(clear, trials.step)
    if by <= 0:
        return phrase("{why}; a shorter move may do", why=why)
    return phrase("{why}; a shorter move may do, but none shorter than {by}", why=why, by=trials.text(by))


def _off_both(wall: str, other: str, off: str, off_other: str) -> str:
    return phrase("{off} from {wall} and {off_2} from {wall_2}", off=off, wall=wall, off_2=off_other, wall_2=other)


def _along(wall: str, along: str, off: str) -> str:
    return phrase("{along} along {wall} and {off} off it", along=along, wall=wall, off=off)


def _form(stands: Standing, region: Shape, step: float) -> _Form:
    """The drain's own form of a place if all places of a region can be told so; else coordinates."""
    floor, most = stands.floor, np.inf
    form = point = _Form(Lattice(np.zeros(2), np.eye(2), step), "x {}, y {}", "x {}, y {}".format)
    match stands.place:
        case None:
            return replace(form, lattice=Lattice(stands.flange.centre, np.eye(2), step))
        case AtOffsets(first_wall=one, second_wall=other):
            walls = [floor.walls.index(one), floor.walls.index(other)]
            normals = floor.inward[walls]
            if abs(float(np.linalg.det(normals))) > _PARALLEL:
                offsets = (normals * floor.corners[walls]).sum(axis=1)
                axes = np.asarray(np.linalg.inv(normals))
                lattice, says = Lattice(np.asarray(axes @ offsets), axes, step), partial(_off_both, one, other)
                form = _Form(lattice, f"{one} {{}}, {other} {{}}", says)
        case AtWall(wall=wall):
            i = floor.walls.index(wall)
            if not floor.arcs[i]:
                axes, most = np.column_stack([floor.directions[i], floor.inward[i]]), floor.length(i)
                lattice, says = Lattice(np.asarray(floor.corners[i]), axes, step), partial(_along, wall)
                form = _Form(lattice, f"{wall} {{}} off {{}}", says)
        case _:
            pass
    low, high = form.lattice.box(*box_round(region))
    return form if (low >= 0).all() and high[0] * step <= most else point
