"""The shopping list as CSV: every item, read back by an ordinary reader, and no other file lost."""

from __future__ import annotations

import csv
import io

import pytest

from engine.errors import FallmarkError, FileError
from engine.sheets.csv import _cell, save_shopping, shopping_csv


def rows(text):
    return list(csv.reader(io.StringIO(text, newline="")))


def test_every_item_is_a_line_under_a_header(whole):
    head, *items = rows(shopping_csv(whole))
    assert head == ["item", "quantity", "unit", "of", "reckoned", "source"]
    bought = [(row[0], float(row[1]), row[2], row[3]) for row in items]
    assert bought == [
        (each.item.value.replace("-", " "), each.quantity, each.unit, each.of) for each in whole.work.shopping
    ]
    assert bought[0][0] == "deck mud"
    assert all(row[4] and row[5] for row in items)


def test_lines_end_as_rfc_4180_has_them(whole):
    text = shopping_csv(whole)
    assert text.endswith("\r\n")
    assert text.count("\n") == text.count("\r\n") == len(whole.work.shopping) + 1


def test_a_plan_that_waits_has_no_list(begun, tmp_path):
    with pytest.raises(FallmarkError, match=r"there is no shopping list yet: floor\.kind"):
        save_shopping(begun, str(tmp_path / "list.csv"))
    assert not list(tmp_path.iterdir())


def test_an_earlier_list_is_written_over(whole, tmp_path):
    path = tmp_path / "list.csv"
    save_shopping(whole, str(path))
    path.write_bytes(path.read_bytes()[:120])
    save_shopping(whole, str(path))
    assert path.read_bytes().decode() == shopping_csv(whole)
    assert [entry.name for entry in tmp_path.iterdir()] == ["list.csv"]


@pytest.mark.parametrize("content", ["", "format = 1\n", "item,quantity\n"])
def test_any_other_file_is_left_as_it_is(whole, tmp_path, content):
    path = tmp_path / "job.toml"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(FileError, match="there is another file of that name already; name another file"):
        save_shopping(whole, str(path))
    assert path.read_text(encoding="utf-8") == content


def test_a_folder_or_a_path_that_leads_nowhere_is_told(whole, tmp_path):
    with pytest.raises(FileError, match="this is a folder"):
        save_shopping(whole, str(tmp_path))
    with pytest.raises(FileError, match="no such file or folder"):
        save_shopping(whole, str(tmp_path / "no" / "list.csv"))


def test_no_spreadsheet_obeys_a_cell():
    assert _cell("=2+3") == "'=2+3"
    assert _cell("@SUM(A1)") == "'@SUM(A1)"
    assert _cell("60 lb") == "60 lb"
    assert "\n" not in _cell("a\nb")
