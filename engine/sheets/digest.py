"""The digest: eight letters and digits to compare over a telephone."""

import json
from hashlib import sha256

from ..plan import Plan
from .figures import Figures, plan_figures

_LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"  # 32, without 0 and O, 1 and I
_BITS_EACH = 5
_COUNT = 8


def digest(plan: Plan) -> str:
    """The plan's digest, such as "4F7K-29QX": the same for the same figures, whatever the job's name."""
    return digest_of(plan_figures(plan))


def digest_of(figures: Figures) -> str:
    """The digest of figures as printed: the first 40 bits of their JSON's SHA-256, five to a sign."""
    text = json.dumps(figures, separators=(",", ":"), allow_nan=False)
    bits = int.from_bytes(sha256(text.encode("ascii")).digest()[: _COUNT * _BITS_EACH // 8], "big")
    places = reversed(range(_COUNT))
    signs = "".join(_LETTERS[bits >> (_BITS_EACH * place) & 31] for place in places)
    return f"{signs[:4]}-{signs[4:]}"
