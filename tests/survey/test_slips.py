"""Slips planted in surveys of known floors: each kind is caught and named; how often, and how often in vain."""

from __future__ import annotations

import numpy as np
import pytest

from engine.job.model import Typed
from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.quantities import Units, format_length
from engine.survey.odd import judged
from engine.survey.slips import Slip, likely_slip

INCH = 25.4
STATIONS = {  # in walking order round a 60 x 36 in floor, then across its middle [in]
    "A": (0, 0),
    "A-B middle": (30, 0),
    "B": (60, 0),
    "B-C middle": (60, 18),
    "C": (60, 36),
    "C-D middle": (30, 36),
    "D": (0, 36),
    "D-A middle": (0, 18),
    "drain": (30, 18),
    "near A": (15, 9),
    "near C": (45, 27),
}
PLACES = np.array(list(STATIONS.values()), dtype=float) * INCH
ROUNDS = 80
SLAB = {"smooth": 1.0, "usual": 1.6, "rough": 2.5}  # [mm] scatter about its plane
# What the figures below have to hold on a usual slab; false alarms are one in a hundred surveys or fewer.
CAUGHT = {"inch": 0.99, "swapped": 0.99, "fraction": 0.5, "moved": 0.9}
FALSE_ALARMS = 0.01


def typed(inches):
    return [Typed(format_length(drop * INCH, Units.INCH, INCH / 16), drop * INCH) for drop in inches]


def seen(places, drops):
    return judged(places, -drops * INCH, typed(drops), Units.INCH)


def surveyed(rng, count, scatter):
    """Drops [in] to 1/16 of a leaning slab with that scatter about its plane."""
    places = PLACES[:count]
    heights = places @ rng.uniform(-0.01, 0.01, 2) + rng.normal(0, scatter, count)
    return places, np.round((540 - heights) / INCH * 16) / 16


def with_slip(rng, drops, kind):
    """The drops with one slip in them, the reading that it is in, and the slip's name."""
    drops, at, whole = drops.copy(), int(rng.integers(len(drops))), 0
    if kind == "inch":
        drops[at] += rng.choice([-1, 1])
        return drops, at, Slip.WHOLE_UNIT
    if kind == "swapped":
        whole = int(drops[at])
        drops[at] += int(str(whole)[::-1]) - whole
        return drops, at, Slip.SWAPPED
    top = int(rng.choice([5, 7]))  # 5/16 or 7/16 is there, 5/8 or 7/8 is written
    drops += np.floor(drops[at]) + top / 16 - drops[at]
    drops[at] += top / 16
    return drops, at, Slip.FRACTION


def counted(rng, scatter, kind):
    """How often, of so many surveys of eleven stations: caught, named, and something sound called odd as well."""
    caught = named = others = 0
    for _ in range(ROUNDS):
        places, drops = surveyed(rng, len(PLACES), scatter)
        if kind == "moved":
            since = int(rng.integers(3, len(PLACES) - 2))
            drops[since:] += rng.choice([-1, 1]) / 2
            found = seen(places, drops)
            caught += found.move is not None
            named += found.move is not None and found.move.since == since
            others += bool(found.odd)
            continue
        drops, at, slip = with_slip(rng, drops, kind)
        found = seen(places, drops)
        caught += any(one.number == at for one in found.odd)
        named += any(one.number == at and one.likely and one.likely.slip is slip for one in found.odd)
        others += any(one.number != at for one in found.odd)
    return caught / ROUNDS, named / ROUNDS, others / ROUNDS


def false_alarms(rng, scatter):
    alarms = 0
    for _ in range(2 * ROUNDS):
        found = seen(*surveyed(rng, int(rng.integers(5, 12)), scatter))
        alarms += bool(found.odd) or found.move is not None
    return alarms / (2 * ROUNDS)


@pytest.fixture(scope="module")
def rates():
    rng = np.random.Generator(np.random.PCG64(20270308))
    found = {}
    for slab, scatter in SLAB.items():
        found[slab] = {kind: counted(rng, scatter, kind) for kind in CAUGHT}
        found[slab]["none"] = (false_alarms(rng, scatter), 0.0, 0.0)
    return found


def test_the_rates_as_a_table(rates, capsys):
    rows = ["", f"{'slab':8}{'slip':10}{'caught':>8}{'named':>8}{'others':>8}"]
    for slab, kinds in rates.items():
        for kind, figures in kinds.items():
            rows.append(f"{slab:8}{kind:10}" + "".join(f"{figure:8.1%}" for figure in figures))
    with capsys.disabled():
        print("\n".join(rows))  # noqa: T201 - the rates are to be read in the tests' output


@pytest.mark.parametrize("kind", CAUGHT)
def test_on_a_usual_slab_a_slip_is_caught(rates, kind):
    caught, named, others = rates["usual"][kind]
    assert caught >= CAUGHT[kind]
    assert named >= 0.75 * CAUGHT[kind]
    assert others <= 0.05


@pytest.mark.parametrize("slab", ["smooth", "usual"])
def test_a_sound_survey_is_left_alone(rates, slab):
    assert rates[slab]["none"][0] <= FALSE_ALARMS


# One survey with a slip of each kind, as a job: 60 x 36 in, level slab 1 1/2 in under the flange but for the slip.
JOB = """
format = 1
[job]
name = "planted"
[floor]
kind = "concrete"
bond_coat = true
[outline]
rectangle = ["60 in", "36 in"]
[[drains]]
kind = "round"
size = "6 in"
at = {{ "A-B" = "18 in", "D-A" = "30 in" }}
drop = "20 in"
[bed]
shape = "level-walls"
{readings}
"""
LEVEL = [
    "21 5/16",
    "21 3/8",
    "21 5/16",
    "21 3/8",
    "21 5/16",
    "21 5/16",
    "21 3/8",
    "21 5/16",
    "21 3/8",
    "21 5/16",
    "21 5/16",
]


def findings(drops):
    rows = [
        f'[[readings]]\nat = {{ x = "{x} in", y = "{y} in" }}\ndrop = "{drop} in"'
        for (x, y), drop in zip(STATIONS.values(), drops, strict=True)
    ]
    found = plan(parse_job(JOB.format(readings="\n".join(rows)))).findings
    return [one for one in found if one.rule in ("reading-odd", "line-moved")]


class TestPlanted:
    def test_a_sound_survey_has_none(self):
        assert findings(LEVEL) == []

    @pytest.mark.parametrize(
        ("at", "drop", "remedy"),
        [
            (4, "22 5/16", "21 5/16 in would fit: one whole inch off"),
            (2, "12 5/16", "21 5/16 in would fit: two digits swapped"),
            (
                7,
                "21 5/8",
                "21 5/16 in would fit: the fraction taken on another scale, as eighths for sixteenths",
            ),
        ],
    )
    def test_a_slip_is_caught_and_named(self, at, drop, remedy):
        (found,) = findings([*LEVEL[:at], drop, *LEVEL[at + 1 :]])
        assert (found.rule, found.key) == ("reading-odd", f"readings[{at}].drop")
        assert found.remedy == f"read it again: {drop} in is entered; {remedy}"

    def test_a_line_that_moved_is_caught_with_the_station_since(self):
        moved = [*LEVEL[:6], "21 11/16", "21 5/8", "21 11/16", "21 5/8", "21 5/8"]
        (found,) = findings(moved)
        assert (found.rule, found.key) == ("line-moved", "readings[6].drop")
        assert found.says.startswith("from the reading at corner D on, all read 5/16 in lower")


@pytest.mark.parametrize(
    ("text", "units", "off", "slip", "meant"),
    [
        ("545", Units.MM, 9.0, Slip.SWAPPED, 554.0),
        ("545", Units.MM, 10.2, Slip.WHOLE_CENTIMETRE, 555.0),
        ("21 5/8", Units.INCH, 5 / 16 * INCH, None, None),
        ("21 5/8", Units.INCH, -5 / 16 * INCH, Slip.FRACTION, 21.3125 * INCH),
        ("21 5/8", Units.INCH, 30.0, Slip.WHOLE_UNIT, 22.625 * INCH),
    ],
)
def test_the_slip_that_explains_it(text, units, off, slip, meant):
    value = float(text) if units is Units.MM else 21.625 * INCH
    likely = likely_slip(Typed(text, value), units, off, 5.0)
    if slip is None:
        assert likely is None
    else:
        assert (likely.slip, likely.drop) == (slip, pytest.approx(meant))
