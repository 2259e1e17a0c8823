"""The screen's own lines: the steps, the keys, a page's name, what is too small, what parts form from map."""

from collections.abc import Sequence

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from engine.phrases import phrase
from engine.records import record

from ..keys import Where, footer_actions, key_name
from ..step_names import STEPS, StepName, StepState
from ..terminal import glyphs, harmless
from ..tongues import told

LEAST_COLUMNS, LEAST_ROWS = 80, 24


class Bar(Widget):
    """A line as wide as the screen."""

    DEFAULT_CSS = "Bar { height: 1; width: 1fr; background: $panel; color: $foreground; }"


@record
class HeaderView:
    """What the line shows."""

    current: StepName = StepName.FLOOR
    states: tuple[StepState, ...] = (StepState.OPEN,) * len(STEPS)
    job_name: str = ""
    is_unsaved: bool = False


class HeaderLine(Bar):
    """A mark before each step: done, open or in trouble; the one shown in brackets."""

    view: reactive[HeaderView] = reactive(HeaderView)

    def render(self) -> Content:
        """The line in the width there is."""
        parts = [self._step(step, state) for step, state in zip(STEPS, self.view.states, strict=True)]
        steps = Content("").join(parts)
        room = self.size.width - steps.cell_length - 2
        name = harmless(self.view.job_name, max(room - 2, 0))
        if self.view.is_unsaved and name:
            name += "*"
        return Content.assemble(steps, (name.rjust(max(room, 0)), "$text-muted"))

    def _step(self, step: StepName, state: StepState) -> Content:
        draw = glyphs()
        mark, style = {
            StepState.OPEN: (draw.open, ""),
            StepState.DONE: (draw.done, "$success"),
            StepState.TROUBLE: (draw.trouble, "bold $error"),
        }[state]
        if step is self.view.current:
            return Content.assemble(("[", "bold"), (mark, style), (f"{told(step.value)}]", "bold reverse"))
        return Content.assemble(" ", (mark, style), (told(step.value), ""), " ")


class FooterLine(Bar):
    """Made from the table of keys; the rest of it is on the help page."""

    where: reactive[Where] = reactive(Where.FORM)

    def render(self) -> Content:
        """The keys, each before its word."""
        parts = [
            Content.assemble(" ", (told(key_name(action.keys[0])), "bold $footer-key"), " ", told(action.short), " ")
            for action in footer_actions(self.where)
        ]
        return Content("").join(parts)


class PageLine(Bar):
    """The page's name and number."""

    at: reactive[int] = reactive(0)

    def __init__(self, names: Sequence[str]) -> None:
        super().__init__()
        self._names = tuple(names)

    def render(self) -> Content:
        """The name, the number, the keys."""
        name = f" {told(self._names[self.at])} "
        turn = phrase("{at} of {count}: Left, Right turn", at=self.at + 1, count=len(self._names))
        where = f"{told(turn)} "
        gap = " " * max(self.size.width - len(name) - len(where), 1)
        return Content.assemble((name, "bold reverse"), gap, (where, "$text-muted"))


class SizeLine(Bar):
    """Says how large the terminal is and has to be; shown by the screen's breakpoints."""

    DEFAULT_CSS = "SizeLine { display: none; color: $error; text-style: bold; }"

    def render(self) -> Content:
        """The most words that fit."""
        size, width = self.app.size, self.size.width
        least = phrase("{columns} x {rows}", columns=LEAST_COLUMNS, rows=LEAST_ROWS)
        forms = (
            phrase(
                "{columns} x {rows} is too small; nothing is lost: make it {least}",
                columns=size.width,
                rows=size.height,
                least=least,
            ),
            phrase("Too small: make it {least}", least=least),
            least,
        )
        words = next((words for words in map(told, forms) if len(words) < width), least)
        return Content(harmless(f" {words}", width))


class Divider(Widget):
    """The column between form and map, whose ends tell that the form has more."""

    DEFAULT_CSS = "Divider { width: 1; height: 1fr; color: $text-muted; }"

    more: reactive[tuple[bool, bool]] = reactive((False, False))  # above and below

    def render(self) -> Content:
        """The line, with its marks at the ends."""
        draw = glyphs()
        column = [draw.rule] * max(self.size.height, 1)
        above, below = self.more
        if above:
            column[0] = draw.more_up
        if below:
            column[-1] = draw.more_down
        return Content("\n".join(column))
