"""The bed's weight against what the floor was checked for."""

from ...job.model import FloorKind, Typed
from ...phrases import joined, phrase
from ...quantities import INCH
from ...work.flood import flood_test
from ...work.heights import heights
from ...work.load import Load, dead_load, load, most_filled
from ...work.site import Site
from ...work.words import load_over, load_under
from ..rulebook import Figure, Limit, own_limit
from ..words import enough
from ..work_rules import rules_of
from .case import Case, Finding, Findings, Level, is_above


def check_load(case: Case) -> Findings:
    """Finding floor-load, where the job has a checked load, and on any wood."""
    allowance = case.job.floor.dead_load_allowance
    if allowance is None and case.job.floor.kind is not FloorKind.WOOD:
        return
    site = work_site(case)
    if site is None:
        return
    usual = case.book.find(Figure.DEAD_LOAD_USUAL)
    if allowance is None:
        yield _unknown(case, site, usual)
    else:
        yield from _against(case, site, allowance, usual)


def _dead(site: Site) -> tuple[float, float]:
    parts = dead_load(site)
    return sum(part.mean for part in parts), sum(part.worst for part in parts)


def _weighs(case: Case, mean: float, worst: float) -> str:
    return phrase(
        "{mean} on average and {worst} where the bed is deepest",
        mean=load_over(mean, case.units),
        worst=load_over(worst, case.units),
    )


def _unknown(case: Case, site: Site, usual: Limit | None) -> Finding:
    mean, worst = _dead(site)
    often, source = "", site.rules.bed_load_an_inch.source
    if usual:
        often = phrase("; many wood floors are allowed only {usual}", usual=load_under(usual.value, case.units))
        source = joined("; ", (source, usual.cited))
    says = phrase(
        "bed and tile weigh {loads}, and the job does not say what the wood floor was checked for{often}",
        loads=_weighs(case, mean, worst),
        often=often,
    )
    most = load_over(worst, case.units)
    remedy = phrase("have a licensed engineer check the floor for {most}, and enter what it is good for", most=most)
    return _finding(site, Level.NOTE, says, remedy, source)


def _against(case: Case, site: Site, allowance: Typed, usual: Limit | None) -> Findings:
    limit = own_limit(allowance.value, str(allowance.text), usual)
    allowed = load_under(allowance.value, case.units)
    source = phrase("{source}; what is allowed: {cited}", source=site.rules.bed_load_an_inch.source, cited=limit.cited)
    mean, worst = _dead(site)
    if is_above(worst, allowance.value):
        says = phrase(
            "bed and tile weigh {loads}{there} more than the {allowed} that the floor may bear",
            loads=_weighs(case, mean, worst),
            there="," if is_above(mean, allowance.value) else phrase(": only there it is"),
            allowed=allowed,
        )
        checked = phrase("have a licensed engineer check the floor for {load}", load=load_over(worst, case.units))
        remedy = joined("", (checked, _thinner(case, site, worst - allowance.value)))
        yield _finding(site, limit.level, says, remedy, source)
        return
    if most_filled(site) <= allowance.value:
        return
    tested = load(site, flood_test(site, heights(site)))
    if is_above(tested.test_worst, allowance.value):
        yield _finding(site, Level.NOTE, *_flooded(case, tested, allowed), source)


def _thinner(case: Case, site: Site, over: float) -> str:
    by = over / site.rules.bed_load_an_inch.value * INCH
    least = case.depth_limits.least
    left = site.depth.least.value - enough(by, case.units)
    if left < (least.value if least else 0.0):
        return ""
    return phrase(", or make the bed {less} thinner", less=case.worked(by))


def _flooded(case: Case, tested: Load, allowed: str) -> tuple[str, str]:
    most = load_over(tested.test_worst, case.units)
    says = phrase(
        "while the flood test stands, bed and water weigh {mean} on average and at most {most}, more "
        "than the {allowed} of dead load that the floor may bear",
        mean=load_over(tested.test_mean, case.units),
        most=most,
        allowed=allowed,
    )
    return says, phrase("ask the licensed engineer whether the floor carries {most} for the test's days", most=most)


def _finding(site: Site, level: Level, says: str, remedy: str, source: str) -> Finding:
    deepest = site.depth.most
    return Finding("floor-load", level, says, remedy, source, deepest.x, deepest.y, "floor.dead_load_allowance")


def work_site(case: Case) -> Site | None:
    """The planned floor as the work knows it; None while a stage waits."""
    bed, rough, drains, depth = case.stages.bed, case.stages.rough, case.stages.drains, case.stages.depth
    if not bed or not rough or not drains or not depth:
        return None
    return Site(case.job, bed.reach.floor, drains, rough, bed, depth, rules_of(case.book))
