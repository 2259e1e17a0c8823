"""The shopping list as CSV, for spreadsheets and for a builder's merchant (RFC 4180)."""

from __future__ import annotations

import contextlib
import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING

from engine.errors import FallmarkError, FileError, harmless
from engine.saving import replace_file
from engine.survey.spot import Needs
from engine.work.shopping import item_words

if TYPE_CHECKING:
    from engine.plan import Plan

_COLUMNS = ("item", "quantity", "unit", "of", "reckoned", "source")
_OBEYED = ("=", "+", "-", "@", "\t", "\r")  # what a spreadsheet takes for the beginning of a formula


def shopping_csv(plan: Plan) -> str:
    """The shopping list: a header, then an item a line, lines ended as RFC 4180 has them.

    Raises FallmarkError while the plan still waits for an entry, and JobError as the plan's work does.
    """
    work = plan.work
    if isinstance(work, Needs):
        raise FallmarkError(f"there is no shopping list yet: {work.key}: {work.says}")
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(_COLUMNS)
    for bought in work.shopping:
        row = (
            item_words(bought.item),
            f"{bought.quantity:g}",
            bought.unit,
            bought.of,
            bought.reckoned,
            bought.source,
        )
        writer.writerow([_cell(value) for value in row])
    return text.getvalue()


def save_shopping(plan: Plan, path: str) -> None:
    """Writes the shopping list into a file, in one step; only an earlier list is written over.

    Raises FileError where there is another file already or it cannot be written, and as `shopping_csv` does.
    """
    data = shopping_csv(plan).encode("utf-8")
    if _is_another(Path(path)):
        raise FileError(
            path, "there is another file of that name already", "name another file, or move that one"
        )
    replace_file(path, data)


def _is_another(path: Path) -> bool:
    """Whether there is a file that is no shopping list; a path that cannot be read is told on writing."""
    header = _header()
    with contextlib.suppress(OSError, ValueError), path.open("rb") as old:
        return old.read(len(header)) != header
    return False


def _header() -> bytes:
    return ",".join(_COLUMNS).encode("ascii")


def _cell(text: str) -> str:
    """A text that no spreadsheet obeys."""
    calm = harmless(text)
    return f"'{calm}" if calm.startswith(_OBEYED) else calm
