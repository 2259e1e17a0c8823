"""Everything that asks the person something: the start, open, save, quit, explanations; and the draft on disk."""

from __future__ import annotations

from asyncio import to_thread
from importlib import import_module
from typing import TYPE_CHECKING, Any

from engine.errors import FallmarkError, FileError
from tui.dialogs.quit import Leave, QuitDialog
from tui.dialogs.start import AS_SAVED, OPEN, SAMPLE, StartDialog
from tui.dialogs.tell import TellDialog
from tui.drafts import left_behind
from tui.keys import Where
from tui.rows import Offer
from tui.terminal import harmless

if TYPE_CHECKING:
    from pathlib import Path

    from tui.desk import Desk
    from tui.drafts import Draft
    from tui.wizard import WizardScreen

_DRAFT_DELAY = 0.4  # [s] after a change; many keystrokes make one writing


class Filing:
    """Works for one screen."""

    def __init__(self, screen: WizardScreen) -> None:
        self._screen = screen
        self._draft_timer: Any = None
        self._has_complained = False

    # ---------------------------------------------------------------- the start

    async def begin(self, path: Path | None) -> None:
        """Loads the engine beside the first paint, asks how to begin, and puts a job on the screen."""
        loading = to_thread(_load)
        drafts = [d for d in left_behind() if path is None or _is_of(d.draft, path)]
        answer: str | None = AS_SAVED
        if path is None or drafts:
            answer = await self._ask(StartDialog(drafts, None if path is None else str(path)))
        desk_class = await loading
        chosen = [d for d in drafts if str(d.file) == answer]
        try:
            if chosen:
                self._screen.take(desk_class.recovered(chosen[0]), "The draft is back; it is not saved yet")
            elif path is not None:
                self._take_path(desk_class, path)
            elif answer == SAMPLE:
                self._screen.take(desk_class.sample(), "The worked sample; F1 explains, F9 undoes")
            else:
                self._screen.take(desk_class.blank())
        except FallmarkError as error:
            self._screen.app.exit(return_code=2, message=harmless(str(error)))
            return
        if answer == OPEN:
            await self.open()

    def _take_path(self, desk_class: type[Desk], path: Path) -> None:
        if path.exists():
            self._screen.take(desk_class.opened(path))
        else:
            self._screen.take(desk_class.blank(path), f"A new job: F2 will save it to {path}")

    # ---------------------------------------------------------------- files

    async def open(self) -> None:
        """Opens another job, after asking about the one that is not saved."""
        from tui.dialogs.open_job import OpenDialog

        if not await self._may_leave():
            return
        while (path := await self._ask(OpenDialog())) is not None:
            try:
                desk = self._desk_class.opened(path)
            except FallmarkError as error:
                await self._ask(TellDialog("This job cannot be opened", [("", str(error))]))
            else:
                self._put_away()
                self._screen.take(desk, f"Opened {path}")
                return

    async def save(self) -> None:
        """Saves to the job's own file; asks for one where there is none yet."""
        desk = self._screen.desk
        if desk is None:
            return
        path = desk.session.path
        if path is None:
            await self.save_as()
        elif desk.is_changed_on_disk:
            await self.save_as(str(path), "someone changed this file since you opened it: Enter replaces it")
        else:
            await self._write(desk, path)

    async def save_as(self, typed: str = "", why: str = "") -> None:
        """Asks for a file and saves to it."""
        from tui.dialogs.paths import file_name
        from tui.dialogs.save_as import SaveAsDialog

        desk = self._screen.desk
        if desk is None:
            return
        offer = Offer(file_name(desk.session.job.name), "made from the job's name")
        own = None if why else desk.session.path
        path = await self._ask(SaveAsDialog(typed, offer, own, why))
        if path is not None:
            await self._write(desk, path)

    async def _write(self, desk: Desk, path: Path) -> None:
        try:
            desk.save(path)
        except FileError as error:
            words = f"{error}\n\nThe job is still here, nothing is lost. Save it to another place."
            await self._ask(TellDialog("The job is not saved", [("", words)]))
            return
        left = desk.session.half_typed
        kept = "" if not left else f", without the half-typed {', '.join(text for _, text in left)}"
        self._screen.tell(f"Saved to {path}{kept}")

    # ---------------------------------------------------------------- quitting

    async def quit(self, *, always_ask: bool = False) -> None:
        """Quits; asks where something would be lost, or where the way here was Esc."""
        if always_ask or (self._screen.desk is not None and self._screen.desk.session.is_unsaved):
            if not await self._may_leave(always_ask=always_ask):
                return
        self._put_away()
        self._screen.app.exit(return_code=0)

    async def _may_leave(self, *, always_ask: bool = False) -> bool:
        """Asks about what is not saved; whether the job may go."""
        desk = self._screen.desk
        if desk is None or not (always_ask or desk.session.is_unsaved):
            return True
        answer = await self._ask(QuitDialog(_lost(desk)))
        if answer is Leave.SAVE:
            await self.save()
            return not desk.session.is_unsaved
        return answer is Leave.DROP

    def _put_away(self) -> None:
        if self._screen.desk is not None:
            self._screen.desk.put_away()

    # ---------------------------------------------------------------- explaining

    async def explain(self) -> None:
        """Explains what is in use; the explain key once more shows all keys."""
        from tui import explaining

        title, paragraphs = self._page()
        if await self._ask(TellDialog(title, paragraphs, keys_next=True)) == "keys":
            await self._ask(TellDialog(*explaining.keys_page()))

    def _page(self) -> tuple[str, list[tuple[str, str]]]:
        from tui import explaining

        screen, desk = self._screen, self._screen.desk
        plan = None if desk is None else desk.planner.plan
        if screen.where is Where.MAP:
            return explaining.MAP_PAGE
        if screen.where is Where.FINDINGS and plan is not None and screen.finding is not None:
            return explaining.finding_page(plan, screen.finding)
        if screen.figure is not None and plan is not None:
            return explaining.figure_page(plan, screen.figure)
        return explaining.field_page(screen.field_key) if screen.field_key else explaining.keys_page()

    # ---------------------------------------------------------------- the draft

    def keep_draft_soon(self) -> None:
        """Writes the draft a moment after the last change."""
        if self._draft_timer is not None:
            self._draft_timer.stop()
        self._draft_timer = self._screen.set_timer(_DRAFT_DELAY, self._keep_draft)

    def keep_draft_now(self) -> None:
        """Writes the draft at once, because the wizard is about to end against its will."""
        desk = self._screen.desk
        if desk is not None:
            desk.keep(desk.draft())

    async def _keep_draft(self) -> None:
        desk = self._screen.desk
        if desk is None:
            return
        try:
            await to_thread(desk.keep, desk.draft())
        except FileError as error:
            if not self._has_complained:
                self._has_complained = True
                self._screen.tell(f"No draft is kept: {error.fault}; save with F2")

    async def _ask(self, dialog: Any) -> Any:
        return await self._screen.app.push_screen_wait(dialog)

    @property
    def _desk_class(self) -> type[Desk]:
        return _load()


def _load() -> type[Desk]:
    """The desk, with the whole engine behind it."""
    desk: type[Desk] = import_module("tui.desk").Desk
    return desk


def _is_of(draft: Draft | None, path: Path) -> bool:
    return draft is not None and draft.path == str(path.absolute())


def _lost(desk: Desk) -> str:
    """What would be lost, in words; "" where nothing would be."""
    if not desk.session.is_unsaved:
        return ""
    left = [text for _, text in desk.session.half_typed]
    half = f" Half typed and in no file: {', '.join(left)}." if left else ""
    return f"This job has changes that are not saved.{half}"
