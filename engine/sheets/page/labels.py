"""What a drawing is made on, its labels apart, each at its first free place."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np
import shapely

from ...quantities import Units, format_length
from ...records import result
from ...types import Array, Shape
from .svg import Face, words

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from .frame import Frame

_WIDE = 0.56  # of a letter's size: the mean width of plain faces' letters
_TALL = 1.05  # of a letter's size: a line's height
_APART = 0.25  # of a letter's size: what stays free beside a line
_AROUND = np.array([[1, 0], [0, -1], [0, 1], [-1, 0], [1, -1], [1, 1], [-1, -1], [-1, 1]], dtype=float)


def width(text: str, size: float) -> float:
    """About how wide a line of text is [mm], in letters `size` [mm] tall."""
    return _WIDE * size * len(text)


def box(text: str, at: Array, size: float, turned: float = 0.0, beside: float = 0.0) -> Shape:
    """The box of a line of text centred on a place (2,), turned by degrees, so much beside it [mm]."""
    half = np.array([width(text, size) + 2 * beside, _TALL * size]) / 2
    corners = np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]) * half
    cos, sin = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    return shapely.polygons(corners @ np.array([[cos, sin], [-sin, cos]]) + at)


def around(at: Array, text: str, size: float, gap: float) -> Array:
    """Middles (k, 2) for a label beside a place, near ones first, with a gap [mm] between."""
    half = np.array([width(text, size), _TALL * size]) / 2
    near = _AROUND * (half + gap)
    return np.concatenate([at + near, at + near * [1.0, 2.2], at + near * [1.6, 1.0]])


@dataclass
class Labels:
    """The boxes taken, and the floor on paper, on or off which labels lie."""

    floor: Shape
    taken: list[Shape] = field(default_factory=list)

    def take(self, shape: Shape) -> None:
        """Keeps labels off a shape."""
        self.taken.append(shape)

    def find(
        self, text: str, places: Iterable[Array], size: float, turned: float = 0.0, *, inside: bool
    ) -> Array | None:
        """The first free place (2,) for the text on the floor (or off it), which it takes."""
        for place in places:
            shape = box(text, place, size, turned)
            fits = shapely.contains(self.floor, shape) if inside else shapely.disjoint(self.floor, shape)
            apart = box(text, place, size, turned, _APART * size)
            if fits and not shapely.intersects(self.taken, apart).any():
                self.take(shape)
                return place
        return None


@result
class Canvas:
    """A drawing in the making."""

    root: Element
    frame: Frame
    labels: Labels
    units: Units

    def inside(self, text: str, places: Iterable[Array], face: Face, turned: float = 0.0) -> bool:
        """Writes at the first free place on the floor; whether there is one."""
        return self._write(text, places, face, turned, inside=True)

    def outside(self, text: str, places: Iterable[Array], face: Face, turned: float = 0.0) -> bool:
        """The same off the floor."""
        return self._write(text, places, face, turned, inside=False)

    def _write(self, text: str, places: Iterable[Array], face: Face, turned: float, *, inside: bool) -> bool:
        at = self.labels.find(text, places, face.size, turned, inside=inside)
        if at is not None:
            words(self.root, text, at, face, turned)
        return at is not None

    def bare(self, mm: float) -> str:
        """A length without its unit, which the legend names."""
        return self.told(format_length(mm, self.units))

    def told(self, length: str) -> str:
        """A length in words without its unit."""
        return length.removesuffix(f" {self.units.value}")
