"""Writes the plan of every job of the archive as JSON into a folder: `python tests/archive/plans.py FOLDER`."""

from __future__ import annotations

import sys
from pathlib import Path

from engine.job.toml_file import read_job
from engine.plan import plan
from engine.sheets.json import plan_json

for path in sorted((Path(__file__).parent / "jobs").glob("*.toml")):
    text = plan_json(plan(read_job(path)))
    (Path(sys.argv[1]) / f"{path.stem}.json").write_text(text, encoding="utf-8")
