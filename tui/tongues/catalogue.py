"""A compiled catalogue: what a tongue says, found by the digests of the English patterns, which the program has itself.

The file is JSON packed by lzma: `plural`, the rule by which a number chooses among a sentence's forms, in gettext's
notation; `digests`, those of the patterns in base64, four bytes each; `texts`, in the same order, a list of forms where
the sentence hangs on a number.
"""

from __future__ import annotations

import json
import lzma
import struct
from binascii import a2b_base64
from gettext import NullTranslations, c2py
from typing import TYPE_CHECKING
from zlib import crc32

if TYPE_CHECKING:
    from pathlib import Path


def digest(pattern: str) -> int:
    """The CRC-32 (RFC 1952, section 8) of a pattern; a catalogue in which two would share one is never compiled."""
    return crc32(pattern.encode())


class Catalogue(NullTranslations):
    """The sentences of one tongue; what it lacks is told in English."""

    def __init__(self, path: Path) -> None:
        """Reads the compiled file."""
        super().__init__()
        held = json.loads(lzma.decompress(path.read_bytes()))
        digests = struct.iter_unpack(">I", a2b_base64(held["digests"]))
        self._form = c2py(held["plural"])
        self._texts = {key: text for (key,), text in zip(digests, held["texts"], strict=True)}

    def gettext(self, message: str) -> str:
        """A sentence's pattern in the tongue."""
        said = self._texts.get(digest(message), message)
        return said if isinstance(said, str) else said[0]

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """The form of a sentence's pattern that goes with a number."""
        forms = self._texts.get(digest(msgid1))
        return super().ngettext(msgid1, msgid2, n) if forms is None else forms[self._form(n)]
