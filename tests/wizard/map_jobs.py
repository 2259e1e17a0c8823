"""Invented jobs for the map's and the side view's tests, planned by the real engine."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

from engine.job.toml_file import parse_job
from engine.limits.findings import Finding, Level
from engine.plan import plan

if TYPE_CHECKING:
    from engine.plan import Plan

HEAD = """
format = 1
[job]
name = "invented"
units = "{units}"
[floor]
kind = "concrete"
"""
RECTANGLE = """
[outline]
rectangle = ["60 in", "36 in"]
edges = {{ "{curb}" = "curb" }}
[[drains]]
kind = "round"
size = "6 in"
at = {{ x = "{drain} in", y = "18 in" }}
[bed]
shape = "{shape}"
"""
CORNER_READINGS = (("A", "21 1/16 in"), ("B", "21 1/2 in"), ("C", "20 3/4 in"), ("D", "21 1/4 in"))
ELL = """
[outline]
corners = [["0 in","0 in"], ["72 in","0 in"], ["72 in","36 in"], ["36 in","36 in"], ["36 in","72 in"], ["0 in","72 in"]]
edges = { "D-E" = "open" }
islands = [{ corners = [["50 in","10 in"], ["58 in","10 in"], ["58 in","22 in"], ["50 in","22 in"]] }]
[[drains]]
kind = "square"
size = "4 in"
at = { x = "20 in", y = "20 in" }
[bed]
shape = "even-fall"
"""
CUT_CORNER = """
[outline]
corners = [["0 in","0 in"], ["40 in","0 in"], ["40 in","18 in"], ["18 in","40 in"], ["0 in","40 in"]]
edges = { "C-D" = "curb" }
[[drains]]
kind = "round"
size = "5 in"
at = { x = "14 in", y = "14 in" }
[bed]
shape = "level-walls"
"""


def readings(drops: tuple[tuple[str, str], ...]) -> str:
    """Readings at corners as job text."""
    return "".join(f'[[readings]]\nat = "{at}"\ndrop = "{drop}"\n' for at, drop in drops)


def planned(text: str, units: str = "in") -> Plan:
    """The plan of a job's text without its head."""
    return plan(parse_job(HEAD.format(units=units) + text))


@cache
def rectangle(shape: str = "level-walls", units: str = "in", drain: float = 18, curb: str = "D-A") -> Plan:
    """60 x 36 in with a curb, four corners read, the drain off the middle."""
    return planned(RECTANGLE.format(shape=shape, drain=drain, curb=curb) + readings(CORNER_READINGS), units)


@cache
def ell() -> Plan:
    """An L with a post in one leg and an open edge."""
    drops = (("A", "21 in"), ("B", "21 1/2 in"), ("F", "21 1/4 in"))
    return planned(ELL + readings(drops))


@cache
def cut_corner() -> Plan:
    """A square with one corner cut off by the curb."""
    return planned(CUT_CORNER + readings((("A", "21 in"), ("B", "21 1/2 in"), ("E", "21 1/4 in"))))


def with_findings(base: Plan, *places: tuple[float, float] | None, level: Level = Level.STOP) -> Plan:
    """The plan with findings of one's own at places in [mm], or without a place."""
    found = tuple(
        Finding("rule", level, "says", "remedy", "source", *(place or (None, None))) for place in places
    )
    return replace(base, findings=found)
