"""Hostile jobs for as long as one likes: `.venv/bin/python tests/fuzz [SECONDS] [SEED]`.

Ends with 1 when a job was taken wrongly.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from test_hostile_jobs import bent, broken, hunt

seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 60.0
seed = int(sys.argv[2]) if len(sys.argv) > 2 else 0
is_clean = True
with TemporaryDirectory() as folder:
    for make in (bent, broken):
        tried, found = hunt(make, Path(folder) / "job.toml", seconds / 2, seed)
        sys.stdout.write(f"{make.__name__}: {tried} jobs from seed {seed}, {len(found)} taken wrongly\n")
        for number, says in found:
            sys.stdout.write(f"  seed {number}: {says}\n")
        is_clean = is_clean and not found
sys.exit(0 if is_clean else 1)
