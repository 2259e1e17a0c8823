"""What a drawing is made on: its elements, its frame, the places that labels have taken, and the job's units."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from engine.quantities import Units, format_length
from engine.records import result
from engine.sheets.page.svg import Face, words
from engine.types import Array

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from engine.sheets.page.frame import Frame
    from engine.sheets.page.labels import Labels


@result
class Canvas:
    """A drawing in the making."""

    root: Element
    frame: Frame
    labels: Labels
    units: Units

    def inside(self, text: str, places: Iterable[Array], face: Face, turned: float = 0.0) -> bool:
        """Writes a text at the first of the places that is free on the floor; tells whether there was one."""
        return self._write(text, self.labels.find(text, places, face.size, turned, inside=True), face, turned)

    def outside(self, text: str, places: Iterable[Array], face: Face, turned: float = 0.0) -> bool:
        """Writes a text at the first of the places that is free off the floor; tells whether there was one."""
        return self._write(text, self.labels.find(text, places, face.size, turned, inside=False), face, turned)

    def _write(self, text: str, at: Array | None, face: Face, turned: float) -> bool:
        if at is not None:
            words(self.root, text, at, face, turned)
        return at is not None

    def bare(self, mm: float) -> str:
        """A length without its unit, which the legend names."""
        return self.told(format_length(mm, self.units))

    def told(self, length: str) -> str:
        """A length in words without its unit."""
        return length.removesuffix(f" {self.units.value}")
