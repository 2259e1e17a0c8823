"""liner-height and wire-fabric: what the codes ask of a liner between two beds."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level

BETWEEN = 'waterproofing = "between-beds"\nupper_bed = "1 1/2 in"'


def test_the_codes_difference_is_told_where_there_is_a_liner(found):
    note = found("liner-height", build=BETWEEN)[0]
    assert note.level is Level.NOTE
    assert "3 in by UPC 408.7, 2 in by IPC 417.5.2; this plan takes the higher" in note.says
    assert note.remedy.startswith("turn it up 3 in over the threshold")
    assert "curb" not in note.says
    assert found("liner-height") == []


def test_a_curb_lies_the_codes_inch_below_the_liners_edge(found):
    outline = 'rectangle = ["48 in", "48 in"]\nedges = { "A-B" = "curb" }'
    note = found("liner-height", build=BETWEEN, outline=outline)[0]
    assert "so the curb lies more than 1 in under its edge" in note.says
    assert "IRC 2021 P2709.1" in note.source


@pytest.mark.parametrize("book", ["us-accessible", "au-ncc", "nz-e3", "uk-bs5385", "de-din18040"])
def test_every_rulebook_tells_the_difference_as_its_own_or_as_borrowed(found, book):
    job = f'name = "x"\nrulebook = "{book}"'
    note = found("liner-height", build=BETWEEN, job=job)[0]
    assert ("borrowed" in note.source) == (book != "us-accessible")


def _pan(found, a, b, build=BETWEEN):
    drain = f'kind = "round"\nsize = "6 in"\nat = {{ x = "{a / 2} in", y = "{b / 2} in" }}\ndrop = "20 in"'
    return found("wire-fabric", build=build, outline=f'rectangle = ["{a} in", "{b} in"]', drains=drain)


def test_wire_fabric_goes_into_a_pan_over_65_square_feet(found):
    assert _pan(found, 120, 78) == []  # 10 ft x 6 1/2 ft are 65 sq ft
    note = _pan(found, 120, 78.12)[0]
    assert note.level is Level.NOTE
    assert "65.1 sq ft, more than 65 sq ft" in note.says
    assert _pan(found, 120, 90, build=None) == []
