"""The wizard's one screen: header, step, map, findings, footer; it hands data down and acts on what comes."""

from __future__ import annotations

from asyncio import sleep
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical

from engine.phrases import phrase

from .choosing import ChoosingScreen
from .key_gate import GatedApp
from .keys import KEY_ACTIONS, Where
from .step_names import SECTIONS, STEPS, StepName, step_of
from .widgets.bars import LEAST_COLUMNS, LEAST_ROWS, Divider, FooterLine, HeaderLine, HeaderView, SizeLine
from .widgets.findings import Findings

if TYPE_CHECKING:
    from textual.widget import Widget

    from engine.limits.findings import Finding

    from .desk import Desk
    from .steps.step import Step
    from .widgets.field import Field
    from .widgets.map_pane import MapPane
    from .widgets.sheet import SheetLines

_LONGER = 8  # times as long as before
_PAUSE = 0.6  # [s] without a change before remedies are sought: typing has the machine to itself


def _bindings() -> list[BindingType]:
    """The table's actions, before any field's own keys; Ctrl+C is a habit, and means quit."""
    made: list[BindingType] = [
        Binding(",".join(action.keys), action.action, action.short, priority=True)
        for action in KEY_ACTIONS
        if action.action
    ]
    return [*made, Binding("ctrl+c", "quit", "quit", priority=True)]


class WizardScreen(ChoosingScreen):
    """Shows a view and says what the person wants; the desk behind changes the job."""

    DEFAULT_CSS = Path(__file__).with_suffix(".tcss").read_text(encoding="utf-8")
    BINDINGS: ClassVar[list[BindingType]] = _bindings()
    AUTO_FOCUS = ""
    HORIZONTAL_BREAKPOINTS = [(0, "-thin"), (LEAST_COLUMNS, "-narrow"), (100, "-wide"), (140, "-broad")]
    VERTICAL_BREAKPOINTS = [(0, "-flat"), (LEAST_ROWS, "-low"), (30, "-tall"), (40, "-high")]

    def __init__(self) -> None:
        super().__init__()
        self.desk: Desk | None = None  # the job on the screen
        self._steps: dict[StepName, Step] = {}
        self._current = StepName.FLOOR
        self._map: MapPane | None = None
        self._notice = ""
        self._is_entering = True  # until the first step is there
        self._wanted_key: str | None = None

    def compose(self) -> Iterator[Widget]:
        """The frame; step and map come with the engine."""
        yield SizeLine()
        yield HeaderLine()
        with Horizontal(id="body"):
            yield Vertical(id="pane")
            yield Divider()
            yield Vertical(id="map")
        yield Findings()
        yield FooterLine()

    @property
    def is_waiting(self) -> bool:
        """Whether the engine, or a step, is on its way."""
        return self.desk is None or self._is_entering

    def take(self, desk: Desk, notice: str = "", key: str = "") -> None:
        """Puts another job on the screen, at the field of a key if named."""
        self.desk = desk
        self._notice = notice
        for step in self._steps.values():
            step.remove()
        self._steps.clear()
        if self._map is None:
            self._map = desk.make_map()
            self.query_one("#map").mount(self._map)
        self._show()
        self._cure()
        self.go_to(step_of(key) if key else StepName.FLOOR, key or None)

    # --- steps

    def go_to(self, name: StepName, key: str | None = None) -> None:
        """Shows a step, made on its first visit, with a field of it in use."""
        if self.desk is None:
            return
        self.leave_field()
        self._current = name
        # A hidden field gives up the focus late, taking it from the new step's field.
        self.set_focus(None)
        pane = self.query_one("#pane")
        step = self._steps.get(name)
        is_new = step is None
        if step is None:
            step = self._steps[name] = self.desk.make_step(name)
            pane.mount(step)
        for other in self._steps.values():
            other.display = other is step
        pane.set_class(step.where is Where.SHEET, "-sheet")
        if self._map is not None:
            self._map.point_at(None, None)
            self._map.enter_step(name)
        self._show()
        self._wanted_key = key
        if is_new:
            self._is_entering = True
            if isinstance(self.app, GatedApp):
                self.app.hold_keys()
        else:
            self._enter(step)

    def on_step_made(self) -> None:
        """Goes into the step just made."""
        if self.step is not None:
            self._enter(self.step)

    def _enter(self, step: Step) -> None:
        self._is_entering = False
        key, self._wanted_key = self._wanted_key, None
        if key is None or not step.go_to(key):
            step.enter()
        if self.focused is None:
            self.set_focus(self.query_one(Findings))
        self._show_where()
        self.hand_on()

    def action_next_step(self) -> None:
        """The next step, round and round."""
        self._walk(1)

    def action_previous_step(self) -> None:
        """The step before, round and round."""
        self._walk(-1)

    def _walk(self, by: int) -> None:
        self.go_to(STEPS[(STEPS.index(self._current) + by) % len(STEPS)])

    def action_step_out(self) -> None:
        """Off the map or the findings back to the step; from there towards the way out."""
        if self.where in (Where.MAP, Where.FINDINGS) and self.step is not None:
            self._enter(self.step)
        else:
            self._ask(lambda filing: filing.quit(always_ask=True))

    # --- the other keys

    def action_undo(self) -> None:
        """Takes the last change back."""
        if self.desk is not None:
            self._walked(self.desk, self.desk.undo)

    def action_redo(self) -> None:
        """Makes again what was undone."""
        if self.desk is not None:
            self._walked(self.desk, self.desk.redo)

    def _walked(self, desk: Desk, make: Callable[[], str]) -> None:
        """With nothing to walk to the job rests, and what is looked for beside it goes on."""
        before = desk.session.state
        self.query_one(Findings).starts_over = True
        says = make()
        (self.remark if desk.session.state is before else self.tell)(says)

    def action_explain(self) -> None:
        """Explains the field or the figure in use."""
        if (step := self.step) is not None:
            self._ask(lambda filing: filing.explain(step))

    def action_next_layer(self) -> None:
        """The map's next layer."""
        if self._map is not None:
            self._map.next_layer()

    def action_map_cursor(self) -> None:
        """Puts the keys on the map."""
        if self._map is not None:
            self._map.use()

    def action_next_finding(self) -> None:
        """Puts the keys on the findings, if any; once there, the next one."""
        findings = self.query_one(Findings)
        if findings.has_focus:
            findings.step_on()
        elif findings.count:
            self.set_focus(findings)
            findings.tell()
            if self.desk is not None and not self.desk.curing.is_known(self.desk.planner.plan):
                self._cure()

    def remark(self, notice: str) -> None:
        """Shows a few words beside the findings."""
        self._notice = notice
        self._show()

    def tell(self, notice: str) -> None:
        """Shows a few words beside the findings, and all else anew."""
        self._notice = notice
        self._changed()

    # --- what comes up

    def on_field_typed(self, event: Field.Typed) -> None:
        """Takes what was typed and plans at once."""
        if self.desk is not None:
            self._notice = ""
            if event.text or not event.key.endswith("].kind"):
                self.desk.session.enter(event.key, event.text)
            else:
                self._notice = self.desk.apply(((event.key.removesuffix(".kind"), ""),))
            self._changed()

    def on_field_missed(self, event: Field.Missed) -> None:
        """Says beside the findings too that a field is needed: the form may just be left."""
        self._notice = phrase("{field}: needed, and still empty", field=event.label)
        self._show()

    def on_form_reached(self) -> None:
        """Another field: what is typed there is a step of its own."""
        self.leave_field()
        self._point_at(None, None)
        self._show_where()

    def leave_field(self) -> None:
        """Ends the typing in the field in use."""
        if self.desk is not None:
            self.desk.session.leave()
            if not self.desk.is_planned:
                self._changed()

    def on_form_finished(self) -> None:
        """Enter in the last field goes to the next step."""
        if not self._take_own_station():
            self.action_next_step()

    def on_field_row_wanted(self, event: Field.RowWanted) -> None:
        """Adds a station, a wall, a corner or a drain."""
        if self.desk is not None and (key := self.desk.add_row(event.key)):
            self._changed()
            self.call_after_refresh(self._go_to_field, key)

    def _go_to_field(self, key: str) -> None:
        self._steps[self._current].go_to(key)

    def _take_own_station(self) -> bool:
        section = SECTIONS.get(self._current)
        if self.desk is None or section is None or not self.desk.has_own_station(section):
            return False
        key = self.desk.take_own_station(section)
        self._notice = phrase("Reading added" if key else "This station needs a distance along its wall and a drop")
        self._changed()
        if key:
            self.call_after_refresh(self._go_to_field, key)
        return True

    def on_sheet_lines_reached(self, event: SheetLines.Reached) -> None:
        """Shows the line's place on the map."""
        self._point_at(event.line.x, event.line.y)
        self._show_where()

    def on_sheet_lines_entry_wanted(self, event: SheetLines.EntryWanted) -> None:
        """Goes to what a line of the results says is needed."""
        self._go_to_entry(event.key)

    def on_findings_reached(self, event: Findings.Reached) -> None:
        """Shows the finding's place on the map."""
        self._point_at(event.finding.x, event.finding.y)

    def _point_at(self, x: float | None, y: float | None) -> None:
        if self._map is not None:
            self._map.point_at(x, y)

    def on_findings_chosen(self, event: Findings.Chosen) -> None:
        """Makes the change of a finding or remedy, or goes to its entry."""
        if self.desk is None:
            return
        if event.change:
            self._notice = self.desk.apply(event.change)
            self._changed()
            if not self.query_one(Findings).count:
                self.action_step_out()
        elif event.finding.key is not None:
            self._go_to_entry(event.finding.key)

    def on_findings_longer(self) -> None:
        """Looks longer than before for smaller changes."""
        if self.desk is not None:
            self.remark(phrase("Looking longer; a change of the job ends it"))
            self._cure_beside(self.desk, 0.0, _LONGER * self.desk.curing.patience)

    def on_findings_need_chosen(self, event: Findings.NeedChosen) -> None:
        """Goes to what is still needed."""
        self._go_to_entry(event.need.key)

    def _go_to_entry(self, key: str) -> None:
        if self.desk is not None:
            self.go_to(step_of(key), self.desk.field_key(key))

    # --- showing

    def _changed(self) -> None:
        if self.desk is None:
            return
        if self.desk.planner.is_quick:
            self.desk.plan_now()
        else:
            self._plan_beside(self.desk)
        self._show()
        self._cure()
        if self._filing is not None:
            self._filing.keep_draft_soon()

    @work
    async def _plan_beside(self, desk: Desk) -> None:
        async for _ in desk.catch_up():
            if desk is self.desk:
                self._show()
                self._cure()

    def _cure(self) -> None:
        if self.desk is not None:
            self.desk.curing.forget()
            self._cure_beside(self.desk, 0.0 if self.where is Where.FINDINGS else _PAUSE)

    # A remedy that cannot be worked out costs its lines, not the wizard.
    @work(group="curing", exclusive=True, exit_on_error=False)
    async def _cure_beside(self, desk: Desk, wait: float, patience: float = 1.0) -> None:
        await sleep(wait)
        curing, plan, goes_on = desk.curing, desk.planner.plan, True
        while plan is not None and desk.is_planned and goes_on:
            before = curing.changes
            if not await curing.find(plan, patience) or desk is not self.desk:
                return
            goes_on, is_same = curing.looks_on, before == curing.changes
            if patience > 1 and not (is_same and goes_on):
                found = phrase("nothing smaller found") if is_same else phrase("other changes found")
                self._notice = phrase("Looked {times} times as long: {found}", times=f"{patience:g}", found=found)
            self.query_one(Findings).show(desk.findings(self._notice))
            patience *= _LONGER

    def _show(self) -> None:
        desk = self.desk
        if desk is None:
            return
        view, session = desk.view, desk.session
        if self.step is not None:
            self.step.show(view)
        if self._map is not None:
            self._map.show(view.plan)
        header = HeaderView(self._current, desk.states, session.job.name, session.is_unsaved)
        self.query_one(HeaderLine).view = header
        self.query_one(Findings).show(desk.findings(self._notice))
        self.call_after_refresh(self._show_more)

    def _show_where(self) -> None:
        self.query_one(FooterLine).where = self.where

    on_descendant_focus = _show_where

    def _show_more(self) -> None:
        if self.step is not None:
            self.query_one(Divider).more = self.step.more

    on_pane_scrolled = _show_more

    @property
    def where(self) -> Where:
        """What the keys act on."""
        focused = self.focused
        if isinstance(focused, Findings):
            return Where.FINDINGS
        if focused is not None and self._map is not None and focused in self._map.children:
            return Where.MAP
        return Where.FORM if self.step is None else self.step.where

    @property
    def step(self) -> Step | None:
        """The step on the screen."""
        return self._steps.get(self._current)

    @property
    def finding(self) -> Finding | None:
        """The finding in use."""
        return self.query_one(Findings).current
