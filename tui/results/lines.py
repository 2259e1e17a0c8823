"""What the pages of the results share: headings, figures with their places, and rows of the sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from tui.widgets.sheet import SheetLine

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from engine.sheets.words import Row
    from engine.survey.outline import FloorOutline
    from engine.survey.spot import Spot

BLANK = SheetLine("")
_NAME_CELLS = 15


class About(NamedTuple):
    """What the explain key says of a line: its words' key, how the figure came about, and its source."""

    topic: str
    worked: str = ""
    source: str = ""


class Place(NamedTuple):
    """A place on the map [mm]."""

    x: float | None = None
    y: float | None = None


NOWHERE = Place()


def head(text: str) -> SheetLine:
    """A heading."""
    return SheetLine(text, is_heading=True)


def line(text: str, figure: str, about: About, place: Place = NOWHERE, hangs: int = 2) -> SheetLine:
    """A line that can be gone to, explained, and shown on the map where it has a place."""
    return SheetLine(text, figure, place.x, place.y, hangs=hangs, about=about)


def figure(name: str, value: str, key: str, spot: Spot | None = None) -> SheetLine:
    """A named figure that the engine itself explains."""
    x, y = (None, None) if spot is None else (spot.x, spot.y)
    return SheetLine(f"{name:<{_NAME_CELLS}}{value}", key, x, y, hangs=_NAME_CELLS)


def rows(found: Iterable[Row], topic: str) -> Iterator[SheetLine]:
    """Rows of a sheet as lines, each explained by its topic and its source."""
    for i, row in enumerate(found):
        text = f"{row.name}: {row.value}" if row.name else row.value
        about = About(topic, "", row.source)
        yield line(text if row.name else f"  {text}", f"{topic}:{i}", about, Place(row.x, row.y))


def on_wall(floor: FloorOutline, wall: str, along: float) -> Place:
    """A place along a wall from its first corner [mm]."""
    if wall not in floor.walls:
        return NOWHERE
    ((x, y),) = floor.on_wall(floor.walls.index(wall), np.array([along])).tolist()
    return Place(x, y)


def middle_of(floor: FloorOutline, wall: str) -> Place:
    """The middle of a wall."""
    return on_wall(floor, wall, floor.length(floor.walls.index(wall)) / 2) if wall in floor.walls else NOWHERE


def corner_of(floor: FloorOutline, name: str) -> Place:
    """A lettered corner."""
    if name not in floor.names:
        return NOWHERE
    x, y = floor.corners[floor.names.index(name)].tolist()
    return Place(x, y)
