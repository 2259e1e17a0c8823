"""The mud, its water, weight and batches."""

import math
from typing import TypeAlias

from ..job.defaults import bag, bag_yield, default_text, parts, supply, waste
from ..job.model import Supply
from ..records import record
from . import practice
from .portions import Portions
from .rules import Rules
from .site import Site

_NOISE = 1e-9  # of a bag: float noise buys no other one


@record
class Bags:
    """Bagged mix: whole bags, a bag's name, mass [kg] and yield in place [mm3]; exact: bags, not rounded up."""

    count: int
    of: str
    mass: float
    makes: float
    exact: float

    @property
    def dry(self) -> float:
        """What is carried in, dry [kg]."""
        return self.count * self.mass


@record
class SiteMix:
    """Mixed on site: sand to one of cement by loose volume [-], their loose volumes [mm3] and dry masses [kg]."""

    parts: float
    cement: float
    sand: float
    cement_mass: float
    sand_mass: float

    @property
    def dry(self) -> float:
        """What is carried in, dry [kg]."""
        return self.cement_mass + self.sand_mass


Mix: TypeAlias = Bags | SiteMix


@record
class Mortar:
    """A floor's deck mud: volumes [mm3], masses [kg].

    bed, upper: the planned bed in place, and the one over a liner; waste: bought over placed [-]; weight: in place,
    water in; water: from, to [kg or litres]; batch: what one person packs while it is workable; batch_bags: 0 for a
    site mix; slurry: cement for the bond coat, 0 for none.
    """

    bed: float
    upper: float
    waste: float
    weight: float
    mix: Mix
    water: tuple[float, float]
    batch: float
    batch_bags: int
    batches: int
    slurry: float

    @property
    def placed(self) -> float:
        """Both beds in place [mm3]."""
        return self.bed + self.upper

    @property
    def ordered(self) -> float:
        """What is mixed, with waste, as it would lie in place [mm3]."""
        return self.placed * (1 + self.waste)


def mortar(site: Site) -> Mortar:
    """A planned floor's mud: the beds' volume and the waste are mixed, each bag giving its yield.

    Weight in place less dry mix is the most water it holds; mud that packs has three quarters or more of that (common
    practice, no source).
    """
    bed, upper = site.depth.volume, site.floor.area * site.upper_bed
    share = waste(site.job)
    ordered = (bed + upper) * (1 + share)
    mix = _bags(site, ordered) if supply(site.job) is Supply.BAG else site_mix(ordered, parts(site.job), site.rules)
    batch, bags = _batch(site, mix)
    (least, most), dry = water_shares(site.rules), ordered * site.rules.dry_in_place.value
    return Mortar(
        bed=bed,
        upper=upper,
        waste=share,
        weight=(bed + upper) * site.rules.mud_density,
        mix=mix,
        water=(least * dry, most * dry),
        batch=batch,
        batch_bags=bags,
        batches=sum(math.ceil(volume * (1 + share) / batch - _NOISE) for volume in (bed, upper)),
        slurry=slurry(site) if site.has_bond_coat else 0.0,
    )


def bags_for(volume: float, makes: float) -> int:
    """Whole bags for a volume in place, each making `makes`, in one unit."""
    return math.ceil(volume / makes - _NOISE)


def site_mix(volume: float, sand_parts: float, rules: Rules) -> SiteMix:
    """Cement and sand for a volume in place [mm3], `sand_parts` of damp loose sand to one of cement by volume.

    A cu ft in place holds 133.3 lb of dry mix (the bags' data sheets); a loose cu ft of cement with its sand weighs 94
    + 80 x `sand_parts` lb, so their loose volumes follow.
    """
    dry = volume * rules.dry_in_place.value
    cement = dry / (rules.cement_loose.value + sand_parts * rules.sand_loose.value)
    sand = sand_parts * cement
    return SiteMix(sand_parts, cement, sand, cement * rules.cement_loose.value, sand * rules.sand_loose.value)


def slurry(site: Site) -> float:
    """Cement for a bond coat over the floor [kg], taken as dense as loose cement."""
    return site.floor.area * practice.BOND_COAT[site.units] * site.rules.cement_loose.value


def water_shares(rules: Rules) -> tuple[float, float]:
    """The least and most water that mud packs with, as shares of the dry mix's mass [-]."""
    most = rules.mud_density / rules.dry_in_place.value - 1
    return practice.DRY_TO_DAMP * most, most


def _bags(site: Site, ordered: float) -> Bags:
    makes, typed = bag_yield(site.job), site.job.mortar.bag
    of = default_text(site.job, "mortar.bag") if typed is None else str(typed.text)
    return Bags(bags_for(ordered, makes), of, bag(site.job), makes, ordered / makes)


def _batch(site: Site, mix: Mix) -> tuple[float, int]:
    most = practice.BATCH[site.units]
    if isinstance(mix, SiteMix):
        return most, 0
    bags = max(1, math.floor(most / mix.makes + _NOISE))
    return bags * mix.makes, bags


def bags_by_portion(found: Mortar, portions: Portions) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Bags to open for each portion, of the planned bed, then of the one over a liner; none for a site mix.

    A bag's rest goes into the next portion: all are what is bought.
    """
    if not isinstance(found.mix, Bags):
        return (), ()
    makes, over = found.mix.makes, 1 + found.waste
    volumes = [part.volume for part in portions.parts]
    if found.upper:
        volumes += [part.upper for part in portions.parts]
    opened, placed, counts = 0, 0.0, []
    for volume in volumes:
        placed += volume * over
        counts.append(bags_for(placed, makes) - opened)
        opened += counts[-1]
    count = len(portions.parts)
    return tuple(counts[:count]), tuple(counts[count:])
