"""What can hurt someone, said at the step where it can."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from ..packed import wording
from ..phrases import phrase
from ..records import record
from . import practice
from .mortar import Bags
from .practice import NO_SOURCE
from .words import load_over, mass_under

if TYPE_CHECKING:
    from .whole import Work


class Hazard(StrEnum):
    """What a caution is about."""

    SILICA = "silica"
    WET_CEMENT = "wet-cement"
    LIFTING = "lifting"
    STRUCTURE = "structure"
    PLUMBING = "plumbing"
    ACCESS = "accessible-design"
    LOCAL_CODE = "local-code"


@record
class Caution:
    """A caution, and its source."""

    hazard: Hazard
    says: str
    source: str


_LOCAL, _SILICA_RULE = phrase("the local code"), phrase("29 CFR 1926.1153")
_STANDING = {
    "local-code": (Hazard.LOCAL_CODE, _LOCAL),
    "plumbing": (Hazard.PLUMBING, _LOCAL),
    "access": (Hazard.ACCESS, _LOCAL),
    "mixing-dust": (Hazard.SILICA, _SILICA_RULE),
    "cutting-dust": (Hazard.SILICA, _SILICA_RULE),
    "wet-cement": (Hazard.WET_CEMENT, NO_SOURCE),
}


def careful(*names: str) -> tuple[Caution, ...]:
    """Cautions of every floor, by their names in `wording.toml`."""
    told = wording("cautions")
    return tuple(Caution(_STANDING[name][0], told[name], _STANDING[name][1]) for name in names)


def structure(work: Work) -> Caution:
    """What the floor carries, for whoever judges it."""
    found, units = work.load, work.units
    return Caution(
        Hazard.STRUCTURE,
        phrase(
            "Bed, tile and what lies between weigh {mean} on average and {worst} where the bed is deepest: whether the "
            "floor carries that is for a licensed engineer to say",
            mean=load_over(found.mean, units),
            worst=load_over(found.worst.value, units),
        ),
        work.site.rules.bed_load_an_inch.source,
    )


def lifting(work: Work) -> Caution:
    """What has to be lifted, against what one person should."""
    rule, units, mix = work.site.rules.lift_most, work.units, work.mortar.mix
    pack = practice.CEMENT[units]
    of, mass = (mix.of, mix.mass) if isinstance(mix, Bags) else (phrase("{pack} of cement", pack=pack.text), pack.holds)
    heavy = phrase("more: lift it by two, or carry it in parts" if mass > rule.value else "no more than that")
    return Caution(
        Hazard.LIFTING,
        phrase(
            "One person should lift at most {most}; a bag of {of} is {heavy}",
            most=mass_under(rule.value, units),
            of=of,
            heavy=heavy,
        ),
        rule.source,
    )
