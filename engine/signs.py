"""The many signs that people and keyboards write for the same thing, made plain."""

import re
import unicodedata

_UNIT_SIGN = re.compile("[A-Za-z\"'%:\N{DEGREE SIGN}]")
_SLASH = "\N{FRACTION SLASH}"  # inside a fraction sign such as a half
_SIGNS = str.maketrans(
    dict.fromkeys("\N{PRIME}\N{RIGHT SINGLE QUOTATION MARK}\N{LEFT SINGLE QUOTATION MARK}\u02b9", "'")
    | dict.fromkeys("\N{DOUBLE PRIME}\N{RIGHT DOUBLE QUOTATION MARK}\N{LEFT DOUBLE QUOTATION MARK}\u02ba", '"')
    | dict.fromkeys("\N{MINUS SIGN}\N{EN DASH}\N{HYPHEN}\N{NON-BREAKING HYPHEN}", "-")
    | dict.fromkeys(_SLASH + "\N{DIVISION SLASH}", "/")
    | {"\N{SUPERSCRIPT TWO}": "^2", "\N{SUPERSCRIPT THREE}": "^3"}
    | {"\N{MASCULINE ORDINAL INDICATOR}": "\N{DEGREE SIGN}", "\N{RATIO}": ":"}
)


def plain_signs(text: str) -> str:
    """The text in the signs of a plain keyboard; a half as " 1/2"."""
    return text if text.isascii() else "".join(map(_plain, text))


def _plain(character: str) -> str:
    if character.isascii():
        return character
    written = unicodedata.normalize("NFKC", character.translate(_SIGNS))
    return f" {written.replace(_SLASH, '/')} " if len(written) > 1 and _SLASH in written else written


def has_unit(text: str | float) -> bool:
    """Whether the text holds a unit of any kind."""
    return isinstance(text, str) and _UNIT_SIGN.search(plain_signs(text)) is not None
