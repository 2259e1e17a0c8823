"""Texts that are shipped packed: JSON in bzip2, made of what stays in the repository by `tests/packed`."""

import bz2
import json
from typing import Any


def unpacked(data: bytes) -> Any:
    """What a packed file's bytes tell."""
    return json.loads(bz2.decompress(data))
