"""The desk behind the screen: the session, its plan, its file and its draft.

All that is slow to import hangs on this module: the first paint comes before it.
"""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import AsyncIterator, Iterator, Mapping
from contextlib import suppress
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

from engine.errors import FileError, JobError
from engine.job.toml_file import dump_job, parse_job, read_job, write_job
from engine.limits.findings import Finding
from engine.phrases import joined, phrase, shaped
from engine.plan import Needs, Plan
from engine.records import record
from engine.remedies import changed
from engine.remedies.remedy import Change
from engine.why import Pages

from .beside import Curing, Influencing
from .drafts import Draft, DraftFile, LeftBehind
from .entries import BUILT, ROUGH, own_section_of, reading_keys, readings_of, with_own_station, with_row
from .entry_names import entry_name
from .explaining import MAP_PAGE, field_page, figure_page, finding_page, line_page, line_words
from .faults import fault_words
from .groups import Incomplete
from .keys import Where
from .planner import Planner, plan_job
from .rows import ChoiceRow, WordsRow
from .session import Session
from .state import Pending, State
from .step_names import StepName, StepState, step_of
from .steps.all import STEP_CLASSES
from .steps.step import FormStep, Step
from .view import View
from .widgets.findings import FindingsView
from .widgets.looks import Looks
from .widgets.map_pane import MapPane

SAMPLE = "ferry_street.toml"
_NANO = 1e9  # a second's nanoseconds, in which a file's time is told


@record
class Stamp:
    """What tells a file from the one that was read."""

    time: int
    size: int

    @classmethod
    def of(cls, path: Path | None) -> Stamp | None:
        """The file's stamp; None where there is no file."""
        with suppress(OSError):
            if path is not None:
                stat = path.stat()
                return cls(stat.st_mtime_ns, stat.st_size)
        return None


_UNSEEN = Stamp(0, 0)  # of a file that was written anew since it was last looked at


class Desk:
    """One job on the desk."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.planner = Planner()
        self.curing = Curing()
        self._drafts = DraftFile()
        self._stamp = Stamp.of(session.path)
        self._recovered: LeftBehind | None = None
        self._is_catching_up = False
        self.plan_now()

    @classmethod
    def blank(cls, path: Path | None = None) -> Desk:
        """A new job, saved to that path later if one is given."""
        return cls(Session(path=path))

    @classmethod
    def sample(cls) -> Desk:
        """The worked sample; it has no file until saved to one."""
        text = files("tui.samples").joinpath(SAMPLE).read_text(encoding="utf-8")
        return cls(Session(parse_job(text)))

    @classmethod
    def opened(cls, path: Path) -> Desk:
        """The job of a file; FallmarkError where it cannot be read."""
        return cls(Session(read_job(path), path))

    @classmethod
    def recovered(cls, found: LeftBehind) -> Desk:
        """The job of a draft left behind; JobError where it cannot be read."""
        draft = found.draft
        if draft is None:
            raise FileError(str(found.file), phrase("the draft cannot be read"), phrase("open it in a text editor"))
        session = Session(parse_job(draft.job_text, draft=True), None if draft.path is None else Path(draft.path))
        session.restore({key: Pending(text, draft.faults.get(key, "")) for key, text in draft.pending.items()})
        session.mark_unsaved()
        session.last_key = draft.at
        desk = cls(session)
        if desk._stamp is not None and desk._stamp.time > found.time * _NANO:
            desk._stamp = _UNSEEN
        desk._recovered = found
        return desk

    @property
    def view(self) -> View:
        """What the steps are shown."""
        return View(self.session, self.planner.plan, self.planner.error)

    @property
    def states(self) -> tuple[StepState, ...]:
        """How far each step is, in walking order."""
        view = self.view
        return tuple(step.state(view) for step in STEP_CLASSES.values())

    @property
    def is_planned(self) -> bool:
        """Whether the newest plan, or fault, is of the job as it is."""
        return self.planner.job is self.session.job

    def plan_now(self) -> None:
        """Plans the job as it is."""
        self.planner.take(plan_job(self.session.job))

    async def catch_up(self) -> AsyncIterator[None]:
        """Plans in a thread, one at a time, until the plan is of the job as it is then: the newest wins."""
        if self._is_catching_up:
            return
        self._is_catching_up = True
        try:
            while not self.is_planned:
                self.planner.take(await to_thread(plan_job, self.session.job))
                yield
        finally:
            self._is_catching_up = False

    def apply(self, change: Change) -> str:
        """Makes a finding's or remedy's change as one step; tells what was done, or why it cannot be."""
        try:
            job = changed(self.session.job, change)
        except JobError as error:
            return phrase("This change cannot be made: {fault}", fault=error.fault)
        names = {key: entry_name(self.session.job, key) for key, text in change if not text}  # while they are there
        self.session.change(State(job, self.session.state.without(*(key for key, _ in change))))
        if len(change) > 2:
            first = self._done(*change[0], names)
            return phrase("{done}, and {number} entries more; F9 undoes", done=first, number=len(change) - 1)
        return phrase("{done}; F9 undoes", done=joined(", ", [self._done(key, text, names) for key, text in change]))

    def _done(self, key: str, text: str, gone: Mapping[str, str]) -> str:
        if not text:
            return phrase("{entry} is left out", entry=gone[key])
        step = STEP_CLASSES[step_of(key)]
        rows = step.rows(self.view) if issubclass(step, FormStep) else ()
        choices = [row for row in rows if isinstance(row, ChoiceRow) and row.key == key]
        told = choices[0].label_of(text) if choices else text
        return phrase("{entry} is now {text}", entry=entry_name(self.session.job, key), text=told)

    def undo(self) -> str:
        """Takes the last change back; tells what it was, and in which step."""
        before = self.session.state
        return self._walked(phrase("Undone"), before) if self.session.undo() else phrase("Nothing to undo")

    def redo(self) -> str:
        """Makes again what was undone; tells what it was, and in which step."""
        before = self.session.state
        return self._walked(phrase("Redone"), before) if self.session.redo() else phrase("Nothing to redo")

    def _walked(self, done: str, before: State) -> str:
        old, new = self._labels(before), self._labels(self.session.state)
        differing = {at: label for at, label in (old | new).items() if (at in old) != (at in new)}
        steps = {step for step, _, _ in differing}
        if len(steps) == 1:
            done = phrase("{done} in step {step}", done=done, step=steps.pop().value)
        names = [shaped(label, str.strip) for label in dict.fromkeys(differing.values())]
        entries = joined(", ", names if len(names) < 4 else [*names[:2], "..."])
        return joined(": ", filter(None, [done, entries]))

    def _labels(self, state: State) -> dict[tuple[StepName, str, str], str]:
        session = Session()
        session.state = state
        view = replace(self.view, session=session)
        return {
            (name, row.key, row.text): row.label
            for name, step in STEP_CLASSES.items()
            if issubclass(step, FormStep)
            for row in step.rows(view)
            if row.text and not isinstance(row, WordsRow)
        }

    def findings(self, notice: str) -> FindingsView:
        """What the findings pane shows."""
        plan, error = self.planner.plan, self.planner.error
        if error is not None and not notice:
            notice = fault_words(error)
        if plan is None:
            return FindingsView(notice=notice)
        is_old = error is not None and plan.job is not self.planner.job
        answers = () if is_old else self.curing.answers(plan)
        needs = (*plan.needs, *self._left_over(plan))
        return FindingsView(plan.findings, needs, notice, is_old, answers, self.curing.looks_on)

    def _left_over(self, plan: Plan) -> Iterator[Needs]:
        """Fields with what the job does not hold, where the plan does not ask for it anyhow."""
        asked = tuple(need.key for need in plan.needs)
        for key, kept in self.session.left_over.items():
            if not key.startswith(asked):
                words = phrase(
                    "{entry}: planned with {kept}, not with what its field holds"
                    if kept
                    else "{entry}: {text} is not used yet",
                    entry=entry_name(self.session.job, key),
                    kept=kept,
                    text=self.session.text(key),
                )
                yield Needs(key, words)

    def explained(self, where: Where, step: Step, finding: Finding | None) -> Pages:
        """Title and paragraphs about what is in use."""
        plan = self.planner.plan
        if where is Where.MAP:
            return MAP_PAGE
        if where is Where.FINDINGS and plan is not None and finding is not None:
            return finding_page(plan, finding, self.curing.answers(plan), looks_on=self.curing.looks_on)
        if step.line is not None and step.line.about is not None:
            return line_page(step.line.text, step.line.about)
        if step.figure is not None and plan is not None:
            title, paragraphs = figure_page(plan, step.figure)
            return title, [*line_words(step.line), *paragraphs]
        return field_page(step.key, plan)

    def influencing(self, where: Where, step: Step) -> Influencing | None:
        """What works out what the figure in use rests on, if anything does."""
        plan = self.planner.plan
        if plan is None or where in (Where.MAP, Where.FINDINGS) or step.figure is None:
            return None
        if step.line is not None and step.line.about is not None:
            path = step.line.about.path
            return Influencing(plan, (path,)) if path else None
        return Influencing.of(plan, step.figure)

    def make_step(self, name: StepName) -> Step:
        """A step's pane, as things stand."""
        return STEP_CLASSES[name](self.view)

    def make_map(self) -> MapPane:
        """The pane with the map and the cut."""
        return MapPane(Looks.detect())

    def has_own_station(self, section: str) -> bool:
        """Whether a station of one's own is being entered in that list."""
        return any(own_section_of(key) == section for key in self.session.pending)

    def take_own_station(self, section: str) -> str:
        """Takes the station of one's own into its list, giving its key; "" while it is not whole."""
        try:
            state, key = with_own_station(self.session.state, section)
        except Incomplete:
            return ""
        self.session.change(state)
        return key

    def add_row(self, key: str) -> str:
        """Adds a station, wall, corner or drain after a field's row; gives its field's key, or ""."""
        state, new_key = with_row(self.session.state, key)
        self.session.change(state)
        return new_key

    def field_key(self, key: str) -> str:
        """The field that shows a job's entry: a reading's is named by its place."""
        head, _, rest = key.partition("[")
        number = rest.partition("]")[0]
        if head not in (ROUGH, BUILT):
            return key
        if number.isdigit() and int(number) < len(readings_of(self.session.job, head)):
            return reading_keys(self.session.job, head)[int(number)]
        return f"{head}@"

    @property
    def is_changed_on_disk(self) -> bool:
        """Whether someone else changed the job's file since it was read or saved."""
        now = Stamp.of(self.session.path)
        return now is not None and self._stamp is not None and now != self._stamp

    def save(self, path: Path) -> None:
        """Writes the job to a file; FileError where that fails."""
        write_job(self.session.job, path)
        self.session.mark_saved(path)
        self._stamp = Stamp.of(path)

    def _draft(self) -> Draft | None:
        if not self.session.is_unsaved:
            return None
        path = None if self.session.path is None else str(self.session.path.absolute())
        pending = {key: one.text for key, one in self.session.pending.items()}
        faults = {key: str(one.fault) for key, one in self.session.pending.items() if one.fault}
        return Draft(self.session.job.name, dump_job(self.session.whole), pending, faults, path, self.session.last_key)

    def _keep(self, draft: Draft | None) -> None:
        if draft is None:
            self._drafts.remove()
        else:
            self._drafts.write(draft)
        if self._recovered is not None:
            self._recovered.remove()
            self._recovered = None

    def keep_draft(self) -> None:
        """Puts on disk what would be lost, as a thread may; FileError where it cannot be written."""
        self._keep(self._draft())

    @property
    def draft_file(self) -> Path | None:
        """The draft on disk, if any."""
        return self._drafts.file if self._drafts.file.exists() else None

    def let_go(self) -> None:
        """Leaves the draft on disk for the next start."""
        self._drafts.release()

    def put_away(self) -> None:
        """Takes the draft away: all is saved, or given up on purpose."""
        self._keep(None)
