"""A scrolling frame that tells when what is in view changed, for a mark of what more there is."""

from textual.containers import VerticalScroll
from textual.message import Message


class Pane(VerticalScroll, can_focus=False):
    """A frame round more rows than fit, without scroll bar."""

    DEFAULT_CSS = "Pane { scrollbar-size-vertical: 0; }"

    class Scrolled(Message):
        """The view changed: whether there is more above and below."""

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Tells that the view changed."""
        super().watch_scroll_y(old_value, new_value)
        self.post_message(self.Scrolled())

    def on_resize(self) -> None:
        """More or less room, or rows, than before: so is what lies above and below."""
        self.post_message(self.Scrolled())

    watch_virtual_size = on_resize
