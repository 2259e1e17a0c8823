"""A compiled catalogue: what a tongue says, found by digests of the English patterns, which the program has.

The file is JSON packed by bzip2: `plural`, gettext's rule of which form a number takes; `modulus`, of the digests;
`texts` that are not as in English, each a list of forms where it hangs on a number, in the order of their patterns'
digests, parts in the pattern's order without names. A digest's distance from the one before is a digit of `far` times
256 and a byte of what follows the JSON; on a wider way an empty text lies between.
"""

import json
from bz2 import BZ2Decompressor
from gettext import NullTranslations, c2py
from itertools import accumulate
from pathlib import Path
from string import Formatter
from zlib import crc32


def digest(pattern: str, modulus: int) -> int:
    """What a pattern's CRC-32 (RFC 1952, section 8) leaves by a modulus that tells all of a catalogue apart."""
    return crc32(pattern.encode()) % modulus


def parts_of(pattern: str) -> list[str]:
    """The names of a pattern's parts, in order."""
    return [name for _, name, _, _ in Formatter().parse(pattern) if name]


def _named(said: str, pattern: str) -> str:
    for name in parts_of(pattern):
        said = said.replace("{}", f"{{{name}}}", 1)
    return said


class Catalogue(NullTranslations):
    """The sentences of one tongue; what it lacks is told in English."""

    def __init__(self, path: Path) -> None:
        super().__init__()
        packed = BZ2Decompressor()
        held = json.loads(packed.decompress(path.read_bytes()))
        self._form, self._modulus = c2py(held["plural"]), held["modulus"]
        steps = (int(far) * 256 + near for far, near in zip(held["far"], packed.unused_data, strict=True))
        self._texts = dict(zip(accumulate(steps), held["texts"], strict=True))

    def gettext(self, message: str) -> str:
        """A sentence's pattern in the tongue."""
        said = self._texts.get(digest(message, self._modulus)) or message
        return _named(said if isinstance(said, str) else said[0], message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """The form of a sentence's pattern for a number."""
        forms, form = self._texts.get(digest(msgid1, self._modulus)), self._form(n)
        if forms is None:
            return super().ngettext(msgid1, msgid2, n)
        return _named(forms[form], msgid2 if form else msgid1)
