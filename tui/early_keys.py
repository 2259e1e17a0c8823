"""Keys pressed before they can act on anything: kept in order, and done once they can."""

from collections.abc import Sequence

from textual.events import Key, Paste
from textual.screen import Screen

from .key_gate import GatedApp

_AT_ONCE = frozenset({"quit", "theme", "tongue"})  # the actions that need no job


class EarlyKeysScreen(Screen[None]):
    """A screen that keeps keys and pasted text while it is getting ready."""

    def __init__(self) -> None:
        super().__init__()
        self._kept: list[Key | Paste] = []

    @property
    def is_waiting(self) -> bool:
        """Whether there is nothing yet that keys could act on."""
        raise NotImplementedError

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """An action that has to wait is refused, so that its key comes to `on_key` and is kept."""
        if self.is_waiting and action not in _AT_ONCE:
            return False
        return super().check_action(action, parameters)

    def on_key(self, event: Key) -> None:
        """Keeps a key that comes early."""
        self._keep(event)

    def on_paste(self, event: Paste) -> None:
        """Keeps text that is pasted early."""
        self._keep(event)

    def _keep(self, event: Key | Paste) -> None:
        if self.is_waiting:
            self._kept.append(event)
            event.stop()
            event.prevent_default()

    def take_kept(self) -> Sequence[Key | Paste]:
        """What came early, for whoever can act on it first."""
        kept, self._kept = self._kept, []
        return kept

    def hand_on(self) -> None:
        """Does what came early, before anything that is pressed from here on."""
        if isinstance(self.app, GatedApp):
            self.app.go_on(self.take_kept())
