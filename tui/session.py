"""What the wizard works on: the job, the texts it cannot hold yet, and the way back through all changes.

A plain object: no screen, no clock, no files. The job in it is frozen, and replaced at every change.
"""

from collections.abc import Mapping
from pathlib import Path

from engine.job.model import Job

from .entries import entered, kept_texts, read_again, settled, text_at
from .state import Pending, State

_MOST_STEPS = 500
_CHOSEN = (".form", "wall", ".corner", ".from", ".to")  # ends of keys whose text is chosen


class Session:
    """The job being entered, with undo and redo of every change; one field's typing is one step."""

    def __init__(self, job: Job | None = None, path: Path | None = None) -> None:
        self.state = State(job or Job())  # the present moment
        self._past: list[State] = []
        self._future: list[State] = []
        self._open_key: str | None = None
        self._judged, self._kept = State(), dict[str, str]()  # of which state, what is unused in it
        self.last_key = ""  # of the field last typed into
        self.path = path
        self._saved: Job | None = self.state.job

    @property
    def job(self) -> Job:
        """The job as far as it can be used."""
        return self.state.job

    @property
    def pending(self) -> Mapping[str, Pending]:
        """The texts that the job cannot hold yet, by key."""
        return self.state.pending

    @property
    def is_unsaved(self) -> bool:
        """Whether quitting now would lose something."""
        return self.job != self._saved or bool(self.half_typed)

    @property
    def half_typed(self) -> list[str]:
        """The texts that saving leaves out, as the job cannot hold them."""
        return [text for key in self._unused() if (text := self.pending[key].text)]

    @property
    def left_over(self) -> dict[str, str]:
        """What the job holds in the stead of texts beside it, by key, but for the field in use."""
        return {key: kept for key, kept in self._unused().items() if key != self._open_key}

    def _unused(self) -> dict[str, str]:
        """The same for every field; a choice that waits for a length is none. Every step asks at every key."""
        if self._judged is not self.state:
            kept, pending, self._judged = kept_texts(self.job, self.pending), self.pending, self.state
            self._kept = {
                key: text
                for key, text in kept.items()
                if pending[key].fault or (not key.endswith(_CHOSEN) and pending[key].text != text)
            }
        return self._kept

    @property
    def whole(self) -> Job:
        """The job without the readable half of a text that as a whole cannot be used."""
        return self._past[-1].job if self._open_key in self.pending else self.job

    def text(self, key: str) -> str:
        """What stands in a key's field: the text being typed, or the job's entry."""
        return text_at(self.state, key)

    def fault(self, key: str) -> str:
        """Why a key's text cannot be used; "" where it can."""
        return self.pending[key].fault if key in self.pending else ""

    def enter(self, key: str, text: str) -> None:
        """Takes one field's text: into the job, or beside it where it cannot be used."""
        self.last_key = key
        after = entered(self.state, key, text)
        self._go(after if after.job.units is self.job.units else read_again(after), key)

    def change(self, state: State) -> None:
        """Takes a whole other state as one step."""
        self._go(state, None)
        self.leave()

    def leave(self) -> None:
        """Ends a field's typing: what follows is a step of its own."""
        self.state = settled(State(self.whole, self.pending))
        self._open_key = None

    def undo(self) -> bool:
        """Goes back one step; whether there was one."""
        return self._walk(self._past, self._future)

    def redo(self) -> bool:
        """Goes forward one step; whether there was one."""
        return self._walk(self._future, self._past)

    def mark_saved(self, path: Path) -> None:
        """Remembers that a file holds the job as it is now."""
        self.path = path
        self._saved = self.job

    def mark_unsaved(self) -> None:
        """Remembers that no file holds the job as it is now."""
        self._saved = None

    def restore(self, pending: Mapping[str, Pending]) -> None:
        """Puts back texts typed and not used yet, as a draft kept them; no step of its own.

        They are read again, so that their faults can be told in any tongue.
        """
        self.state = read_again(State(self.job, dict(pending)))

    def _go(self, after: State, key: str | None) -> None:
        if after == self.state:
            return
        if key is None or key != self._open_key:
            self._past = [*self._past[-_MOST_STEPS:], self.state]
        self._open_key = key
        self._future.clear()
        self.state = after

    def _walk(self, source: list[State], target: list[State]) -> bool:
        if not source:
            return False
        target.append(self.state)
        self._open_key = None
        self.state = source.pop()
        self.leave()
        return True
