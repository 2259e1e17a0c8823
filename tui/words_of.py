"""Small pieces of the plan in words, as the results show them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.limits.words import length_over, length_under

if TYPE_CHECKING:
    from datetime import date

    from engine.layout.marks import Mark
    from engine.quantities import Units

_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def date_words(day: date) -> str:
    """A date with its weekday, whatever the locale: "Monday 8 March 2027"."""
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def mark_columns(mark: Mark, units: Units) -> tuple[str, str, str]:
    """A mark's three figures without their unit: down from the line, over the drain, over the rough floor."""
    line = "" if mark.below_line is None else length_under(mark.below_line, units)
    figures = (line, length_over(mark.above_drain, units), length_over(mark.above_rough, units))
    return tuple(figure.removesuffix(f" {units.value}") for figure in figures)  # type: ignore[return-value]  # three in, three out
