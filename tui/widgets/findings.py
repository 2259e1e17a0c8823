"""The findings under form and map: how many, how grave, and at least the first in words."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from textual.content import Content

from engine.phrases import counted_phrase, joined, phrase
from engine.records import record

from ..rule_names import rule_name
from ..terminal import capital, glyphs, harmless, sentence
from ..tongues import told
from .lines import Lines, wrapped
from .telling import Telling

if TYPE_CHECKING:
    from textual import events

    from engine.limits.findings import Finding
    from engine.remedies import Answer, Remedy
    from engine.remedies.remedy import Change
    from engine.survey.spot import Needs

LOOK_LONGER = phrase("Press + to look longer for a smaller change.")
LOOKS_ON = phrase("A smaller change is still looked for.")
_LEVELS = {"stop": phrase("STOP"), "caution": phrase("CAUTION"), "note": phrase("NOTE")}
_STYLES = {"stop": "bold $error", "caution": "bold $warning", "note": "bold"}
_ANY = 99  # [lines] more than there ever is room for
_MOST_WORDS = 8  # [lines] of one finding
_MOST_WAYS = 4  # remedies listed of one finding
_LEAST_GAP = 2  # [cells] between the counts and a notice beside them


@record
class FindingsView:
    """What the pane shows; `notice` is the last thing the wizard tells."""

    findings: tuple[Finding, ...] = ()
    needs: tuple[Needs, ...] = ()
    notice: str = ""
    is_old: bool = False  # figures from before the unusable entry
    answers: tuple[Answer, ...] = ()  # one a finding, once they are worked out
    looks_on: bool = False  # whether smaller changes are still looked for


class Findings(Lines, can_focus=True):
    """Up and Down go through the findings, Enter or a number makes a change that clears one, + looks longer."""

    DEFAULT_CSS = """
    Findings { height: 3; }
    Findings:focus { height: auto; min-height: 3; max-height: 9; background: $panel; }
    """

    class Reached(Telling):
        """Another finding is in use."""

        finding: Finding

    class Chosen(Telling):
        """Enter, or a remedy's number, was pressed on a finding; `change` is empty where it names none."""

        finding: Finding
        change: Change

    class Longer(Telling):
        """A smaller change than was found is wanted."""

    class NeedChosen(Telling):
        """Enter was pressed on what is still needed."""

        need: Needs

    MOVES_ON = frozenset({"enter", "space"})

    def __init__(self) -> None:
        super().__init__()
        self._view = FindingsView()
        self._has_view = False
        self._at = 0
        self._left: Finding | None = None  # the one whose change was made last
        self.starts_over = False  # whether other findings are those of a change made, undone or redone

    @property
    def current(self) -> Finding | None:
        """The finding in use."""
        return self._view.findings[self._at] if self._at < len(self._view.findings) else None

    @property
    def _answer(self) -> Answer | None:
        return self._view.answers[self._at] if self._at < len(self._view.answers) else None

    @property
    def _ways(self) -> tuple[Remedy, ...]:
        return () if self._answer is None else self._answer.remedies[:_MOST_WAYS]

    @property
    def _is_open(self) -> bool:
        return self._answer is not None and self._answer.is_open

    @property
    def _is_early(self) -> bool:
        """Whether no change was planned yet: until then none is made."""
        return not self._view.answers

    @property
    def _need(self) -> Needs | None:
        at = self._at - len(self._view.findings)
        return self._view.needs[at] if 0 <= at < len(self._view.needs) else None

    @property
    def count(self) -> int:
        """How much there is to go through."""
        return len(self._view.findings) + len(self._view.needs)

    def show(self, view: FindingsView) -> None:
        """Takes other findings; the one in use stays so while its rule and place do, or until a graver comes.

        After a change the gravest is; after its undoing the one that it cleared.
        """
        if self._has_view and view == self._view:
            return
        self._has_view = True
        used = kept = self.current
        old = self._view.findings
        before = [*map(_known_by, old)]
        if self.starts_over and view.findings != old:
            kept = self._left if self._left in view.findings and self._left not in old else None
            self._at, self.starts_over = 0, False
        self._view = view
        same = [i for i, f in enumerate(view.findings) if kept is not None and _known_by(f) == _known_by(kept)]
        still = [i for i in same if view.findings[i] == kept] or [i for i in same if i == self._at] or same
        self._at = still[0] if still else min(self._at, max(self.count - 1, 0))
        if kept is not None and not self.has_focus:  # the gravest come first
            graver = (i for i, f in enumerate(view.findings[: self._at]) if f.level is not kept.level)
            self._at = next((i for i in graver if _known_by(view.findings[i]) not in before), self._at)
        if self.has_focus and self.current != used:
            self.tell()
        self._repaint()

    def step_on(self, by: int = 1) -> None:
        """Puts the next finding in use."""
        if self.count:
            self._at = (self._at + by) % self.count
            self._repaint()
            self.tell()

    def _repaint(self) -> None:
        """Only in use is the pane as high as its words; else it needs no layout."""
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
        elif event.character == "+" and self._is_open and not self._view.looks_on:
            self.post_message(self.Longer())
        else:
            return
        event.stop().prevent_default()

    def _choose(self, number: int = 0) -> None:
        if self.current is not None:
            change = self._ways[number].change if self._ways else self.current.change
            if not (change and self._is_early):
                self._left, self.starts_over = self.current, bool(change)
                self.post_message(self.Chosen(self.current, change))
        elif self._need is not None:
            self.post_message(self.NeedChosen(self._need))

    def watch_has_focus(self, has_focus: bool) -> None:
        """Opens all of the finding in use, and closes it to the few lines there are."""
        super().watch_has_focus(has_focus)
        self.refresh(layout=True)

    def render(self) -> Content:
        """The count, the finding in use, and others as far as they fit."""
        return Content("\n").join(self._lines(self.size.width, max(self.size.height, 3)))

    def rows_at(self, width: int) -> int:
        """As many lines as there are words, up to what the style allows."""
        return len(self._lines(width, _ANY))

    def _lines(self, width: int, height: int) -> list[Content]:
        if not self._has_view:
            return [Content(told(phrase(" One moment: getting ready to plan")))]
        lines = self._summary(width)
        room = height - len(lines) if height < _ANY else _MOST_WORDS
        if room > 0 and self.current is not None:
            lines += self._words(self.current, width, room)
        elif room > 0:
            lines += self._needed(width, room)
        others = self._view.findings[self._at + 1 :] + self._view.findings[: self._at]
        if not self.has_focus:
            lines += [self._one_line(finding, width) for finding in others]
        return lines[:height]

    def _summary(self, width: int) -> list[Content]:
        text = _counts(self._view)
        if self.count > 1:
            at = phrase("{at} of {count}", at=self._at + 1, count=self.count)
            text += f" {glyphs().line} {told(at)}"
        if self._view.is_old:
            text += f" {glyphs().line} {told(phrase('from before the entry that cannot be read'))}"
        notice = harmless(told(self._view.notice))
        gap = width - len(text) - len(notice) - 1
        if notice and gap < _LEAST_GAP:
            own = [Content.styled(line, "bold $accent") for line in wrapped(notice, max(width - 1, 20))]
            return [Content.styled(text, "bold"), *own]
        return [Content.assemble((text, "bold"), " " * max(gap, 1), (notice, "bold $accent"))]

    def _words(self, finding: Finding, width: int, room: int) -> list[Content]:
        ways = self._way_words() if self.has_focus else []
        level = told(level_words(finding))
        parts = [level, sentence(finding.says)]
        if not (ways and self._ways):
            parts.append(sentence(finding.remedy))
        if self.has_focus:
            parts += [LOOKS_ON if self._view.looks_on else LOOK_LONGER] if self._is_open else []
            parts += [self._key_words(finding)]
            parts += [phrase("Source: {source}.", source=finding.source)]
        text = " ".join(told(part) for part in parts if part)
        lines = _fitted(text, width, max(room - len(ways), 1 + self.has_focus), "F1" if self.has_focus else "F6")
        first = Content.assemble((lines[0][: len(level)], _STYLES[finding.level.value]), lines[0][len(level) :])
        rest = _listed(ways, width, room - len(lines))
        return [first, *(Content(line) for line in lines[1:]), *rest]

    def _way_words(self) -> list[tuple[str, str]]:
        ways = [(str(i), told(_way_words(way))) for i, way in enumerate(self._ways, 1)]
        ruled_out = () if self._answer is None else self._answer.ruled_out
        return [*ways, *((" ", told(sentence(says))) for says in ruled_out)]

    def _key_words(self, finding: Finding) -> str:
        last = len(self._ways)
        if last > 1:
            numbers = phrase("1 or 2") if last == 2 else phrase("{first} to {last}", first=1, last=last)
            return phrase("Press {numbers} to make that change, Enter for 1; F9 takes it back.", numbers=numbers)
        if finding.change and self._is_early:
            return phrase("What clears it is being worked out.")
        if last or finding.change:
            return phrase("Enter makes this change; F9 takes it back.")
        return phrase("Enter goes to the entry.") if finding.key else ""

    def _one_line(self, finding: Finding, width: int) -> Content:
        level = told(level_words(finding))
        text = harmless(f" {capital(told(finding.says))}", max(width - len(level) - 1, 0))
        return Content.assemble((level, _STYLES[finding.level.value]), text)

    def _needed(self, width: int, room: int) -> list[Content]:
        if self._need is None:
            return [Content(told(phrase("Nothing more is needed.")))]
        if self.has_focus:
            words = phrase("NEEDED {need} Enter goes there.", need=sentence(self._need.says))
        else:
            needs = joined("; ", [need.says for need in self._view.needs])
            words = phrase("Still needed: {needs}", needs=needs)
        return [Content(line) for line in _fitted(told(words), width, room)]


def _known_by(finding: Finding) -> tuple[str, str | None]:
    return finding.rule, finding.key


def level_words(finding: Finding) -> str:
    """How grave a finding is, as one loud word."""
    return _LEVELS[finding.level.value]


def _counts(view: FindingsView) -> str:
    count = Counter(finding.level.value for finding in view.findings)
    stops, cautions, notes = (count[level] for level in _STYLES)
    parts = [
        counted_phrase("{number} stop", "{number} stops", stops) if stops else "",
        counted_phrase("{number} caution", "{number} cautions", cautions) if cautions else "",
        counted_phrase("{number} note", "{number} notes", notes) if notes else "",
    ]
    found = [part for part in parts if part] or [phrase("No findings")]
    if view.needs:
        found.append(phrase("{number} still needed", number=len(view.needs)))
    return told(joined(", ", found))


def _way_words(way: Remedy) -> str:
    """A remedy as one line: what it would bring comes first, never cut off."""
    says = way.says
    if way.cautions:
        rules = joined(", ", [rule_name(rule) for rule in way.cautions])
        says = phrase("{remedy} (a caution comes with it: {rules})", remedy=says, rules=rules)
    if not way.brings:
        return says
    brings = joined(", ", [rule_name(rule) for rule in way.brings])
    return phrase("(would bring: {brings}) {says}", brings=brings, says=says)


def _listed(ways: list[tuple[str, str]], width: int, room: int) -> list[Content]:
    """Numbered words, a line each, whole while there is room; F1 shows the rest of a cut one."""
    spare = room - len(ways)
    made: list[Content] = []
    for number, words in ways:
        lines = _fitted(words, width - 2, spare + 1, "F1")
        spare -= len(lines) - 1
        made.append(Content.assemble((f"{number} ", "bold $accent"), lines[0]))
        made += [Content(f"  {line}") for line in lines[1:]]
    return made


def _fitted(text: str, width: int, room: int, key: str = "F6") -> list[str]:
    """The text in so many lines, at least one; if longer, the last says which key shows the rest."""
    lines, room = wrapped(harmless(text), max(width - 1, 20)), max(room, 1)
    if len(lines) <= room:
        return lines
    return [*lines[: room - 1], f"{lines[room - 1][: max(width - 8, 0)]}{glyphs().ellipsis} {key}"]
