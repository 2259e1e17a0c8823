"""What every step shares: it shows what it is handed, and says how far it is."""

from collections.abc import Iterator, Sequence
from typing import ClassVar

from textual.containers import Vertical, VerticalScroll
from textual.message import Message
from textual.widget import Widget

from ..keys import Where
from ..rows import Row
from ..step_names import StepName, StepState
from ..view import View
from ..widgets.form import Form
from ..widgets.sheet import SheetLine


class Step(Vertical, can_focus=False):
    """One step's pane."""

    DEFAULT_CSS = "Step { width: 1fr; }"
    NAME: ClassVar[StepName]
    where: ClassVar[Where] = Where.FORM  # which keys hold in it

    def __init__(self, view: View) -> None:
        super().__init__()
        del view  # each kind of step makes its first lines from it

    class Made(Message):
        """The step and all its fields are on the screen."""

    def on_mount(self) -> None:
        """Tells that the step can be used."""
        self.post_message(self.Made())

    def show(self, view: View) -> None:
        """Shows the step as things stand."""
        raise NotImplementedError

    def enter(self) -> None:
        """Puts the step's first open field, or its sheet, in use."""
        raise NotImplementedError

    def go_to(self, key: str) -> bool:
        """Puts the field of a key, or of what it is a part of, in use; whether there is one."""
        raise NotImplementedError

    @property
    def key(self) -> str | None:
        """The key of the field in use, if any."""
        return None

    @property
    def figure(self) -> str | None:
        """The figure in use, if any."""
        return None

    @property
    def line(self) -> SheetLine | None:
        """A sheet's line in use."""
        return None

    @property
    def more(self) -> tuple[bool, bool]:
        """Whether there is more above and below the view."""
        raise NotImplementedError

    @classmethod
    def state(cls, view: View) -> StepState:
        """How far the step is."""
        raise NotImplementedError


class FormStep(Step):
    """A step that is a form."""

    def __init__(self, view: View) -> None:
        super().__init__(view)
        self.form = Form(view.with_error(self.rows(view)))
        self._last_key: str | None = None

    def compose(self) -> Iterator[Widget]:
        """The form."""
        yield self.form

    @classmethod
    def rows(cls, view: View) -> Sequence[Row]:
        """The rows as things stand."""
        raise NotImplementedError

    def show(self, view: View) -> None:
        """Hands the rows down."""
        self.form.show(view.with_error(self.rows(view)))

    def enter(self) -> None:
        """Goes to the field last in use, else to the first open one."""
        self.form.go_to_first(self._last_key)

    def go_to(self, key: str) -> bool:
        """Goes to the field of exactly that key, else to one that is a part of it or it of that."""
        return self.form.go_to(key) or self.form.go_to_part(key)

    @property
    def more(self) -> tuple[bool, bool]:
        """By how far the form is scrolled."""
        return more_of(self.form)

    @property
    def key(self) -> str | None:
        """The key of the field in use, also before its being reached is told."""
        current = self.form.current
        return self._last_key if current is None else str(current.row.key)

    def on_form_reached(self, event: Form.Reached) -> None:
        """Remembers the field in use."""
        self._last_key = event.key


def more_of(scroll: VerticalScroll) -> tuple[bool, bool]:
    """Whether there is more above and below the view."""
    return scroll.scroll_y > 0, scroll.scroll_y < scroll.max_scroll_y


def state_of(view: View, *prefixes: str, is_done: bool, has_trouble: bool = False) -> StepState:
    """In trouble, as where an entry whose key begins like this is not used; else done, or open."""
    keys = [*view.session.left_over, *(key for key, one in view.session.pending.items() if one.fault)]
    keys += [view.error.key] if view.error is not None else []
    if has_trouble or any(key.startswith(prefixes) for key in keys):
        return StepState.TROUBLE
    return StepState.DONE if is_done else StepState.OPEN
