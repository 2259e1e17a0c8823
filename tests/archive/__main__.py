"""Writes the archive's plans as this version makes them, and prints the lines that CHANGES.md then has to hold."""

from __future__ import annotations

import json
import sys

from test_archive import JOBS, kept

for path in JOBS:
    made = kept(path)
    path.with_suffix(".json").write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")
    sys.stdout.write(f"| {path.stem} | {made['digest']} | why |\n")
