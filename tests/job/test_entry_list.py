"""Every entry of a job by its key: nothing given is missing, and each figure means what the reader took it for."""

from __future__ import annotations

from pathlib import Path

import pytest

from engine.job.edit import entry_text, with_entry
from engine.job.entry_list import entries
from engine.job.toml_file import parse_job, read_job
from engine.quantities import Units

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"))
ROOM = """
format = 1
[job]
name = "A"
[outline]
rectangle = ["5 ft", 36]
edges = { "D-A" = "curb" }
[[drains]]
kind = "round"
at = { "A-B" = "18 in", "D-A" = 30 }
[[readings]]
at = { wall = "A-B", along = "10 cm" }
drop = "21 1/16"
[bed]
fall = "1:48"
"""


def test_each_has_its_key_its_text_and_its_meaning():
    found = {entry.key: entry for entry in entries(parse_job(ROOM))}
    assert found["outline.rectangle[0]"].typed == "5 ft"
    assert found["outline.rectangle[0]"].value == pytest.approx(1524.0)
    assert found["outline.rectangle[0]"].understood(Units.INCH) == "60 in"
    assert found["outline.rectangle[1]"].typed == 36
    assert found['outline.edges."D-A"'].typed == "curb"
    assert found['drains[0].at."D-A"'].value == pytest.approx(762.0)
    assert found["readings[0].at.along"].understood(Units.MM) == "100 mm"
    assert found["bed.fall"].value == pytest.approx(1 / 48)
    assert found["job.name"].understood(Units.INCH) is None
    assert "job.notes" not in found


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_entry_can_be_asked_for_and_typed_again_by_its_key(path):
    job = read_job(path)
    found = list(entries(job))
    assert len(found) > 20
    for entry in found:
        text = entry_text(job, entry.key)
        assert text == (str(entry.typed).lower() if isinstance(entry.typed, bool) else str(entry.typed))
        if "[" not in entry.key or entry.measure is not None:
            assert entry_text(with_entry(job, entry.key, text), entry.key) == text
