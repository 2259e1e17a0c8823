"""The checks: functions from stage results to findings, and one to run all."""

from collections.abc import Iterable
from itertools import chain

from ...bed.surfaces import Hidden, valley_parts
from ...job.model import Job
from ...survey.spot import Needs
from ..findings import Finding, Level
from ..rulebook import Rulebook
from ..stages import Stages
from .case import Case
from .channel import check_channel
from .curb import check_curb, check_sunk, check_threshold
from .depths import check_bond, check_depths, check_upper_bed
from .drain import check_apart, check_drains
from .falls import check_exact_fall, check_falls
from .load import check_load
from .materials import check_lining, check_mix, check_tiles, check_wood
from .outline import check_area, check_closing
from .own import check_own_figures
from .proud import check_proud
from .readings import check_few, check_odd, check_off_floor
from .strips import check_strips
from .valleys import check_hidden, check_valleys
from .worked import check_worked

_GRAVEST_FIRST = tuple(Level)


def check_all(job: Job, book: Rulebook, stages: Stages) -> tuple[Finding, ...]:
    """All that rulebook, practice and geometry say of the stages so far, gravest first.

    Within a level wrong measurements come first; waiting stages are skipped.
    """
    case = Case(job, book, stages)
    found = chain(
        check_closing(case),
        check_odd(case),
        check_off_floor(case),
        check_worked(case),
        check_drains(case),
        check_apart(case),
        _check_bed(case),
        _check_depth(case),
        check_upper_bed(case),
        check_wood(case),
        check_load(case),
        check_mix(case),
        check_lining(case),
        check_strips(case),
        check_curb(case),
        check_area(case),
        check_few(case),
        check_tiles(case),
        check_own_figures(case),
    )
    return gravest_first(found)


def gravest_first(found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings as they are told: stops first, within a level as they come."""
    return tuple(sorted(found, key=lambda finding: _GRAVEST_FIRST.index(finding.level)))


def _check_bed(case: Case) -> Iterable[Finding]:
    bed = case.stages.bed
    if isinstance(bed, Needs):
        return ()
    if isinstance(bed, Hidden):
        return (check_hidden(case, bed),)
    valleys = tuple(check_valleys(case, part) for part in valley_parts(bed))
    exact = check_exact_fall(case, bed)
    edges = chain(check_threshold(case, bed), check_sunk(case, bed))
    return chain(valleys, check_proud(case, bed), check_falls(case, bed), exact, edges, check_channel(case))


def _check_depth(case: Case) -> Iterable[Finding]:
    depth = case.stages.depth
    return chain(check_depths(case, depth), check_bond(case, depth)) if depth else ()
