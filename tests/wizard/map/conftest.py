"""Invented jobs for the map's and the side view's tests, planned by the engine itself."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from types import SimpleNamespace
from typing import TYPE_CHECKING

import pytest

from engine.job.toml_file import parse_job
from engine.limits.findings import Finding, Level
from engine.plan import plan

if TYPE_CHECKING:
    from engine.plan import Plan

_HEAD = """
format = 1
[job]
name = "invented"
units = "{units}"
[floor]
kind = "concrete"
"""
_RECTANGLE = """
[outline]
rectangle = ["60 in", "36 in"]
edges = {{ "{curb}" = "curb" }}
[[drains]]
kind = "round"
size = "6 in"
drop = "19 5/8 in"
at = {{ x = "{drain} in", y = "18 in" }}
[bed]
shape = "{shape}"
fall = "1/4 in/ft"
"""
_ELL = """
[outline]
corners = [["0 in","0 in"], ["72 in","0 in"], ["72 in","36 in"], ["36 in","36 in"], ["36 in","72 in"], ["0 in","72 in"]]
edges = {{ "D-E" = "open" }}
islands = [{{ corners = [["50 in","10 in"], ["58 in","10 in"], ["58 in","22 in"], ["50 in","22 in"]] }}]
[[drains]]
kind = "square"
size = "4 in"
drop = "19 3/4 in"
at = {{ x = "{x} in", y = "{y} in" }}
[bed]
shape = "{shape}"
fall = "1/4 in/ft"
"""
_CUT_CORNER = """
[outline]
corners = {corners}
edges = {{ "{curb}" = "curb" }}
[[drains]]
kind = "round"
size = "5 in"
drop = "19 3/4 in"
at = {{ x = "{x} in", y = "13 in" }}
[bed]
shape = "even-fall"
fall = "1/4 in/ft"
"""
_CORNERS = {
    False: '[["0 in","0 in"], ["40 in","0 in"], ["40 in","18 in"], ["18 in","40 in"], ["0 in","40 in"]]',
    True: '[["40 in","0 in"], ["0 in","0 in"], ["0 in","18 in"], ["22 in","40 in"], ["40 in","40 in"]]',
}


def _readings(drops: dict[str, str]) -> str:
    return "".join(f'[[readings]]\nat = "{at}"\ndrop = "{drop}"\n' for at, drop in drops.items())


def planned(text: str, units: str = "in") -> Plan:
    """The plan of a job's text without its head."""
    return plan(parse_job(_HEAD.format(units=units) + text))


@cache
def rectangle(
    shape: str = "level-walls", units: str = "in", drain: str = "18", curb: str = "D-A", drops: str = "21 3/4"
) -> Plan:
    """60 x 36 in with a curb; corners A, B, C read at fixed drops and D at `drops`."""
    text = _RECTANGLE.format(shape=shape, drain=drain, curb=curb)
    corners = {"A": "21 1/16 in", "B": "21 1/2 in", "C": "20 3/4 in", "D": f"{drops} in"}
    return planned(text + _readings(corners), units)


@cache
def mirrored_rectangle() -> Plan:
    """The rectangle seen in a mirror: the drain, the curb and the readings change sides."""
    corners = {"B": "21 1/16 in", "A": "21 1/2 in", "D": "20 3/4 in", "C": "21 3/4 in"}
    text = _RECTANGLE.format(shape="level-walls", drain="42", curb="B-C")
    return planned(text + _readings(corners))


@cache
def ell(shape: str = "even-fall", x: str = "20", y: str = "20") -> Plan:
    """An L with a post in one leg and an open edge."""
    return planned(_ELL.format(shape=shape, x=x, y=y) + _readings({"A": "21 in", "B": "21 1/2 in", "F": "21 1/4 in"}))


@cache
def cut_corner(*, is_mirrored: bool = False) -> Plan:
    """A square with one corner cut off by the curb, or its mirror image walked the other way round."""
    text = _CUT_CORNER.format(corners=_CORNERS[is_mirrored], curb="C-D", x="26.7" if is_mirrored else "13.3")
    return planned(text + _readings({"A": "21 in", "B": "21 1/2 in", "E": "21 1/4 in"}))


def with_findings(base: Plan, *places: tuple[float, float] | None) -> Plan:
    """The plan with findings of one's own at places in [mm], or without a place; the levels take turns."""
    levels = list(Level)
    found = tuple(
        Finding("rule", levels[i % 3], "says", "remedy", "source", *(place or (None, None)))
        for i, place in enumerate(places)
    )
    return replace(base, findings=found)


@pytest.fixture
def jobs() -> SimpleNamespace:
    """The makers of plans."""
    return SimpleNamespace(
        planned=planned,
        rectangle=rectangle,
        mirrored_rectangle=mirrored_rectangle,
        ell=ell,
        cut_corner=cut_corner,
        with_findings=with_findings,
    )
