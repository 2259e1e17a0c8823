"""A rulebook's figure in words: what it is, whose, and what the book says."""

from ..job.rule_figures import Figure
from ..phrases import phrase, shaped
from ..quantities import Units
from .checks.own import told_only
from .rulebook import Rulebook
from .words import figure_words


def figure_page(book: Rulebook, key: str, units: Units) -> tuple[str, list[tuple[str, str]]] | None:
    """Title and paragraphs on a key's figure ("figures.curb_least", "curb_least"); None for none."""
    name = key.strip().removeprefix("figures.")
    figure = next((figure for figure in Figure if figure.key == name), None)
    if figure is None:
        return None
    own, printed = book.own.get(figure), book.find_printed(figure)
    paragraphs: list[tuple[str, str]] = []
    if own is not None:
        paragraphs.append((phrase("Your own figure"), phrase("{figure}.", figure=figure_words(figure, own, units))))
    if printed is None:
        paragraphs.append((phrase("The rulebook"), phrase("{book} has no such figure.", book=phrase(book.title))))
    else:
        value = figure_words(figure, printed, units)
        paragraphs.append((phrase("The rulebook"), phrase("{book}: {figure}.", book=phrase(book.title), figure=value)))
        paragraphs.append((phrase("Source"), phrase("{source}.", source=printed.cited)))
    return shaped(figure.words, str.capitalize), [
        *paragraphs,
        (phrase("In the job file"), _in_file(figure, own is None)),
    ]


def _in_file(figure: Figure, is_books: bool) -> str:  # noqa: FBT001 - it is what the sentence says
    change = phrase(
        "To go by a figure of your own, set figures.{key}."
        if is_books
        else "Leave figures.{key} out to go back to the rulebook.",
        key=figure.key,
    )
    told = told_only().get(figure)
    return phrase("{change} It is {told}.", change=change, told=told) if told else change
