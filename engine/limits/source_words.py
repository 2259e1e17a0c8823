"""Sources in the rulebooks that hold words beside the title of a work, so that those can be told in another tongue."""

from __future__ import annotations

from engine.phrases import phrase

_WORDS: dict[str, str] = {
    str(words): words
    for words in (
        phrase("common practice"),
        phrase("the trade"),
        phrase("NTCA; the trade"),
        phrase("IRC 2021 Table R301.5; the trade"),
        phrase("ASTM C847 and the trade"),
        phrase("ASTM D5957 (written for plaza decks; by analogy)"),
        phrase("ASTM D5957 (under 50 F; written for plaza decks; by analogy)"),
        phrase("TCNA F145; JLC quoting ANSI"),
        phrase("ANSI A108.1A (reads like)"),
        phrase("setting-materials bulletin; generic specification (at 70 F)"),
        phrase("setting-materials bulletin; generic specification (above 50 F for 7 days)"),
        phrase("joist makers quoting TCNA"),
        phrase("joist makers quoting MIA"),
        phrase("data sheets of bagged deck mud, generic"),
        phrase("NZ E3/AS1 3.3.2.3 (within 1500 mm of the shower rose; here held to over the whole floor)"),
        phrase("DIN 18040 guidance"),
        phrase("DIN 18040 guidance (about 2 %)"),
        phrase("ADA 2010 Standards 608.7 (roll-in)"),
        phrase("ADA 2010 Standards 305.2, 404.2.4.4 read across to 608"),
        phrase("TCNA Handbook via TileLetter"),
        phrase("IRC 2021, UPC, IPC; ANSI A108, TCNA and NTCA for the bed"),
        phrase("ADA 2010 Standards over the model codes"),
    )
}


def source_words(source: str) -> str:
    """A source as a person is told of it: in words where it has some, else its bare title."""
    return _WORDS.get(source, source)
