"""Odd readings of a finished bed, as findings and as what clears them."""

from __future__ import annotations

import pytest

STATIONS = [
    "A",
    "B",
    "C",
    "D",
    (375.0, 300.0),
    (1125.0, 300.0),
    (1125.0, 900.0),
    (375.0, 900.0),
]
FLANGE = (750.0, 600.0)


def odd(found):
    return [one for one in found.findings if one.rule in ("reading-odd", "line-moved")]


def test_a_sound_bed_has_none(built):
    assert odd(built([(at, (-1) ** i) for i, at in enumerate(STATIONS)])) == []


def swapped(drop):
    """How much too high a place reads whose drop has its last two digits swapped [mm]."""
    first, second, last = f"{drop:.0f}"
    return drop - float(f"{first}{last}{second}")


def planned_drop(found, number):
    return next(one.drop for one in found.as_built.stations if one.number == number)


def test_swapped_digits_are_caught_and_named(built):
    off = swapped(planned_drop(built([(at, 0.0) for at in STATIONS]), 6))
    (one,) = odd(built([(at, off * (i == 6)) for i, at in enumerate(STATIONS)]))
    assert (one.rule, one.key) == ("reading-odd", "as_built[6].drop")
    assert "two digits swapped" in one.remedy


def test_few_readings_are_judged_by_the_plan(built):
    off = swapped(planned_drop(built([(at, 0.0) for at in "ABCD"]), 2))
    (one,) = odd(built([("A", 0), ("B", 0), ("C", off), ("D", 0)]))
    assert (one.rule, one.key) == ("reading-odd", "as_built[2].drop")
    assert odd(built([("A", 0), ("B", 0), ("C", -10.0), ("D", 0)])) == []  # a hand may be that far out


def test_a_bed_that_is_low_all_over_has_no_slips(built):
    """An inch low at every place: by the plan each would be a slip, by the others none is."""
    assert [one.rule for one in odd(built([(at, -25.4) for at in STATIONS]))] == []


@pytest.mark.parametrize(("off", "side"), [(-8.0, "lower"), (8.0, "higher")])
def test_a_line_that_moved_meanwhile_is_caught(built, off, side):
    found = built([(FLANGE, 0), *((at, off * (i >= 4)) for i, at in enumerate(STATIONS))])
    (one,) = odd(found)
    assert (one.rule, one.key) == ("line-moved", "as_built[5].drop")
    assert f"all read 8 mm {side} than the bed before" in one.says
    assert one.remedy.startswith("read at corner D again")


def test_a_flange_that_reads_otherwise_at_the_end_is_told(built):
    found = built([(FLANGE, 0), *((at, 0) for at in STATIONS), (FLANGE, -6.0)], drop=500.0)
    (one,) = [one for one in odd(found) if one.key == "as_built[9].drop"]
    assert (one.rule, "differs by 6 mm" in one.says) == ("line-moved", True)


def test_a_hollow_of_no_slips_depth_is_none(built):
    assert odd(built([(at, -16.0 * (at == (375.0, 900.0))) for at in STATIONS])) == []
