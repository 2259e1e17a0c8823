"""Editions of the rulebooks: a job can name one, and one that was released is never changed."""

from __future__ import annotations

import hashlib
import shutil
from pathlib import Path

import pytest

from engine.errors import JobError
from engine.job.edit import with_entry
from engine.job.model import RulebookName
from engine.job.toml_file import dump_job, parse_job, read_job
from engine.limits import rulebook as module
from engine.limits.rulebook import Figure, editions, rulebook
from engine.limits.work_rules import work_rules
from engine.plan import plan

SAMPLE = Path(__file__).parents[2] / "sample_jobs" / "mill_house.toml"
US = RulebookName.US_MODEL
RELEASED = {  # what each edition's file holds; an edition that has to change is a file of its own, beside the old one
    "au-ncc.toml": "d2a56704a9d672c93aa0040f07a59d7da53982f0df51b45bdea10dbfbeafc536",
    "de-din18040.toml": "44c0a388c116522080fedc04e8aaa19bdf97e3e3eaac7f833a7aab19de89cebc",
    "nz-e3.toml": "63459abfbb38253fccb34140e1c8cf8ce884d4b5b51803d9bd8716b42d8a7418",
    "uk-bs5385.toml": "e4f52504a741d110fb2eaf2fa36113c92eae65e6a716d6c9aaaa74c92a24dc6a",
    "us-accessible.toml": "29ec26f4a884fa58c5cee6d2ac50a3297d8e319b0b36a475e10e9ab62df412a8",
    "us-model.toml": "c0f8f78bf0eb07546b328a200e8e46846ac1937f5d6ac294d217ff5d63661015",
}


@pytest.fixture
def two_editions(tmp_path, monkeypatch):
    """The rulebooks as they are, with a later edition of one of them that asks for a steeper fall."""
    for path in Path(module.__file__).parent.glob("*.toml"):
        shutil.copy(path, tmp_path)
    current = tmp_path / "us-model.toml"
    current.rename(tmp_path / "us-model.2026-1.toml")
    text = (tmp_path / "us-model.2026-1.toml").read_text(encoding="utf-8")
    later = text.replace('edition = "2026-1"', 'edition = "2027-1"').replace('"1/4 in/ft"', '"3/8 in/ft"', 1)
    current.write_text(later, encoding="utf-8")
    monkeypatch.setattr(module, "_HERE", tmp_path)
    caches = (module.editions, module._read_book, module._limit, work_rules)
    for cached in caches:
        cached.cache_clear()
    yield
    monkeypatch.undo()
    for cached in caches:
        cached.cache_clear()


@pytest.mark.usefixtures("two_editions")
def test_a_job_that_names_no_edition_goes_by_the_current_one():
    assert editions(US) == ("2026-1", "2027-1")
    assert rulebook(US).edition == "2027-1"
    assert rulebook(US).least_fall.value == pytest.approx(3 / 8 / 12)


@pytest.mark.usefixtures("two_editions")
def test_a_job_that_names_an_edition_plans_as_it_did():
    job = with_entry(read_job(SAMPLE), "bed.fall", "")
    pinned = with_entry(job, "job.edition", "2026-1")
    assert plan(pinned).bed.least_fall < 0.0217
    assert plan(job).bed.least_fall > 0.031
    assert plan(pinned).rulebook.edition == "2026-1"


@pytest.mark.usefixtures("two_editions")
def test_a_book_that_rests_on_another_rests_on_its_edition():
    assert rulebook(RulebookName.US_ACCESSIBLE).least_fall.value == pytest.approx(1 / 48)


def test_an_edition_that_there_is_not_is_refused_with_those_there_are():
    job = with_entry(read_job(SAMPLE), "job.edition", "1999-1")
    with pytest.raises(JobError, match=r"job\.edition = '1999-1': .* no such edition; leave it out, or name 2026-1"):
        plan(job)


def test_the_edition_is_kept_in_the_file():
    job = with_entry(read_job(SAMPLE), "job.edition", "2026-1")
    assert 'edition = "2026-1"' in dump_job(job)
    assert parse_job(dump_job(job)).edition == "2026-1"


@pytest.mark.parametrize("name", RulebookName)
def test_every_book_is_there_in_each_of_its_editions(name):
    for edition in editions(name):
        book = rulebook(name, edition)
        assert book.edition == edition
        assert book.find(Figure.FALL_LEAST) is not None


def test_a_released_edition_is_never_changed():
    """A file that is named here keeps every letter: jobs that name its edition have to plan as they did."""
    files = {path.name: path.read_bytes() for path in Path(module.__file__).parent.glob("*.toml")}
    held = {name: hashlib.sha256(data.replace(b"\r\n", b"\n")).hexdigest() for name, data in files.items()}
    assert held == RELEASED
