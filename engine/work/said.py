"""Something that is said, with where it comes from."""

from __future__ import annotations

from engine.phrases import joined
from engine.records import record


@record
class Said:
    """A sentence or more without a full stop at the end, and the source of its figures; empty where it has none."""

    text: str
    source: str = ""


def plain(*texts: str) -> tuple[Said, ...]:
    """Things that need no source: what this plan or the job itself gives."""
    return tuple(Said(text) for text in texts)


def sources(*given: str) -> str:
    """Sources as one text, each once, in order."""
    return joined("; ", dict.fromkeys(source for source in given if source))
