"""All that asks the person something: open, save, quit, explanations; and the draft on disk."""

from asyncio import Lock, to_thread
from contextlib import suppress
from pathlib import Path
from typing import Any

from engine.errors import FallmarkError, FileError
from engine.phrases import joined, phrase

from .desk import Desk
from .dialogs.path_dialog import OpenDialog, PageAsDialog, SaveAsDialog
from .dialogs.paths import file_name
from .dialogs.quit import Leave, QuitDialog
from .dialogs.tell import FieldPageDialog, TellDialog, keys_dialog
from .faults import error_words
from .keys import Where
from .paper import refuse_place, write_page
from .rows import Offer
from .steps.step import Step
from .wizard import WizardScreen

_FROM_NAME = phrase("made from the job's name")
_NOTHING_LOST = phrase("The job is still here, nothing is lost. Save it to another place.")
_DRAFT_DELAY = 0.4  # [s] after a change: many keystrokes, one writing


class Filing:
    """Works for one screen."""

    def __init__(self, screen: WizardScreen) -> None:
        self._screen = screen
        self._draft_timer: Any = None
        self._has_complained = False
        self._is_over = False
        self._writing = Lock()

    # --- files

    async def open(self) -> None:
        """Opens another job, after asking about an unsaved one."""
        if not await self._may_leave():
            return
        while (path := await self._ask(OpenDialog())) is not None:
            try:
                desk = Desk.opened(path)
            except FallmarkError as error:
                await self._ask(TellDialog(phrase("This job cannot be opened"), [("", error_words(error))]))
            else:
                self._put_away()
                self._screen.take(desk, phrase("Opened {path}", path=path))
                return

    async def save(self) -> None:
        """Saves to the job's own file, asking for one where there is none."""
        desk = self._screen.desk
        if desk is None:
            return
        path = desk.session.path
        if path is None:
            await self.save_as()
        elif desk.is_changed_on_disk:
            why = phrase("someone changed this file since you opened it: Enter replaces it")
            await self.save_as(str(path), why)
        else:
            await self._write(desk, path)

    async def save_as(self, typed: str = "", why: str = "") -> None:
        """Asks for a file and saves to it."""
        desk = self._screen.desk
        if desk is None:
            return
        offer = Offer(file_name(desk.session.job.name), _FROM_NAME)
        own = None if why else desk.session.path
        path = await self._ask(SaveAsDialog(typed, offer, own, why))
        if path is not None:
            await self._write(desk, path)

    async def _write(self, desk: Desk, path: Path) -> None:
        self._screen.leave_field()
        try:
            desk.save(path)
        except FileError as error:
            words = joined("\n\n", [error_words(error), _NOTHING_LOST])
            await self._ask(TellDialog(phrase("The job is not saved"), [("", words)]))
            return
        left = ", ".join(desk.session.half_typed)
        if left:
            self._screen.tell(phrase("Saved without the half-typed {texts}", texts=left))
        elif kept := ", ".join(filter(None, desk.session.left_over.values())):
            self._screen.tell(phrase("Saved with {kept}, though its field is emptied", kept=kept))
        else:
            self._screen.tell(phrase("Saved to {file}", file=path.name))

    async def write_page(self) -> None:
        """Asks for a file and writes the plan's page to print to it."""
        self._screen.leave_field()
        desk = self._screen.desk
        plan = None if desk is None else desk.planner.plan
        if desk is None or plan is None:
            return
        offer = Offer(file_name(desk.session.job.name, PageAsDialog.ENDING), _FROM_NAME)
        path = await self._ask(PageAsDialog("", offer))
        if path is None:
            return
        try:
            if desk.session.path is not None:
                refuse_place(str(path), str(desk.session.path))
            await to_thread(write_page, plan, str(path))
        except FallmarkError as error:
            await self._ask(TellDialog(phrase("The page is not written"), [("", error_words(error))]))
        else:
            self._screen.tell(phrase("Page written to {file}: open it in a browser", file=path.name))

    # --- quitting

    async def quit(self, *, always_ask: bool = False) -> None:
        """Quits; asks where something would be lost, or Esc led here."""
        if not await self._may_leave(always_ask=always_ask):
            return
        async with self._writing:
            self._is_over = True
            self._put_away()
        self._screen.app.exit(return_code=0)

    async def _may_leave(self, *, always_ask: bool = False) -> bool:
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

    # --- explaining

    async def explain(self, step: Step) -> None:
        """Explains what is in use; the key once more shows all keys."""
        screen, desk = self._screen, self._screen.desk
        if desk is None:
            return
        title, paragraphs = desk.explained(screen.where, step, screen.finding)
        resting = desk.influencing(screen.where, step)
        more = None if resting is None else resting.words
        kind = FieldPageDialog if screen.where is Where.FORM else TellDialog
        try:
            answer = await self._ask(kind(title, paragraphs, keys_next=True, more=more))
        finally:
            if resting is not None:
                resting.forget()
        if answer == "keys":
            await self._ask(keys_dialog(kind))

    # --- the draft

    def keep_draft_soon(self) -> None:
        """Writes the draft a moment after the last change."""
        if self._draft_timer is not None:
            self._draft_timer.stop()
        self._draft_timer = self._screen.set_timer(_DRAFT_DELAY, self._keep_draft)

    def keep_draft_now(self) -> None:
        """Writes the draft at once, as the wizard is about to end against its will."""
        desk = self._screen.desk
        if desk is not None and not self._is_over:
            with suppress(FileError):
                desk.keep_draft()
            desk.let_go()

    async def _keep_draft(self) -> None:
        desk = self._screen.desk
        if desk is None:
            return
        try:
            async with self._writing:
                if not self._is_over:
                    await to_thread(desk.keep_draft)
        except FileError as error:
            if not self._has_complained:
                self._has_complained = True
                self._screen.tell(phrase("No draft is kept ({fault}): save with F2", fault=error.fault))

    async def _ask(self, dialog: Any) -> Any:
        return await self._screen.app.push_screen_wait(dialog)


def _lost(desk: Desk) -> str:
    if not desk.session.is_unsaved:
        return ""
    left, said = ", ".join(desk.session.half_typed), [phrase("This job has changes that are not saved.")]
    if left:
        said.append(phrase("Half typed and in no file: {texts}.", texts=left))
    return joined(" ", said)
