"""The figures of a plan that read alike, as a list to ask one of: what each is, and what it is called."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from engine.quantities import Units
from engine.sheets.figure_words import figure_words
from engine.sheets.words import paragraph

if TYPE_CHECKING:
    from engine.job.entry_list import Entry
    from engine.sheets.figure_list import PlanFigure

_MOST_ALIKE = 24


def reading_list(found: Sequence[PlanFigure], typed: Sequence[Entry], units: Units, title: Callable[[str], str]) -> str:
    """The entries that were typed so, then the figures; those of one kind that read the very same on one line.

    title: what the figure at a path is.
    """
    lines = []
    if typed:
        lines += ["Typed, not planned:"]
        lines += [line for entry in typed for line in paragraph(f"{entry.key} = {entry.typed}", "  ", "    ")]
    if found:
        count = "1 figure reads" if len(found) == 1 else f"{len(found)} figures read"
        lines += paragraph(f"{count} so; ask for one by its name, such as {found[0].path}:")
    alike = groupby(found, lambda one: (_kind(one.path), figure_words(one.value, one.path, units)))
    for (_, words), group in alike:
        lines += _line([*group], words, title)
    return "".join(f"{line}\n" for line in lines)


def _line(figures: Sequence[PlanFigure], words: str, title: Callable[[str], str]) -> list[str]:
    first, *others = figures
    called = "" if first.name == first.path else f" ({first.name})"
    told = f"{first.path}: {title(first.path)}, {words}{called}"
    if others:
        names = ", ".join(one.path.rpartition(".")[0] or one.path for one in others[:_MOST_ALIKE])
        left = len(others) - _MOST_ALIKE
        told += f"; so do {names}" + (f" and {left} more" if left > 0 else "")
    return paragraph(told, "  ", "    ")


def _kind(path: str) -> str:
    return re.sub(r"\[\d+\]", "[]", path)
