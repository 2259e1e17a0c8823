"""What a form shows, line by line: plain values that a step makes of the session."""

from typing import TypeAlias

from engine.records import record


@record
class Offer:
    """What Enter takes where nothing is entered yet, and why that is offered."""

    text: str
    why: str


@record
class TextRow:
    """A field that is typed into."""

    key: str
    label: str
    text: str = ""
    echo: str = ""  # what was understood
    fault: str = ""  # what cannot be read, and the remedy
    mark: str = ""  # what is odd about the entry, shown also out of use
    offer: Offer | None = None
    left_out: str = ""  # what is taken while the field is empty
    is_long: bool = False  # a name or path, on a line of its own
    grows: bool = False  # "+" asks for another row after this one
    has_lines: bool = False  # Insert begins another line


@record
class Option:
    """A choice: its text in the job, its words on the screen."""

    text: str
    label: str


@record
class ChoiceRow:
    """A field with a few choices."""

    key: str
    label: str
    options: tuple[Option, ...]
    text: str = ""
    fault: str = ""
    mark: str = ""
    offer: Offer | None = None
    left_out: str = ""

    def label_of(self, text: str) -> str:
        """A choice's words; the text itself where it is none."""
        return next((option.label for option in self.options if option.text == text), text)


@record
class WordsRow:
    """A sentence between the fields."""

    key: str
    text: str
    is_heading: bool = False


Row: TypeAlias = TextRow | ChoiceRow | WordsRow
