"""Texts are written as TOML and shipped packed: what is shipped is what they tell."""

from __future__ import annotations

import bz2
import json
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = {
    ROOT / "engine/sheets/derivations.json.bz2": [ROOT / "engine/sheets/derivations.toml"],
    ROOT / "tui/explanations/texts.json.bz2": sorted((ROOT / "tui/explanations").glob("*.toml")),
}


def packed(sources: list[Path]) -> bytes:
    """The files' entries as one, as they are shipped."""
    told = {key: entry for path in sources for key, entry in tomllib.loads(path.read_text(encoding="utf-8")).items()}
    return bz2.compress(json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode())


@pytest.mark.parametrize("shipped", SOURCES, ids=lambda path: path.name)
def test_what_is_shipped_is_what_its_sources_tell(shipped):
    """Run `python tests/packed` after a change."""
    assert shipped.read_bytes() == packed(SOURCES[shipped])


def test_no_entry_is_told_twice():
    for sources in SOURCES.values():
        keys = [key for path in sources for key in tomllib.loads(path.read_text(encoding="utf-8"))]
        assert len(keys) == len(set(keys)) > 0
