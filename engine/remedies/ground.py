"""The rough floor ground down, or filled, where the bed is too thin or too thick: as the readings after that work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeAlias

import numpy as np
import shapely

from engine.bed.depth import Gap, extreme_depths
from engine.bed.drains import lowest_drop
from engine.bed.surfaces import Bed, Hidden
from engine.boxes import box_round, grid
from engine.job.model import FloorKind
from engine.limits.findings import Finding
from engine.limits.words import nearly
from engine.phrases import phrase
from engine.quantities import INCH, Units, round_down, round_up
from engine.remedies.remedy import Change, Idea
from engine.remedies.trials import NOISE, Trials
from engine.survey.rough_floor import RoughFloor, rough_floor
from engine.survey.spot import Needs, Spot
from engine.types import Array

_MOST_SPOTS = 4  # a floor that must be worked at more spots than this is worked over a patch
_SPARE = 3.0  # steps that the readings of such a floor are brought within the limit
_MOST_SHARE = 0.5  # of the floor: a larger patch is no small change
_SAME_PLACE = 1.0  # [mm]
_GRID = 48  # samples across the floor's longer side, to tell how wide the patch is
_PATCH_STEP = {Units.INCH: INCH, Units.MM: 10.0}  # [mm]

Box: TypeAlias = "tuple[Array, Array]"


def grind(trials: Trials, _: Finding) -> Iterator[Idea]:
    """High spots of concrete ground down until the bed has its least depth over them."""
    least = trials.case.depth_limits.least
    if trials.job.floor.kind is FloorKind.CONCRETE:
        yield from _worked(trials, max(0.0, least.value if least else 0.0), is_down=True)


def fill(trials: Trials, _: Finding) -> Iterator[Idea]:
    """Low spots filled, and set, before the bed is laid, until it has its most depth over them."""
    most = trials.case.depth_limits.most
    if most is not None:
        yield from _worked(trials, most.value, is_down=False)


def _worked(trials: Trials, limit: float, *, is_down: bool) -> Iterator[Idea]:
    bed, rough, depth = trials.plan.bed, trials.plan.rough, trials.plan.depth
    if isinstance(bed, Needs | Hidden) or isinstance(rough, Needs) or isinstance(depth, Needs):
        return
    if not trials.job.readings:
        return
    work = _Work(trials, bed, rough, limit, is_down)
    if work.by_spots() or work.over_patch() or work.by_readings():
        yield work.idea(depth.least if is_down else depth.most)


@dataclass
class _Work:
    """The floor as it is worked: the drops that are then read, of readings there are and of new places.

    Ground, every drop may only grow; filled, only shrink. Each lies on a step, on the safe side.
    """

    trials: Trials
    bed: Bed
    rough: RoughFloor
    limit: float
    is_down: bool
    drops: dict[int, float] = field(default_factory=dict)
    places: list[tuple[float, float, float]] = field(default_factory=list)
    most: float = 0.0  # [mm] the deepest cut, or the thickest fill

    def by_readings(self) -> bool:
        """All the readings that are out, the floor by the drains, and then places between; whether that does."""
        self.drops, self.places, self.most = {}, [], 0.0
        for spot in self._out:
            self._bring(spot, _SPARE * self.trials.step)
        for place in (flange.centre for flange in self.bed.reach.flanges if not self.is_down):
            spot = Spot(float(Gap(self.bed, self.rough)(place[None])[0]), *place.tolist())
            if self._short(spot) <= NOISE or not self._bring(spot):
                self._stay(spot)
        return self._on_from_worst()

    def by_spots(self) -> bool:
        """The worst place brought to the limit, then the next one; whether that ends within a few."""
        is_much = not self._goes_along and len(self._out) > _MOST_SPOTS
        return not is_much and self._on_from_worst()

    def _on_from_worst(self) -> bool:
        for _ in range(_MOST_SPOTS + 1):
            worst = self._worst()
            is_met = self._short(worst) <= NOISE
            if is_met and not self._thin():
                return bool(self.drops or self.places)
            if not (self._leave() if is_met else self._bring(worst)):
                break
        self.drops, self.places, self.most = {}, [], 0.0
        return False

    def over_patch(self) -> bool:
        """All that is out, ground or filled flat to the height that the worst of it needs; whether that does."""
        found = self._broken()
        if found is None:
            return False
        broken, (low, high) = found
        if np.prod(high - low) > _MOST_SHARE * self.rough.floor.area or not self._is_known(broken):
            return False
        wanted = self.rough.shift - self.bed.height(broken) + self.limit
        flat = self._on_step(float(wanted.max() if self.is_down else wanted.min()))
        for x, y in (low, (high[0], low[1]), high, (low[0], high[1])):
            place = np.array([x, y])
            inside = shapely.get_coordinates(shapely.shortest_line(self.rough.floor.polygon, shapely.points(place)))[0]
            self._read(inside, flat)
        for i, station in enumerate(self.trials.plan.readings):
            if low[0] <= station.x <= high[0] and low[1] <= station.y <= high[1]:
                self._read(np.array([station.x, station.y]), flat, i)
        return self._short(self._worst()) <= NOISE and not self._thin()

    @cached_property
    def _out(self) -> list[Spot]:
        places = np.array([[station.x, station.y] for station in self.trials.plan.readings])
        places = places[shapely.intersects_xy(self.rough.floor.polygon, *places.T)]
        spots = map(Spot, Gap(self.bed, self.rough)(places).tolist(), *places.T.tolist())
        return [spot for spot in spots if self._short(spot) > NOISE]

    @property
    def _goes_along(self) -> bool:
        """Whether the drain's height is planned, and so goes with the floor."""
        drains, least = self.trials.plan.drains, self.trials.case.depth_limits.least
        return not isinstance(drains, Needs) and drains[0].planned and least is not None

    def _thin(self) -> Spot | None:
        """The place where a fill makes the bed too thin that was not before; None where there is none."""
        limit = self.trials.case.depth_limits.least
        thin = extreme_depths(Gap(self.bed, self._after()))[0]
        if self.is_down or limit is None or thin.value >= limit.value - NOISE:
            return None
        before = float(Gap(self.bed, self.rough)(np.array([[thin.x, thin.y]]))[0])
        return thin if before >= limit.value - NOISE else None

    def _leave(self) -> bool:
        """A fill ends before it would make the bed too thin: the floor there stays as it is."""
        thin = self._thin()
        if thin is None:
            return False
        self._stay(thin)
        return True

    def _stay(self, spot: Spot) -> None:
        height = float(self.rough.height(np.array([[spot.x, spot.y]]))[0])
        self.places.append((spot.x, spot.y, round_up(self.rough.shift - height, self.trials.step)))

    def _read(self, place: Array, flat: float, i: int | None = None) -> None:
        before = self.rough.shift - float(self.rough.height(place[None])[0])
        drop = (max if self.is_down else min)(flat, self._on_step(before))
        self.most = max(self.most, abs(drop - before))
        if i is None:
            self.places.append((float(place[0]), float(place[1]), drop))
        else:
            self.drops[i] = drop

    def _worst(self) -> Spot:
        gap = Gap(self.bed, self._after())
        least, most = extreme_depths(gap, only_least=True)
        if self.is_down or self._short(most) > NOISE:
            return least if self.is_down else most
        return extreme_depths(gap)[1]  # ridges are looked along, which takes long, once all else is filled

    def _short(self, spot: Spot) -> float:
        return self.limit - spot.value if self.is_down else spot.value - self.limit

    def _after(self) -> RoughFloor:
        """The rough floor by the readings after the work; where the drain's height is planned, it goes along."""
        stations = self.trials.plan.readings
        old = [(s.x, s.y, self.drops.get(i, s.drop)) for i, s in enumerate(stations)]
        rows = np.array([*old, *self.places])
        base = rough_floor(self.rough.floor, rows[:, :2], rows[:, 2])
        least = self.trials.case.depth_limits.least
        if not self._goes_along or least is None:
            return base.raised(self.rough.shift)
        return base.raised(lowest_drop(Gap(self.bed, base), least.value))

    def _bring(self, spot: Spot, spare: float = 0.0) -> bool:
        """Puts the drop at a place to where the depth there is at the limit; whether the floor is known there.

        spare [mm]: within the limit, so that the bed between such places keeps to it too.
        """
        place = np.array([[spot.x, spot.y]])
        limit = self.limit + spare if self.is_down else self.limit - spare
        drop = self._on_step(self.rough.shift - (float(self.bed.height(place)[0]) - limit))
        stations = np.array([[s.x, s.y] for s in self.trials.plan.readings])
        near = np.flatnonzero(np.hypot(*(stations - place[0]).T) <= _SAME_PLACE).tolist()
        if drop <= 0 or not (near or self._is_known(place)):
            return False
        self.most = max(self.most, self._short(spot) + spare)
        self.drops |= dict.fromkeys(near, drop)
        if not near:
            self.places.append((spot.x, spot.y, drop))
        return True

    def _on_step(self, drop: float) -> float:
        return (round_up if self.is_down else round_down)(drop, self.trials.step)

    def _is_known(self, places: Array) -> bool:
        hull = shapely.convex_hull(shapely.multipoints(self.rough.stations))
        return bool(shapely.dwithin(hull, shapely.points(places), _SAME_PLACE).all())

    def _broken(self) -> tuple[Array, Box] | None:
        polygon = self.rough.floor.polygon
        low, high = box_round(polygon)
        step = float((high - low).max()) / _GRID
        places = grid(low, high + step / 2, step)
        places = places[shapely.intersects_xy(polygon, *places.T)]
        depths = Gap(self.bed, self.rough)(places)
        broken = places[depths < self.limit - NOISE if self.is_down else depths > self.limit + NOISE]
        return (broken, (broken.min(axis=0) - step, broken.max(axis=0) + step)) if len(broken) else None

    def change(self) -> Change:
        count = len(self.trials.job.readings)
        old = [(f"readings[{i}].drop", self.trials.text(drop)) for i, drop in sorted(self.drops.items())]
        new = [
            entry
            for k, (x, y, drop) in enumerate(self.places, start=count)
            for entry in (
                (f"readings[{k}].at", f"x {self.trials.text(x)}, y {self.trials.text(y)}"),
                (f"readings[{k}].drop", self.trials.text(drop)),
            )
        ]
        return (*old, *new)

    def idea(self, spot: Spot) -> Idea:
        change, by = self.change(), round_up(self.most, self.trials.step)
        drops = sorted({drop for _, _, drop in self.places} | set(self.drops.values()))
        several = len(self.drops) + len(self.places) > 1
        reads: str = self.trials.text(drops[0] if self.is_down else drops[-1])
        deep: str = self.trials.text(by)
        if several:
            deep = phrase("up to {depth}", depth=deep)
            reads = phrase("at least {drop}" if self.is_down else "at most {drop}", drop=reads)
        parts = {"place": self.trials.case.at(spot), "by": deep, "patch": self._patch(), "drop": reads}
        says = phrase(
            "grind the high spot {place} by {by}, {patch}, until the line reads {drop} there"
            if self.is_down
            else "fill the low spot {place} by {by}, {patch}, until the line reads {drop} there, and let it set first",
            **parts,
        )
        return Idea(says, change, by)

    def _patch(self) -> str:
        found = self._broken()
        if found is None:
            return phrase("at that one spot")
        step = _PATCH_STEP[self.trials.units]
        low, high = found[1]
        wide, deep = (nearly(round_up(side, step), self.trials.units) for side in (high - low).tolist())
        return phrase("over a patch within {wide} by {deep}", wide=wide, deep=deep)
