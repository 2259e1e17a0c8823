"""A bed too heavy for the floor: thinner, or the floor checked for more."""

from __future__ import annotations

from collections.abc import Iterator

from engine.limits.checks.load import work_site
from engine.limits.findings import Finding
from engine.phrases import phrase
from engine.quantities import INCH, Dimension, Units, format_load, parse, round_up
from engine.remedies.drain_height import moved
from engine.remedies.remedy import Idea
from engine.remedies.trials import Trials
from engine.work.flood import flood_test
from engine.work.heights import heights
from engine.work.load import Load, load
from engine.work.site import Site

_STEP = {Units.INCH: parse("1 psf", Dimension.LOAD, Units.INCH), Units.MM: 0.05}  # [kPa] steps that loads are named in


def lighten(trials: Trials, _: Finding) -> Iterator[Idea]:
    """All drains lower, and the bed thinner with them, until the floor bears it where the bed is deepest."""
    found = _loaded(trials)
    if found is None or found[1].allowance is None:
        return
    site, loaded = found
    over = max(loaded.worst.value, loaded.test_worst) - found[1].allowance
    yield from moved(trials, -over / site.rules.bed_load_an_inch.value * INCH)


def allow_load(trials: Trials, _: Finding) -> Iterator[Idea]:
    """What the floor was checked for, entered: no cure, but for whoever has an engineer's word for it."""
    found = _loaded(trials)
    if found is None:
        return
    needed = max(found[1].worst.value, found[1].test_worst)
    text = format_load(round_up(needed, _STEP[trials.units]), trials.units)
    yield Idea(
        phrase(
            "enter {load} as what the floor was checked for, only once a licensed engineer has checked it for that",
            load=text,
        ),
        (("floor.dead_load_allowance", text),),
    )


def _loaded(trials: Trials) -> tuple[Site, Load] | None:
    site = work_site(trials.case)
    return None if site is None else (site, load(site, flood_test(site, heights(site))))
