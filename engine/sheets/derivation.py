"""How a figure of the JSON comes about: its formula, bare and with this job's figures.

Formulas stand in `derivations.toml` by figures' paths; `tests/packed` packs them.
"""

import re
from functools import cache
from pathlib import Path
from typing import Any

from ..job.defaults import default_text
from ..job.edit import entry_text
from ..job.model import Job
from ..packed import unpacked
from ..quantities import Dimension, format_quantity
from ..records import record

_STEP = re.compile(r"\.?([A-Za-z][\w-]*)|\[(\d{1,9})\]")
_HOLE = re.compile(r"\{(\w+) ([^{}]+)\}")
_ANY = re.compile(r"\[\]|\*")


@record
class Derivation:
    """A figure's title, its formula in the field's notation and with this job's figures, the source."""

    title: str
    formula: str
    numbers: str
    source: str


def value_at(whole: Any, path: str) -> Any:
    """What stands at a path of the JSON, such as "marks[0].above_drain"; None for nothing."""
    if "".join(step[0] for step in _STEP.finditer(path)) != path:
        return None
    for name, number in _STEP.findall(path):
        whole = _inside(whole, name, number)
    return whole


def figure_at(whole: Any, path: str) -> float | None:
    """The number at that path, if any."""
    found = value_at(whole, path)
    return float(found) if isinstance(found, int | float) and not isinstance(found, bool) else None


def derivation(job: Job, whole: Any, path: str) -> Derivation | None:
    """How the figure at a path of a job's JSON comes about; None without a formula."""
    for entry, pattern in _table():
        fits = pattern.fullmatch(path)
        if fits:
            filled = {key: _filled(entry.get(key, ""), job, whole, fits) for key in _TEXTS}
            return Derivation(entry["title"], filled["formula"], filled["numbers"], filled["source"])
    return None


_TEXTS = ("formula", "numbers", "source")


@cache
def _table() -> tuple[tuple[dict[str, Any], re.Pattern[str]], ...]:
    told = unpacked(Path(__file__).with_name("derivations.json.bz2"))
    return tuple((entry, _pattern(path)) for at, entry in told.items() for path in at.split())


def _pattern(path: str) -> re.Pattern[str]:
    return re.compile(re.escape(path).replace(r"\[\]", r"\[(\d+)\]").replace(r"\*", r"([\w.-]+)"))


def _inside(whole: Any, name: str, number: str) -> Any:
    if name:
        return whole.get(name) if isinstance(whole, dict) else None
    return whole[int(number)] if isinstance(whole, list) and int(number) < len(whole) else None


def _filled(text: str, job: Job, whole: Any, asked: re.Match[str]) -> str:
    said = {hole[0]: _said(hole[1], hole[2], job, whole, asked) for hole in _HOLE.finditer(text)}
    if None in said.values():
        return ""
    return _HOLE.sub(lambda hole: said[hole[0]] or "", text)


def _said(kind: str, path: str, job: Job, whole: Any, asked: re.Match[str]) -> str | None:
    if kind == "typed":
        return entry_text(job, path) or default_text(job, path) or "(left out)"
    if path.startswith("."):
        path = asked[0].rpartition(".")[0] + path
    left = iter(asked.groups())
    here = _ANY.sub(lambda any_: f"[{next(left)}]" if any_[0] == "[]" else next(left), path)
    value = value_at(whole, here)
    if value is None:
        return None
    if kind in ("count", "text"):
        return f"{value:g}" if isinstance(value, float) else str(value)
    return format_quantity(value, Dimension(kind), job.units)
