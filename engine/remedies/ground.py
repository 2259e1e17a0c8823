"""The rough floor ground down, or filled, where the bed is too thin or thick: the readings after that."""

from dataclasses import dataclass, field
from itertools import chain

import numpy as np
import shapely

from ..bed.depth import Gap, extreme_depths
from ..bed.drains import datum_drop
from ..bed.effort import effort
from ..bed.surfaces import Bed
from ..job.edit import entry_text
from ..job.model import FloorKind
from ..limits.findings import Finding
from ..limits.words import fine, nearly
from ..phrases import joined, phrase
from ..quantities import INCH, Dimension, Units, format_length, parse, round_down, round_nearest, round_up
from ..survey.rough_floor import RoughFloor, rough_floor
from ..survey.spot import Spot
from ..types import Array, Index, Mask
from ..work.worked_floor import CUT
from .eased import Holds
from .remedy import Change, Idea, Ideas
from .sought import ROUND
from .trials import NOISE, Trials

_MOST_PLACES = 12  # new ones; with more needed it goes a few steps past the limit
_MOST_DEEPER = 6  # steps
_SPARE = 0.3  # of what the limits leave between them
_EASE = 400.0  # [-] of effort to do with less: enough for how a home floor is read
_TRY, _OF_PLAN = 4.0, 0.2  # that each try takes, and of a plan's own
_MOST_TOLD = 3  # places whose readings are told
_SAME_PLACE = 1.0  # [mm]
_KNOWN = 5.0  # [mm] off what was read
_PATCH_STEP = {Units.INCH: INCH, Units.MM: 10.0}  # [mm]
_HAIR, _KEPT = ({Units.INCH: by * INCH, Units.MM: by * 10.0} for by in (1e-4, 1e-3))  # [mm] finer than work; no work
_LIFT = 2 * INCH  # [mm] a thicker fill is laid in lifts (common practice, no source)
_MOST_CUT = 8_000  # triangles cut at once
_HALVED = np.array([[0, 3, 5], [3, 1, 4], [5, 4, 2], [3, 4, 5]])  # a triangle's corners and its sides' middles


def grind(trials: Trials, finding: Finding, *, is_just: bool = False) -> Ideas:
    """High spots of concrete ground down until the bed has its least depth over them; wood is built anew to come down.

    Where the bed is too thick at a planned drain's height, the drain goes down too.
    """
    depth, drains, limits = trials.plan.depth, trials.plan.drains, trials.case.depth_limits
    if not depth or not drains or trials.job.floor.kind is not FloorKind.CONCRETE:
        return
    over = max(0.0, depth.most.value - limits.most.value) if limits.most and finding.rule == "bed-thick" else 0.0
    if bool(over) is drains[0].planned:
        least = limits.least.value if limits.least and not is_just else 0.0
        yield from _worked(trials, max(0.0, least) + over, is_down=True)


def fill(trials: Trials, _: Finding) -> Ideas:
    """Low spots filled, and set, before the bed is laid, until it has its most depth over them."""
    most = trials.case.depth_limits.most
    if most is not None:
        yield from _worked(trials, most.value, is_down=False)


def _worked(trials: Trials, limit: float, *, is_down: bool) -> Ideas:
    bed, rough, depth = trials.plan.bed, trials.plan.rough, trials.plan.depth
    if not bed or not rough or not depth:
        return
    if not trials.job.readings:
        return
    least, most = trials.case.depth_limits.least, trials.case.depth_limits.most
    was, other = depth.most, max(depth.most.value, most.value if most else np.inf)
    if not is_down:
        was, other = depth.least, min(depth.least.value, least.value if least else -np.inf)
    key, places = f"ground {is_down} {limit}", np.array([[station.x, station.y] for station in trials.plan.readings])
    if key not in trials.looked_for:
        work = _Work(trials, bed, rough, limit, other, was, is_down, datum_drop(trials.job) is None, places)
        found = work.is_solved()
        trials.looked_for[key] = (work.idea(depth.least if is_down else depth.most),) if found else ()
    yield from trials.looked_for[key]


@dataclass
class _Work:
    """The floor as it is worked: what the line then reads [mm] at some of its places, readings first.

    The least work brings the floor, wherever it is out, to where the bed is at the limit [mm]: each reading that is out
    goes there, and places are added until the triangles between keep to it. other [mm]: the other limit, or what the
    bed has now beyond it; was: where it comes nearest to that, which no work betters; is_planned: the bed moves with
    the drain, whose height is planned; is_least: no place could be a step less.
    """

    trials: Trials
    bed: Bed
    rough: RoughFloor
    limit: float
    other: float
    was: Spot
    is_down: bool
    is_planned: bool
    places: Array
    spare: float = 0.0  # [mm] within the limit
    is_torn: bool = False  # whether the other limit was broken on the way
    is_least: bool = False
    drops: dict[int, float] = field(default_factory=dict)
    _tries: int = 0
    _within: float = 0.0  # [mm] that the bed can move to the limit

    def is_solved(self) -> bool:
        """Whether the least work that does is found: at a few places more, else a few steps past the limit.

        Where a steep bed breaks either limit between them, all come part of the way to the other.
        """
        return self._does_with(0.0) or (self.is_torn and self._does_with(abs(self.limit - self.other) * _SPARE))

    def _does_with(self, spare: float) -> bool:
        self.spare, self.places = spare, self.places[: len(self.trials.plan.readings)]
        on_floor = shapely.intersects_xy(self.rough.floor.polygon, *self.places.T)
        out = np.flatnonzero(self._is_out(Gap(self.bed, self.rough)(self.places)) & on_floor).tolist()
        self.drops = dict(zip(out, self._least(self.places[out]), strict=True))
        for _ in range(_MOST_PLACES * (1 + (spare > 0))):
            spot = self._wrong()
            if spot is None:
                break
            self._bring(spot)
        deeper = 0
        while (spot := self._wrong()) is not None:
            deeper += 1
            short = (self.limit - spot.value) / self._on
            if not 0 < short <= _MOST_DEEPER - deeper + 1:
                return False
            further = sorted({*self._worked, *self._under(spot)})
            self.drops |= {i: self.drops.get(i, self._whole(i)) + self._on for i in further}
        if min(self.drops.values(), default=1.0) <= 0 or self._wrong() is not None:
            return False
        self._ease()
        return bool(self.drops and self._worked) and not (self.is_down and self._is_guessed)

    def _ease(self) -> None:
        """Leaves out places and takes back steps it does without, until none is left; else says so."""
        count = len(self.trials.plan.readings)
        most, takes = _EASE * self.trials.plan.patience, effort(self.trials.job, self.rough.floor)
        self._tries = int(most / (_TRY + _OF_PLAN * takes)) if takes <= most else 0
        is_less = True
        while is_less and self._tries > 0:
            new = [i for i in self.drops if i >= count]
            left_out = [i for i in new if self._does({j: drop for j, drop in self.drops.items() if j != i})]
            is_less = self._take_back() or bool(left_out)
        self.is_least = self._tries > 0

    def _take_back(self) -> bool:
        """Takes back all steps the bed does without, the deepest place first; whether there were any.

        Held to the bed's limit along the floor's edges, then where it is seen to leave it.
        """
        solved, count = self.drops, len(self.trials.plan.readings)
        numbers = [*range(count), *(i for i in solved if i >= count)]
        places, on = self.places[numbers], self._on
        before = self._read(places)
        before[count:] = [self._as_is(self.places[[i]]) for i in numbers[count:]]
        deep = np.array([solved.get(i, drop) for i, drop in zip(numbers, before.tolist(), strict=True)])
        order = [numbers.index(i) for i in sorted(self._worked, key=self._depth, reverse=True)]
        self._wrong()
        limit = self.limit - np.sign(on) * self._within
        holds = Holds(Gap(self.bed, self.rough), limit, np.sign(on), places, before)
        while True:
            drops = holds.taken_back(deep, order, self.trials.step)
            self.drops = {
                i: float(drop)
                for i, drop, was in zip(numbers, drops, before, strict=True)
                if i in solved and (i >= count or abs(drop - was) > NOISE)
            }
            if self.drops == solved or (spot := self._wrong()) is None:
                return self.drops != solved
            self._tries -= 1
            if self._tries <= 0:
                self.drops = solved
                return False
            holds.hold(np.array([[spot.x, spot.y]]), self._after().mesh)

    def _whole(self, i: int) -> float:
        return (round_up if self.is_down else round_down)(float(self._read(self.places[[i]])[0]), self.trials.step)

    def _under(self, spot: Spot) -> list[int]:
        triangles = self._after().mesh
        near = triangles.stations[triangles.footing(np.array([[spot.x, spot.y]])).stations[:, 0]]
        away = self.places[:, None] - near
        return np.flatnonzero((np.hypot(away[..., 0], away[..., 1]) <= _SAME_PLACE).any(axis=1)).tolist()

    def _depth(self, i: int) -> float:
        return abs(self.drops[i] - float(self._read(self.places[[i]])[0]))

    def _does(self, drops: dict[int, float]) -> bool:
        kept, self.drops = self.drops, drops
        self._tries -= 1
        if not (does := self._wrong() is None):
            self.drops = kept
        return does

    @property
    def _on(self) -> float:
        return self.trials.step if self.is_down else -self.trials.step

    @property
    def _worked(self) -> list[int]:
        by = np.sign(self._on) * (np.array(list(self.drops.values())) - self._read(self.places[list(self.drops)]))
        return [i for i, deeper in zip(self.drops, by.tolist(), strict=True) if deeper > _KEPT[self.trials.units]]

    @property
    def _is_held(self) -> bool:
        """Whether nearness to the other limit counts: the bed breaks that now, or moves to it."""
        return self.is_planned or self.other == self.was.value

    @property
    def _is_guessed(self) -> bool:
        hull = shapely.convex_hull(shapely.multipoints(self.rough.stations))
        return not shapely.dwithin(hull, shapely.points(self.places[self._worked]), _KNOWN).all()

    def _is_out(self, depths: Array) -> Mask:
        return depths < self.limit - NOISE if self.is_down else depths > self.limit + NOISE

    def _read(self, places: Array) -> Array:
        return self.rough.shift - self.rough.height(places)

    def _least(self, places: Array) -> list[float]:
        """What the line reads after the least work; elsewhere as before, to a step on the safe side."""
        before = self._read(places)
        asked = self.rough.shift - self.bed.height(places) + self.limit + np.sign(self._on) * self.spare
        is_out = (asked - before) * self._on > NOISE
        return [
            (round_up if self.is_down is out else round_down)(drop, self.trials.step)
            for drop, out in zip(np.where(is_out, asked, before).tolist(), is_out.tolist(), strict=True)
        ]

    def _bring(self, spot: Spot) -> None:
        """The floor at a place brought to where the least work has it; if it is there, a step on."""
        at = np.array([spot.x, spot.y])
        hull = shapely.convex_hull(shapely.multipoints(self.places))
        edge = shapely.boundary(hull)
        text, options = self.trials.text, at[None]
        if shapely.dwithin(edge, shapely.points(at), _SAME_PLACE):  # rounded inward it would tell nothing
            options = at + fine(self.trials.units) * ROUND
        typed = [[parse(text(value), Dimension.LENGTH, self.trials.units) for value in one] for one in options.tolist()]
        at = np.array(typed)[[shapely.distance(hull, shapely.points(typed)).argmax()]]
        near = np.flatnonzero(np.hypot(*(self.places - at).T) <= _SAME_PLACE).tolist()
        if not near:
            near, self.places = [len(self.places)], np.vstack([self.places, at])
        back = 1 if self._is_out(np.array([spot.value]))[0] else -1
        self.is_torn |= back < 0
        known = self.drops.get(near[0])
        if self._is_held and back < 0 and (known is None or spot is self.was):
            drop = self._as_is(at, spot)
        else:
            drop = self._least(np.array([[spot.x, spot.y]]))[0] if known is None else known + back * self._on
        self.drops |= dict.fromkeys(near, drop)

    def _as_is(self, at: Array, spot: Spot | None = None) -> float:
        """What the line reads [mm] at a place (1, 2) left as it is, to a hair on the side that gains nothing."""
        drop = float(self._read(at)[0])
        if spot is self.was:
            asked = self.rough.shift - float(self.bed.height(at)[0]) + spot.value
            drop = max(drop, asked) if self.is_down else min(drop, asked)
        return (round_up if self.is_down else round_down)(drop, _HAIR[self.trials.units])

    def _wrong(self) -> Spot | None:
        """The place worst out after the work, or that broke the other limit by more; None for none.

        Where the drain's height is planned the bed moves to where either limit just holds.
        """
        gap = Gap(self.bed, self._after())
        least, most = extreme_depths(gap, only_least=True)
        is_kept = not self._is_out(np.array([most.value]))[0]
        if self._is_held if self.is_down else self.is_planned or is_kept:  # along ridges, too, which takes long
            most = extreme_depths(gap)[1]
        worst, other = (least, most) if self.is_down else (most, least)
        way = 1.0 if self.is_down else -1.0
        if self._is_held and way * (self.was.value - other.value) > NOISE:
            return self.was
        over, back = way * (self.limit - worst.value), way * (other.value - self.other)
        if self._is_held and not self.is_planned:  # what is broken, by a step more: the floor that stays is read anew
            back -= self.trials.step
        self._within = -back if self.is_planned else 0.0
        if over + back <= NOISE if self.is_planned else max(over, back) <= NOISE:
            return None
        return worst if over >= back else other

    def _after(self) -> RoughFloor:
        readings = self.trials.plan.readings
        drops = dict(enumerate(station.drop for station in readings)) | self.drops
        places = self.places[list(drops)]
        return rough_floor(self.rough.floor, places, np.array(list(drops.values()))).raised(self.rough.shift)

    def _change(self) -> Change:
        job, text, worked = self.trials.job, self.trials.text, {*self._worked}
        count, entries, before = len(job.readings), list[tuple[str, str]](), list[tuple[str, str]]()
        new, as_read = [i for i in self.drops if i >= count], self._as_read()
        for number, i in chain(((i, i) for i in sorted(self.drops) if i < count), enumerate(new, start=count)):
            key, (x, y) = f"readings[{number}]", self.places[i].tolist()
            entries += [(f"{key}.at", f"x {text(x)}, y {text(y)}")] if i >= count else ()
            entries.append((f"{key}.drop", self._text(self.drops[i])))
            if i >= count:
                was = -float(as_read.height(self.places[[i]])[0])
                is_off = i in worked or abs(was - self.drops[i]) > self.trials.step
                before += [(f"{key}.reckoned", "true"), *([(f"{key}.before", text(was))] if is_off else ())]
            elif i in worked and not job.readings[i].before:
                before.append((f"{key}.before", entry_text(job, f"{key}.drop")))
        return (*entries, *before)

    def _as_read(self) -> RoughFloor:
        readings = self.trials.job.readings
        read = [i for i, reading in enumerate(readings) if not reading.reckoned] or [*range(len(readings))]
        return rough_floor(self.rough.floor, self.places[read], np.array([readings[i].read.value for i in read]))

    def _text(self, drop: float) -> str:
        is_worked = abs(drop - round_nearest(drop, self.trials.step)) <= NOISE
        return format_length(drop, self.trials.units, None if is_worked else _HAIR[self.trials.units])

    def idea(self, spot: Spot) -> Idea:
        worked = self._worked
        most = max(map(self._depth, worked))
        deep: str = self.trials.text(by := round_up(most, self.trials.step))
        is_wood = self.trials.job.floor.kind is FloorKind.WOOD
        parts = {
            "place": self.trials.case.at(spot),
            "by": phrase("up to {depth}", depth=deep) if len(worked) > 1 else deep,
            "patch": self._patch(),
            "told": self._told(worked),
            "deep": phrase("; so deep it is broken out: ask first what the slab has room for") if most > CUT else "",
            "set": phrase("in lifts, and let each set first" if most > _LIFT else "and let it set first"),
            "guess": phrase("; the floor is partly guessed there: read it first") if self._is_guessed else "",
        }
        says = phrase(
            "grind the high spot {place} by {by}, {patch}, until the line reads {told}{deep}"
            if self.is_down
            else "have a carpenter pack up the low spot {place} by {by}, {patch}, until the line reads {told}{guess}"
            if is_wood
            else "fill the low spot {place} by {by}, {patch}, until the line reads {told}, {set}{guess}",
            **parts,
        )
        if not self.is_least:
            self.trials.is_open = True
            says = phrase("{says}; some of it may be a step less", says=says)
        return Idea(says, self._change(), by)

    def _told(self, worked: list[int]) -> str:
        text, drops = self.trials.text, [self.drops[i] for i in worked]
        if len(worked) == 1:
            return phrase("{drop} there", drop=text(drops[0]))
        if len(worked) > _MOST_TOLD:
            low, high, number = text(min(drops)), text(max(drops)), len(worked)
            if low == high:
                return phrase("{low} at {number} places", low=low, number=number)
            return phrase("from {low} to {high} at {number} places", low=low, high=high, number=number)
        spots = [Spot(0.0, *self.places[i].tolist()) for i in worked]
        told = zip(drops, map(self.trials.case.at, spots), strict=True)
        return joined(", ", [phrase("{drop} ({place})", drop=text(drop), place=place) for drop, place in told])

    def _patch(self) -> str:
        step, units = _PATCH_STEP[self.trials.units], self.trials.units
        sides = _box_where(Gap(self.bed, self.rough), self.limit, np.sign(self._on), step / 10).tolist()
        wide, deep = (nearly(round_up(side, step), units) for side in sides)
        return phrase("over a patch within {wide} by {deep}", wide=wide, deep=deep)


def _box_where(gap: Gap, limit: float, way: float, fine: float) -> Array:
    """The sides (2,) of the box round all places of a floor where the bed breaks its limit, all in [mm].

    way: 1.0 for a least depth, -1.0 for a most. None is missed: triangles that may be out and would widen the box are
    cut into four, until no wider than `fine` or too many.
    """
    frame, polygon = gap.rough.frame, gap.rough.floor.polygon
    triangles = _triangles(gap)
    corners, floor = frame.corners[triangles], way * frame.heights[triangles]
    low, high = np.full(2, np.inf), np.full(2, -np.inf)
    while len(corners):
        middle = corners.mean(axis=1)
        wide = np.hypot(*(corners - middle[:, None]).transpose(2, 0, 1)).max(axis=1)
        bed = way * (limit - gap.bed.height(middle)) - NOISE
        out = middle[(bed + floor.mean(axis=1) > 0) & shapely.intersects_xy(polygon, *middle.T)]
        low, high = np.vstack([out, low[None]]).min(axis=0), np.vstack([out, high[None]]).max(axis=0)
        widens = ((corners.min(axis=1) < low) | (corners.max(axis=1) > high)).any(axis=1)
        may = widens & (bed + floor.max(axis=1) + gap.bed.steepest * wide > 0)
        may[may] = shapely.dwithin(polygon, shapely.points(middle[may]), wide[may])
        is_fine = may & ((wide <= fine) | (may.sum() > _MOST_CUT))
        ends = corners[is_fine].reshape(-1, 2)
        low, high = np.vstack([ends, low[None]]).min(axis=0), np.vstack([ends, high[None]]).max(axis=0)
        corners, floor = _quarters(corners[may & ~is_fine]), _quarters(floor[may & ~is_fine])
    return np.asarray(high - low)


def _triangles(gap: Gap) -> Index:
    pieces, count = gap.rough.mesh.pieces, len(gap.rough.stations)
    cut = pieces.cut
    first = np.searchsorted(cut.part, cut.part[cut.sides[:, :1]])
    return np.vstack([pieces.whole, np.hstack([cut.sides, first]) + count])


def _quarters(values: Array) -> Array:
    six = np.concatenate([values, (values + np.roll(values, -1, axis=1)) / 2], axis=1)
    return six[:, _HALVED].reshape(-1, *values.shape[1:])
