"""The findings under the form and the map: how many, how grave, and at least the first one in words."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from textwrap import wrap
from typing import TYPE_CHECKING

from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from tui.terminal import glyphs, harmless, sentence

if TYPE_CHECKING:
    from textual import events
    from textual.geometry import Size

    from engine.limits.findings import Finding
    from engine.remedies import Answer, Remedy
    from engine.remedies.remedy import Change
    from engine.survey.spot import Needs

_STYLES = {"stop": "bold $error", "caution": "bold $warning", "note": "bold"}
_ANY = 99  # [lines] more than there ever is room for
_MOST_WORDS = 8  # [lines] of one finding
_MOST_WAYS = 4  # remedies listed of one finding
_PLURALS = {"stop": "stops", "caution": "cautions", "note": "notes"}


@dataclass(frozen=True, slots=True)
class FindingsView:
    """What the pane shows; `notice` is the last thing the wizard has to tell."""

    findings: tuple[Finding, ...] = ()
    needs: tuple[Needs, ...] = ()
    notice: str = ""
    is_old: bool = False  # the figures are those before the entry that cannot be used
    answers: tuple[Answer, ...] = ()  # one a finding, once they are worked out


class Findings(Widget, can_focus=True):
    """Up and Down go through the findings, Enter or a number makes a change that clears one, Esc steps out."""

    DEFAULT_CSS = """
    Findings { height: 3; width: 1fr; color: $foreground; }
    Findings:focus { height: auto; min-height: 3; max-height: 9; background: $panel; }
    """

    class Reached(Message):
        """A finding came into view as the one in use."""

        def __init__(self, finding: Finding) -> None:
            super().__init__()
            self.finding = finding

    class Chosen(Message):
        """Enter, or a remedy's number, was pressed on a finding; `change` is empty where it names none."""

        def __init__(self, finding: Finding, change: Change) -> None:
            super().__init__()
            self.finding = finding
            self.change = change

    class NeedChosen(Message):
        """Enter was pressed on what is still needed."""

        def __init__(self, need: Needs) -> None:
            super().__init__()
            self.need = need

    def __init__(self) -> None:
        super().__init__()
        self._view = FindingsView()
        self._has_view = False
        self._at = 0

    @property
    def current(self) -> Finding | None:
        """The finding in use."""
        return self._view.findings[self._at] if self._at < len(self._view.findings) else None

    @property
    def _answer(self) -> Answer | None:
        """What can be done about the finding in use; None while that is not worked out."""
        return self._view.answers[self._at] if self._at < len(self._view.answers) else None

    @property
    def _ways(self) -> tuple[Remedy, ...]:
        """The remedies that are listed."""
        return () if self._answer is None else self._answer.remedies[:_MOST_WAYS]

    @property
    def _need(self) -> Needs | None:
        """What is still needed, where the keys are past the findings."""
        at = self._at - len(self._view.findings)
        return self._view.needs[at] if 0 <= at < len(self._view.needs) else None

    @property
    def _count(self) -> int:
        return len(self._view.findings) + len(self._view.needs)

    def show(self, view: FindingsView) -> None:
        """Takes other findings; the one in use stays in use while its rule and place do."""
        if self._has_view and view == self._view:
            return
        self._has_view = True
        kept = self.current
        self._view = view
        same = [
            i
            for i, f in enumerate(view.findings)
            if kept is not None and (f.rule, f.key) == (kept.rule, kept.key)
        ]
        self._at = same[0] if same else min(self._at, max(self._count - 1, 0))
        self._repaint()

    def step_on(self, by: int = 1) -> None:
        """Puts the next finding in use."""
        if self._count:
            self._at = (self._at + by) % self._count
            self._repaint()
            self.tell()

    def _repaint(self) -> None:
        """Only in use is the pane as high as its words; else its height is the style's, and no layout is needed."""
        self.refresh(layout=self.has_focus)

    def tell(self) -> None:
        """Says which finding is in use."""
        if self.current is not None:
            self.post_message(self.Reached(self.current))

    def on_key(self, event: events.Key) -> None:
        """Goes through the findings, or chooses one."""
        if event.key in ("down", "right", "tab"):
            self.step_on()
        elif event.key in ("up", "left", "shift+tab"):
            self.step_on(-1)
        elif event.key in ("enter", "space"):
            self._choose()
        elif event.key.isdigit() and 0 < int(event.key) <= len(self._ways):
            self._choose(int(event.key) - 1)
        else:
            return
        event.stop()
        event.prevent_default()

    def _choose(self, number: int = 0) -> None:
        """Takes the change of that number where remedies are listed, else the finding's own."""
        if self.current is not None:
            change = self._ways[number].change if self._ways else self.current.change
            self.post_message(self.Chosen(self.current, change))
        elif self._need is not None:
            self.post_message(self.NeedChosen(self._need))

    def watch_has_focus(self, has_focus: bool) -> None:  # noqa: FBT001 - the framework calls it so
        """Opens the whole of the finding in use, and closes it again to the few lines there are."""
        super().watch_has_focus(has_focus)
        self.refresh(layout=True)

    def render(self) -> Content:
        """The count, the finding in use, and others as far as there is room."""
        return Content("\n").join(self._lines(self.size.width, max(self.size.height, 3)))

    def get_content_width(self, container: Size, viewport: Size) -> int:
        """All the width there is [cells]."""
        del viewport
        return container.width

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as there are words, up to what the style allows [cells]."""
        del container, viewport
        return len(self._lines(width, _ANY))

    def _lines(self, width: int, height: int) -> list[Content]:
        if not self._has_view:
            return [Content(" One moment: getting ready to plan")]
        lines = [self._summary(width)]
        room = height - 1 if height < _ANY else _MOST_WORDS
        if self.current is not None:
            lines += self._words(self.current, width, room)
        else:
            lines += self._needed(width, room)
        others = self._view.findings[self._at + 1 :] + self._view.findings[: self._at]
        if not self.has_focus:
            lines += [self._one_line(finding, width) for finding in others]
        return lines[:height]

    def _summary(self, width: int) -> Content:
        count = Counter(finding.level.value for finding in self._view.findings)
        parts = [
            f"{count[level]} {level if count[level] == 1 else _PLURALS[level]}"
            for level in _STYLES
            if count[level]
        ]
        text = ", ".join(parts) if parts else "No findings"
        if self._view.needs:
            text += f", {len(self._view.needs)} still needed"
        if self._count > 1:
            text += f" {glyphs().line} {self._at + 1} of {self._count}"
        if self._view.is_old:
            text += f" {glyphs().line} from before the entry that cannot be read"
        notice = harmless(self._view.notice, max(width - len(text) - 3, 0))
        gap = " " * max(width - len(text) - len(notice) - 1, 1)
        return Content.assemble((text, "bold"), gap, (notice, "bold $accent"))

    def _words(self, finding: Finding, width: int, room: int) -> list[Content]:
        level, ways = finding.level.value, self._way_lines(width) if self.has_focus else []
        text = f"{level.upper()} {sentence(finding.says)}"
        text += "" if ways and self._ways else f" {sentence(finding.remedy)}"
        if self.has_focus:
            text += f" Source: {finding.source}."
            text += self._key_words(finding)
        lines = _fitted(text, width, max(room - len(ways), 2))
        first = Content.assemble((lines[0][: len(level)], _STYLES[level]), lines[0][len(level) :])
        return [first, *(Content(line) for line in lines[1:]), *ways]

    def _way_lines(self, width: int) -> list[Content]:
        """The remedies by their numbers, a line each, and what cannot be; F1 shows them whole."""
        lines = [
            Content.assemble((f"{i} ", "bold $accent"), harmless(_way_words(way), max(width - 3, 0)))
            for i, way in enumerate(self._ways, 1)
        ]
        ruled_out = () if self._answer is None else self._answer.ruled_out
        return [*lines, *(Content(harmless(f"  {sentence(says)}", max(width - 1, 0))) for says in ruled_out)]

    def _key_words(self, finding: Finding) -> str:
        if self._ways:
            numbers = "1" if len(self._ways) == 1 else f"1 to {len(self._ways)}"
            return f" Press {numbers} to make that change, Enter for 1; undo takes it back."
        if finding.change:
            return " Enter makes this change; undo takes it back."
        return " Enter goes to the entry." if finding.key else ""

    def _one_line(self, finding: Finding, width: int) -> Content:
        level = finding.level.value
        text = harmless(f" {finding.says}", max(width - len(level) - 1, 0))
        return Content.assemble((level.upper(), _STYLES[level]), text)

    def _needed(self, width: int, room: int) -> list[Content]:
        if self._need is None:
            return [Content("Nothing more is needed.")]
        if self.has_focus:
            return [
                Content(line) for line in _fitted(f"NEEDED {self._need.says} Enter goes there.", width, room)
            ]
        words = "Still needed: " + "; ".join(need.says for need in self._view.needs)
        return [Content(line) for line in _fitted(words, width, room)]


def _way_words(way: Remedy) -> str:
    """A remedy as one line: what it would bring comes first, so that it is never cut off."""
    return f"(would bring {', '.join(way.brings)}) {way.says}" if way.brings else way.says


def _fitted(text: str, width: int, room: int) -> list[str]:
    """The text in so many lines; where it is longer, the last one says which key shows the rest."""
    lines = wrap(harmless(text), max(width - 1, 20))
    if len(lines) <= room:
        return lines
    return [*lines[: room - 1], f"{lines[room - 1][: max(width - 8, 0)]}{glyphs().ellipsis} F6"]
