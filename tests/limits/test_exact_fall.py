"""A rulebook whose least fall is its most: what a sixteenth comes to, by hand."""

from __future__ import annotations

import pytest

EVEN = 'shape = "even-fall"'


def test_says_that_there_is_no_tolerance_and_what_a_sixteenth_comes_to(found):
    """To a corner: 24 sqrt(2) - 3 = 30.94 in; 1/48 +- (1/16) / 30.94 is 1:43.8 and 1:53.2."""
    (note,) = found("no-tolerance", job='name = "x"\nrulebook = "us-accessible"', bed=EVEN)
    assert "1/16 in too high is already 1:43.8, and as much too low 1:53.2" in note.says
    assert note.level == "note"
    assert "ADA" in note.source


@pytest.mark.parametrize("book", ["us-model", "au-ncc", "uk-bs5385"])
def test_is_silent_where_the_limits_stand_apart(found, book):
    assert found("no-tolerance", job=f'name = "x"\nrulebook = "{book}"', bed=EVEN) == []
