"""From spans with inks to the strips of styled segments that the screen takes."""

from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from .ink import Ink, PictureLine
from .looks import Colours, Looks
from .ramps import Ramp, style_of


class Painter:
    """Paints lines with one ramp, on one ground, for one kind of terminal; each style is made once."""

    def __init__(self, ramp: Ramp, looks: Looks, ground: Style) -> None:
        """`ground`: the widget's own colours; left out where there are to be none."""
        self._ramp = ramp
        self._looks = looks
        self._ground = Style.null() if looks.colours is Colours.NONE else ground
        self._styles: dict[tuple[Ink, int], Style] = {}

    def strip(self, line: PictureLine, width: int) -> Strip:
        """One line as a strip of exactly so many cells."""
        styles = self._styles
        segments, taken = [], 0
        for text, ink, level in line:
            style = styles.get((ink, level))
            if style is None:
                style = styles[ink, level] = self._ground + style_of(ink, level, self._ramp, self._looks)
            segments.append(Segment(text, style))
            taken += len(text)
        if taken < width:
            segments.append(Segment(" " * (width - taken), self._ground))
        strip = Strip(segments, max(taken, width))
        return strip if taken <= width else strip.crop(0, width)
