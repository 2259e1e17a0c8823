"""Gives every large job to every command, within the limits, and tells which were not taken as they have to be."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from test_bounds import PLANNED, REFUSED, WAYS, fault

found = 0
with tempfile.TemporaryDirectory() as folder:
    path = Path(folder) / "job.toml"
    for jobs, is_planned in ((PLANNED, True), (REFUSED, False)):
        for name, make in jobs.items():
            path.write_text(make(), encoding="utf-8")
            for way in WAYS:
                says = fault(path, way, is_planned=is_planned)
                found += bool(says)
                sys.stdout.write(f"{name} {way or 'as text'}: {says or 'well'}\n")
sys.exit(1 if found else 0)
