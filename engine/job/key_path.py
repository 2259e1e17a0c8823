"""Key paths such as drains[0].at."A-B": the steps from the job to one of its entries."""

import re
from typing import Any, NoReturn, TypeAlias

from ..errors import JobError
from ..phrases import phrase
from .kinds import Field, Kind, Named, Table
from .refusals import Unquoted, check_name, nearest
from .schema import HEAD, JOB

_STEP = re.compile(r'\.?([A-Za-z_]\w*)|\[(\d{1,9})\]|\.?"([^"\\]*)"')
Step: TypeAlias = str | int


def _steps_of(key: str) -> list[Step]:
    steps: list[Step] = []
    at = 0
    while at < len(key):
        match = _STEP.match(key, at)
        if match is None:
            _refuse(key, phrase("this is no key path"), phrase('write one such as drains[0].at."A-B"'))
        steps.append(int(match[2]) if match[2] else match[1] or match[3] or "")
        at = match.end()
    return steps


def top_field(key: str) -> tuple[Field, list[Step]]:
    """The job's field that the path begins with, and the steps from there: two to the entries under `job`, its own."""
    steps = _steps_of(key)
    if steps[:1] == ["job"] and len(steps) > 1:
        return field_of(HEAD, steps[1], key), steps[2:]
    field = field_of(JOB, steps[0] if steps else "", key)
    if not field.attr:
        not_one_entry(key)
    return field, steps[1:]


def field_of(kind: Table, step: Step, key: str) -> Field:
    """The table's field of that name."""
    field = kind.find(step) if isinstance(step, str) else None
    if field is None:
        remedy = nearest(str(step), kind.keys, phrase("the keys here are"))
        _refuse(key, phrase("there is no such key"), remedy)
    return field


def kind_of(kind: Named, step: Step, key: str) -> Kind:
    """The kind of the entry of that name."""
    check_name(kind, str(step), key, Unquoted("?"))
    return kind.kinds[str(step)]


def item_index(items: tuple[Any, ...], step: Step, key: str) -> int:
    """Which item of a list is meant; one past the end is the next."""
    if not isinstance(step, int) or step > len(items):
        no_item(key, len(items))
    return step


def no_item(key: str, count: int) -> NoReturn:
    """Raises JobError: the list is shorter than that."""
    _refuse(key, phrase("there is no such item"), phrase("the list has {count} so far", count=count))


def not_one_entry(key: str) -> NoReturn:
    """Raises JobError: the path ends before an entry."""
    _refuse(key, phrase("this holds several entries"), phrase("name one of them"))


def not_deeper(key: str) -> NoReturn:
    """Raises JobError: the path goes on past an entry."""
    _refuse(key, phrase("there is nothing inside this entry"), phrase("name the entry itself"))


def _refuse(key: str, fault: str, remedy: str) -> NoReturn:
    raise JobError(key, Unquoted("?"), fault, remedy)
