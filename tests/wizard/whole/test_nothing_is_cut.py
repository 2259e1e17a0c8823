"""At 80 x 24 every text of every step, page, view and dialog stands there whole, or keys bring it into view."""

import asyncio

import pytest
from textual.events import Key

from tui.results.pages import PAGES
from tui.step_names import STEPS, StepName
from tui.tongues import Tongue
from tui.widgets.field import Field
from tui.widgets.words import Words

TONGUES = list(Tongue)
TRIES = 2000


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
    ways = [("up", field) for field in form.fields[:at][::-1]] + [
        ("down", field) for field in form.fields[1:]
    ]
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
