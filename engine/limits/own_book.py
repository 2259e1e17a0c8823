"""A job's rulebook: its country's, with the user's own figures in place of the book's."""

from dataclasses import replace

from ..errors import JobError
from ..job.model import Job, Typed
from ..job.rule_figures import Figure, Need, figure_of
from ..phrases import phrase
from ..quantities import Dimension, Units, has_unit
from .rulebook import Limit, Rulebook, own_limit, rulebook

_NOISE = 1e-9  # [-] float noise this small a part of a figure contradicts none
_PAIRS = (  # the lesser of a pair, the greater, and how many of the one go into the other at least
    (Figure.FALL_LEAST, Figure.FALL_MOST, 1),
    (Figure.CURB_LEAST, Figure.CURB_MOST, 1),
    (Figure.UNBONDED_LEAST, Figure.UNBONDED_MOST, 1),
    (Figure.SAND_LEAST, Figure.SAND_MOST, 1),
    (Figure.FLOOD_TIME_LEAST, Figure.FLOOD_TIME_MOST, 1),
    (Figure.LATH_LAP, Figure.LATH_SHEET_WIDTH, 2),
    (Figure.LATH_LAP, Figure.LATH_SHEET_LENGTH, 2),
)


def book_of(job: Job) -> Rulebook:
    """The rulebook of that job; each own figure is as grave to break as the one it stands for.

    Raises JobError for an edition that there is not, and for a figure that leaves its counterpart no room.
    """
    book = rulebook(job.rulebook, job.edition or None)
    if not job.figures:
        return book
    own = {figure_of(key): given for key, given in job.figures}
    limits = {figure: _limit(figure, given, job.units, book) for figure, given in own.items()}
    book = replace(book, own=limits)
    for low, high, times in _PAIRS:
        if low in own or high in own:
            _check_pair(book, low, high, times)
    return book


def _limit(figure: Figure, given: Typed | Need, units: Units, book: Rulebook) -> Limit:
    printed = book.find_printed(figure)
    if isinstance(given, Need):
        return own_limit(float(given is Need.NEEDED), given.value, printed)
    is_bare = figure.dimension is Dimension.LENGTH and not has_unit(given.text)
    return own_limit(given.value, f"{given.text} {units}" if is_bare else str(given.text), printed)


def _check_pair(book: Rulebook, low: Figure, high: Figure, times: int) -> None:
    least, most = book.find(low), book.find(high)
    if least is None or most is None or least.value * times <= most.value * (1 + _NOISE):
        return
    mine, other, limit = (low, high, most) if low in book.own else (high, low, least)
    raise JobError(
        f"figures.{mine.key}",
        book.own[mine].text,
        phrase("this leaves no room: the {figure} is {limit}", figure=other.words, limit=limit.text),
        phrase("correct it, or set that one too"),
    )
