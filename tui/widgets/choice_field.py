"""A field with a few choices, picked with Left and Right, Space or a first letter."""

from textual import events
from textual.content import Content

from engine.phrases import phrase

from ..rows import ChoiceRow
from ..terminal import harmless
from ..tongues import told
from .field import MISSED, Field, enter_takes

_MOST_LISTED = 12
_HOW = phrase("Left, Right choose")
_STEPS = {"left": -1, "right": 1, "space": 1}


class ChoiceField(Field[ChoiceRow]):
    """The choice taken stands between < and >; the field in use lists all, that one in brackets."""

    unknown = ""  # the letter typed last, where no choice begins with it

    def act_on(self, event: events.Key) -> bool:
        """Picks the next, the one before, or the one with a first letter."""
        self._say_unknown("")
        texts = [option.text for option in self.row.options]
        if event.key in _STEPS and texts:
            self._pick(texts[self._next(_STEPS[event.key], len(texts))])
        elif event.key in ("backspace", "delete") and self.row.left_out:
            self._pick("")
        elif event.character is not None and event.is_printable:
            self._pick_letter(event.character)
        else:
            return False
        return True

    def value_line(self, width: int) -> Content:
        """The choice taken, or what stands for none."""
        row = self.row
        if row.text:
            text = f"< {harmless(told(row.label_of(row.text)), width - 4)} >"
            return Content.styled(text, "reverse" if self.has_focus else "")
        if row.offer is not None:
            stand_in = f"? {told(row.label_of(row.offer.text))}"
        else:
            stand_in = f"({told(row.label_of(row.left_out))})" if row.left_out else told(phrase("(choose)"))
        return Content.styled(harmless(stand_in, width), "underline" if self.has_focus else "$text-muted")

    def note(self) -> tuple[str, str]:
        """What is wrong, or (in use) all the choices."""
        row = self.row
        if row.fault:
            return told(row.fault), "bold $error"
        if self.is_missed and not row.text and not self.has_focus:
            return told(MISSED), "bold $warning"
        if not self.has_focus:
            return told(row.mark), "bold $warning"
        choices = self._choices()
        if self.unknown:
            nothing = phrase('No choice begins with "{letter}".', letter=harmless(self.unknown))
            return f"{told(nothing)}\n{choices}", "bold $warning"
        if not row.text and row.offer is not None:
            choices += "\n" + told(enter_takes(row.label_of(row.offer.text), row.offer.why))
        return f"{told(row.mark)}\n{choices}".strip(), "$text-muted"

    def _choices(self) -> str:
        options = self.row.options
        if len(options) <= _MOST_LISTED:
            return self._with_how("  ".join(self._shown(option.text, told(option.label)) for option in options))
        at = next((i for i, option in enumerate(options) if option.text == self.row.text), None)
        near = options[:2] if at is None else options[max(at - 1, 0) : at + 2]
        listed = [self._shown(option.text, told(option.label)) for option in near]
        where = phrase("{count} to choose from", count=len(options))
        if at is not None:
            where = phrase("{number} of {count}", number=at + 1, count=len(options))
        hint = phrase("{where}; a letter goes on to the next that begins with it", where=where)
        return "\n".join([*listed, told(hint)])

    def _with_how(self, listed: str) -> str:
        last = self.folded(listed, self.size.width)[-1]
        how = f"   {told(_HOW)}"
        fits = len(last) + len(how) <= self.room(self.size.width)
        return listed + how if fits and len(self.row.options) > 1 else listed

    def _shown(self, text: str, label: str) -> str:
        return f"[{label}]" if text and text == self.row.text else label

    def _next(self, by: int, count: int) -> int:
        row = self.row
        taken = row.text or (row.left_out if row.offer is None else row.offer.text)
        places = [i for i, option in enumerate(row.options) if option.text == taken]
        if not places:
            return 0 if by > 0 else count - 1
        return max(places[0] + by, -bool(row.options[-1].text)) % count  # not round to taking out

    def _pick_letter(self, letter: str) -> None:
        starts = [o.text for o in self.row.options if told(o.label).lower().startswith(letter.lower())]
        if not starts:
            self._say_unknown(letter)
            return
        at = starts.index(self.row.text) + 1 if self.row.text in starts else 0
        self._pick(starts[at % len(starts)])

    def on_blur(self) -> None:
        """What was said of a letter is over."""
        self._say_unknown("")

    def _say_unknown(self, letter: str) -> None:
        if letter != self.unknown:
            self.unknown = letter
            self.refresh(layout=True)

    def _pick(self, text: str) -> None:
        if text != self.row.text or not (text or self.row.left_out):
            self.post_message(self.Typed(self.row.key, text))
