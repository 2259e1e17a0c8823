"""Entries are named by which drain and which station they are of."""

from __future__ import annotations

import pytest

from engine.job.edit import with_reading
from engine.job.toml_file import parse_job
from tui.entry_names import entry_name

DRAIN = '[[drains]]\nkind = "round"\nsize = "6 in"\nat = { x = "20", y = "20" }\n'


@pytest.mark.parametrize(
    ("count", "key", "name"),
    [
        (1, "drains[0].drop", "The drain: flange drop"),
        (2, "drains[1].drop", "Drain 2: flange drop"),
        (2, "drains[0].at", "Drain 1: its place"),
        (2, "drains[0].to", "Drain 1: the other end"),
        (2, "drains[1]", "Drain 2"),
        (1, "readings[0].drop", "Reading at C"),
        (1, "readings[1].drop", "Reading at A-B 12"),
        (1, "readings[7].drop", "Reading"),
        (1, "bed.fall", "Fall"),
    ],
)
def test_an_entry_by_its_name(count, key, name):
    job = parse_job(f"format = 1\n[outline]\nrectangle = [40, 40]\n{DRAIN * count}")
    job = with_reading(with_reading(job, None, "C", "20"), None, "A-B 12", "21")
    assert entry_name(job, key) == name
