"""A drain's move in words and as an entry, in the form in which its place is given."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

import numpy as np

from engine.bed.flange import Flange
from engine.job.model import AtOffsets, AtWall, Place
from engine.phrases import phrase
from engine.quantities import round_down, round_up
from engine.records import result
from engine.remedies.nearest import Judge, Lattice, Nearest, nearest
from engine.remedies.remedy import Idea
from engine.remedies.trials import NOISE, Trials
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs
from engine.types import Array, Shape

TRIES = 3  # places on the step that are planned, nearest first
_PARALLEL = 1e-3


@result
class Standing:
    """A drain that is given by its place: its number, the floor, its flange, and the place as given."""

    number: int
    floor: FloorOutline
    flange: Flange
    place: Place


def standing(trials: Trials, number: int) -> Standing | None:
    """A drain as it stands; None where its flange or the floor is not known, or a channel's ends are given."""
    floor, flanges = trials.plan.outline, trials.flanges
    if isinstance(floor, Needs) or isinstance(flanges, Needs) or number >= len(flanges):
        return None
    place = trials.job.drains[number].at
    return None if place is None else Standing(number, floor, flanges[number], place)


@result
class Moves:
    """A drain's nearest places that will do, on the step, in a form in which they can be given."""

    standing: Standing
    form: _Form
    step: float
    found: Nearest

    @property
    def clear(self) -> float:
        """Nearer than this none will do [mm]."""
        return min(self.found.clear, float(self.found.far[0])) if len(self.found.far) else self.found.clear

    def ideas(self, trials: Trials, why: str) -> Iterator[Idea]:
        """The moves in words, the shortest first; and why they serve."""
        return (self.idea(trials, *each, why) for each in zip(self.found.pairs, self.found.far.tolist(), strict=True))

    def idea(self, trials: Trials, pair: Array, far: float, why: str) -> Idea:
        """The move to a place so far [mm] in words."""
        number = self.standing.number + 1
        name = phrase("the drain") if len(trials.job.drains) == 1 else phrase("drain {number}", number=number)
        lengths = [trials.text(length) for length in (pair * self.step).tolist()]
        by, place = trials.text(round_up(far, self.step)), self.form.says(*lengths)
        return Idea(
            phrase("move {drain} by {by}, to {place}: {why}", drain=name, by=by, place=place, why=why),
            ((f"drains[{number - 1}].at", self.form.typed.format(*lengths)),),
            far,
        )


def moves(trials: Trials, stands: Standing, region: Shape, judge: Judge, within: float = np.inf) -> Moves:
    """A drain's shortest moves [mm] to places on the step in a region that break no limit: see `nearest`."""

    def judged(spots: Array, slack: Array) -> tuple[Array, Array]:
        trials.go_on()
        return judge(spots, slack)

    for form in (_own_form(stands), _POINT):
        lattice = Lattice(form.origin, form.axes, trials.step)
        found = nearest(lattice, region, judged, (stands.flange.centre, within), TRIES)
        if form.takes(found.pairs * trials.step):
            break
    return Moves(stands, form, trials.step, found)


def shown_clear(trials: Trials, moved: float, clear: float, why: str) -> str:
    """Why a move serves, and from where on none shorter is ruled out, where that is not the move itself [mm]."""
    if clear >= moved - NOISE:
        return why
    by = round_down(clear, trials.step)
    if by <= 0:
        return phrase("{why}; a shorter move may do", why=why)
    return phrase("{why}; no move shorter than {by} will do", why=why, by=trials.text(by))


@result
class _Form:
    """A place as origin + axes @ (first, second), with its words as typed and as said; most: the first's limit [mm]."""

    origin: Array
    axes: Array
    typed: str
    says: Callable[[str, str], str]
    least: float = 0.0
    most: float = np.inf

    def takes(self, lengths: Array) -> bool:
        """Whether places of such lengths (k, 2) [mm] can be typed so."""
        return bool((lengths >= self.least).all() and (lengths[:, 0] <= self.most).all())


_POINT = _Form(np.zeros(2), np.eye(2), "x {}, y {}", "x {}, y {}".format, -np.inf)


def _off_both(wall: str, other: str, off: str, off_other: str) -> str:
    return phrase("{off} from {wall} and {off_2} from {wall_2}", off=off, wall=wall, off_2=off_other, wall_2=other)


def _along(wall: str, along: str, off: str) -> str:
    return phrase("{along} along {wall} and {off} off it", along=along, wall=wall, off=off)


def _own_form(stands: Standing) -> _Form:
    """The drain's own form of a place, where that is one of straight walls; else by coordinates."""
    floor = stands.floor
    match stands.place:
        case AtOffsets(first_wall=one, second_wall=other):
            walls = [floor.walls.index(one), floor.walls.index(other)]
            normals = floor.inward[walls]
            if abs(float(np.linalg.det(normals))) > _PARALLEL:
                offsets = (normals * floor.corners[walls]).sum(axis=1)
                axes = np.asarray(np.linalg.inv(normals))
                says = partial(_off_both, one, other)
                return _Form(np.asarray(axes @ offsets), axes, f"{one} {{}}, {other} {{}}", says)
        case AtWall(wall=wall):
            i = floor.walls.index(wall)
            if not floor.arcs[i]:
                axes = np.column_stack([floor.directions[i], floor.inward[i]])
                says, length = partial(_along, wall), floor.length(i)
                return _Form(np.asarray(floor.corners[i]), axes, f"{wall} {{}} off {{}}", says, 0.0, length)
        case _:
            pass
    return _POINT
