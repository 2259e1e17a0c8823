"""A field that is typed into."""

from collections.abc import Callable

from textual import events
from textual.content import Content

from engine.phrases import phrase

from ..line import Line
from ..rows import TextRow
from ..terminal import harmless, sentence
from ..tongues import told
from .field import MISSED, Field, enter_takes

_HOW = phrase("Ctrl+U clears")
_EDITS: dict[str, Callable[[Line], Line]] = {
    "left": lambda line: line.move(-1),
    "right": lambda line: line.move(1),
    "home": Line.home,
    "ctrl+a": Line.home,
    "end": Line.end,
    "ctrl+e": Line.end,
    "ctrl+left": Line.word_left,
    "ctrl+right": Line.word_right,
    "backspace": Line.backspace,
    "delete": Line.delete,
    "ctrl+d": Line.delete,
    "ctrl+u": Line.backspace_all,
    "ctrl+backspace": Line.backspace_word,
}


class TextField(Field[TextRow]):
    """Text under the cursor, read by the job at every keystroke."""

    def __init__(self, row: TextRow) -> None:
        super().__init__(row)
        self.line = Line.of(row.text)

    @property
    def text(self) -> str:
        """What is typed just now."""
        return self.line.text

    def show(self, row: TextRow) -> None:
        """Takes a new row; the cursor stays in the text being typed."""
        if row.text != self.text:
            self.line = Line.of(row.text)
        super().show(row)

    def act_on(self, event: events.Key) -> bool:
        """Edits the line."""
        if event.key == "insert" and self.has_lines:
            self._become(self.line.broken())
        elif event.key in _EDITS:
            self._become(_EDITS[event.key](self.line))
        elif event.character is not None and event.is_printable:
            self._become(self.line.insert(event.character))
        else:
            return False
        return True

    def on_paste(self, event: events.Paste) -> None:
        """Takes pasted text as if typed."""
        self._become(self.line.insert(event.text, keeps_lines=self.has_lines))
        event.stop()

    def _become(self, line: Line) -> None:
        """Takes an edited line; a changed text is painted when its row comes."""
        old, self.line = self.line, line
        if line.text != old.text:
            self.post_message(self.Typed(self.row.key, line.text))
        else:
            self.repaint()

    def value_line(self, width: int) -> Content:
        """The text with the cursor in it, or what stands for none in brackets."""
        if not self.has_focus:
            if self.text:
                return Content(harmless(self.text, width))
            return Content.styled(harmless(self._stand_in(), width), "$text-muted")
        ghost = self._stand_in() if not self.text else ""
        return Content.assemble(_edited(self.line, width), (ghost[: max(width - 1, 0)], "$text-muted"))

    def value_lines(self, width: int) -> list[Content]:
        """The text by lines, with the cursor in the one being edited."""
        lines, at = self.line.lines()
        if len(lines) == 1:
            return [self.value_line(width)]
        return [
            _edited(line, width) if self.has_focus and i == at else Content(harmless(line.text, width))
            for i, line in enumerate(lines)
        ]

    def note(self) -> tuple[str, str]:
        """What is wrong, what is odd, or (in use) what was understood."""
        row = self.row
        if row.fault:
            return told(row.fault), "bold $error"
        if row.mark:
            understood = f"{told(row.echo)}. " if row.echo and self.has_focus else ""
            return understood + told(sentence(row.mark)), "bold $warning"
        if self.is_missed and not self.text:
            return told(MISSED), "bold $warning"
        return (self._hint(), "$text-muted") if self.has_focus else ("", "")

    def _hint(self) -> str:
        row = self.row
        if row.echo and self.text:
            how = f"{told(row.echo)}   {told(_HOW)}"
            return how if len(how) <= self.room(self.size.width) else told(row.echo)
        if row.echo or row.offer is None or self.text:
            return told(row.echo)
        return told(enter_takes(row.offer.text, row.offer.why))

    def _stand_in(self) -> str:
        row = self.row
        if row.offer is not None:
            return f"? {row.offer.text}"
        return f"({told(row.left_out)})" if row.left_out else told(phrase("(needed)"))


def _edited(line: Line, width: int) -> Content:
    shown, cursor = line.window(width)
    under = shown[cursor : cursor + 1] or " "
    return Content.assemble(shown[:cursor], (under, "reverse"), shown[cursor + 1 :]).stylize("underline")
