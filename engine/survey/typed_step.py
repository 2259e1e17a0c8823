"""How finely readings were taken, from the way they were typed.

"21 5/16" was read to 1/16 in, "545" in a mm job to 1 mm. Fractions are typed reduced, so one reading tells little: a
survey's finest step counts, as whoever reads one place to 1/16 in reads all so.
"""

import math
import re
from collections.abc import Sequence
from functools import lru_cache

from ..dimensions import INCH, Units
from ..job.model import Reading, Typed
from ..signs import plain_signs

_COARSEST = Units.pair(INCH / 8, 5.0)  # [mm] nobody reads more coarsely; all whole inches are chance
_FINEST = 0.01  # [mm] more digits come from arithmetic, not from a rule
_LAST = re.compile(r"(?:(\d+)\s*/\s*(\d+)|(\d+)(?:[.,](\d*))?|[.,](\d+))\s*([a-z'\"]*)\.?\s*$")
_UNITS = {"": None, "in": INCH, '"': INCH, "''": INCH, "inch": INCH, "inches": INCH, "mm": 1.0, "cm": 10.0, "m": 1000.0}
_UNITS |= {"ft": 12 * INCH, "'": 12 * INCH, "foot": 12 * INCH, "feet": 12 * INCH}


@lru_cache(maxsize=4096)
def typed_step(text: str | float, units: Units) -> float:
    """The step [mm] of a length: its fraction's, its last decimal's, or a whole unit; else the coarsest."""
    match = _LAST.search(plain_signs(str(text)).strip().lower())
    if match is None:
        return _COARSEST[units]
    _, bottom, _, decimals, bare, unit = match.groups()
    one = _UNITS.get(unit, INCH) or (INCH if units is Units.INCH else 1.0)
    if bottom is not None:
        return one / max(int(bottom), 1)
    return float(one / 10 ** len(decimals or bare or ""))


def reading_step(drops: Sequence[Typed], units: Units) -> float:
    """The step [mm] that a survey's drops were read to: their finest, within what a rule tells."""
    steps = [typed_step(drop.text, units) for drop in drops]
    return min(max(min(steps, default=math.inf), _FINEST), _COARSEST[units])


def reading_error(readings: Sequence[Reading], units: Units) -> float:
    """The standard error [mm] of one reading: anywhere within half a step alike, so the step over sqrt 12.

    Source: rectangular distribution, JCGM 100:2008 (GUM), 4.3.7.
    """
    return reading_step([reading.drop for reading in readings], units) / math.sqrt(12.0)
