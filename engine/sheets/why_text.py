"""How a figure came about, as text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.sheets.words import paragraph

if TYPE_CHECKING:
    from engine.why import Pages


def why_text(pages: Pages) -> str:
    """A title and its paragraphs as lines of at most 80 characters."""
    title, paragraphs = pages
    lines = [title]
    for heading, text in paragraphs:
        lines += paragraph(f"{heading}: {text}" if heading else text, "  ")
    return "".join(f"{line}\n" for line in lines)
