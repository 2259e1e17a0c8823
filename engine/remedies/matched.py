"""Which findings of a changed job are those of the job as it was."""

import re
from collections.abc import Iterable
from dataclasses import replace
from math import hypot, inf

from ..limits.findings import Finding, Level
from .remedy import Change

_ITEM = re.compile(r"(\w+)\[(\d{1,6})\]")
_FAR = 1e9  # [mm]
_CALM = 6  # decimals of distances [mm] told apart


def as_numbered(found: tuple[Finding, ...], change: Change) -> tuple[Finding, ...]:
    """A changed job's findings, drains and readings numbered as before some were left out."""
    for key, text in reversed(change):
        if not text and (gone := _ITEM.fullmatch(key)):
            found = tuple(_with_one_more(each, gone[1], int(gone[2])) for each in found)
    return found


def _with_one_more(found: Finding, section: str, number: int) -> Finding:
    def before(item: re.Match[str]) -> str:
        is_later = item[1] == section and int(item[2]) >= number
        return f"{section}[{int(item[2]) + 1}]" if is_later else item[0]

    drains = tuple(i + (i >= number) for i in found.drains) if section == "drains" else found.drains
    return replace(found, key=_ITEM.sub(before, found.key or "") or None, drains=drains)


def stands(finding: Finding, before: Iterable[Finding], after: Iterable[Finding]) -> bool:
    """Whether a finding of the job as it was is still among the changed job's.

    What is about drains stands while one about just those does, or about the whole bed. Others are matched one to one,
    nearest first. A note is not what was a stop or a caution: it goes by another figure.
    """
    alike = [[found for found in findings if found.rule == finding.rule] for findings in (before, after)]
    were, are = ([found for found in each if _is_note(found) == _is_note(finding)] for each in alike)
    if finding.rule == "runs-unequal" and any(found.rule == "fall-steep" for found in after):
        return True  # they are as unequal, only not of one drain that sees all
    if finding.rule == "hidden-floor" and finding.level is Level.STOP:  # a bed with valleys is told as a caution
        return any(found.level is Level.STOP for found in are)
    if finding.drains:
        return any(is_about(found, finding) for found in are)
    pairs = sorted((*apart(old, new), i, k) for i, old in enumerate(were) for k, new in enumerate(are))
    while pairs:
        away, _, i, k = pairs[0]
        if away < inf and were[i] == finding:
            return True
        pairs = [pair for pair in pairs if pair[2] != i and pair[3] != k]
    return False


def _is_note(finding: Finding) -> bool:
    return finding.level is Level.NOTE


def is_about(found: Finding, finding: Finding) -> bool:
    """Whether a finding is about the drains another of its rule is, or one of both about the whole bed."""
    return found.rule == finding.rule and (found.drains == finding.drains or not found.drains or not finding.drains)


def apart(found: Finding, other: Finding) -> tuple[float, bool]:
    """How far apart two findings' places are [mm], and whether they are about unlike entries.

    Those with no place are apart while their entries are, and far from one with a place.
    """
    is_other = found.key != other.key
    if found.x is None or found.y is None or other.x is None or other.y is None:
        return inf if is_other else _FAR * (found.x != other.x), is_other
    return round(hypot(found.x - other.x, found.y - other.y), _CALM), is_other
