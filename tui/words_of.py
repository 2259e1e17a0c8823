"""Small pieces of the plan in words, as the results show them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.limits.words import length_over, length_under

if TYPE_CHECKING:
    from engine.layout.marks import Mark
    from engine.quantities import Units


def mark_columns(mark: Mark, units: Units) -> tuple[str, str, str]:
    """A mark's three figures without their unit: down from the line, over the drain, over the rough floor."""
    line = "" if mark.below_line is None else length_under(mark.below_line, units)
    figures = (line, length_over(mark.above_drain, units), length_over(mark.above_rough, units))
    return tuple(figure.removesuffix(f" {units.value}") for figure in figures)  # type: ignore[return-value]  # three in, three out
