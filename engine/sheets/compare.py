"""Two jobs side by side: which entries differ, which figures, and which findings came or went."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from engine.errors import shown
from engine.job.toml_file import dump_job
from engine.sheets.figures import plan_figures

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.plan import Plan

_ABSENT = "left out"


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs: `what` it is ("entry", "figure", "finding"), its name, and both its values in words."""

    what: str
    name: str
    first: str
    second: str


def differences(first: Plan, second: Plan) -> tuple[Difference, ...]:
    """What differs between two plans: entries as typed, figures as printed in the JSON, findings by rule and words."""
    entries = _differing("entry", _entries(first), _entries(second))
    figures = _differing("figure", _figures(first), _figures(second))
    return (*entries, *figures, *_differing("finding", _findings(first), _findings(second)))


def compare_text(first: Plan, second: Plan) -> str:
    """The differences, a line each: what, name, the first's value and the second's; lengths of figures in mm."""
    lines = [f"{d.what} {d.name}: {d.first} -> {d.second}" for d in differences(first, second)]
    return "".join(f"{line}\n" for line in lines or ["no differences"])


def _differing(what: str, first: dict[str, str], second: dict[str, str]) -> Iterator[Difference]:
    for name in dict.fromkeys((*first, *second)):
        one, other = first.get(name, _ABSENT), second.get(name, _ABSENT)
        if one != other:
            yield Difference(what, name, one, other)


def _entries(plan: Plan) -> dict[str, str]:
    return dict(_flat("", tomllib.loads(dump_job(plan.job))))


def _figures(plan: Plan) -> dict[str, str]:
    return dict(_flat("", plan_figures(plan)))


def _findings(plan: Plan) -> dict[str, str]:
    """The findings by rule, numbered where a rule speaks more than once."""
    found: dict[str, str] = {}
    for finding in plan.findings:
        count = sum(name.split(" ")[0] == finding.rule for name in found)
        name = finding.rule if not count else f"{finding.rule} {count + 1}"
        found[name] = f"{finding.level.value}: {finding.says}"
    return found


def _flat(path: str, value: Any) -> Iterator[tuple[str, str]]:
    """Every single value under its key path."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from _flat(f"{path}.{key}" if path else str(key), item)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _flat(f"{path}[{index}]", item)
    elif value is not None:
        yield path, shown(value)
