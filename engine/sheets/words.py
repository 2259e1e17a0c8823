"""Words for a sheet: harmless lines, wrapped paragraphs, and figures rounded toward the safe side."""

from __future__ import annotations

import textwrap

from engine.errors import harmless

WIDTH = 80


def paragraph(text: str, indent: str = "", hanging: str | None = None) -> list[str]:
    """A text as harmless lines of at most 80 characters; lines after the first start with `hanging`."""
    return textwrap.wrap(
        harmless(text),
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_on_hyphens=False,
    )


def heading(text: str) -> list[str]:
    """A section's heading: a blank line, then the heading in capitals."""
    return ["", *paragraph(text.upper())]


def item(text: str) -> list[str]:
    """One item of a list."""
    return paragraph(text, "- ", "  ")


def entry(name: str, value: str) -> list[str]:
    """A named figure on a line of its own; without a name it goes on with the one before."""
    return paragraph(f"{name + ':' if name else '':<22} {value}", hanging=" " * 23)
