"""The top line: the steps in walking order with their marks, and the job's name."""

from textual.content import Content
from textual.widget import Widget

from engine.records import record

from ..step_names import STEPS, StepName, StepState
from ..terminal import glyphs, harmless
from ..tongues import told


@record
class HeaderView:
    """What the line shows."""

    current: StepName = StepName.FLOOR
    states: tuple[StepState, ...] = (StepState.OPEN,) * len(STEPS)
    job_name: str = ""
    is_unsaved: bool = False


class HeaderLine(Widget):
    """A mark before each step: done, open or in trouble; the step on screen stands in brackets."""

    DEFAULT_CSS = "HeaderLine { height: 1; width: 1fr; background: $panel; color: $foreground; }"

    def __init__(self) -> None:
        super().__init__()
        self._view = HeaderView()

    def show(self, view: HeaderView) -> None:
        """Takes a new view."""
        if view != self._view:
            self._view = view
            self.refresh()

    def render(self) -> Content:
        """The line in the width there is."""
        parts = [self._step(step, state) for step, state in zip(STEPS, self._view.states, strict=True)]
        steps = Content("").join(parts)
        room = self.size.width - steps.cell_length - 2
        name = harmless(self._view.job_name, max(room - 2, 0)) if self._view.job_name else ""
        if self._view.is_unsaved and name:
            name += "*"
        return Content.assemble(steps, (name.rjust(max(room, 0)), "$text-muted"))

    def _step(self, step: StepName, state: StepState) -> Content:
        mark, style = _marks()[state]
        if step is self._view.current:
            return Content.assemble(("[", "bold"), (mark, style), (f"{told(step.value)}]", "bold reverse"))
        return Content.assemble(" ", (mark, style), (told(step.value), ""), " ")


def _marks() -> dict[StepState, tuple[str, str]]:
    draw = glyphs()
    return {
        StepState.OPEN: (draw.open, ""),
        StepState.DONE: (draw.done, "$success"),
        StepState.TROUBLE: (draw.trouble, "bold $error"),
    }
