"""The bed that saves the most mud: what it takes, saves, and asks of the drain."""

import math
from collections.abc import Iterator

from ..bed.least_bed import LeastBed
from ..job import defaults
from ..job.model import Supply
from ..limits.findings import Level
from ..limits.words import length_over, nearly
from ..limits.work_rules import rules_of
from ..packed import wording
from ..phrases import counted_phrase, joined, phrase
from ..plan import Plan
from ..quantities import format_fall
from ..records import record
from ..work.words import mass_under, volume_over, volume_under
from .figures import Figures, length, rounded, whole

# rules that the least bed keeps
_BROKEN = ("fall-low", "fall-steep", "bed-thin", "bed-below-floor", "channel-short", "plane-blocked")


@record
class Saving:
    """What the least bed saves of the planned one, the drain raised for both where it must rise.

    volume in place [mm3], mass of its dry mix [kg], bags not to buy, waste included (None for a site mix).
    """

    volume: float
    mass: float
    bags: float | None


def _more(plan: Plan, found: LeastBed) -> float:
    """How much more mud the planned bed takes, the drain raised for both [mm3]; below 0 where it lies lower.

    Between its places the least bed's volume is a little too much, its saving too little.
    """
    if not plan.bed or not plan.depth:
        return 0.0
    exact = plan.depth.volume + found.rise * found.ways.floor.area - found.volume
    return max(min(exact, found.saves(plan.bed)), -math.inf if found.is_over(plan.bed) else 0.0)


def _keeps(plan: Plan) -> bool:
    """Whether the planned bed keeps the limits as measured on its shape, maybe not along the ways."""
    return not any(finding.rule in _BROKEN and finding.level is not Level.NOTE for finding in plan.findings)


def saving(plan: Plan, found: LeastBed) -> Saving | None:
    """What it saves; None where the planned bed breaks a limit and lies lower somewhere: no measure."""
    if not plan.bed or (found.is_over(plan.bed) and not _keeps(plan)):
        return None
    volume = max(0.0, _more(plan, found))
    density = rules_of(plan.rulebook).dry_in_place.value
    bags = None
    if defaults.supply(plan.job) is Supply.BAG:
        bags = volume * (1 + defaults.waste(plan.job)) / defaults.bag_yield(plan.job)
    return Saving(volume, volume * density, bags)


def _takes(plan: Plan, found: LeastBed) -> float:
    """Its mud [mm3]: a hair too much between its places, so no more than a planned bed's nowhere lower."""
    if not plan.depth or not plan.bed or found.is_over(plan.bed):
        return found.volume
    return min(found.volume, plan.depth.volume + found.rise * found.ways.floor.area)


def least_bed_figures(plan: Plan) -> Figures:
    """The key that the least bed adds to the JSON."""
    found = plan.least_bed
    return {"least_bed": None if found is None else _figures(plan, found)}


def _figures(plan: Plan, found: LeastBed) -> Figures:
    saves, floor = saving(plan, found), found.ways.floor
    corners = zip(floor.names, found.at(floor.corners).tolist(), strict=True)
    return {
        "exists": found.rise <= 0,
        "rise": length(found.rise),
        "volume": whole(_takes(plan, found)),
        "saves": saves
        and {
            "volume": whole(saves.volume),
            "mass": rounded(saves.mass, 3),
            "bags": None if saves.bags is None else math.floor(saves.bags),
        },
        "planned_takes_more": whole(_more(plan, found)),
        "corners": [{"at": name, "above_drain": length(height)} for name, height in corners],
        "step": length(found.ways.step),
    }


def least_bed_words(plan: Plan) -> Iterator[tuple[str, str]]:
    """A name and a sentence for each thing to say of it; nothing where there is none."""
    found = plan.least_bed
    if found is None:
        return
    units = plan.units
    least, most = plan.rulebook.least_fall.value, plan.rulebook.most_fall
    what = phrase(
        "the lowest surface with at least {least}{between} along the water's ways that keeps "
        "the least depth everywhere: no plane and no cone, and its walls are not level",
        least=format_fall(least, units),
        between=phrase(" and at most {most}", most=format_fall(most.value, units)) if most else "",
    )
    yield phrase("What it is"), what
    if found.rise > 0:
        yield (
            phrase("The drain"),
            phrase("must first rise by {rise}: as it is set there is no such bed", rise=length_over(found.rise, units)),
        )
    volume = volume_over(_takes(plan, found), units)
    yield phrase("It takes"), phrase("{volume} packed, nothing added for waste", volume=volume)
    yield phrase("It saves"), _saving_words(plan, found)
    yield phrase("No entry"), wording("why")["no-entry"]
    floor = found.ways.floor
    heights = zip(floor.names, found.at(floor.corners).tolist(), strict=True)
    told = [phrase("{name} {height}", name=name, height=length_over(height, units)) for name, height in heights]
    yield phrase("Over the drain"), joined(", ", told)
    sure = phrase(
        "reckoned at places at most {step} apart along the water's ways; between them the "
        "floor is taken as straight. What it takes is rounded up, what it saves down",
        step=nearly(found.ways.step, units),
    )
    yield phrase("How sure"), sure


def _saving_words(plan: Plan, found: LeastBed) -> str:
    saves, more, units = saving(plan, found), _more(plan, found), plan.units
    of = phrase("the planned bed, raised as far," if found.rise > 0 else "the planned bed")
    mud = volume_under(abs(more), units)
    if saves is None:
        return phrase(
            "nothing to compare with: the planned bed breaks a limit; {of} takes {mud} less"
            if more < 0
            else "nothing to compare with: the planned bed breaks a limit; {of} takes {mud} more",
            of=of,
            mud=mud,
        )
    if more < 0 and mud != volume_under(0.0, units):
        return phrase(
            "nothing: {of} takes {mud} less, and keeps the limits as they are measured on its shape, though not all "
            "along the water's ways",
            of=of,
            mud=mud,
        )
    volume, mass, bags = volume_under(saves.volume, units), mass_under(saves.mass, units), ""
    if mass == mass_under(0.0, units):
        return phrase("next to nothing")
    if saves.bags is not None:
        bags = counted_phrase(
            ", {number} whole bag with the waste on it",
            ", {number} whole bags with the waste on them",
            math.floor(saves.bags),
        )
        bags = bags if saves.bags >= 1 else phrase(", not a whole bag")
    return phrase("{volume} of what {of} takes: {mass} of dry mix{bags}", volume=volume, of=of, mass=mass, bags=bags)
