"""Key paths, values and the commonest faults of a job file, in words."""

import datetime as dt
import re
from collections.abc import Iterable, Sequence
from typing import Any, NoReturn

from ..errors import JobError
from ..phrases import joined, phrase
from .kinds import Named

_PLAIN = re.compile(r"[ !#-\[\]-~]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_]+")
_LONGEST_KEY = 40  # characters shown of a key nobody knows
_LARGEST_SHOWN = 10**18


class Unquoted:
    """A value shown in an error without quotes: a wrong kind of thing, in words."""

    def __init__(self, words: str) -> None:
        self._words = words

    def __str__(self) -> str:
        return self._words


def under(key: str, part: str) -> str:
    """The key path of a key inside another."""
    if not _BARE_KEY.fullmatch(part):
        part = _quoted(part if len(part) <= _LONGEST_KEY else part[:_LONGEST_KEY] + "...")
    return f"{key}.{part}" if key else part


def _quoted(part: str) -> str:
    if _PLAIN.fullmatch(part):
        return f'"{part}"'
    import json  # few keys need anything escaped

    return json.dumps(part)


def refuse_others(raw: dict[str, Any], names: Sequence[str], key: str) -> None:
    """Raises JobError for the first key not among the names."""
    for name, value in raw.items():
        if name not in names:
            remedy = nearest(name, names, phrase("the keys here are"))
            raise JobError(under(key, name), display(value), phrase("there is no such key"), remedy)


def check_name(kind: Named, name: str, key: str, value: Any) -> None:
    """Raises JobError for a name that no entry has; they are too many to list."""
    if name not in kind.kinds:
        near = _near(name.lower().replace("-", "_"), kind.kinds)
        remedy = (
            phrase("did you mean {near}?", near=near[0])
            if near
            else phrase("name one such as {example}", example=kind.example)
        )
        raise JobError(key, display(value), phrase("there is no such key"), remedy)


def refuse_missing(raw: dict[str, Any], names: Iterable[str], key: str) -> None:
    """Raises JobError for the first name that is missing."""
    for name in names:
        if name not in raw:
            remedy = phrase("add {name} = ...", name=name)
            raise JobError(f"{key}.{name}", Unquoted("(missing)"), phrase("this has to be given"), remedy)


def nearest(word: str, known: Sequence[str], otherwise: str) -> str:
    """The known word probably meant, else all of them."""
    near = _near(word.lower(), known)
    if near:
        return phrase("did you mean {near}?", near=near[0])
    return joined(" ", (otherwise, joined(", ", known)))


def _near(word: str, known: Iterable[str]) -> list[str]:
    from difflib import get_close_matches  # only a fault asks for it

    return get_close_matches(word[:_LONGEST_KEY], [*known], n=1)


def wrong_type(raw: Any, key: str, wanted: str, remedy: str) -> NoReturn:
    """Raises JobError: this kind of thing has to be another."""
    raise JobError(
        key,
        display(raw),
        phrase("this is {kind} and has to be {wanted}", kind=_type_in_words(raw), wanted=wanted),
        remedy,
    )


def _type_in_words(raw: Any) -> str:
    words = {
        bool: phrase("true or false"),
        str: phrase("text"),
        dict: phrase("a table"),
        dt.datetime: phrase("a date with a time"),
        dt.date: phrase("a date"),
    }
    if isinstance(raw, list):
        return phrase("a list of {count}", count=len(raw))
    return words.get(type(raw), phrase("a time" if isinstance(raw, dt.time) else "a number"))


def display(raw: Any) -> Any:
    """A raw value as an error may show it: never nested, never endless."""
    if isinstance(raw, bool):
        return Unquoted(str(raw).lower())
    if isinstance(raw, dict):
        return Unquoted("{...}")
    if isinstance(raw, list):
        return Unquoted("[...]")
    if isinstance(raw, int) and abs(raw) > _LARGEST_SHOWN:
        return Unquoted(phrase("(a huge number)"))
    return raw
