"""Words broken into lines that never part a figure from its fraction or unit, or a wall's letters."""

import re
import textwrap

_HARD_SPACE = "\N{NO-BREAK SPACE}"
_DOUBLE_UNIT = re.compile(r"\b(cu|sq) (ft|in)\b")
_INSIDE = re.compile(
    rf"(?<=\d) (?=\d+/\d|%|(?:(?:cu|sq){_HARD_SPACE})?(?:in|ft|mm|cm|m|m2|m3|L|lb|qt|kg|psf|kPa|h|min|deg)\b)"
)


def wrapped(words: str, width: int, hang: str = "") -> list[str]:
    """Lines of at most so many characters, all but the first behind `hang`; a longer word is broken."""
    bound = _INSIDE.sub(_HARD_SPACE, _DOUBLE_UNIT.sub(rf"\1{_HARD_SPACE}\2", words))
    lines = textwrap.wrap(bound, width, subsequent_indent=hang, break_on_hyphens=False)
    return [line.replace(_HARD_SPACE, " ") for line in lines]
