"""Sentences that remember how they were made, so that another tongue can tell them with the same figures.

A phrase is an English text, a plain string to everyone, that carries its pattern and the parts in it; whoever shows it
may ask a gettext catalogue for the pattern in another tongue. The engine knows only English.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from gettext import NullTranslations


class Phrase(str):
    """An English text with its pattern and parts."""

    __slots__ = ("many", "number", "parts", "pattern")
    pattern: str
    many: str | None
    number: int
    parts: Mapping[str, object]

    def told(self, tongue: NullTranslations) -> str:
        """The sentence in a tongue by the catalogue's pattern, or in English without one, with the same parts."""
        if self.many is None:
            pattern = tongue.gettext(self.pattern) if self.pattern else ""
        else:
            pattern = tongue.ngettext(self.pattern, self.many, self.number)
        return pattern.format_map({name: told(part, tongue) for name, part in self.parts.items()})


class Joined(Phrase):
    """Texts set side by side, each told by itself."""

    __slots__ = ("between", "texts")
    texts: tuple[str, ...]
    between: str

    def told(self, tongue: NullTranslations) -> str:
        """Each text in the tongue, what stands between them as it is."""
        return str(told(self.between, tongue)).join(str(told(text, tongue)) for text in self.texts)


class Shaped(Phrase):
    """A text with its letters shaped once it is told: a capital first, all capitals."""

    __slots__ = ("shape", "text")
    text: str
    shape: Callable[[str], str]

    def told(self, tongue: NullTranslations) -> str:
        """The text in the tongue, in its shape."""
        return self.shape(str(told(self.text, tongue)))


_NO_PARTS: Final[Mapping[str, object]] = {}


def phrase(pattern: str, /, **parts: object) -> Phrase:
    """A sentence: `phrase("{depth} deep at {place}", depth=..., place=...)`; a literal pattern, for gettext."""
    return _made(pattern, parts) if parts else _fixed(pattern)


@cache  # one a sentence in the sources
def _fixed(pattern: str) -> Phrase:
    return _made(pattern, _NO_PARTS)


def _made(pattern: str, parts: Mapping[str, object]) -> Phrase:
    made = Phrase(pattern.format_map(parts))
    made.pattern, made.many, made.number, made.parts = pattern, None, 0, parts
    return made


def counted_phrase(one: str, many: str, number: int, /, **parts: object) -> Phrase:
    """A sentence by a count: `counted_phrase("{number} bag", "{number} bags", 3)`."""
    parts = {"number": number, **parts}
    made = Phrase((one if number == 1 else many).format_map(parts))
    made.pattern, made.many, made.number, made.parts = one, many, number, parts
    return made


def joined(between: str, texts: Iterable[str]) -> Phrase:
    """Texts with something between them, as str.join; each keeps what it was made of."""
    kept = tuple(texts)
    made = Joined(between.join(kept))
    made.pattern, made.many, made.number, made.parts = "", None, 0, _NO_PARTS
    made.texts, made.between = kept, between
    return made


def shaped(text: str, shape: Callable[[str], str]) -> Phrase:
    """A text put through a function such as `str.upper`, in whatever tongue it is told."""
    made = Shaped(shape(text))
    made.pattern, made.many, made.number, made.parts = "", None, 0, _NO_PARTS
    made.text, made.shape = text, shape
    return made


def told(part: object, tongue: NullTranslations) -> object:
    """A part in a tongue: a phrase by its pattern, all else as it is."""
    return part.told(tongue) if isinstance(part, Phrase) else part
