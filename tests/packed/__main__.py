"""Packs the texts that are not shipped as they are written: `.venv/bin/python tests/packed`."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from test_packed import SOURCES, packed

for shipped, sources in SOURCES.items():
    shipped.write_bytes(packed(sources))
