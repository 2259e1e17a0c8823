"""The results' pages in the order of the work, and what stands on one while it cannot be made."""

from collections.abc import Callable, Iterable, Sequence

from engine.errors import JobError
from engine.phrases import phrase
from engine.plan import Plan
from engine.records import record

from ..faults import fault_words
from ..widgets.sheet import SheetLine
from . import bed, build, cuts, site
from .lines import head


@record
class Page:
    """A page: its name, and what makes its lines from a plan."""

    name: str
    lines: Callable[[Plan], Iterable[SheetLine]]


PAGES = (
    Page(phrase("Marks"), bed.marks),
    Page(phrase("Bed, findings"), bed.bed),
    Page(phrase("How sure"), bed.sure),
    Page(phrase("Strips"), cuts.strips),
    Page(phrase("Boards"), cuts.boards),
    Page(phrase("Straightedges"), cuts.edges),
    Page(phrase("Layers, heights"), build.layers),
    Page(phrase("Mud, load"), build.mud),
    Page(phrase("Shopping"), site.shopping),
    Page(phrase("Order of work"), site.order),
    Page(phrase("Flood test"), site.flood),
    Page(phrase("Other ways"), site.ways),
)


def page_lines(page: Page, plan: Plan | None) -> Sequence[SheetLine]:
    """A page's lines; while there are none, what is still needed or the unusable entry."""
    if plan is None:
        return [SheetLine(phrase("There is no plan yet."))]
    try:
        made = list(page.lines(plan))
    except JobError as error:
        says = phrase("Not while this stands: {key}: {fault}", key=error.key, fault=fault_words(error))
        return [head(page.name), SheetLine(says, "fault")]
    return made or [head(page.name), SheetLine(phrase("Not yet.")), SheetLine(""), *bed.needs(plan)]
