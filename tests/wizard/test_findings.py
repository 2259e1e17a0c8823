"""Findings: counted, told in words, and cleared at a key that undo takes back."""

import asyncio
import re
import threading

import pytest

from engine.job.toml_file import read_job
from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import Answer, Remedy, Superseded, changed
from tui.beside import Curing

ODD = """
format = 1
[job]
name = "L-shaped"
[floor]
kind = "wood"
[outline]
corners = [["0", "0"], ["60", "0"], ["60", "36"], ["30", "36"], ["30", "48"], ["0", "48"]]
[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "18 in", "F-A" = "20 in" }
drop = "20 1/4 in"
[[readings]]
at = "A"
drop = "21 1/16"
[[readings]]
at = "B"
drop = "21 1/8"
[[readings]]
at = "C"
drop = "25"
[[readings]]
at = "D"
drop = "21 1/8"
[[readings]]
at = "E"
drop = "21 1/8"
[[readings]]
at = "F"
drop = "21 1/4"
[[readings]]
at = { wall = "A-B", along = "30" }
drop = "21"
[bed]
shape = "even-fall"
"""

_WOOD = """
format = 1
[job]
name = "Landing"
[floor]
kind = "wood"
moisture_barrier = "felt"
lath = true
[outline]
rectangle = ["48", "36"]
[[drains]]
kind = "round"
size = "6 in"
at = { "A-B" = "18 in", "D-A" = "24 in" }
drop = "20"
[[readings]]
at = "A"
drop = "21 1/4"
[[readings]]
at = "B"
drop = "21 1/4"
[[readings]]
at = "C"
drop = "21 1/4"
[[readings]]
at = "D"
drop = "21 1/4"
[[readings]]
at = { "A-B" = "18 in", "D-A" = "24 in" }
drop = "21 1/4"
[bed]
shape = "level-walls"
"""


@pytest.fixture
def odd(tmp_path):
    path = tmp_path / "odd.toml"
    path.write_text(ODD, encoding="utf-8")
    return path


async def until_cured(hand):
    """Waits until the remedies of the plan on the screen are worked out."""
    await hand.until(lambda: hand.desk.is_planned and hand.desk.curing.is_known(hand.desk.planner.plan))


class TestFindings:
    async def test_the_first_is_always_there_with_the_count(self, wizard, odd):
        async with wizard(odd) as hand:
            lines = hand.screen.splitlines()
            assert lines[-4].startswith("4 stops, 1 caution")
            assert lines[-3].startswith("STOP The bed is")
        async with wizard(odd, size=(100, 44)) as hand:
            listed = [line for line in hand.screen.splitlines() if line.startswith(("STOP", "CAUTION"))]
            assert len(listed) > 1
            assert all(line.split(" ", 1)[1][0].isupper() for line in listed)

    async def test_enter_makes_the_change_and_undo_takes_it_back(self, wizard, odd):
        async with wizard(odd) as hand:
            before = hand.desk.session.job
            await hand.press("f6")
            await until_cured(hand)
            assert "Enter for 1; F9 takes it back. Source: " in " ".join(hand.screen.split())  # which may be cut off
            await hand.press("enter")
            assert hand.desk.session.job != before
            assert re.search(r"is now .*, and \d+ entries more; F9 undoes", hand.screen)
            assert "2 stops" in hand.screen
            await hand.press("f9")
            assert hand.desk.session.job == before

    async def test_a_choice_that_a_change_took_is_told_in_the_form_s_words(self, wizard, odd):
        async with wizard(odd) as hand:
            assert hand.desk.apply((("bed.shape", "even-fall"),)) == "Shape is now even fall; F9 undoes"
            assert hand.desk.apply((("floor.lath", "true"),)) == "Metal lath is now yes; F9 undoes"

    async def test_escape_goes_back_to_the_field(self, wizard, odd):
        async with wizard(odd) as hand:
            await hand.press("down", "f6", "escape")
            assert "Rough floor" in hand.line

    async def test_an_odd_reading_is_marked_at_its_row(self, wizard, odd):
        async with wizard(odd) as hand:
            await hand.press("pagedown", "pagedown", "pagedown")
            rows = hand.screen.splitlines()
            at = next(i for i, row in enumerate(rows) if row.startswith("  C  "))
            assert "The reading at corner C is" in rows[at + 1]

    async def test_what_is_needed_is_told_and_enter_goes_there(self, wizard, tmp_path):
        path = tmp_path / "few.toml"
        path.write_text('format = 1\n[floor]\nkind = "wood"\n[outline]\nrectangle = ["60", "36"]\n', encoding="utf-8")
        async with wizard(path) as hand:
            assert "2 stops, 3 still needed" in hand.screen
            await hand.press("f6", "down", "down")
            assert "NEEDED" in hand.screen
            await hand.press("enter")
            assert "[·Drain]" in hand.screen

    async def test_enter_goes_to_the_half_of_a_place_that_is_missing(self, wizard, tmp_path):
        path = tmp_path / "few.toml"
        path.write_text(
            'format = 1\n[floor]\nkind = "concrete"\n[outline]\nrectangle = ["60", "36"]\n'
            '[[drains]]\nkind = "round"\nsize = "6"\n[bed]\nshape = "level-walls"\n',
            encoding="utf-8",
        )
        async with wizard(path) as hand:
            await hand.press("f8", "f8")
            assert "From wall A-B" in hand.line
            await hand.type("18")
            await hand.press("f8", "f6")
            assert "NEEDED Where is the drain?" in hand.screen
            await hand.press("enter")
            assert "From wall D-A" in hand.line


class TestRemedies:
    async def test_they_are_listed_by_number_and_a_number_makes_that_change(self, wizard, odd):
        text = odd.read_text(encoding="utf-8").replace('"wood"', '"concrete"').replace('"20 1/4 in"', '"20 1/2 in"')
        odd.write_text(text, encoding="utf-8")
        async with wizard(odd) as hand:
            before = hand.desk.session.job
            await hand.press("f6", "down")  # past the odd reading that it comes of
            await until_cured(hand)
            rows = hand.screen.splitlines()
            first = next(i for i, row in enumerate(rows) if row.startswith("1 raise the drain by"))
            assert rows[first + 1].startswith("2 ")
            number = hand.desk.curing.answers(hand.desk.planner.plan)[1]
            await hand.press("2")
            assert hand.desk.session.job == changed(before, number.remedies[1].change)
            await hand.press("f9")
            assert hand.desk.session.job == before
            await hand.press("f12")
            assert hand.desk.session.job != before

    async def test_a_cleared_finding_is_gone_and_the_next_one_has_its_own(self, wizard, odd):
        async with wizard(odd) as hand:
            await hand.press("f6", "down")
            await until_cured(hand)
            rules = {finding.rule for finding in hand.desk.planner.plan.findings}
            rule = hand.app.wizard.finding.rule
            await hand.press("enter")
            await until_cured(hand)
            left = {finding.rule for finding in hand.desk.planner.plan.findings} - {"floor-unworked"}
            assert rule not in left < rules

    async def test_enter_waits_for_what_was_planned(self, wizard, odd, monkeypatch):
        there = threading.Event()
        monkeypatch.setattr("tui.beside.remedies", lambda plan, *_: there.wait(20) and (Answer(),) * len(plan.findings))
        async with wizard(odd) as hand:
            job = hand.desk.session.job
            await hand.press("f6")
            assert hand.app.wizard.finding.change
            await hand.press("enter")
            assert "What clears it is being worked out." in " ".join(hand.screen.split())
            there.set()
            await until_cured(hand)
            await hand.until(lambda: "worked out" not in hand.screen)
            assert hand.desk.session.job is job
            await hand.press("enter")
            assert hand.desk.session.job is not job

    async def test_while_typing_none_are_looked_for_and_no_old_ones_are_shown(self, wizard, odd, monkeypatch):
        looked = []
        monkeypatch.setattr("tui.beside.remedies", lambda plan, *_: looked.append(plan) or ())
        monkeypatch.setattr("tui.wizard._PAUSE", 30.0)
        async with wizard(odd) as hand:
            await hand.press("pagedown", "pagedown", "end")
            await hand.press(*"19")
            assert looked == []
            await hand.press("f6")
            await hand.until(lambda: looked)
            assert [each.job for each in looked] == [hand.desk.planner.plan.job]

    async def test_a_stop_that_comes_up_takes_the_place_of_a_note_in_view_but_no_finding_left_as_it_was(
        self, wizard, tmp_path
    ):
        path = tmp_path / "wood.toml"
        path.write_text(_WOOD, encoding="utf-8")
        async with wizard(path) as hand:
            await hand.press("f6", "escape")
            assert hand.app.wizard.finding.level is Level.NOTE
            hand.app.wizard.step.go_to("floor.lath")
            await hand.press("n")
            assert hand.app.wizard.finding.rule == "wood-no-lath"
            await hand.press("f6", "f6")
            assert hand.app.wizard.finding.level is Level.NOTE
            await hand.press("escape")
            hand.app.wizard.step.go_to("job.name")
            await hand.press("x")
            assert hand.app.wizard.finding.level is Level.NOTE

    async def test_the_last_one_cleared_the_keys_are_back_in_the_step(self, wizard, tmp_path):
        path = tmp_path / "wood.toml"
        path.write_text(_WOOD, encoding="utf-8")
        async with wizard(path) as hand:
            await hand.press("f6")
            await until_cured(hand)
            assert "Enter makes this change; F9 takes it back." in " ".join(hand.screen.split())
            await hand.press("1")
            assert "No findings" in hand.screen
            assert "Enter next" in hand.row(23)
            await hand.press("f6")
            assert "Enter next" in hand.row(23)
            await hand.press("f9")
            assert "1 note" in hand.screen

    async def test_where_less_may_do_it_looks_on_by_itself_then_at_plus_and_a_change_of_the_job_ends_it(
        self, wizard, odd, monkeypatch
    ):
        looked, goes_on = [], threading.Event()

        def look(plan, *_):
            looked.append(plan.patience)
            assert plan.patience != 8 or goes_on.wait(10)
            way = Remedy("rename it", (("job.name", "this" if plan.patience < 64 else "that"),), None, (), ())
            return tuple(Answer((way,), (f"{plan.patience:g} times",), plan.patience < 8**5) for _ in plan.findings)

        monkeypatch.setattr("tui.beside.remedies", look)

        def says(words):
            return lambda: words in " ".join(hand.screen.split())

        async with wizard(odd) as hand:
            await hand.press("f6")
            await hand.until(says("A smaller change is still looked for."))
            await hand.press("+", "f1")
            await hand.until(says("A smaller change is still looked for."))
            await hand.press("escape")
            goes_on.set()
            await hand.until(says("Press + to look longer for a smaller change."))
            assert "Looked 4096 times as long: nothing smaller found" in hand.screen
            assert looked == [8.0**i for i in range(5)]
            await hand.press("f1")
            await hand.until(says("Press + to look longer for a smaller change."))
            await hand.press("escape", "+")
            await hand.until(lambda: "Looked 32768 times as long: nothing smaller found" in hand.screen)
            assert "32768 times" in hand.screen
            assert "look longer" not in hand.screen
            await hand.press("+")
            assert looked[5:] == [8.0**5]
            hand.app.wizard.step.go_to("job.name")
            await hand.press("x", "f6")
            await until_cured(hand)
            assert looked[6] == 1.0

    async def test_of_two_of_a_kind_the_one_in_use_stays_so_when_answers_come(self, wizard, tmp_path):
        path = tmp_path / "two.toml"
        drains = "".join(
            f'[[drains]]\nkind = "round"\nsize = "6 in"\nat = {{ "A-B" = "20", "D-A" = "{off}" }}\ndrop = "20"\n'
            for off in (8, 88)
        )
        readings = "".join(f'[[readings]]\nat = "{corner}"\ndrop = "21 1/2"\n' for corner in "ABCD")
        path.write_text(
            'format = 1\n[job]\nname = "two"\n[floor]\nkind = "concrete"\nbond_coat = true\n'
            f'[outline]\nrectangle = ["96", "40"]\n{drains}{readings}[bed]\nshape = "level-walls"\n',
            encoding="utf-8",
        )
        async with wizard(path) as hand:
            await hand.press("f6", "down")
            assert (hand.app.wizard.finding.rule, hand.app.wizard.finding.drains) == ("fall-steep", (1,))
            await until_cured(hand)
            await hand.press()
            assert (hand.app.wizard.finding.rule, hand.app.wizard.finding.drains) == ("fall-steep", (1,))

    async def test_where_there_is_nothing_to_undo_what_was_found_stays(self, wizard, odd):
        async with wizard(odd) as hand:
            await hand.press("f6")
            await until_cured(hand)
            answers = hand.desk.curing.answers(hand.desk.planner.plan)
            await hand.press("f9")
            assert "Nothing to undo" in hand.screen
            assert answers
            assert hand.desk.curing.answers(hand.desk.planner.plan) is answers
            await hand.press("f12")
            assert hand.desk.curing.answers(hand.desk.planner.plan) is answers

    async def test_explain_tells_them_whole(self, wizard, odd):
        async with wizard(odd) as hand:
            await hand.press("f6")
            await until_cured(hand)
            await hand.press("f1")
            await hand.until(lambda: "Way 1" in hand.screen)
            assert "Raise the drain by" in hand.screen


class TestCuring:
    def test_a_search_that_is_no_longer_wanted_stops_and_is_dropped(self, odd):
        planned = plan(read_job(odd))
        curing = Curing()

        async def overtaken():
            search = asyncio.create_task(curing.find(planned))
            await asyncio.sleep(0)
            curing.forget()
            return await search

        assert asyncio.run(overtaken()) is False
        assert curing.answers(planned) == ()
        assert not curing.is_known(planned)

    def test_a_search_whose_wizard_ends_stops(self, odd, monkeypatch):
        ended = threading.Event()

        def look(_, is_wanted, __):
            while is_wanted():
                pass
            ended.set()
            raise Superseded

        monkeypatch.setattr("tui.beside.remedies", look)

        async def left():
            search = asyncio.create_task(Curing().find(plan(read_job(odd))))
            await asyncio.sleep(0.01)
            search.cancel()
            await asyncio.wait([search])

        asyncio.run(left())
        assert ended.wait(10)

    def test_answers_belong_to_their_own_plan(self, odd):
        planned, other = plan(read_job(odd)), plan(read_job(odd))
        curing = Curing()
        assert asyncio.run(curing.find(planned)) is True
        assert len(curing.answers(planned)) == len(planned.findings)
        assert curing.answers(other) == ()
