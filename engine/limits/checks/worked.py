"""A rough floor taken as it will be, once ground or filled."""

from ...phrases import counted_phrase, phrase
from .case import Case, Finding, Findings, Level, Needs


def check_worked(case: Case) -> Findings:
    """Finding floor-unworked: places where the line is to read other than it did."""
    stations = case.stages.readings
    if isinstance(stations, Needs):
        return
    by = [abs(reading.work) for reading in case.job.readings]
    worked = [i for i, most in enumerate(by) if most]
    if not worked:
        return
    most = max(worked, key=lambda i: round(by[i], 6))
    says = counted_phrase(
        "the rough floor is planned as it will be, worked at one place, by {by}",
        "the rough floor is planned as it will be, worked at {number} places, by up to {by}",
        len(worked),
        by=case.nearly(by[most]),
    )
    remedy = phrase("work it before anything is laid on it, as the order of work says; then read those places again")
    source, at, key = phrase("the job's readings"), stations[most], f"readings[{most}].drop"
    yield Finding("floor-unworked", Level.CAUTION, says, remedy, source, at.x, at.y, key)
