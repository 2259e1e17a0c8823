"""What the explain key says of each field: data files, one a step, packed by `tests/packed`, in every catalogue."""

import re
from functools import cache
from pathlib import Path

from engine.packed import unpacked
from engine.phrases import phrase
from engine.records import record

_INDEX = re.compile(r'\[[^\]]*\]|@.*|\."[^"]*"')


@record
class Explanation:
    """A field in words: its label, what it is, how to measure it, what is usual, who says so."""

    label: str = ""
    what: str = ""
    how: str = ""
    usual: str = ""
    source: str = ""

    def paragraphs(self) -> list[tuple[str, str]]:
        """Heading and text of each part that is there."""
        parts = [
            ("", self.what),
            (phrase("How to find it"), self.how),
            (phrase("Usual"), self.usual),
            (phrase("Source"), self.source),
        ]
        return [(heading, text) for heading, text in parts if text]


@cache
def _all() -> dict[str, Explanation]:
    told = unpacked(Path(__file__).with_name("texts.json.bz2"))
    return {key: Explanation(**{part: phrase(words) for part, words in entry.items()}) for key, entry in told.items()}


def explanation(key: str) -> Explanation:
    """The words for a field's key, or for what the field is a part of.

    Indices in brackets, walls in quotes and places after an @ do not count; a channel's ends go by a drain's place.
    Raises KeyError for none.
    """
    plain = _INDEX.sub("", key)
    for tried in (plain, re.sub(r"\.(from|to)\.", ".at.", plain), plain.rpartition(".")[0], plain.partition(".")[0]):
        if tried in _all():
            return _all()[tried]
    raise KeyError(key)


def label_of(key: str) -> str:
    """A field's label; its key where it has no words."""
    try:
        return explanation(key).label
    except KeyError:
        return key
