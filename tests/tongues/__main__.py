"""Brings the catalogues up to date with what the program says: `.venv/bin/python tests/tongues`."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from test_catalogues import bring_up_to_date

sys.stdout.write("\n".join(bring_up_to_date()) + "\n")
