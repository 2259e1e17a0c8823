"""The plan as text: what a site sheet must say, in lines that fit and obey nobody."""

from __future__ import annotations

import re

from engine.errors import harmless
from engine.sheets.digest import digest
from engine.sheets.text import plan_text
from engine.sheets.words import paragraph


def test_fits_eighty_columns_in_plain_signs(whole, stopping, begun, variant):
    metric = variant("[floor]", 'units = "mm"\n[floor]')
    for plan in (whole, stopping, begun, metric):
        text = plan_text(plan)
        assert max(map(len, text.splitlines())) <= 80
        assert text.isascii()
        assert text.endswith("\n")


def test_opens_with_the_job_its_limits_and_its_digest(whole):
    top = plan_text(whole).split("\n\n")[0]
    assert "Ferry Street flat 2, shower" in top
    assert "us-model" in top
    assert digest(whole) in top


def test_marks_stand_in_walking_order_with_the_line_reading_beside_each(whole):
    rows = re.findall(
        r"^([A-D](?:-[A-D] at \S+ in)?) +line (.*?)  +over drain (.*?)  +over floor",
        plan_text(whole),
        re.MULTILINE,
    )
    assert [place for place, _, _ in rows][:5] == ["A", "A-B at 12 in", "A-B at 24 in", "A-B at 36 in", "B"]
    # 20 1/4 in down to the flange, less a mark of 5/8 in.
    assert rows[0] == ("A", "19 5/8 in", "5/8 in")
    assert len(rows) == len(whole.marks)


def test_notes_keep_their_lines(variant):
    text = plan_text(variant("[floor]", 'notes = """first line\\n\\tsecond\\u0007"""\n[floor]'))
    notes = text[text.index("Notes:") :].splitlines()[:2]
    assert [line[23:] for line in notes] == ["first line", r"\tsecond\x07"]


def test_stops_are_loud_and_come_before_the_figures(stopping):
    text = plan_text(stopping)
    assert "DO NOT BUILD THIS AS IT STANDS." in text
    assert text.index("STOP, do not build this") < text.index("THE BED")
    for finding in stopping.findings:
        flat = " ".join(text.split())
        for words in (finding.says, finding.remedy, finding.source):
            assert " ".join(words.split()) in flat


def test_a_plan_without_a_stop_does_not_shout(whole):
    assert "DO NOT BUILD" not in plan_text(whole)


def test_a_partial_plan_says_first_what_it_still_needs(begun):
    text = plan_text(begun)
    assert text.index("STILL NEEDED") < text.index("FINDINGS")
    assert "floor.kind: is the floor concrete or wood?" in text
    assert "WALL MARKS" not in text


def test_a_figure_of_the_users_own_is_called_so(whole, variant):
    assert "YOUR OWN FIGURES" not in plan_text(whole)
    own = plan_text(
        variant('shape = "level-walls"', 'shape = "level-walls"\nleast_depth = "1/2 in"\nfall = "3/8 in/ft"')
    )
    section = own.split("YOUR OWN FIGURES")[1].split("\n\n")[0]
    assert re.search(r"Least depth: +1/2 in", section)
    assert re.search(r"Fall: +3/8 in/ft$", section, re.MULTILINE)
    typed = plan_text(variant('shape = "level-walls"', 'shape = "level-walls"\nfall = "1:40"'))
    assert re.search(r"Fall: +0.3 in/ft \(typed as 1:40\)", typed)
    same = plan_text(variant('shape = "level-walls"', 'shape = "level-walls"\nfall = "1:48"'))
    assert "YOUR OWN FIGURES" not in same


def test_readings_are_there_to_be_checked_against_the_job(whole):
    section = plan_text(whole).split("READINGS OF THE ROUGH FLOOR")[1].split("\n\n")[0]
    # 21 1/4 in is an inch under the flange, which stands 20 1/4 in under the line.
    assert re.search(r"^Line 21 1/4 in: +1 in below the drain, at corner B$", section, re.MULTILINE)
    assert len(section.strip().splitlines()) == 4


def test_an_open_drain_height_is_called_planned(whole, variant):
    assert "as measured" in plan_text(whole)
    text = plan_text(variant('drop = "20 1/4 in"\n', ""))
    assert "planned: the lowest that keeps" in text


def test_several_drains_are_told_apart_and_by_height(variant):
    place = 'at = { "A-B" = "20 in", "D-A" = "40 in" }\ndrop = "20 1/8 in"'
    second = f'[[drains]]\nkind = "square"\nsize = "5 in"\n{place}\n'
    plan = variant('[bed]\nshape = "level-walls"', second + '[bed]\nshape = "even-fall"')
    text = plan_text(plan)
    assert "Drain 1\nFlange: " in text
    assert re.search(r"^Drain 2\nFlange: +square, 5 in wide$", text, re.MULTILINE)
    # The second stands 1/8 in nearer to the level line.
    assert re.search(r"^Against the first: +1/8 in higher$", text, re.MULTILINE)


def test_a_channel_is_told_with_its_length(variant):
    point = 'kind = "round"\nsize = "6 in"\nat = { "A-B" = "20 in", "D-A" = "24 in" }'
    ends = 'from = { x = "4 in", y = "20 in" }\nto = { x = "44 in", y = "20 in" }'
    text = plan_text(variant(point, f'kind = "channel"\nsize = "3 in"\n{ends}'))
    assert re.search(r"^Flange: +channel, 3 in wide, 40 in long$", text, re.MULTILINE)


def test_least_figures_round_down_and_most_figures_up(variant):
    # In a mm job 1:48 is 2.0833 %: a least fall that printed 2.09 % would promise too much.
    metric = variant("[floor]", 'units = "mm"\n[floor]')
    least = float(re.search(r"Least fall: +([\d.]+) %", plan_text(metric))[1]) / 100
    most = float(re.search(r"Most fall: +([\d.]+) %", plan_text(metric))[1]) / 100
    assert metric.bed.least_fall - 1e-4 < least <= metric.bed.least_fall
    assert metric.bed.most_fall <= most < metric.bed.most_fall + 1e-4
    shallow = float(re.search(r"Least depth: +([\d.]+) mm", plan_text(metric))[1])
    deep = float(re.search(r"Most depth: +([\d.]+) mm", plan_text(metric))[1])
    assert metric.depth.least.value - 0.1 < shallow <= metric.depth.least.value + 1e-6
    assert metric.depth.most.value - 1e-6 <= deep < metric.depth.most.value + 0.1


def test_what_a_person_typed_is_shown_and_never_obeyed(variant):
    text = plan_text(variant("Ferry Street flat 2, shower", "x\\u001b[31m\\ny[bold]"))
    assert "\x1b" not in text
    assert r"x\x1b[31m\ny[bold]" in text


def test_says_what_can_hurt_and_that_the_local_code_overrides(whole):
    care = " ".join(plan_text(whole).split("TAKE CARE")[1].split())
    for words in (
        "local code overrides",
        "licensed people",
        "Silica",
        "Wet cement",
        "Lifting",
        "accessible design",
    ):
        assert words in care


def test_harmless_keeps_letters_and_escapes_what_acts():
    assert harmless("São 3\u202e\x07\n") == "São 3\\u202e\\x07\\n"


def test_a_word_longer_than_a_line_is_broken_not_lost():
    lines = paragraph("x" * 200)
    assert "".join(lines) == "x" * 200
    assert max(map(len, lines)) == 80
