"""The seventh step: readings of the finished bed. Not in this version yet, and it says so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.step_names import StepName, StepState
from tui.steps.step import SheetStep, stylesheet
from tui.widgets.sheet import SheetLine

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tui.view import View

_WORDS = (
    "Here you will enter laser readings of the finished bed, and see where water would stand and where the bed is "
    "out. This version does not do that yet."
)


class AsBuiltStep(SheetStep):
    """Says that it is not there yet, and that the file's readings are kept."""

    DEFAULT_CSS = stylesheet(__file__)
    NAME = StepName.AS_BUILT

    @classmethod
    def lines(cls, view: View) -> Sequence[SheetLine]:
        """The words."""
        lines = [SheetLine("As built", is_heading=True), SheetLine(_WORDS)]
        count = len(view.job.as_built)
        if count:
            lines.append(SheetLine(f"The {count} as-built readings of the job are kept as they are."))
        return lines

    @classmethod
    def state(cls, view: View) -> StepState:
        """Never done in this version."""
        del view
        return StepState.OPEN
