"""Two jobs side by side: which entries differ, which figures, and which findings came or went."""

from __future__ import annotations

import json
from itertools import groupby
from typing import TYPE_CHECKING, Any

from engine.errors import shown
from engine.job.entry_list import entries
from engine.records import dataclass
from engine.sheets.json import plan_json

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from engine.plan import Plan

_ABSENT = "left out"
_NO_FIGURES = ("format", "engine", "digest", "job", "units", "rulebook", "findings", "needs")
_NAMES = ("name", "at", "wall", "item", "edge")  # what a listed thing is known by, where it has such a key


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs: `what` it is ("entry", "figure", "finding"), its name, and both its values in words.

    understood: what the two entries mean in the units of each job, where they are figures.
    """

    what: str
    name: str
    first: str
    second: str
    understood: tuple[str | None, str | None] = (None, None)

    @property
    def line(self) -> str:
        """It in one line; what an entry means stands behind it, where it was typed otherwise."""
        sides = [
            said if meant is None or meant == said.strip("'") else f"{said} ({meant})"
            for said, meant in zip((self.first, self.second), self.understood, strict=True)
        ]
        return f"{self.what} {self.name}: {' -> '.join(sides)}"


def differences(first: Plan, second: Plan) -> tuple[Difference, ...]:
    """What differs between two plans: entries as typed, figures as printed in the JSON, findings by rule and words."""
    figures = _differing("figure", _figures(first), _figures(second))
    findings = _differing("finding", _findings(first), _findings(second))
    return (*_entries(first, second), *figures, *findings)


def compare_text(found: Sequence[Difference]) -> str:
    """Differences, a line each: what, name, the first's value and the second's; lengths of figures in mm."""
    lines = [difference.line for difference in found]
    return "".join(f"{line}\n" for line in lines or ["no differences"])


def compare_json(found: Sequence[Difference]) -> str:
    """Differences as one JSON object: lists of entries, figures and findings; lengths of figures in mm."""
    groups = groupby(found, key=lambda difference: difference.what)
    lists = {what: [_plain(difference) for difference in group] for what, group in groups}
    whole = {key: lists.get(what, []) for what, key in _LISTS.items()}
    return json.dumps(whole, indent=2) + "\n"


_LISTS = {"entry": "entries", "figure": "figures", "finding": "findings"}


def _plain(difference: Difference) -> dict[str, str | None]:
    meant = dict(zip(("first_means", "second_means"), difference.understood, strict=True))
    plain = {"name": difference.name, "first": difference.first, "second": difference.second}
    return plain | (meant if difference.what == "entry" else {})


def _differing(what: str, first: dict[str, str], second: dict[str, str]) -> Iterator[Difference]:
    for name in dict.fromkeys((*first, *second)):
        one, other = first.get(name, _ABSENT), second.get(name, _ABSENT)
        if one != other:
            yield Difference(what, name, one, other)


def _entries(first: Plan, second: Plan) -> Iterator[Difference]:
    one, other = ({entry.key: entry for entry in entries(plan.job)} for plan in (first, second))
    typed = ({key: shown(entry.typed) for key, entry in side.items()} for side in (one, other))
    for found in _differing("entry", *typed):
        pairs = ((one, first.job.units), (other, second.job.units))
        meant = [side[found.name].understood(units) if found.name in side else None for side, units in pairs]
        yield Difference("entry", found.name, found.first, found.second, (meant[0], meant[1]))


def _figures(plan: Plan) -> dict[str, str]:
    whole = json.loads(plan_json(plan))
    return dict(_flat("", {key: value for key, value in whole.items() if key not in _NO_FIGURES}))


def _findings(plan: Plan) -> dict[str, str]:
    """The findings by rule, numbered where a rule speaks more than once."""
    found: dict[str, str] = {}
    for finding in plan.findings:
        count = sum(name.split(" ")[0] == finding.rule for name in found)
        name = finding.rule if not count else f"{finding.rule} {count + 1}"
        found[name] = f"{finding.level.value}: {finding.says}"
    return found


def _flat(path: str, value: Any) -> Iterator[tuple[str, str]]:
    """Every number under its key path; a listed thing that has a name goes by it, so that one more moves no other."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from _flat(f"{path}.{key}" if path else str(key), item)
    elif isinstance(value, list):
        for label, item in zip(_labels(value), value, strict=True):
            yield from _flat(f"{path}[{label}]", item)
    elif isinstance(value, int | float):
        yield path, str(value)


def _labels(items: list[Any]) -> list[str]:
    """What each listed thing goes by: its name where every one has a name of its own, else its number."""
    names = [_name(item) for item in items]
    named = [name for name in names if name]
    return named if len(set(named)) == len(items) else [str(index) for index in range(len(items))]


def _name(item: Any) -> str | None:
    """What a listed thing is known by: "A", "A-B 304.8"."""
    if not isinstance(item, dict):
        return None
    name = next((item[key] for key in _NAMES if isinstance(item.get(key), str)), None)
    return f"{name} {item['along']}" if name and "along" in item else name
