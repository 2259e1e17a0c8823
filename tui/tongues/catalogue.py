"""A compiled catalogue: what a tongue says, found by the digests of the English patterns, which the program has itself.

The file is JSON packed by bzip2: `plural`, the rule by which a number chooses among a sentence's forms, in gettext's
notation; `texts`, each a list of forms where the sentence hangs on a number. Behind it stand the patterns' digests in
the same order, three bytes each: nothing would pack them closer.
"""

from __future__ import annotations

import json
from bz2 import BZ2Decompressor
from gettext import NullTranslations, c2py
from typing import TYPE_CHECKING
from zlib import crc32

if TYPE_CHECKING:
    from pathlib import Path


def digest(pattern: str) -> bytes:
    """The end of a pattern's CRC-32 (RFC 1952, section 8); a catalogue in which two would share one is not compiled."""
    return crc32(pattern.encode()).to_bytes(4, "big")[1:]


class Catalogue(NullTranslations):
    """The sentences of one tongue; what it lacks is told in English."""

    def __init__(self, path: Path) -> None:
        """Reads the compiled file."""
        super().__init__()
        packed = BZ2Decompressor()
        held = json.loads(packed.decompress(path.read_bytes()))
        digests = packed.unused_data
        self._form = c2py(held["plural"])
        self._texts = {digests[3 * i : 3 * i + 3]: text for i, text in enumerate(held["texts"])}

    def gettext(self, message: str) -> str:
        """A sentence's pattern in the tongue."""
        said = self._texts.get(digest(message), message)
        return said if isinstance(said, str) else said[0]

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """The form of a sentence's pattern that goes with a number."""
        forms = self._texts.get(digest(msgid1))
        return super().ngettext(msgid1, msgid2, n) if forms is None else forms[self._form(n)]
