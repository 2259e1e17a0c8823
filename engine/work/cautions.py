"""What can hurt someone, said at the step where it can."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

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
    """One caution, and its source."""

    hazard: Hazard
    says: str
    source: str


_LOCAL = phrase("the local code")
LOCAL_CODE = Caution(
    Hazard.LOCAL_CODE,
    phrase(
        "The local code overrides everything here: ask the local authority what it wants of "
        "this floor, and which tests it has to see"
    ),
    _LOCAL,
)
PLUMBING = Caution(Hazard.PLUMBING, phrase("The drain, its trap and its vent are a licensed plumber's work"), _LOCAL)
ACCESS = Caution(
    Hazard.ACCESS,
    phrase("Accessible design has rules of its own; have a licensed designer check this floor against them"),
    _LOCAL,
)
MIXING_DUST = Caution(
    Hazard.SILICA,
    phrase(
        "Dust of dry mix and sand holds silica, which harms the lungs for good: at most 50 ug/m3, action from 25. Mix "
        "outdoors or with extraction and choose the respirator by assessment, for mixing is not in the rule's Table 1"
    ),
    phrase("29 CFR 1926.1153"),
)
CUTTING_DUST = Caution(
    Hazard.SILICA,
    phrase(
        "Cut and grind tile, board, bed and masonry wet or with extraction, never dry: the "
        "dust holds silica, at most 50 ug/m3, action from 25"
    ),
    phrase("29 CFR 1926.1153"),
)
WET_CEMENT = Caution(
    Hazard.WET_CEMENT,
    phrase(
        "Wet cement (pH to about 12.9) burns skin within hours, at first without pain. Wear "
        "waterproof gloves and knee pads, rinse at once, and change what is soaked"
    ),
    NO_SOURCE,
)


def structure(work: Work) -> Caution:
    """What the floor has to carry, for whoever judges it."""
    found, units = work.load, work.site.units
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
    """What one has to lift, against what one person should."""
    rule, units, mix = work.site.rules.lift_most, work.site.units, work.mortar.mix
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
