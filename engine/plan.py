"""The one road from a job to its plan: the stages in order, then the checks."""

from __future__ import annotations

from functools import cached_property
from itertools import chain
from typing import TYPE_CHECKING

import numpy as np

from .bed.depth import Depth, Gap, depth, extreme_depths
from .bed.drains import SetDrain, datum_drop, drain_needs, flanges, heads, set_drains
from .bed.effort import refuse_overload
from .bed.flange import Flanges
from .bed.surfaces import LEVEL_DOES_NOT_FIT, NO_SHAPE, NO_SHAPE_FITS, Bed, Hidden, NoBed, Terms, build_bed
from .job import defaults
from .job.model import AtCorner, AtPoint, AtWall, Job, Place
from .layout.marks import SPACING, Mark, MarkPlaces, MarkRules, mark_places, marks, with_centres
from .layout.stock import StockPlan, stock_plan
from .layout.straightedges import Straightedges, straightedges
from .layout.strips import Strip, strips
from .limits.checks import check_all, gravest_first
from .limits.checks.case import Case
from .limits.checks.load import work_site
from .limits.depth_limits import NO_LEAST_DEPTH, depth_limits
from .limits.drain_range import DrainRange, drain_range
from .limits.findings import Finding, Level
from .limits.rulebook import Measured, Rulebook, book_of, default_fall
from .limits.stages import Stages, Station
from .phrases import phrase
from .quantities import Units
from .records import result
from .survey.outline import FloorOutline, outline
from .survey.places import locate_all
from .survey.rough_floor import RoughFloor, rough_floor
from .survey.spot import Needs
from .types import Array

if TYPE_CHECKING:
    from .bed.least_bed import LeastBed
    from .proof.as_built import AsBuilt
    from .proof.hand import Room
    from .proof.log import FloodLog
    from .proof.tolerance import Sureness
    from .work.whole import Work

__all__ = [
    "FloorOutline",
    "Job",
    "Mark",
    "Needs",
    "NoBed",
    "Plan",
    "RoughFloor",
    "SetDrain",
    "Station",
    "Strip",
    "plan",
]

_ON_FLOOR = phrase("a place on the floor")
NO_FLOOR_KIND = Needs("floor.kind", phrase("is the floor concrete or wood?"))
NO_NAME = Needs("job.name", phrase("what is the job called?"))


@result
class Plan:
    """Everything that follows from a job: each stage's result, or what it still needs; and the findings.

    Heights are over the first drain's flange top [mm]. as_built: what the finished bed's readings say, None without
    any; patience: how many times as long as usual remedies are sought [-].
    """

    job: Job
    rulebook: Rulebook
    outline: FloorOutline | Needs
    drains: tuple[SetDrain, ...] | Needs
    readings: tuple[Station, ...]
    rough: RoughFloor | Needs
    bed: Bed | NoBed
    depth: Depth | Needs
    marks: tuple[Mark, ...] | Needs
    findings: tuple[Finding, ...]
    as_built: AsBuilt | Needs | None = None
    patience: float = 1.0

    @property
    def units(self) -> Units:
        """The job's units."""
        return self.job.units

    @cached_property
    def strips(self) -> tuple[Strip, ...] | Needs:
        """The strips along the walls. Raises JobError for entries that fit none, as thicker than the floor is wide."""
        bed = _that_fits(self.bed)
        if isinstance(bed, Needs):
            return bed
        return self.rough if isinstance(self.rough, Needs) else strips(self.job, bed, self.rough)

    @cached_property
    def straightedges(self) -> Straightedges | Needs:
        """The straightedges to rip."""
        bed = _that_fits(self.bed)
        return bed if isinstance(bed, Needs) else straightedges(self.job, bed)

    @cached_property
    def stock(self) -> StockPlan | Needs:
        """The strips cut from the fewest boards. Raises JobError as the strips do, and for far too short boards."""
        return self.strips if isinstance(self.strips, Needs) else stock_plan(self.job, self.strips)

    @cached_property
    def work(self) -> Work | Needs:
        """What is bought, mixed, laid and waited for. Raises JobError as the strips and the stock do."""
        if self.job.floor.kind is None:
            return NO_FLOOR_KIND
        site = work_site(self.case)
        if site is None:
            stages = (self.drains, self.rough, _that_fits(self.bed), self.depth)
            return next(stage for stage in stages if isinstance(stage, Needs))
        from .work.whole import Work

        strips, stock, edges = self.strips, self.stock, self.straightedges
        return Work(
            site,
            strips=() if isinstance(strips, Needs) else strips,
            stock=stock or None,
            edges=edges or None,
        )

    @property
    def has_stop(self) -> bool:
        """Whether a finding says not to build this."""
        return any(finding.level is Level.STOP for finding in self.findings)

    @property
    def case(self) -> Case:
        """What the checks looked at."""
        drains = self.drains
        rings = drains if isinstance(drains, Needs) else tuple(drain.flange for drain in drains)
        stages = Stages(self.outline, rings, drains, self.readings, self.rough, self.bed, self.depth)
        return Case(self.job, self.rulebook, stages)

    @cached_property
    def drain_range(self) -> DrainRange | None:
        """Between which heights the drains may stand; None before the bed has a depth."""
        return drain_range(self.case)

    @cached_property
    def least_bed(self) -> LeastBed | None:
        """The lowest bed that keeps the limits along the water's ways; None without a bed, or if no depth does."""
        least, most = depth_limits(self.job, self.rulebook).least, self.rulebook.most_fall
        if not self.bed or not self.rough or least is None:
            return None
        from .bed.least_bed import Demands, least_bed

        demands = Demands(self.rulebook.least_fall.value, None if most is None else most.value, least.value)
        return least_bed(self.bed.reach, self.rough, demands, heads(self.job))

    @cached_property
    def sureness(self) -> Sureness | None:
        """How sure the depth is; None without a depth or a reading."""
        if not self.depth or not self.drains or not self.rough:
            return None
        if not self.readings:
            return None
        from .proof.tolerance import sureness

        places = np.array([[station.x, station.y] for station in self.readings])
        return sureness(self.job, self.rough, self.depth, self.drains[0].flange.centre, places)

    @cached_property
    def flood_log(self) -> FloodLog | None:
        """How the flood test went; None while it is not logged."""
        return _judged(self.job, self.rulebook)

    @cached_property
    def rooms(self) -> tuple[Room, ...]:
        """The room for the hand, for each trueness asked about; none before there are marks."""
        if not self.bed or not self.marks:
            return ()
        from .proof.hand import rooms

        least, square = self.rulebook.least_fall.value, self.rulebook.measured is Measured.SQUARE
        return rooms(self.bed, self.marks, least, defaults.truenesses(self.job), square=square)

    @property
    def needs(self) -> tuple[Needs, ...]:
        """What the job still lacks, each thing once, in the stages' order."""
        drains = (*drain_needs(self.job), self.drains)
        stages = (self.outline, *drains, self.rough, self.bed, self.depth, self.marks)
        missing = [NO_FLOOR_KIND] if self.job.floor.kind is None else []
        missing += [stage for stage in stages if isinstance(stage, Needs)]
        missing += [NO_SHAPE] if self.job.bed.shape is None else []
        missing += [] if self.job.name.strip() else [NO_NAME]
        return tuple(dict.fromkeys(missing))


def plan(job: Job) -> Plan:
    """Everything that follows from a job, as far as it goes.

    Raises JobError for an entry that cannot be used, as an outline crossing itself or a place on an unknown wall.
    """
    return _Road(job).plan()


def bed_of(job: Job) -> Bed | NoBed:
    """A job's bed alone; raises JobError as `plan` does."""
    return _Road(job).bed()


def depth_of(job: Job) -> Depth | Needs:
    """The depth of a job's bed alone; raises JobError as `plan` does."""
    return _Road(job).depth()


class _Road:
    """The stages of one plan, called in order; nothing outlives the call."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.book = book_of(job)
        self.step = defaults.mark_step(job)
        self.drop = datum_drop(job)

    def bed(self) -> Bed | NoBed:
        floor = outline(self.job)
        rings = floor if isinstance(floor, Needs) else flanges(self.job, floor)
        return NO_SHAPE if isinstance(floor, Needs) or isinstance(rings, Needs) else self._bed(floor, rings)

    def depth(self) -> Depth | Needs:
        floor, bed = outline(self.job), self.bed()
        if isinstance(floor, Needs):
            return floor
        return self._depth(bed, self._rough(floor, self._places(floor), bed))

    def plan(self) -> Plan:
        floor = outline(self.job)
        if isinstance(floor, Needs):
            return self._waiting(floor)
        refuse_overload(self.job, floor)
        rings = flanges(self.job, floor)
        bed = rings if isinstance(rings, Needs) else self._bed(floor, rings)
        places = self._places(floor)
        rough = self._rough(floor, places, bed)
        walls = mark_places(floor, SPACING[self.job.units])
        roughs = self._roughs(walls, rings, rough)
        drains = self._drains(rings, rough, roughs[len(walls.names) :])
        deep = self._depth(bed, rough)
        stations = self._stations(places, rough)
        stages = Stages(floor, rings, drains, stations, rough, bed, deep)
        built, found = self._built(stages)
        return Plan(
            job=self.job,
            rulebook=self.book,
            outline=floor,
            drains=drains,
            readings=stations,
            rough=rough,
            bed=bed,
            depth=deep,
            marks=self._marks(walls, bed, rough, roughs),
            findings=gravest_first(chain(check_all(self.job, self.book, stages), found, self._tested(stages))),
            as_built=built,
        )

    def _built(self, stages: Stages) -> tuple[AsBuilt | Needs | None, tuple[Finding, ...]]:
        if not self.job.as_built or not stages.outline:
            return None, ()
        from .proof.as_built import as_built
        from .proof.findings import built_findings

        built = as_built(self.job, self.book, stages.outline, stages.drains, stages.bed)
        if not built:
            return built, ()
        return built, tuple(built_findings(built, self.book, self.job))

    def _tested(self, stages: Stages) -> tuple[Finding, ...]:
        log = _judged(self.job, self.book)
        if log is None:
            return ()
        from .proof.log import log_findings

        return tuple(log_findings(log, Case(self.job, self.book, stages)))

    def _waiting(self, needs: Needs) -> Plan:
        stages = Stages(needs, needs, needs, (), needs, needs, needs)
        findings = gravest_first(chain(check_all(self.job, self.book, stages), self._tested(stages)))
        return Plan(self.job, self.book, needs, needs, (), needs, needs, needs, needs, findings)

    def _bed(self, floor: FloorOutline, rings: Flanges) -> Bed | NoBed:
        fall = self.job.bed.fall
        return build_bed(
            self.job,
            floor,
            rings,
            Terms(
                fall=default_fall(self.book) if fall is None else fall.value,
                mark_step=self.step,
                square=self.book.measured is Measured.SQUARE,
                heads=heads(self.job),
                most_fall=None if self.book.most_fall is None else self.book.most_fall.value,
            ),
        )

    def _rough(self, floor: FloorOutline, places: Array, bed: Bed | NoBed) -> RoughFloor | Needs:
        base = self._surveyed(floor, places)
        if self.drop is not None and not base.assumed:
            return base.raised(self.drop)
        if isinstance(bed, Needs):
            return bed  # once there is a bed the drain's height can be planned
        if isinstance(bed, Hidden):
            return NO_SHAPE_FITS
        least = depth_limits(self.job, self.book).least
        if least is None:
            return NO_LEAST_DEPTH
        # The whole bed rises with its flange.
        return base.raised(extreme_depths(Gap(bed, base))[0].value - least.value)

    def _surveyed(self, floor: FloorOutline, places: Array) -> RoughFloor:
        if not self.job.readings:
            return rough_floor(floor, floor.corners[:1], np.zeros(1), assumed=True)
        return rough_floor(floor, places, np.array([reading.drop.value for reading in self.job.readings]))

    def _places(self, floor: FloorOutline) -> Array:
        places = [reading.at for reading in self.job.readings]
        return locate_all(places, floor, "readings[{}].at", self.job.units)

    def _roughs(self, places: MarkPlaces, rings: Flanges | Needs, rough: RoughFloor | Needs) -> list[float]:
        if not rings or not rough:
            return []
        return list(rough.standing(with_centres(places, rings)).tolist())

    def _drains(
        self, rings: Flanges | Needs, rough: RoughFloor | Needs, roughs: list[float]
    ) -> tuple[SetDrain, ...] | Needs:
        if isinstance(rings, Needs):
            return rings
        return rough if isinstance(rough, Needs) else set_drains(self.job, rings, roughs, self._line(rough))

    def _line(self, rough: RoughFloor) -> float | None:
        return rough.shift if self.drop is None and not rough.assumed else self.drop

    def _depth(self, bed: Bed | NoBed, rough: RoughFloor | Needs) -> Depth | Needs:
        bed = _that_fits(bed)
        if isinstance(bed, Needs):
            return bed
        return rough if isinstance(rough, Needs) else depth(bed, rough)

    def _marks(
        self, walls: MarkPlaces, bed: Bed | NoBed, rough: RoughFloor | Needs, roughs: list[float]
    ) -> tuple[Mark, ...] | Needs:
        bed = _that_fits(bed)
        if isinstance(bed, Needs):
            return bed
        if isinstance(rough, Needs):
            return rough
        return marks(walls, bed, roughs[: len(walls.names)], MarkRules(self.step, self._line(rough)))

    def _stations(self, places: Array, rough: RoughFloor | Needs) -> tuple[Station, ...]:
        shift = rough.shift if rough else 0.0
        drops = [reading.drop.value for reading in self.job.readings]
        places_said = (reading.at for reading in self.job.readings)
        words = [_ON_FLOOR if type(at) is AtPoint else _words(at) for at in places_said]
        heights = [shift - drop for drop in drops]
        return tuple(map(Station._make, zip(words, *places.T.tolist(), drops, heights, strict=True)))


def _that_fits(bed: Bed | NoBed) -> Bed | Needs:
    return LEVEL_DOES_NOT_FIT if isinstance(bed, Hidden) else bed


def _words(at: Place) -> str:
    match at:
        case AtCorner(corner):
            return corner
        case AtWall(wall=wall, along=along):
            return f"{wall} {along.text}"
        case _:
            return _ON_FLOOR


def _judged(job: Job, book: Rulebook) -> FloodLog | None:
    if not job.flood_test.is_logged:
        return None
    from .proof.log import flood_log

    return flood_log(job, book)
