"""Slips: the ways in which a drop is misread or mistyped."""

import re
from collections.abc import Iterator
from enum import Enum
from functools import lru_cache

from ..dimensions import INCH, Dimension, Units
from ..errors import QuantityError
from ..job.model import Typed
from ..phrases import phrase
from ..quantities import parse
from ..records import record
from ..signs import plain_signs

_FRACTION = re.compile(r"(?<!\d)(\d+)\s*/\s*(\d+)(?!\d)")
_WHOLE = re.compile(r"(?<![\d/.,])\d{2,}(?![\d/])")
_FINEST, _COARSEST = 32, 2  # denominators on a rule


class Slip(Enum):
    """What went wrong; the value is how a person is told."""

    WHOLE_UNIT = phrase("one whole inch off")
    WHOLE_CENTIMETRE = phrase("one whole centimetre off")
    SWAPPED = phrase("two digits swapped")
    FRACTION = phrase("the fraction taken on another scale, as eighths for sixteenths")


@record
class Likely:
    """A slip that explains a reading, and the drop [mm] that was meant then."""

    slip: Slip
    drop: float


def likely_slip(drop: Typed, units: Units, off: float, room: float) -> Likely | None:
    """The slip that best explains why a drop puts its place `off` [mm] too high, negative where too low.

    None where no slip brings it within `room` [mm] of where it should be, or nearer than a third of how far off it is.
    """
    best, left = None, min(room, abs(off) / 3)
    for slip, to in meant(drop, units):
        after = abs(off + drop.value - to)  # a bigger drop is a lower place
        if after < left - 1e-9:
            best, left = Likely(slip, to), after
    return best


@lru_cache(maxsize=64)
def meant(drop: Typed, units: Units) -> tuple[tuple[Slip, float], ...]:
    """What may have been meant, the likeliest first."""
    return tuple(_meant(drop, units))


def _meant(drop: Typed, units: Units) -> Iterator[tuple[Slip, float]]:
    whole = (Slip.WHOLE_UNIT, INCH) if units is Units.INCH else (Slip.WHOLE_CENTIMETRE, 10.0)
    yield whole[0], drop.value - whole[1]
    yield whole[0], drop.value + whole[1]
    text = plain_signs(str(drop.text))
    for slip, other in (*_other_fractions(text), *_swapped(text)):
        try:
            yield slip, parse(other, Dimension.LENGTH, units)
        except QuantityError:
            continue


def _other_fractions(text: str) -> Iterator[tuple[Slip, str]]:
    for match in _FRACTION.finditer(text):
        top, bottom = int(match[1]), int(match[2])
        for other in (bottom * 2, bottom // 2):
            if _COARSEST <= other <= _FINEST and top < other and other != bottom:
                yield Slip.FRACTION, f"{text[: match.start()]}{top}/{other}{text[match.end() :]}"


def _swapped(text: str) -> Iterator[tuple[Slip, str]]:
    for match in _WHOLE.finditer(text):
        digits = match[0]
        for i in range(len(digits) - 1):
            swapped = digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]
            if swapped != digits:
                yield Slip.SWAPPED, text[: match.start()] + swapped + text[match.end() :]
