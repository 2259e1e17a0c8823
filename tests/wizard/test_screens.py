"""Every step's screen as plain text, so that a change of it reads as a diff; the cursor does not blink."""

import pytest

from tui.step_names import STEPS


async def every_step(hand, snapshot):
    for step in STEPS:
        await hand.until(lambda step=step: f"{step.value}]" in hand.row(0))
        await hand.until(lambda: hand.app.wizard.focused is not None)
        assert hand.screen == snapshot(name=step.value)
        await hand.press("pagedown")


class TestSteps:
    async def test_at_80_by_24(self, wizard, snapshot):
        async with wizard(size=(80, 24)) as hand:
            await every_step(hand, snapshot)

    async def test_at_120_by_40(self, wizard, snapshot):
        async with wizard(size=(120, 40)) as hand:
            await every_step(hand, snapshot)

    async def test_a_blank_job_at_80_by_24(self, wizard, snapshot):
        async with wizard(None) as hand:
            await hand.until(lambda: "blank job" in hand.screen)
            assert hand.screen == snapshot(name="Start")
            await hand.press("b")
            await hand.until_ready()
            await every_step(hand, snapshot)


class TestPlainTerminals:
    async def test_ascii_only(self, wizard, snapshot, monkeypatch):
        monkeypatch.setenv("FALLMARK_ASCII", "1")
        monkeypatch.setenv("NO_COLOR", "1")
        async with wizard() as hand:
            await hand.press("pagedown", "pagedown")
            await hand.until(lambda: "Drain]" in hand.screen)
            assert hand.screen == snapshot(name="Drain")
            await hand.press("f1")
            await hand.until(lambda: "Esc closes" in hand.screen)
            assert hand.screen.isascii()

    async def test_no_colour_is_painted_where_none_is_wanted(self, wizard, monkeypatch):
        monkeypatch.setenv("NO_COLOR", "1")
        async with wizard() as hand:
            filters = hand.app.get_line_filters()
            strips = [
                strip.apply_filter(f, hand.app.screen.background_colors[1])
                for strip in hand.app.screen._compositor.render_strips()
                for f in filters
            ]
            colours = {s.style.color for strip in strips for s in strip if s.style and s.style.color}
            assert all(colour.is_default for colour in colours)


class TestNothingIsCutOff:
    @pytest.mark.parametrize("size", [(80, 24), (100, 30), (160, 50)])
    async def test_the_field_in_use_is_in_view_with_the_words_under_it(self, wizard, size):
        async with wizard(size=size) as hand:
            await hand.press("pagedown", "right")
            await hand.until(lambda: "[walls]" in hand.screen)
            for _ in range(14):
                await hand.press("down")
                label = hand.app.wizard.focused.row.label
                assert label in hand.line
