"""A sentence or a heading between the fields; never read as markup."""

from textual.content import Content
from textual.reactive import reactive

from ..terminal import harmless
from ..tongues import told
from .lines import Lines, wrapped


class Words(Lines):
    """Wrapped words; each line of the text is a paragraph, its later lines set in by `hangs`."""

    text: reactive[str] = reactive("", layout=True)

    def __init__(self, text: str, *, is_heading: bool = False, hangs: int = 0) -> None:
        super().__init__()
        self.set_reactive(Words.text, text)
        self._hangs = " " * hangs
        self._style = "bold $accent" if is_heading else ""

    def lines_at(self, width: int) -> list[Content]:
        """As many lines as the words need."""
        lines: list[str] = []
        for paragraph in told(self.text).split("\n"):
            lines += wrapped(harmless(paragraph), max(width - 1, 8), self._hangs) or [""]
        return [Content.styled(line, self._style) for line in lines]
