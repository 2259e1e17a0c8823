"""The sixth step: sheets for the site, page by page; only the one on screen is reckoned."""

from collections.abc import Iterator

from textual.widget import Widget

from engine.survey.spot import Needs

from ..keys import Where
from ..results.pages import PAGES, page_lines
from ..step_names import StepName, StepState
from ..view import View
from ..widgets.bars import PageLine
from ..widgets.sheet import Sheet, SheetLine, SheetLines
from .step import Step, more_of, state_of


class ResultsStep(Step):
    """Left and Right turn the pages; each keeps its line in use."""

    NAME = StepName.RESULTS
    where = Where.SHEET

    def __init__(self, view: View) -> None:
        super().__init__(view)
        self.sheet = Sheet()
        self._at = 0
        self._kept: dict[int, str] = {}
        self.show(view)

    def compose(self) -> Iterator[Widget]:
        """The page's name, over the sheet."""
        yield PageLine([page.name for page in PAGES])
        yield self.sheet

    def show(self, view: View) -> None:
        """Shows the lines of the page on the screen."""
        self._view = view
        self.sheet.lines.show(page_lines(PAGES[self._at], view.plan))

    def enter(self) -> None:
        """Puts the sheet in use."""
        self.sheet.lines.focus()

    def go_to(self, key: str) -> bool:
        """A sheet has no fields."""
        del key
        return False

    @property
    def line(self) -> SheetLine | None:
        """The line in use."""
        return self.sheet.lines.current

    @property
    def figure(self) -> str | None:
        """The figure of the line in use."""
        return None if self.line is None else self.line.figure

    @property
    def more(self) -> tuple[bool, bool]:
        """By how far the sheet is scrolled."""
        return more_of(self.sheet)

    def on_sheet_lines_turned(self, event: SheetLines.Turned) -> None:
        """Turns so many pages on, round and round."""
        event.stop()
        self._kept[self._at] = self.figure or ""
        self._at = (self._at + event.by) % len(PAGES)
        self.query_one(PageLine).at = self._at
        self.sheet.lines.open(page_lines(PAGES[self._at], self._view.plan), self._kept.get(self._at, ""))

    @classmethod
    def state(cls, view: View) -> StepState:
        """Done with marks and no stop."""
        plan = view.plan
        has_marks = plan is not None and not isinstance(plan.marks, Needs)
        return state_of(view, is_done=has_marks, has_trouble=plan is not None and has_marks and plan.has_stop)
