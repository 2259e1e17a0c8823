"""What fits on the printed page: the sheets' sides, and the column beside the drawings."""

from __future__ import annotations

import html
import re
from importlib import resources
from pathlib import Path

import pytest

from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.sheets.page.page import fits, plan_page, tall_facts, tall_marks
from engine.sheets.text import plan_text
from engine.work.words import length_over

# Read again, or with many corners, valleys or islands.
LONG = {"coopers_yard", "saltern_cross", "weighbridge"}
# [mm] a row's height, a letter's share of the sheet, a heading's on sheet 2
ROW, LETTER, HEADING = 3.3, 0.0112, 6.0


def about_tall(section):
    """About how tall a sheet's section prints [mm]; on sheet 1 drawings stand beside what has headings."""
    drawings = re.findall(r"<svg.*?</svg>", section, re.DOTALL)
    drawn = sum(float(re.search(r'height="([\d.]+)mm"', each)[1]) for each in drawings)
    rest = re.sub(r"<(svg|table).*?</\1>", "", section, flags=re.DOTALL)
    words = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", rest))
    headings = 0 if drawings else len(re.findall(r"<h[123]", rest))
    return drawn + ROW * section.count("<tr") + LETTER * len(words) + HEADING * headings


def styles():
    """The style sheet's rules: what each set of names is set in."""
    css = resources.files("engine.sheets.page").joinpath("page.css").read_text(encoding="utf-8")
    return {names.strip(): body for names, body in re.findall(r"([^{}]+){([^}]*)}", css)}


def test_both_sheets_of_every_sample_have_room_on_two_sides_of_paper(pages):
    """Letter is the shorter paper: 11 in less 6 mm above and below are 267 mm a side; A4 has 285.

    A browser is not at hand here. Printed by one, on Letter and on A4, each sample takes two sides; its sheets were
    within a sixth of what drawings, rows of tables, headings and the words between them come to by the heights
    above. A long plan runs on from sheet to sheet, any other sheet has a side of its own.
    """
    for name, text in pages.items():
        side = (297 if "size: A4" in text else 11 * 25.4) - 2 * 6
        tall = [about_tall(each) for each in re.findall(r"<section.*?</section>", text, re.DOTALL)]
        assert len(tall) == 2
        assert sum(tall) < 2 * side * 9 / 8, name
        assert max(tall) < side * 9 / 8 or name in LONG, name
        assert ('class="sheet build on' in text) is (name in LONG), name


def test_what_a_long_plan_needs_to_be_built_is_not_left_out(samples, pages):
    """Small drawings and short words, but every mark, strip, valley and bend; of findings the wizard tells the rest."""
    for name in LONG:
        made, text = samples[name], pages[name]
        assert text.count("<svg") == (4 if made.as_built else 3)
        assert text.count('<th scope="row" class="number">') >= len(made.marks)
        assert text.count('<tbody class="whole">') == len(made.strips)
        assert len(re.findall(r"<dt>Valley \d+</dt>", text)) == len(getattr(made.bed, "valleys", ()))
        told = html.unescape(text)
        for bend in made.straightedges.bends:
            longest = length_over(bend.longest, made.job.units)
            assert re.search(rf"<dt>{re.escape(longest)} to [^<]+</dt><dd>to [^<]+: [^<]+</dd>", told)
        for finding in made.findings:
            assert finding.says in told
            assert finding.remedy in told


def test_marks_and_heights_stand_beside_the_drawings_while_there_is_room(pages):
    """A table in three columns stands under them; the samples have both."""
    under = {name for name, text in pages.items() if '<div class="marks-wide">' in text}
    assert {"saltern_cross", "weighbridge"} <= under
    assert not under & {"mill_house", "quarry_lane", "station_yard"}
    first = pages["mill_house"].partition("Sheet 2: buy and build")[0]
    assert "Finished heights, at the tile" in first
    for text in pages.values():
        assert text.count("Finished heights, at the tile") == 1


def test_what_is_a_little_taller_than_the_drawings_is_beside_them_and_no_more():
    """14 marks take 15 mm and 14 rows; a fact of 38 letters two lines."""
    assert tall_facts([("Drain", "x" * 37)]) < tall_facts([("Drain", "x" * 38)])
    tall = tall_marks(14)
    assert fits(tall, tall)
    assert not fits(tall, tall - 5)
    assert tall_marks(0) == tall_facts([]) == 0


def test_what_rounding_leaves_of_walked_walls_is_no_misclosure():
    """91 7/16 = 33 5/16 + 58 1/8 and 60 3/16 = 24 1/8 + 36 1/16: the walls close; half an inch more do not."""
    for last, told in (("36 1/16 in", False), ("36 9/16 in", True)):
        lengths = ["91 7/16 in", "60 3/16 in", "33 5/16 in", "24 1/8 in", "58 1/8 in", last]
        turns = [90, 90, 90, -90, 90, 90]
        walls = ", ".join(
            f'{{length = "{length}", turn = "{turn} deg"}}' for length, turn in zip(lengths, turns, strict=True)
        )
        made = plan(parse_job(f"format = 1\n[outline]\nwalls = [{walls}]\n"))
        assert ("misclosure of 1/2 in" in plan_page(made)) is told
        assert ("isclosure" in plan_text(made)) is told


def test_what_taped_lengths_misfit_is_told_as_that():
    """A square of 1500 with both its diagonals 5 too long: each side gives 5 sqrt(2) / 4, each diagonal half of 5."""
    tape = ", ".join(f'{{ from = "{a}", to = "{b}", length = 2126.3 }}' for a, b in ("AC", "BD"))
    head = f'format = 1\n[job]\nunits = "mm"\n[outline]\nrectangle = [1500, 1500]\ntape = [{tape}]\n'
    made = plan(parse_job(head))
    page, text = plan_page(made), " ".join(plan_text(made).split())
    assert "taped lengths fit to 2.5 mm" in page
    assert "isclosure" not in page
    assert "Taped A-B: 1500 mm, made 1.8 mm longer to fit the others" in text
    assert "Taped A-C: 2126.3 mm, made 2.5 mm shorter to fit the others" in text


def test_a_length_that_fits_closer_than_a_tape_shows_fits(plan_of):
    """The scullery's lengths agree to 0.2 mm, a quarter of the 1/32 in that lengths are told to."""
    made = plan_of(Path(__file__).parents[2] / "sample_jobs" / "chandlers_row.toml")
    assert plan_text(made).count(", fits\n") == len(made.outline.residuals) == 6


@pytest.mark.parametrize("face", ["along", "length", "drop", "level", "extreme-name", "drain"])
def test_words_on_the_floor_stay_clear_of_the_lines_under_them(face):
    """They are written over contours and valleys, with a rim of paper round each letter."""
    rules = [body for names, body in styles().items() if f".{face}" in names]
    assert any("paint-order: stroke; stroke: #fff" in body for body in rules)


def test_a_name_of_one_long_word_breaks_and_does_not_widen_the_sheet():
    """A browser shrinks a page that is wider than its paper, and then no drawing is to scale."""
    rules = styles()
    head = rules[".head > :first-child"]
    assert "min-width: 0" in head
    assert "overflow-wrap: anywhere" in head
    assert "width: 197mm" in rules["body"]


def test_what_opens_a_list_stays_with_it_and_cells_of_a_crowded_table_stand_apart(pages):
    """Printed, saltern_cross broke between such a sentence and its rows; 0.5 mm between cells read as none."""
    rules = styles()
    assert "break-after: avoid" in rules["p:has(+ dl)"]
    assert re.search(r'first length to the second\.</p>\s*<dl class="facts">', pages["saltern_cross"])
    _, right, _, _ = rules[".tight .strips th, .tight .strips td"].split()[1:5]
    assert float(right.removesuffix("mm")) >= 1.0


def test_only_a_crowded_plan_and_the_boxes_to_write_in_have_letters_under_7_pt():
    sizes = {names: re.search(r"font(?:-size)?: ([\d.]+)pt", body) for names, body in styles().items()}
    small = {names for names, size in sizes.items() if size and float(size[1]) < 7}
    assert {names for names in small if ".on" not in names} == {".log dt", ".tight .strips"}
