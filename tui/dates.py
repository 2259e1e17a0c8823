"""Dates in words, in the tongue that is spoken, whatever the locale."""

from datetime import date

from engine.phrases import Phrase, phrase, shaped

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


def short_month(number: int) -> Phrase:
    """A month, numbered from 1, by its name's first three letters."""
    return shaped(_MONTHS[number - 1], lambda name: name[:3])


def date_words(day: date) -> Phrase:
    """A date with its weekday: "Monday 8 March 2027"."""
    return phrase(
        "{weekday} {day} {month} {year}",
        weekday=_DAYS[day.weekday()],
        day=day.day,
        month=_MONTHS[day.month - 1],
        year=day.year,
    )
