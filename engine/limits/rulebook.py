"""Rulebooks: the figures a job is held to, each with its source and how sure it is.

A book's current edition is a TOML file beside this module; released ones stay as they were, named `BOOK.EDITION.toml`.
`extends` takes over another book's figures as its own; `borrows` those marked there as shared trade practice: breaking
one is a caution. A job's own figures come before its book's.
"""

import tomllib
from dataclasses import field, replace
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any

from ..errors import JobError
from ..job.model import Job, RulebookName, Typed
from ..job.rule_figures import Figure, Need, figure_of
from ..packed import unpacked
from ..phrases import joined, phrase
from ..quantities import Dimension, Units, has_unit, parse
from ..records import record
from ..survey.spot import Spot
from .findings import Change, Finding, Level

__all__ = [
    "Figure",
    "Limit",
    "Measured",
    "Origin",
    "Rulebook",
    "Sure",
    "default_fall",
    "editions",
    "own_limit",
    "rulebook",
]

_HERE = Path(__file__).parent
_TIGHT = 1.7  # [-] a most fall under so many times the least leaves little room
_NOISE = 1e-9  # [-] of a figure: float noise this small contradicts none
_PAIRS = (  # the lesser, the greater, and how many of the one go into the other at least
    (Figure.FALL_LEAST, Figure.FALL_MOST, 1),
    (Figure.CURB_LEAST, Figure.CURB_MOST, 1),
    (Figure.UNBONDED_LEAST, Figure.UNBONDED_MOST, 1),
    (Figure.SAND_LEAST, Figure.SAND_MOST, 1),
    (Figure.FLOOD_TIME_LEAST, Figure.FLOOD_TIME_MOST, 1),
    (Figure.LATH_LAP, Figure.LATH_SHEET_WIDTH, 2),
    (Figure.LATH_LAP, Figure.LATH_SHEET_LENGTH, 2),
)


class Measured(StrEnum):
    """Where a book measures fall: from wall to flange edge, or square to the wall."""

    LINE = "line"
    SQUARE = "square"


class Sure(StrEnum):
    """How sure a figure is, by what was read."""

    READ = "S"
    CITED = "S2"
    CITED_INFERRED = "S2, inferred"
    PARTLY_CITED = "S/S2"
    PARTLY_READ = "S2/S"
    MEMORY = "M"
    MEMORY_AND_CITED = "M+S2"
    PRACTICE = "P"

    @property
    def words(self) -> str:
        """What is told beside the source; "" where its own words were read."""
        return _SURE_WORDS[self]


_SURE_WORDS = {
    Sure.READ: "",
    Sure.CITED: phrase("as cited by others"),
    Sure.CITED_INFERRED: phrase("inferred from a garbled report of it"),
    Sure.PARTLY_CITED: phrase("partly as cited by others"),
    Sure.PARTLY_READ: phrase("partly as cited by others"),
    Sure.MEMORY: phrase("from memory"),
    Sure.MEMORY_AND_CITED: phrase("from memory and as cited by others"),
    Sure.PRACTICE: phrase("no source"),
}


class Origin(StrEnum):
    """Where a figure comes from, which decides how grave a breach is."""

    CODE = "code"
    STANDARD = "standard"
    PRACTICE = "practice"
    BORROWED = "borrowed"
    OWN = "own"


@record
class Limit:
    """A figure: its value, the book's own text, its source and how sure.

    value: [mm], [mm2], [kPa], [h], [kg], [kg/mm3] or [-], by the figure; 1.0 for a needed thing; book: the works of the
    book that borrows it; replaces: the rulebook's, where it is the user's own.
    """

    value: float
    text: str
    source: str
    sure: Sure
    origin: Origin
    book: str = ""
    replaces: "Limit | None" = None

    @property
    def level(self) -> Level:
        """How grave a breach is: a code or standard stops; practice, memory and borrowed figures caution.

        A user's own is as grave as the one it stands for, or else a caution.
        """
        if self.origin is Origin.OWN:
            return self.replaces.level if self.replaces else Level.CAUTION
        firm = self.origin in (Origin.CODE, Origin.STANDARD) and self.sure not in (Sure.MEMORY, Sure.PRACTICE)
        return Level.STOP if firm else Level.CAUTION

    @property
    def cited(self) -> str:
        """The source and how sure it is, in words."""
        if self.origin is Origin.OWN:
            return self._own_cited()
        named = joined(", ", (part for part in (self.source, self.sure.words) if part))
        if self.origin is not Origin.BORROWED or self.sure is Sure.PRACTICE:
            return named
        return phrase(
            "common practice borrowed from {source}; the rulebook ({book}) has no figure of its own",
            source=named,
            book=self.book,
        )

    def broken(  # noqa: PLR0913 - a finding has so many parts, each named where it is made
        self,
        rule: str,
        says: str,
        remedy: str,
        *,
        spot: Spot | None = None,
        key: str,
        change: Change = (),
        drains: tuple[int, ...] = (),
    ) -> Finding:
        """The finding that it is broken, as grave as its source."""
        x, y = (spot.x, spot.y) if spot else (None, None)
        return Finding(rule, self.level, says, remedy, self.cited, x, y, key, change, drains)

    def _own_cited(self) -> str:
        if self.replaces is None:
            return phrase("your own figure, not the rulebook's")
        return phrase(
            "your own figure, not the rulebook's ({limit}: {source})",
            limit=self.replaces.text,
            source=self.replaces.cited,
        )


@record
class Rulebook:
    """One country's codes' and standards' limits; figures are read when first asked.

    edition: ours, such as "2026-1"; works: its codes and standards; own: the user's own figures.
    """

    name: RulebookName
    title: str
    edition: str
    works: str
    measured: Measured
    entries: dict[Figure, dict[str, Any]]
    own: dict[Figure, Limit] = field(default_factory=dict)

    def find(self, figure: Figure) -> Limit | None:
        """The user's own figure, else the book's, else None."""
        return self.own.get(figure) or self.find_printed(figure)

    def find_printed(self, figure: Figure) -> Limit | None:
        """The book's figure, whatever the user's own; None for none."""
        return _limit(self.name, self.edition, figure) if figure in self.entries else None

    @property
    def least_fall(self) -> Limit:
        """The least fall; every book has one."""
        return self.own.get(Figure.FALL_LEAST) or _limit(self.name, self.edition, Figure.FALL_LEAST)

    @property
    def most_fall(self) -> Limit | None:
        """The most fall, where the book has one."""
        return self.find(Figure.FALL_MOST)

    @property
    def is_tight(self) -> bool:
        """Whether least and most fall leave little or no room."""
        most = self.most_fall
        return most is not None and most.value < _TIGHT * self.least_fall.value


def rulebook(name: RulebookName, edition: str | None = None) -> Rulebook:
    """The rulebook of that name, by default of the current edition. Raises JobError for an unknown one."""
    if edition is not None and edition not in editions(name):
        known = joined(", ", editions(name))
        raise JobError(
            "job.edition",
            edition,
            phrase("the rulebook {name} has no such edition", name=name),
            phrase("leave it out, or name {known}", known=known),
        )
    return _read_book(name, edition)


@cache
def _books(folder: Path) -> dict[str, str]:
    packed = folder / "books.json.bz2"
    if packed.exists():
        return dict(unpacked(packed))
    return {path.name: path.read_text("utf-8") for path in folder.glob("*.toml")}


@cache
def editions(name: RulebookName) -> tuple[str, ...]:
    """A rulebook's editions, the current one last."""
    files = (file.removesuffix(".toml") for file in _books(_HERE))
    earlier = sorted(file.removeprefix(f"{name.value}.") for file in files if file.startswith(f"{name.value}."))
    return (*earlier, _read_book(name, None).edition)


@cache
def _read_book(name: RulebookName, edition: str | None) -> Rulebook:
    books = _books(_HERE)
    data = tomllib.loads(books.get(f"{name.value}.{edition}.toml") or books[f"{name.value}.toml"])
    figures = {figure_of(key): entry for key, entry in data["figures"].items()}
    return Rulebook(
        name=RulebookName(data["name"]),
        title=data["title"],
        edition=data["edition"],
        works=data["works"],
        measured=Measured(data["measured"]),
        entries={**_extended(data), **_borrowed(data), **figures},
    )


def _other(named: str) -> Rulebook:
    name, edition = named.split()
    return rulebook(RulebookName(name), edition)


def _extended(data: dict[str, Any]) -> dict[Figure, dict[str, Any]]:
    if "extends" not in data:
        return {}
    left_out = {figure_of(key) for key in data.get("without", ())}
    base = _other(data["extends"]).entries
    return {key: entry for key, entry in base.items() if key not in left_out}


def _borrowed(data: dict[str, Any]) -> dict[Figure, dict[str, Any]]:
    if "borrows" not in data:
        return {}
    base = _other(data["borrows"]).entries
    return {key: {**entry, "from": Origin.BORROWED} for key, entry in base.items() if entry.get("shared")}


def default_fall(book: Rulebook) -> float:
    """The fall [-] of a job without one: the book's least."""
    return book.least_fall.value


def own_limit(value: float, text: str, replaces: Limit | None) -> Limit:
    """The user's own figure, standing for the rulebook's, or for what another own one did."""
    if replaces is not None and replaces.origin is Origin.OWN:
        replaces = replaces.replaces
    return Limit(value, text, phrase("your own figure"), Sure.READ, Origin.OWN, replaces=replaces)


@cache
def _limit(name: RulebookName, edition: str, figure: Figure) -> Limit:
    book = rulebook(name, edition)
    entry = book.entries[figure]
    limit = Limit(
        value=1.0 if figure.dimension is None else parse(entry["value"], figure.dimension, Units.INCH),
        text=entry["value"],
        source=phrase(entry["source"]),
        sure=Sure(entry["sure"]),
        origin=Origin(entry["from"]),
    )
    return replace(limit, book=phrase(book.works)) if limit.origin is Origin.BORROWED else limit


def book_of(job: Job) -> Rulebook:
    """The rulebook of that job, its own figures too.

    Raises JobError for an unknown edition, and a figure that leaves its counterpart no room.
    """
    book = rulebook(job.rulebook, job.edition or None)
    if not job.figures:
        return book
    own = {figure_of(key): given for key, given in job.figures}
    limits = {figure: _own(figure, given, job.units, book) for figure, given in own.items()}
    book = replace(book, own=limits)
    for low, high, times in _PAIRS:
        if low in own or high in own:
            _check_pair(book, low, high, times)
    return book


def _own(figure: Figure, given: Typed | Need, units: Units, book: Rulebook) -> Limit:
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
