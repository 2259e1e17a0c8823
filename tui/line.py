"""One line of text being typed: text, cursor, and what each editing key makes of them."""

from __future__ import annotations

from rich.cells import cell_len

from engine.records import record


@record
class Line:
    """A text and a cursor between its characters; every edit gives a new line."""

    text: str = ""
    cursor: int = 0

    @classmethod
    def of(cls, text: str) -> Line:
        """A line with the cursor at its end."""
        return cls(text, len(text))

    def insert(self, typed: str, *, keeps_lines: bool = False) -> Line:
        """The line with text typed or pasted in; tabs, and line ends not kept, become spaces."""
        if keeps_lines:
            clean = "\n".join(part.expandtabs(1) for part in typed.splitlines())
        else:
            clean = " ".join(typed.split()) if any(c in typed for c in "\n\r\t") else typed
        return Line(self.text[: self.cursor] + clean + self.text[self.cursor :], self.cursor + len(clean))

    def broken(self) -> Line:
        """The text with a line break at the cursor."""
        return Line(f"{self.text[: self.cursor]}\n{self.text[self.cursor :]}", self.cursor + 1)

    def lines(self) -> tuple[list[Line], int]:
        """The text's lines, each with the cursor in it or at its nearer end; which one holds it."""
        parts = self.text.split("\n")
        found, start, at = [], 0, 0
        for number, part in enumerate(parts):
            at = number if start <= self.cursor else at
            found.append(Line(part, min(max(self.cursor - start, 0), len(part))))
            start += len(part) + 1
        return found, at

    def move(self, by: int) -> Line:
        """The cursor so many characters on, within the text."""
        return Line(self.text, min(max(self.cursor + by, 0), len(self.text)))

    def home(self) -> Line:
        """The cursor before the first character."""
        return Line(self.text, 0)

    def end(self) -> Line:
        """The cursor after the last character."""
        return Line.of(self.text)

    def word_left(self) -> Line:
        """The cursor before the word it is in or after."""
        return Line(self.text, self._word_start())

    def word_right(self) -> Line:
        """The cursor after the next word."""
        rest = self.text[self.cursor :]
        spaces = len(rest) - len(rest.lstrip())
        word = len(rest[spaces:].split(" ", 1)[0])
        return self.move(spaces + word)

    def backspace(self) -> Line:
        """Without the character before the cursor."""
        return self._back_to(max(self.cursor - 1, 0))

    def delete(self) -> Line:
        """Without the character after the cursor."""
        return Line(self.text[: self.cursor] + self.text[self.cursor + 1 :], self.cursor)

    def backspace_word(self) -> Line:
        """Without the word before the cursor."""
        return self._back_to(self._word_start())

    def backspace_all(self) -> Line:
        """Without anything before the cursor."""
        return self._back_to(0)

    def window(self, width: int) -> tuple[str, int]:
        """What fits into so many cells with the cursor in view, and its place there."""
        start, room = self.cursor, max(width - 1, 0)
        while start > 0 and (room := room - cell_len(_shown(self.text[start - 1]))) >= 0:
            start -= 1
        end, room = start, width
        while end < len(self.text) and (room := room - cell_len(_shown(self.text[end]))) >= 0:
            end += 1
        return "".join(map(_shown, self.text[start:end])), self.cursor - start

    def _back_to(self, start: int) -> Line:
        return Line(self.text[:start] + self.text[self.cursor :], start)

    def _word_start(self) -> int:
        return self.text[: self.cursor].rstrip().rfind(" ") + 1


def _shown(character: str) -> str:
    return character if character.isprintable() else "?"
