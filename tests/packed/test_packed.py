"""Texts in TOML, and the page's templates and stylesheet, are shipped packed: what is shipped is what they tell."""

from __future__ import annotations

import bz2
import json
import re
import tomllib
from pathlib import Path

import pytest

from engine.job.rule_figures import Figure
from engine.work.cautions import _STANDING

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "engine/sheets/page"
SOURCES = {
    ROOT / "engine/wording.json.bz2": [ROOT / "engine/wording.toml"],
    ROOT / "engine/sheets/derivations.json.bz2": [ROOT / "engine/sheets/derivations.toml"],
    ROOT / "tui/explanations/texts.json.bz2": sorted((ROOT / "tui/explanations").glob("*.toml")),
    ROOT / "engine/limits/books.json.bz2": sorted((ROOT / "engine/limits").glob("*.toml")),
    PAGE / "page.json.bz2": [*sorted(PAGE.glob("*.jinja")), PAGE / "page.css"],
}


def entries(path: Path) -> dict[str, object]:
    """What a file tells: its entries in TOML; another's text under its name."""
    text = path.read_text(encoding="utf-8")
    is_table = path.suffix == ".toml" and path.parent.name != "limits"  # whose books have entries alike
    return tomllib.loads(text) if is_table else {path.name: text}


def packed(sources: list[Path]) -> bytes:
    """The files' entries as one, as they are shipped."""
    told = {key: entry for path in sources for key, entry in entries(path).items()}
    return bz2.compress(json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode())


@pytest.mark.parametrize("shipped", SOURCES, ids=lambda path: path.name)
def test_what_is_shipped_is_what_its_sources_tell(shipped):
    """Run `python tests/packed` after a change."""
    assert shipped.read_bytes() == packed(SOURCES[shipped])


def test_no_entry_is_told_twice():
    for sources in SOURCES.values():
        keys = [key for path in sources for key in entries(path)]
        assert len(keys) == len(set(keys)) > 0


def test_every_wording_is_told_and_no_other_is_asked_for():
    """Figures, rules and cautions go by their own names, all else by names in the sources."""
    words = entries(ROOT / "engine/wording.toml")
    assert set(words["figures"]) == {figure.key for figure in Figure} > set(words["told"])
    assert set(words["cautions"]) == set(_STANDING)
    sources = "\n".join(
        path.read_text(encoding="utf-8") for top in ("engine", "tui") for path in (ROOT / top).rglob("*.py")
    )
    for part in ("proof", "work", "why", "remedies"):
        asked = re.findall(rf"""wording\(.{part}.\)\[(.*?)\]""", sources)
        assert {name for names in asked for name in re.findall(r"[a-z]+(?:-[a-z]+)*", names)} >= set(words[part]), part
