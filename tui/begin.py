"""The beginning: the engine is loaded beside the first page, which asks how to begin."""

from __future__ import annotations

from asyncio import create_task, to_thread
from importlib import import_module
from typing import TYPE_CHECKING

from engine.errors import FallmarkError
from engine.phrases import phrase

from .dialogs.start import AS_SAVED, OPEN, SAMPLE, StartDialog
from .drafts import Draft, left_behind
from .faults import error_words
from .key_gate import GatedApp
from .terminal import harmless
from .tongues import told

if TYPE_CHECKING:
    from pathlib import Path

    from .desk import Desk
    from .filing import Filing
    from .wizard import WizardScreen


async def begin(screen: WizardScreen, path: Path | None) -> None:
    """Asks how to begin where no file was named or it left a draft, and shows a job."""
    loading = create_task(to_thread(_load))
    drafts = [d for d in left_behind() if path is None or _is_of(d.draft, path)]
    answer: str | None = AS_SAVED
    if path is None or drafts:
        if isinstance(screen.app, GatedApp):
            screen.app.hold_keys()  # until the page has a choice in use
        dialog = StartDialog(drafts, None if path is None else str(path), screen.take_kept())
        answer = await screen.app.push_screen_wait(dialog)
    desk_class, filing_class = await loading
    screen.use(filing_class(screen))
    chosen = next((d for d in drafts if str(d.file) == answer), None)
    try:
        if chosen is not None:
            desk = desk_class.recovered(chosen)
            screen.take(desk, phrase("The draft is back; it is not saved yet"), desk.session.last_key)
        elif path is not None:
            _take_path(screen, desk_class, path)
        elif answer == SAMPLE:
            screen.take(desk_class.sample(), phrase("The worked sample: PgDn goes on, F1 explains"))
        else:
            screen.take(desk_class.blank())
    except FallmarkError as error:
        screen.app.exit(return_code=2, message=harmless(told(error_words(error))))
        return
    if answer == OPEN:
        screen.action_open()


def _take_path(screen: WizardScreen, desk_class: type[Desk], path: Path) -> None:
    if path.exists():
        screen.take(desk_class.opened(path))
    else:
        screen.take(desk_class.blank(path), phrase("A new job: F2 will save it to {path}", path=path))


def _load() -> tuple[type[Desk], type[Filing]]:
    return import_module("tui.desk").Desk, import_module("tui.filing").Filing


def _is_of(draft: Draft | None, path: Path) -> bool:
    return draft is not None and draft.path == str(path.absolute())
