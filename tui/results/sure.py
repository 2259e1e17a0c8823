"""The page of how sure the plan is: the depth, what slip would show, and the room for an imperfect hand."""

from collections.abc import Iterator, Sequence

from engine.plan import Plan
from engine.sheets.sure_words import HAND_HOLDS, HAND_TITLE, SURE_HOLDS, SURE_TITLE, hand_rows, sure_rows
from engine.sheets.words import Row

from ..widgets.sheet import SheetLine
from .lines import BLANK, head, rows


def sure(plan: Plan) -> Iterator[SheetLine]:
    """How sure the depth is, and what room there is for the hand."""
    yield from _part(SURE_TITLE, list(sure_rows(plan)), SURE_HOLDS, "sure")
    yield from _part(HAND_TITLE, list(hand_rows(plan)), HAND_HOLDS, "hand")


def _part(title: str, found: Sequence[Row], holds: str, topic: str) -> Iterator[SheetLine]:
    if not found:
        return
    yield head(title)
    yield from rows(found, topic)
    yield BLANK
    yield SheetLine(holds)
    yield BLANK
