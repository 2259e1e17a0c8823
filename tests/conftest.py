"""Rooms as job files, written from numbers, for the tests of the geometry."""

from __future__ import annotations

import os
import sys

import numpy as np
import pytest

from engine.job.toml_file import parse_job
from engine.plan import plan

# What is compiled is kept, whatever the environment says: without it each of the many commands that tests start
# would compile the engine and the wizard again, and each run the tests.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


def _number(value):
    """A number as a person could write it: no noise, for which the reader would refuse it."""
    return repr(round(float(value), 10) + 0.0)


def _pairs(points):
    return "[" + ", ".join(f"[{_number(x)}, {_number(y)}]" for x, y in points) + "]"


def _place(at):
    """A place from its TOML text, or from a pair of coordinates."""
    if isinstance(at, str):
        return at
    x, y = at
    return f"{{ x = {_number(x)}, y = {_number(y)} }}"


def _value(value):
    return f'"{value}"' if isinstance(value, str) else _number(value)


def _outline(outline, islands, extra):
    given = outline if isinstance(outline, str) else f"corners = {_pairs(outline)}"
    posts = ", ".join(f"{{ corners = {_pairs(island)} }}" for island in islands)
    return f"[outline]\n{given}\n{extra}\n" + (f"islands = [{posts}]\n" if posts else "")


def _drain(at, size, kind, drop):
    lines = [f'[[drains]]\nkind = "{kind}"\nsize = {_value(size)}\nat = {_place(at)}']
    return "\n".join(lines + ([] if drop is None else [f"drop = {_value(drop)}"])) + "\n"


def room_text(
    outline,
    *,
    at=None,
    size=100.0,
    kind="round",
    drop=None,
    shape="level-walls",
    fall="1:48",
    mark_step=1.0,
    bed="",
    readings=(),
    islands=(),
    units="mm",
    rulebook="us-model",
    outline_extra="",
    extra="",
):
    """The text of a job: `outline` as TOML or as corner pairs, places as TOML or as pairs, the rest as values."""
    parts = [
        f'format = 1\n[job]\nname = "a room"\nunits = "{units}"\nrulebook = "{rulebook}"\n',
        '[floor]\nkind = "concrete"\nbond_coat = true\n',
        _outline(outline, islands, outline_extra),
        "" if at is None else _drain(at, size, kind, drop),
        *(f"[[readings]]\nat = {_place(place)}\ndrop = {_value(down)}\n" for place, down in readings),
        ""
        if shape is None
        else f'[bed]\nshape = "{shape}"\nfall = "{fall}"\nmark_step = {_value(mark_step)}\n{bed}\n',
        extra,
    ]
    return "\n".join(parts)


@pytest.fixture(scope="session")
def make_job():
    """A job by `room_text`'s words, read by the reader."""

    def build(outline, **words):
        return parse_job(room_text(outline, **words))

    return build


@pytest.fixture(scope="session")
def make_plan(make_job):
    """The plan of a job by `room_text`'s words."""

    def build(outline, **words):
        return plan(make_job(outline, **words))

    return build


def _star(seed):
    """A room of up to 12 corners whose walls go once round a middle: some are seen whole from somewhere."""
    rng = np.random.default_rng(seed)
    count = int(rng.integers(4, 13))
    angles = np.sort(rng.uniform(0, 2 * np.pi, count))
    far = rng.uniform(500, 1500, count)
    ring = far[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
    return ring if rng.random() < 0.5 else ring[::-1]


@pytest.fixture(scope="session")
def star():
    return _star
