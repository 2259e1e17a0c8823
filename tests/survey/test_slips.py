"""Slips planted in a survey of a known floor: each kind is caught and named; see tests/validation for how often."""

from __future__ import annotations

import numpy as np
import pytest

from engine.job.model import Typed
from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.quantities import Units
from engine.survey.least_slip import least_slip
from engine.survey.odd import Slip, likely_slip

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


class TestTheLeastThatShows:
    def test_is_a_slip_that_the_others_judge(self):
        """Five on one line and one off it: nothing judges that one."""
        places = np.vstack([np.column_stack([np.arange(5.0) * 200, np.zeros(5)]), [[400.0, 900.0]]])
        drops = [Typed("540", 540.0)] * 6
        found = least_slip(places, np.full(6, -540.0), drops, Units.MM)
        assert found.unjudged == (5,)
        assert found.usual <= found.worst.value < np.inf
        assert least_slip(places[:4], np.full(4, -540.0), drops[:4], Units.MM) is None

    def test_shrinks_with_more_readings(self):
        drops = [Typed("540", 540.0)] * 25
        rng = np.random.Generator(np.random.PCG64(1))
        places = np.vstack([PLACES, rng.uniform((150, 150), (1370, 760), (14, 2))])
        few = least_slip(places[:9], np.full(9, -540.0), drops[:9], Units.MM)
        many = least_slip(places, np.full(25, -540.0), drops, Units.MM)
        assert many.usual < few.usual
