"""Words for a sheet: harmless lines, wrapped paragraphs, named figures."""

import textwrap
from collections.abc import Iterable, Iterator

from ..errors import harmless
from ..records import record

WIDTH = 80


@record
class Row:
    """A named figure in words, its source and place [mm]; unnamed it goes on with the one before.

    path: in the JSON, "" for none or several.
    """

    name: str
    value: str
    source: str = ""
    x: float | None = None
    y: float | None = None
    path: str = ""


def paragraph(text: str, indent: str = "", hanging: str | None = None) -> list[str]:
    """A text as harmless lines of at most 80 characters; later ones start with `hanging`."""
    words = harmless(text)
    if len(indent + words) <= WIDTH and words.strip(" "):  # most fit, and need no wrapping
        return [indent + words.rstrip(" ")]
    return textwrap.wrap(
        words,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )


def below(text: str) -> list[str]:
    """A text under another, indented."""
    return paragraph(text, "  ", "    ")


def heading(text: str) -> list[str]:
    """A heading in capitals, after a blank line."""
    return ["", *paragraph(text.upper())]


def item(text: str) -> list[str]:
    """One item of a list."""
    return paragraph(text, "- ", "  ")


def entry(name: str, value: str) -> list[str]:
    """A named figure on its own line; unnamed it goes on with the one before."""
    return paragraph(f"{name + ':' if name else '':<22} {value}", hanging=" " * 23)


def section(title: str, rows: Iterable[Row], *after: str) -> Iterator[str]:
    """Rows as entries under their heading, sources in brackets, then `after`; nothing without rows."""
    found = list(rows)
    if found:
        yield from heading(title)
        for row in found:
            yield from entry(row.name, f"{row.value} (source: {row.source})" if row.source else row.value)
        for text in after:
            yield from paragraph(text)
