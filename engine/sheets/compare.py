"""Two jobs side by side: which entries, figures and findings differ."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..errors import shown
from ..job.entry_list import entries
from ..plan import Plan
from ..quantities import Units
from ..records import record
from .figure_list import figure_words, plain_unit, plan_figures
from .json import plan_json

_ABSENT = "left out"
_NO_FIGURES = ("format", "engine", "digest", "job", "units", "rulebook", "findings", "needs")


@record
class Difference:
    """A difference: `what` it is ("entry", "figure", "finding"), its name, both values in words.

    understood: figures in each job's units; unit: the JSON's, "" for a plain number.
    """

    what: str
    name: str
    first: str
    second: str
    understood: tuple[str | None, str | None] = (None, None)
    unit: str = ""

    @property
    def line(self) -> str:
        """One line; behind a side its meaning in the job's units, if that reads otherwise."""
        pairs = zip(map(self._with_unit, (self.first, self.second)), self.understood, strict=True)
        sides = [f"{told} ({meant})" if meant and self._adds(meant, told) else told for told, meant in pairs]
        return f"{self.what} {self.name}: {' -> '.join(sides)}"

    def _adds(self, meant: str, told: str) -> bool:
        return meant != told.strip("'") and not (self.unit and meant.endswith(f" {self.unit}"))

    def _with_unit(self, side: str) -> str:
        return side if side == _ABSENT else f"{side} {self.unit}".rstrip()


def differences(first: Plan, second: Plan) -> tuple[Difference, ...]:
    """What differs: entries as typed, figures as in the JSON, findings by rule and words."""
    findings = _differing("finding", _findings(first), _findings(second))
    return (*_entries(first, second), *_figures(first, second), *findings)


def compare_text(found: Sequence[Difference]) -> str:
    """A difference a line: what, name, both values; figures as in the JSON and in words."""
    lines = [difference.line for difference in found]
    return "".join(f"{line}\n" for line in lines or ["no differences"])


def compare_json(found: Sequence[Difference]) -> str:
    """Differences as one JSON object: entries, findings, figures in the JSON's units and as each job means them."""
    lists = {key: [_plain(one) for one in found if one.what == what] for what, key in _LISTS.items()}
    return json.dumps(lists, indent=2) + "\n"


_LISTS = {"entry": "entries", "figure": "figures", "finding": "findings"}


def _plain(difference: Difference) -> dict[str, str | None]:
    meant = dict(zip(("first_means", "second_means"), difference.understood, strict=True))
    plain = {"name": difference.name, "first": difference.first, "second": difference.second}
    unit = {"unit": difference.unit or None} if difference.what == "figure" else {}
    return plain | unit | ({} if difference.what == "finding" else meant)


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
        yield replace(found, understood=(meant[0], meant[1]))


def _figures(first: Plan, second: Plan) -> Iterator[Difference]:
    one, other = (_numbers(plan) for plan in (first, second))
    for found in _differing("figure", *({path: shown(x) for path, x in side.items()} for side in (one, other))):
        path, pairs = found.name, ((one, first.job.units), (other, second.job.units))
        meant = [None if path not in side else _meant(side[path], path, units) for side, units in pairs]
        unit = "" if isinstance(one.get(path, other.get(path)), bool) else plain_unit(path)
        yield replace(found, understood=(meant[0], meant[1]), unit=unit)


def _numbers(plan: Plan) -> dict[str, float]:
    whole = json.loads(plan_json(plan))
    figures = plan_figures({key: value for key, value in whole.items() if key not in _NO_FIGURES})
    return {figure.name: figure.value for figure in figures}


def _meant(value: float, path: str, units: Units) -> str | None:
    return None if isinstance(value, bool) else figure_words(value, path, units)


def _findings(plan: Plan) -> dict[str, str]:
    found: dict[str, str] = {}
    for finding in plan.findings:
        count = sum(name.split(" ")[0] == finding.rule for name in found)
        name = finding.rule if not count else f"{finding.rule} {count + 1}"
        found[name] = f"{finding.level.value}: {finding.says}"
    return found
