"""Phrases: English to everyone, and the same parts in any other tongue."""

import copy
import pickle
from gettext import NullTranslations

import pytest

from engine.phrases import counted_phrase, joined, phrase, shaped

PAGES = {"{depth} deep {place}": "{place}: {depth} de hondo", "at corner {corner}": "en la esquina {corner}"}


class Reversed(NullTranslations):
    """A made-up tongue that puts the place first."""

    def gettext(self, message):
        return PAGES.get(message, message)

    def ngettext(self, one, many, number):  # gettext's own names say less
        return {"{number} bag": "{number} saco", "{number} bags": "{number} sacos"}[one if number == 1 else many]


def deep():
    return phrase("{depth} deep {place}", depth="1 1/4 in", place=phrase("at corner {corner}", corner="B"))


def test_a_phrase_is_its_english_text():
    assert deep() == "1 1/4 in deep at corner B"
    assert isinstance(deep(), str)


def test_another_tongue_has_the_same_parts_in_its_own_order():
    assert deep().told(Reversed()) == "en la esquina B: 1 1/4 in de hondo"


def test_what_is_put_in_is_never_read_as_a_pattern():
    assert phrase("at corner {corner}", corner="{corner} [b]").told(Reversed()) == "en la esquina {corner} [b]"


@pytest.mark.parametrize(("number", "english", "other"), [(1, "1 bag", "1 saco"), (3, "3 bags", "3 sacos")])
def test_a_count_chooses_the_form_in_each_tongue(number, english, other):
    bags = counted_phrase("{number} bag", "{number} bags", number)
    assert (bags, bags.told(Reversed())) == (english, other)


def test_joined_phrases_are_each_told():
    both = joined("; ", [deep(), "as typed"])
    assert both == "1 1/4 in deep at corner B; as typed"
    assert both.told(Reversed()) == "en la esquina B: 1 1/4 in de hondo; as typed"


def test_a_shape_is_given_to_what_is_told():
    loud = phrase("at corner {corner}", corner=shaped("b", str.upper))
    assert (loud, loud.told(Reversed())) == ("at corner B", "en la esquina B")
    loud = shaped(deep(), str.upper)
    assert (loud, loud.told(Reversed())) == (
        "1 1/4 IN DEEP AT CORNER B",
        "EN LA ESQUINA B: 1 1/4 IN DE HONDO",
    )


@pytest.mark.parametrize("same", [copy.deepcopy, lambda text: pickle.loads(pickle.dumps(text))])  # noqa: S301 - our own bytes
def test_copies_remember(same):
    assert same(deep()).told(Reversed()) == deep().told(Reversed())


def test_a_tongue_without_the_sentence_tells_it_in_english():
    assert deep().told(NullTranslations()) == deep()
