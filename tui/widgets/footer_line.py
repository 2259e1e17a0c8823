"""The one line at the bottom: at most seven keys, and what they do where the person is."""

from textual.content import Content
from textual.widget import Widget

from ..keys import Where, footer_actions, key_name
from ..tongues import told


class FooterLine(Widget):
    """Made from the table of keys; the rest of it is on the help page."""

    DEFAULT_CSS = "FooterLine { height: 1; width: 1fr; background: $panel; color: $foreground; }"

    def __init__(self) -> None:
        super().__init__()
        self._where = Where.FORM

    def show(self, where: Where) -> None:
        """Shows the keys of another place."""
        if where is not self._where:
            self._where = where
            self.refresh()

    def render(self) -> Content:
        """The keys, each before its word."""
        parts = [
            Content.assemble(" ", (told(key_name(action.keys[0])), "bold $footer-key"), " ", told(action.short), " ")
            for action in footer_actions(self._where)
        ]
        return Content("").join(parts)
