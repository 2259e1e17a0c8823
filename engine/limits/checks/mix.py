"""Deck mud mixed on site: neither so rich that it curls nor so lean that it crumbles."""

from __future__ import annotations

from collections.abc import Iterator

from engine.job.defaults import parts, supply
from engine.job.model import Supply
from engine.limits.checks.case import Case, is_above, is_below
from engine.limits.findings import Finding
from engine.limits.rulebook import Figure, Limit
from engine.phrases import phrase


def check_mix(case: Case) -> Iterator[Finding]:
    """Findings mix-rich and mix-lean, where cement and sand are mixed on site."""
    if supply(case.job) is not Supply.SITE:
        return
    planned, book = parts(case.job), case.book
    least, most, curls = (book.find(figure) for figure in (Figure.SAND_LEAST, Figure.SAND_MOST, Figure.SAND_CURLS))
    if curls and is_below(planned, curls.value):
        enough = least if least and least.value > curls.value else curls
        yield _rich(planned, curls, enough, curls=True)
    elif least and is_below(planned, least.value):
        yield _rich(planned, least, least, curls=False)
    elif most and is_above(planned, most.value):
        yield _finding(
            "mix-lean",
            phrase(
                "the mud is mixed 1 part of cement to {parts} of sand, leaner than the 1 to {most} that holds together",
                parts=f"{planned:g}",
                most=f"{most.value:g}",
            ),
            phrase("take at most {parts} parts of sand", parts=f"{most.value:g}"),
            (most, most),
        )


def _rich(planned: float, broken: Limit, enough: Limit, *, curls: bool) -> Finding:
    return _finding(
        "mix-rich",
        phrase(
            "the mud is mixed 1 part of cement to {parts} of sand: richer than 1 to {limit} it curls as it dries"
            if curls
            else "the mud is mixed 1 part of cement to {parts} of sand, richer than the 1 to {limit} that deck mud is",
            parts=f"{planned:g}",
            limit=f"{broken.value:g}",
        ),
        phrase("take at least {parts} parts of sand", parts=f"{enough.value:g}"),
        (broken, enough),
    )


def _finding(rule: str, says: str, remedy: str, limits: tuple[Limit, Limit]) -> Finding:
    """limits: the one that is broken, and the one whose figure clears it."""
    broken, enough = limits
    return Finding(
        rule=rule,
        level=broken.level,
        says=says,
        remedy=remedy,
        source=broken.cited,
        key="mortar.parts",
        change=(("mortar.parts", f"{enough.value:g}"),),
    )
