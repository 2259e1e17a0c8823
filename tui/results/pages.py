"""The pages of the results in the order of the work, and what stands on one while it cannot be made yet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from engine.errors import JobError
from tui.results import bed, build, cuts, marks, site
from tui.results.lines import head
from tui.view import fault_words
from tui.widgets.sheet import SheetLine

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from engine.plan import Plan


@dataclass(frozen=True, slots=True)
class Page:
    """A page: its name, and what makes its lines from a plan."""

    name: str
    lines: Callable[[Plan], Iterator[SheetLine]]


PAGES = (
    Page("Marks", marks.marks),
    Page("Bed, findings", bed.bed),
    Page("Strips", cuts.strips),
    Page("Boards", cuts.boards),
    Page("Straightedges", cuts.edges),
    Page("Layers, heights", build.layers),
    Page("Mud, load", build.mud),
    Page("Shopping", site.shopping),
    Page("Order of work", site.order),
    Page("Flood test", site.flood),
    Page("Other ways", site.ways),
)


def page_lines(page: Page, plan: Plan | None) -> Sequence[SheetLine]:
    """A page's lines; what is still needed, or the entry that cannot be used, where there are none yet."""
    if plan is None:
        return [SheetLine("There is no plan yet.")]
    try:
        made = list(page.lines(plan))
    except JobError as error:
        return [
            head(page.name),
            SheetLine(f"Not while this stands: {error.key}: {fault_words(error)}", "fault"),
        ]
    return made or [head(page.name), SheetLine("Not yet."), SheetLine(""), *marks.needs(plan)]
