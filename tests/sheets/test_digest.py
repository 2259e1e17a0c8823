"""The digest: of the figures and nothing else, and fit to be read out."""

from __future__ import annotations

import re

import pytest

from engine.sheets.digest import digest, digest_of


def test_has_the_form_that_is_read_over_a_telephone(whole):
    assert re.fullmatch(r"[2-9A-HJ-NP-Z]{4}-[2-9A-HJ-NP-Z]{4}", digest(whole))


def test_is_the_head_of_the_sha_256_of_the_figures():
    # sha256(b"{}") begins 44136fa355: 40 bits, five to a sign, into 23456789ABCDEFGHJKLMNPQRSTUVWXYZ.
    bits = f"{0x44136FA355:040b}"
    letters = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
    signs = "".join(letters[int(bits[i : i + 5], 2)] for i in range(0, 40, 5))
    assert digest_of({}) == f"{signs[:4]}-{signs[4:]}"


def test_does_not_hang_on_name_notes_or_on_how_a_length_is_typed(whole, variant):
    assert digest(variant("Ferry Street flat 2, shower", "Another name")) == digest(whole)
    assert digest(variant("[floor]", 'notes = "a note"\n[floor]')) == digest(whole)
    assert digest(variant('"48 in"', '"4 ft"')) == digest(whole)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"48 in"', '"48 1/16 in"'),
        ('"21 1/8 in"', '"21 3/16 in"'),
        ('"level-walls"', '"even-fall"'),
        ('"D-A" = "24 in"', '"D-A" = "23 in"'),
    ],
)
def test_changes_with_every_figure_that_is_built(whole, variant, old, new):
    assert digest(variant(old, new)) != digest(whole)


def test_a_partial_plan_has_one_too(begun):
    assert re.fullmatch(r"\S{4}-\S{4}", digest(begun))
