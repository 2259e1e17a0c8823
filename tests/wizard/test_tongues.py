"""The tongue: chosen at a key, on the start page, by an option or the locale; remembered; never in a command."""

from pathlib import Path

import pytest

from engine.phrases import phrase
from tui.app import FallmarkApp
from tui.cli import main
from tui.settings import THEME, TONGUE, remember, remembered
from tui.tongues import Tongue, speak, spoken, told, tongue_of

SAMPLE = Path(__file__).parents[2] / "tui" / "samples" / "ferry_street.toml"


class TestChosen:
    async def test_at_a_key_what_is_in_use_and_half_typed_stays(self, wizard):
        async with wizard() as hand:
            await hand.press("pagedown", "down", *["backspace"] * 9)
            await hand.type("4x")
            field, line = hand.app.wizard.focused, hand.app.wizard.focused.line
            await hand.press("ctrl+k")
            assert (spoken(), hand.app.wizard.focused, field.line) == (Tongue.SPANISH, field, line)
            assert "4x" in hand.line
            await hand.press("shift+f11")
            assert (spoken(), hand.app.wizard.focused, field.line) == (Tongue.ENGLISH, field, line)

    async def test_everything_on_the_screen_is_painted_again(self, wizard):
        async with wizard(size=(120, 40)) as hand:
            await hand.press("pagedown")
            await hand.until(lambda: "Outline]" in hand.screen and "Depth of mud" in hand.screen)
            english = hand.screen
            await hand.press("ctrl+k")
            assert told(phrase("Depth of mud")) in hand.screen
            await hand.press("ctrl+k")
            await hand.until(lambda: hand.screen.splitlines()[1:30] == english.splitlines()[1:30])

    async def test_on_the_start_page(self, wizard):
        async with wizard(None) as hand:
            await hand.until(lambda: "blank job" in hand.screen)
            await hand.press("l")
            await hand.until(lambda: told(phrase("Welcome to fallmark")) in hand.screen)
            assert spoken() is Tongue.SPANISH
            assert told(phrase("open a job file")) in hand.screen
            await hand.press("b")
            await hand.until_ready()
            assert told(phrase("Job name")) in hand.screen


class TestRemembered:
    async def test_it_is_there_at_the_next_start_beside_the_theme(self, wizard):
        remember(THEME, "day")
        async with wizard() as hand:
            await hand.press("ctrl+k")
        FallmarkApp()
        assert (spoken(), remembered(THEME), remembered(TONGUE)) == (Tongue.SPANISH, "day", "es")
        remember(THEME, "night")
        assert remembered(TONGUE) == "es"

    async def test_a_folder_that_cannot_be_written_is_told_in_the_tongue(self, wizard, monkeypatch, tmp_path):
        (tmp_path / "file").write_text("", encoding="utf-8")
        monkeypatch.setenv("FALLMARK_STATE", str(tmp_path / "file"))
        async with wizard(size=(120, 24)) as hand:
            await hand.press("ctrl+k", "ctrl+k")
            assert "language is not remembered" in hand.screen


class TestLocale:
    @pytest.mark.parametrize(
        ("settings", "tongue"),
        [
            ({}, Tongue.ENGLISH),
            ({"LANG": "es_MX.UTF-8"}, Tongue.SPANISH),
            ({"LC_MESSAGES": "es", "LANG": "en_US.UTF-8"}, Tongue.SPANISH),
            ({"LC_ALL": "C", "LC_MESSAGES": "es", "LANG": "es"}, Tongue.ENGLISH),
            ({"LC_ALL": "", "LANG": "es_ES@euro"}, Tongue.SPANISH),
            ({"LANG": "fr_FR.UTF-8"}, Tongue.ENGLISH),
        ],
    )
    def test_the_environment_decides_where_nothing_was_chosen(self, monkeypatch, settings, tongue):
        for name, value in settings.items():
            monkeypatch.setenv(name, value)
        FallmarkApp()
        assert spoken() is tongue

    def test_an_option_comes_before_a_choice_and_a_choice_before_the_environment(self, monkeypatch):
        monkeypatch.setenv("LANG", "en_GB.UTF-8")
        remember(TONGUE, "es")
        assert tongue_of("", remembered(TONGUE)) is Tongue.SPANISH
        assert tongue_of("en", remembered(TONGUE)) is Tongue.ENGLISH
        assert tongue_of("xx", "") is Tongue.ENGLISH


class TestPlainLetters:
    def test_where_only_ascii_arrives_nothing_else_is_said(self, monkeypatch):
        monkeypatch.setenv("FALLMARK_ASCII", "1")
        speak(Tongue.SPANISH)
        assert told(phrase("Drain")) == "Desague"
        assert told("Peña") == "Peña"  # typed: shown as it is


class TestWhatStays:
    def test_what_was_typed_is_never_looked_up(self):
        speak(Tongue.SPANISH)
        assert told("Floor") == "Floor"
        assert told(phrase("{label} {name}", label=phrase("Floor"), name="Floor")).endswith(" Floor")

    @pytest.mark.parametrize("command", [["plan", "--json"], ["plan"], ["check"], ["why", "wall_height"]])
    def test_commands_say_the_same_whatever_was_chosen_and_whatever_the_locale(self, command, monkeypatch, capsys):
        arguments = [command[0], str(SAMPLE), *command[1:]]
        main(arguments)
        english = capsys.readouterr()
        monkeypatch.setenv("LC_ALL", "es_MX.UTF-8")
        remember(TONGUE, "es")
        speak(Tongue.SPANISH)
        main(arguments)
        assert capsys.readouterr() == english
        assert english.out or english.err
