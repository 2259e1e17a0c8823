"""A rulebook's figures for the work, with their sources."""

from dataclasses import fields
from functools import cache

from ..job.model import RulebookName
from ..phrases import joined, phrase
from ..work.rules import Rule, Rules
from .rulebook import Figure, Limit, Origin, Rulebook, Sure, rulebook


@cache
def work_rules(name: RulebookName, edition: str | None = None) -> Rules:
    """The figures of the rulebook of that name and edition."""
    return _rules(rulebook(name, edition))


def rules_of(book: Rulebook) -> Rules:
    """The figures of a job's rulebook, the user's own too."""
    return _rules(book) if book.own else work_rules(book.name, book.edition)


def _rules(book: Rulebook) -> Rules:
    found = {field.name: book.find(Figure[field.name.upper()]) for field in fields(Rules)}
    return Rules(**{name: _rule(limit) for name, limit in found.items() if limit})


def _rule(limit: Limit) -> Rule:
    if limit.origin is Origin.BORROWED and limit.sure is not Sure.PRACTICE:
        named = joined(", ", (part for part in (limit.source, limit.sure.words) if part))
        return Rule(limit.value, phrase("borrowed from {named}", named=named))
    return Rule(limit.value, limit.cited)
