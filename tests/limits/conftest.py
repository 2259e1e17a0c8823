"""A small sound job as text, with any of its tables replaced, and the plan's findings by rule."""

from __future__ import annotations

import pytest

from engine.job.toml_file import parse_job
from engine.plan import plan

# 48 x 48 in, a 6 in round drain in the middle, level concrete with a bond coat 2 in under the line to the flange:
# the bed is nowhere thinner than that, the longest run is 30.94 in and the shortest 21 in.
TABLES = {
    "job": 'name = "a sound floor"',
    "floor": 'kind = "concrete"\nbond_coat = true',
    "outline": 'rectangle = ["48 in", "48 in"]',
    "drains": 'kind = "round"\nsize = "6 in"\nat = { "A-B" = "24 in", "D-A" = "24 in" }\ndrop = "20 in"',
    "bed": 'shape = "level-walls"',
}
READINGS = {"A": "22 in", "B": "22 in", "C": "22 in", "D": "22 in"}


def _text(readings, tables):
    parts = ["format = 1"]
    for name, body in {**TABLES, **tables}.items():
        if body is not None:
            header = f"[[{name}]]" if name == "drains" else f"[{name}]"
            parts.append(f"{header}\n{body}")
    parts += [f'[[readings]]\nat = {_place(at)}\ndrop = "{drop}"' for at, drop in readings]
    return "\n\n".join(parts)


def _place(at):
    return f'"{at}"' if isinstance(at, str) else f'{{ x = "{at[0]} in", y = "{at[1]} in" }}'


@pytest.fixture
def make():
    """The small job with tables replaced (None leaves one out) and other readings: (place, drop) pairs."""

    def build(readings=None, **tables):
        given = READINGS.items() if readings is None else readings
        return parse_job(_text(list(given), tables))

    return build


@pytest.fixture
def found(make):
    """The findings of one rule on the small job, with tables replaced."""

    def look(rule, readings=None, **tables):
        return [finding for finding in plan(make(readings, **tables)).findings if finding.rule == rule]

    return look
