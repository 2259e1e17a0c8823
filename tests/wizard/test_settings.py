"""The theme chosen is there again at the next start, and a broken file is no hindrance."""

import pytest

from tui.app import FallmarkApp
from tui.drafts import state_folder
from tui.settings import THEME, remember, remembered
from tui.themes import THEMES


class TestTheme:
    async def test_chosen_at_a_key_is_there_at_the_next_start(self, wizard):
        async with wizard() as hand:
            first = hand.app.theme
            await hand.press("f11")
            chosen = hand.app.theme
        assert chosen != first
        assert FallmarkApp().theme == chosen

    async def test_the_key_goes_round_all_of_them(self, wizard):
        async with wizard() as hand:
            seen = []
            for _ in THEMES:
                seen.append(hand.app.theme)
                await hand.press("f11")
            assert sorted(seen) == sorted(theme.name for theme in THEMES)
            assert hand.app.theme == seen[0]

    @pytest.mark.parametrize("key", ["c", "f11", "ctrl+t"])
    async def test_it_can_be_chosen_on_the_first_page(self, wizard, key):
        async with wizard(None) as hand:
            await hand.until(lambda: "colours: Light instead of Dark" in hand.screen)
            await hand.press(key)
            await hand.until(lambda: "colours: High contrast instead of Light" in hand.screen)
            assert hand.app.theme == THEMES[1].name
        assert FallmarkApp().theme == THEMES[1].name

    async def test_so_can_the_language(self, wizard):
        async with wizard(None) as hand:
            await hand.until(lambda: "blank job" in hand.screen)
            await hand.press("ctrl+k")
            await hand.until(lambda: "colores: Claro en lugar de Oscuro" in hand.screen)

    @pytest.mark.parametrize("text", ["", "{", "[]", '{"theme": 3}', '{"theme": "no such"}', "[" * 100_000])
    def test_a_broken_file_is_ignored_and_replaced(self, text):
        state_folder().mkdir(parents=True)
        (state_folder() / "settings.json").write_text(text, encoding="utf-8")
        assert FallmarkApp().theme == THEMES[0].name
        remember(THEME, "day")
        assert remembered(THEME) == "day"
        assert len(list(state_folder().iterdir())) == 1

    async def test_a_folder_that_cannot_be_written_is_told_and_the_theme_still_changes(
        self, wizard, monkeypatch, tmp_path
    ):
        (tmp_path / "file").write_text("", encoding="utf-8")
        monkeypatch.setenv("FALLMARK_STATE", str(tmp_path / "file"))
        async with wizard() as hand:
            await hand.press("f11")
            assert hand.app.theme == THEMES[1].name
            assert "not remembered" in hand.screen
