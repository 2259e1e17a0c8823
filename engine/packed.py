"""Texts that are shipped packed: JSON in bzip2, made by `tests/packed` of what stays in the repository."""

import bz2
import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from .phrases import Phrase, phrase


def unpacked(file: Path) -> Any:
    """What a packed file tells."""
    return json.loads(bz2.decompress(file.read_bytes()))


@cache
def wording(subject: str) -> Mapping[str, Phrase]:
    """What is told alike of every floor, by its name in that part of `wording.toml`."""
    return {name: phrase(text) for name, text in _wording()[subject].items()}


@cache
def _wording() -> dict[str, dict[str, str]]:
    told: dict[str, dict[str, str]] = unpacked(Path(__file__).with_name("wording.json.bz2"))
    return told
