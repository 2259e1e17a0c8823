"""Other ways to build the same floor; no price is guessed."""

from __future__ import annotations

from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from ..arrays import following
from ..phrases import joined, phrase
from ..quantities import Units
from ..records import record
from ..survey.outline import FloorOutline
from . import practice
from .practice import NO_SOURCE
from .rules import load_of
from .site import Site, box
from .steps import Said, plain, sources
from .words import area_over, length_over, length_under, time_words, volume_over

if TYPE_CHECKING:
    from .whole import Work

_NOISE = 1e-6  # [mm]
_SQUARE = 0.01  # [-] up to this cosine a corner is square: about half a degree


class WayName(StrEnum):
    """A way to build the floor."""

    MORTAR_BED = "mortar-bed"
    LEVELLED_AND_TRAY = "levelled-and-tray"
    RECEPTOR = "one-piece-receptor"


class Fits(StrEnum):
    """Whether a way fits the room."""

    YES = "yes"
    NO = "no"
    ASK = "ask"


@record
class Way:
    """Whether a way fits and why, and what it needs, weighs and waits for.

    volume: of mud or leveller in place [mm3]; mass [kg], mean load [kPa]: of that alone; waits: all until tile, or
    nothing more, goes on it [h], less the flood test; primed, bedded: floor that takes primer, and mortar under a tray
    or receptor [mm2], of no sourced thickness.
    """

    name: WayName
    fits: Fits
    why: Said
    needs: tuple[Said, ...]
    volume: float
    mass: float
    load: float
    waits: float
    primed: float = 0.0
    bedded: float = 0.0


def ways(work: Work) -> tuple[Way, ...]:
    """The mortar bed, a factory-made sloped tray on a levelled floor, a one-piece receptor."""
    poured = levelling(work.site)
    return (_mortar_bed(work), _tray(work.site, poured), _receptor(work.site, poured))


def _mortar_bed(work: Work) -> Way:
    found, rules = work.mortar, work.site.rules
    beds = 2 if work.site.is_between else 1
    mud = volume_over(found.placed, work.units)
    return Way(
        name=WayName.MORTAR_BED,
        fits=Fits.YES,
        why=Said(phrase("it is made for this floor, whatever its outline and wherever its drain")),
        needs=(
            Said(
                phrase("{mud} of deck mud in place, mixed and packed by hand", mud=mud), rules.bed_load_an_inch.source
            ),
            *plain(phrase("strips, a straightedge, and the skill to screed")),
            Said(
                phrase("{time} to cure, for each bed", time=time_words(rules.cure_least.value)), rules.cure_least.source
            ),
        ),
        volume=found.placed,
        mass=found.weight,
        load=load_of(found.weight, work.site.floor.area),
        waits=beds * rules.cure_least.value,
    )


@record
class Levelling:
    """A floor poured level: least and most thickness [mm], volume [mm3], mass [kg]."""

    least: float
    most: float
    volume: float
    mass: float


def levelling(site: Site) -> Levelling:
    """What levels the rough floor to the leveller's least thickness over its highest spot.

    Leveller is taken as heavy as deck mud (common practice, no source).
    """
    least = practice.LEVELLER_LEAST[site.units]
    top = site.rough.highest.value + least
    volume = top * site.floor.area - site.rough.integral
    return Levelling(least, top - site.rough.lowest.value, volume, volume * site.rules.mud_density)


def _tray(site: Site, found: Levelling) -> Way:
    units, flat = site.units, site.rules.out_of_flat_in_10_ft
    pieces = phrase("cut to" if _is_rectangle(site.floor) else "pieced, for the room is no rectangle, and cut to")
    return Way(
        name=WayName.LEVELLED_AND_TRAY,
        fits=Fits.ASK,
        why=Said(
            phrase(
                "a tray has to be {pieces} this outline, with its drain where this one is: ask its maker", pieces=pieces
            )
        ),
        needs=(
            Said(
                phrase(
                    "{volume} of self-levelling underlayment, {least} thick over the highest spot and "
                    "{most} over the lowest",
                    volume=volume_over(found.volume, units),
                    least=length_over(found.least, units),
                    most=length_over(found.most, units),
                ),
                sources(
                    phrase("its least thickness: {practice}", practice=NO_SOURCE),
                    phrase("its weight, as mud: {source}", source=site.rules.bed_load_an_inch.source),
                ),
            ),
            Said(
                phrase("a floor flat to {flat} in 10 ft (3 m) under the tray", flat=length_under(flat.value, units)),
                phrase("by analogy: {source}", source=flat.source),
            ),
            *_under_leveller(site),
            *plain(
                _bedding_mortar(site, phrase("the tray")),
                phrase("the drain set to the tray's own height, and the tray's weight from its maker"),
                phrase("membrane, tile and its mortar over it, as over a mortar bed, and the flood test"),
            ),
            Said(
                phrase(
                    "{first} for the leveller and {second} for the tray's mortar",
                    first=time_words(practice.LEVELLER_WAIT),
                    second=time_words(practice.BEDDING_WAIT),
                ),
                NO_SOURCE,
            ),
        ),
        volume=found.volume,
        mass=found.mass,
        load=load_of(found.mass, site.floor.area),
        waits=practice.LEVELLER_WAIT + practice.BEDDING_WAIT,
        primed=site.floor.area,
        bedded=site.floor.area,
    )


def _under_leveller(site: Site) -> tuple[Said, ...]:
    return plain(
        phrase(
            "primer under the leveller over {area}: how much that takes stands on its maker's sheet",
            area=area_over(site.floor.area, site.units),
        ),
        phrase("a dam round the drain and at the edges; on wood, what the leveller's maker asks under it"),
    )


def _bedding_mortar(site: Site, what: str) -> str:
    return phrase(
        "bedding mortar under {what} over {area}: how thick, and so how much, stands on its maker's sheet",
        what=what,
        area=area_over(site.floor.area, site.units),
    )


def _receptor(site: Site, poured: Levelling) -> Way:
    fits, why = _receptor_fits(site.floor, site.units)
    is_out = poured.most - poured.least > site.rules.out_of_flat_in_10_ft.value + _NOISE
    return Way(
        name=WayName.RECEPTOR,
        fits=fits,
        why=why,
        needs=(
            _level(site, poured, is_out=is_out),
            *(_under_leveller(site) if is_out else ()),
            *plain(
                _bedding_mortar(site, phrase("the receptor")),
                phrase("the drain where the receptor has its own, and its weight from its maker"),
                phrase("no tile on the floor"),
            ),
            Said(phrase("{second} for the bedding mortar", second=time_words(practice.BEDDING_WAIT)), NO_SOURCE),
        ),
        volume=poured.volume if is_out else 0.0,
        mass=poured.mass if is_out else 0.0,
        load=load_of(poured.mass, site.floor.area) if is_out else 0.0,
        waits=practice.BEDDING_WAIT + (practice.LEVELLER_WAIT if is_out else 0.0),
        primed=site.floor.area if is_out else 0.0,
        bedded=site.floor.area,
    )


def _level(site: Site, poured: Levelling, *, is_out: bool) -> Said:
    units, flat = site.units, site.rules.out_of_flat_in_10_ft
    out = phrase("the rough floor is {most} out of level", most=length_over(poured.most - poured.least, units))
    says = phrase(
        "{out}: level it first, with {volume}" if is_out else "{out}: the bedding mortar takes that up",
        out=out,
        volume=volume_over(poured.volume, units),
    )
    return Said(says, phrase("by analogy: {source}", source=flat.source))


@lru_cache(maxsize=4)
def _is_rectangle(floor: FloorOutline) -> bool:
    directions = floor.directions
    if len(directions) != 4 or floor.islands or floor.is_curved:
        return False
    return bool((np.abs((directions * following(directions)).sum(axis=1)) < _SQUARE).all())


@lru_cache(maxsize=4)
def _receptor_fits(floor: FloorOutline, units: Units) -> tuple[Fits, Said]:
    if not _is_rectangle(floor):
        return Fits.NO, Said(
            phrase("the room is no rectangle; receptors of other shapes are made to measure"), NO_SOURCE
        )
    room, sides = practice.RECEPTOR_ROOM[units], sorted(box(floor), reverse=True)
    for size in practice.RECEPTORS[units]:
        if all(-_NOISE <= side - own <= room + _NOISE for side, own in zip(sides, size, strict=True)):
            named = joined(" x ", [length_over(own, units) for own in size])
            return Fits.ASK, Said(
                phrase("the common size {named} goes in; its drain has to stand where this one does", named=named),
                NO_SOURCE,
            )
    within = length_over(room, units)
    return Fits.NO, Said(
        phrase("no common size goes in within {within}; one is made to measure", within=within), NO_SOURCE
    )
