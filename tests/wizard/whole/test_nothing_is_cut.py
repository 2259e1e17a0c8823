"""At 80 x 24 every text of every step, page, view and dialog stands there whole, or keys bring it into view."""

import asyncio
from pathlib import Path

import pytest
from textual.events import Key

from engine.phrases import phrase
from tui.desk import Desk
from tui.drafts import Draft, DraftFile
from tui.results.pages import PAGES
from tui.rows import TextRow
from tui.step_names import STEPS, StepName
from tui.steps.all import STEP_CLASSES
from tui.steps.step import FormStep
from tui.tongues import Tongue
from tui.widgets.field import Field
from tui.widgets.findings import Findings
from tui.widgets.menu import Menu
from tui.widgets.words import Words

SAMPLES = Path(__file__).parents[3] / "sample_jobs"
TONGUES = list(Tongue)
TRIES = 2000
FREE = ("job.name", "job.notes")
NOTICE = phrase(
    "No draft is kept ({fault}): save with F2",
    fault=phrase("the draft cannot be written ({why})", why="Read-only file system"),
)


@pytest.fixture(params=TONGUES, ids=lambda tongue: tongue.value)
def tongue(request, monkeypatch):
    """Both tongues, the way a locale chooses them."""
    monkeypatch.setenv("LC_ALL", request.param.value)
    return request.param


async def until(condition, hand):
    """Waits without waking every widget each time, as a pause of the pilot's does."""
    for _ in range(TRIES):
        if condition():
            return
        await asyncio.sleep(0.002)
    pytest.fail(f"waited in vain; the screen is:\n{hand.screen}")


async def press(hand, key, condition):
    """A key, and what has to come of it."""
    hand.app.post_message(Key(key, None))
    await until(condition, hand)


async def pressed(hand, key):
    """A key, and whatever comes of it."""
    hand.app.post_message(Key(key, None))
    await hand.pause()


def is_as_high_as_it_wants(widget):
    """Whether the widget was given a row for each of its lines."""
    return widget.size.height == widget.get_content_height(widget.size, widget.size, widget.size.width)


def is_in_view(widget):
    """Whether all rows of a widget are on the screen."""
    return is_as_high_as_it_wants(widget) and widget.region in widget.parent.region


async def to_step(hand, step, key="pagedown"):
    wizard = hand.app.wizard
    await press(hand, key, lambda: wizard._current is step and wizard.focused and hand.desk.is_planned)


async def through_form(hand, seen):
    """Every field in use and at rest, and the words between them."""
    form = hand.app.wizard.step.form
    await until(lambda: not form.fields or (form.current and is_in_view(form.current)), hand)
    at = form.fields.index(form.current) if form.fields else 0
    ways = [("up", field) for field in form.fields[:at][::-1]] + [("down", field) for field in form.fields[1:]]
    seen.look(Field, Words)
    for key, field in ways:
        await press(hand, key, lambda field=field: form.current is field and is_in_view(field))
        seen.look(Field, Words)
    await until(lambda: is_in_view(form.children[-1]), hand)
    seen.look(Field, Words)


async def through_pages(hand, seen):
    """Every page, from its top to its end."""
    step = hand.app.wizard.step
    sheet, lines = step.sheet, step.sheet.lines
    for at in range(len(PAGES)):
        await until(lambda: is_as_high_as_it_wants(lines) and sheet.scroll_y == 0, hand)
        await press(hand, "end", lambda: sheet.scroll_y == sheet.max_scroll_y)
        seen.take_whole(lines)
        await press(hand, "right", lambda at=at: step._at == (at + 1) % len(PAGES))


@pytest.mark.usefixtures("tongue")
async def test_every_step_and_page(wizard, seen_by):
    async with wizard() as hand:
        faults = {}
        for i, step in enumerate(STEPS):
            if i:
                await to_step(hand, step)
            seen = seen_by(hand)
            await (through_pages if step is StepName.RESULTS else through_form)(hand, seen)
            faults[step.value] = seen.faults()
    assert {where: found for where, found in faults.items() if found} == {}


async def through_dialog(hand, seen):
    """A page of words, scrolled to its end."""
    wizard, app = hand.app.wizard, hand.app
    await until(lambda: app.screen is not wizard and app.screen.query(".scroll"), hand)
    scroll = app.screen.query_one(".scroll")
    await until(lambda: scroll.size.height and all(is_as_high_as_it_wants(w) for w in scroll.children), hand)
    seen.look()
    while scroll.scroll_y < scroll.max_scroll_y:
        below = scroll.scroll_y
        await press(hand, "pagedown", lambda below=below: scroll.scroll_y > below)
        await hand.pause()
        seen.look()


async def closed(hand):
    """Back to the wizard."""
    await press(hand, "escape", lambda: hand.app.screen is hand.app.wizard and not hand.app.holds_keys)


async def through_findings(hand, seen_by):
    """Every finding in use: whole, or with the key to its page, which is."""
    desk, findings = hand.desk, hand.app.wizard.query_one(Findings)
    await press(hand, "f6", lambda: findings.has_focus and desk.curing.is_known(desk.planner.plan))
    for number in range(len(desk.planner.plan.findings)):
        before = findings.current
        if number:
            await press(hand, "f6", lambda before=before: findings.current is not before)
        await until(lambda: is_settled(findings), hand)
        seen = seen_by(hand)
        seen.look(Findings)
        cut = [] if "… F1" in hand.screen else seen.faults()
        await press(hand, "f1", lambda: hand.app.screen is not hand.app.wizard)
        seen = seen_by(hand)
        await through_dialog(hand, seen)
        yield findings.current.rule, cut + seen.faults()
        await closed(hand)


def is_settled(findings):
    """Whether the pane is as high as its words, up to the most that it may be."""
    wanted = findings.get_content_height(findings.size, findings.size, findings.size.width)
    return findings.size.height == min(max(wanted, 3), 9)


@pytest.mark.usefixtures("tongue")
async def test_every_finding_with_its_remedies_and_its_page(wizard, seen_by):
    faults = {}
    async with wizard() as hand:
        for name in ("weighbridge", "signal_box", "coopers_yard"):
            hand.app.wizard.take(Desk.opened(SAMPLES / f"{name}.toml"))
            await hand.until_ready()
            faults |= {rule: found async for rule, found in through_findings(hand, seen_by)}
    assert {"hidden-floor", "bed-thin", "reading-odd", "ponding"} <= faults.keys()
    assert {where: found for where, found in faults.items() if found} == {}


@pytest.mark.usefixtures("tongue")
async def test_every_entry_that_cannot_be_used(wizard, seen_by):
    faults = {}
    async with wizard() as hand:
        for cls in STEP_CLASSES.values():
            for row in cls.rows(hand.desk.view) if issubclass(cls, FormStep) else ():
                if isinstance(row, TextRow) and row.key not in FREE:
                    hand.desk.session.enter(row.key, "4 q")
        hand.app.wizard.tell(NOTICE)
        await until(lambda: hand.desk.is_planned, hand)
        seen = seen_by(hand)
        seen.look(Findings)
        faults["notice"] = seen.faults()
        for i, step in enumerate(STEPS):
            if i:
                await to_step(hand, step)
            if step is not StepName.RESULTS:
                seen = seen_by(hand)
                await through_form(hand, seen)
                faults[step.value] = seen.faults()
    assert {where: found for where, found in faults.items() if found} == {}


@pytest.fixture
def files(tmp_path):
    """A folder with more jobs in it than a list has room for."""
    for number in range(30):
        (tmp_path / "work" / f"{number}.toml").write_text("format = 2\n", encoding="utf-8")


async def through_list(hand, seen):
    """Every file of the open dialog's list, gone to one by one."""
    menu, scroll = hand.app.screen.query_one(Menu), hand.app.screen.query_one(".scroll")
    for at in range(len(menu.items)):
        await press(hand, "down", lambda at=at: menu.has_focus and menu.at == at)
        await hand.pause()
        assert scroll.scroll_y <= menu.virtual_region.y + at < scroll.scroll_y + scroll.size.height
    seen.look(Menu)


@pytest.mark.usefixtures("tongue", "files")
async def test_every_dialog(wizard, seen_by):
    left = DraftFile()
    left.write(Draft("Worked sample: Ferry Street, flat 2, the bathroom under the roof", "format = 1\n"))
    left.release()
    faults = {}
    async with wizard(None) as hand:

        async def look(name, *keys):
            for key in keys:
                await pressed(hand, key)
            seen = seen_by(hand)
            await through_dialog(hand, seen)
            faults[name] = seen.faults()

        await look("start")
        await pressed(hand, "w")
        await hand.until_ready()
        await look("field", "f1")
        await look("keys", "f1")
        await closed(hand)
        await look("map", "f5", "f1")
        await closed(hand)
        await pressed(hand, "escape")
        await look("open", "f3")
        await through_list(hand, seen_by(hand))
        await look("cannot be opened", "enter")
        await pressed(hand, "escape")
        await hand.type("nowhere/to/be/found.toml")
        await look("not there", "enter")
        await closed(hand)
        await look("save", "shift+f2")
        await hand.type("0.toml")
        await look("there already", "enter")
        await closed(hand)
        await look("page", "ctrl+p")
        await closed(hand)
        hand.desk.session.enter("outline.rectangle[0]", "4 q")
        await look("quit", "f10")
        await closed(hand)
        await pressed(hand, "f3")
        await look("open, changed")
    assert {where: found for where, found in faults.items() if found} == {}
