"""Small pieces of the plan in words, as the results show them."""

from datetime import date

from engine.layout.marks import Mark
from engine.limits.words import length_over, length_under
from engine.phrases import Phrase, phrase
from engine.quantities import Units

_DAYS = (
    phrase("Monday"),
    phrase("Tuesday"),
    phrase("Wednesday"),
    phrase("Thursday"),
    phrase("Friday"),
    phrase("Saturday"),
    phrase("Sunday"),
)
_MONTHS = (
    phrase("January"),
    phrase("February"),
    phrase("March"),
    phrase("April"),
    phrase("May"),
    phrase("June"),
    phrase("July"),
    phrase("August"),
    phrase("September"),
    phrase("October"),
    phrase("November"),
    phrase("December"),
)


def date_words(day: date) -> Phrase:
    """A date with its weekday, whatever the locale: "Monday 8 March 2027"."""
    return phrase(
        "{weekday} {day} {month} {year}",
        weekday=_DAYS[day.weekday()],
        day=day.day,
        month=_MONTHS[day.month - 1],
        year=day.year,
    )


def mark_columns(mark: Mark, units: Units) -> tuple[str, str, str]:
    """A mark's three figures without their unit: down from the line, over the drain, over the rough floor."""
    line = "" if mark.below_line is None else length_under(mark.below_line, units)
    figures = (line, length_over(mark.above_drain, units), length_over(mark.above_rough, units))
    return tuple(figure.removesuffix(f" {units.value}") for figure in figures)  # type: ignore[return-value]  # three in, three out
