"""What the pages of the results share: headings, figures with their places, and rows of the sheets."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np

from engine.layout.seen import RIDGE
from engine.phrases import joined, phrase, shaped
from engine.sheets.words import Row
from engine.survey.outline import FloorOutline
from engine.survey.spot import Spot

from ..widgets.sheet import Listing, SheetLine

BLANK = SheetLine("")
_NAME_CELLS = 15


class About(NamedTuple):
    """What the explain key says of a line: its words' key, how the figure came about, and its source.

    path: where the figure stands in the plan as JSON; what it rests on is told of that.
    """

    topic: str
    worked: str = ""
    source: str = ""
    path: str = ""


class Place(NamedTuple):
    """A place on the map [mm]."""

    x: float | None = None
    y: float | None = None


NOWHERE = Place()


def head(text: str) -> SheetLine:
    """A heading."""
    return SheetLine(text, is_heading=True)


def headed(text: str, lines: Sequence[SheetLine]) -> Listing:
    """Lines under their heading, a blank one last; nothing where there are none."""
    if lines:
        yield from (head(text), *lines, BLANK)


def line(text: str, figure: str, about: About, place: Place = NOWHERE, hangs: int = 2) -> SheetLine:
    """A line that can be gone to, explained, and shown on the map if it has a place."""
    return SheetLine(text, figure, *place, hangs=hangs, about=about)


def figure(name: str, value: str, key: str, spot: Spot | None = None, about: About | None = None) -> SheetLine:
    """A named figure; without more about it, one that the engine explains."""
    place = NOWHERE if spot is None else Place(spot.x, spot.y)
    return SheetLine(joined("", [shaped(name, _column), value]), key, *place, hangs=_NAME_CELLS, about=about)


def _column(name: str) -> str:
    return f"{name:<{_NAME_CELLS - 1}} "


def indented(text: str) -> str:
    """A text set in under the line before."""
    return joined("", ["  ", text])


def rows(found: Iterable[Row], topic: str) -> Listing:
    """Rows of a sheet as lines, each explained by its topic and source."""
    for i, row in enumerate(found):
        text = phrase("{name}: {value}", name=row.name, value=row.value) if row.name else indented(row.value)
        yield line(text, f"{topic}:{i}", About(topic, "", row.source, row.path), Place(row.x, row.y))


def on_wall(floor: FloorOutline, wall: str, along: float) -> Place:
    """A place along a wall or an island's side, from its first corner [mm]; nowhere along a ridge."""
    if wall == RIDGE:
        return NOWHERE
    border, number = floor.border_of(wall)
    ((x, y),) = border.on_wall(number, np.array([along])).tolist()
    return Place(x, y)


def middle_of(floor: FloorOutline, wall: str) -> Place:
    """The middle of a wall or of an island's side."""
    border, number = floor.border_of(wall)
    return Place(*border.middle(number).tolist())


def end_of(floor: FloorOutline, wall: str, end: int) -> Place:
    """The corner at a wall's first or last end."""
    border, number = floor.border_of(wall)
    x, y = (border.ends if end else border.corners)[number].tolist()
    return Place(x, y)
