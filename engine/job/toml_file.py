"""Job files: read with every fault in words, written with the old file whole until the new one is."""

import re
import stat
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any, NoReturn

from ..errors import FileError, JobError, harmless, shown
from ..phrases import joined, phrase
from ..saving import cannot, replace_file
from .comments import find_comments
from .model import Job
from .reading import read_tables
from .toml_text import toml_text

_LARGEST = 2_000_000  # bytes; the most readings that a job may hold are half of it
_DEEPEST = 50  # nested tables and lists; a job has five
_UNNAMED = "the job"  # a text that comes from no file


def read_job(path: str | Path, *, draft: bool = False) -> Job:
    """The job in that file, whole or partial.

    A draft may name corners that its outline lacks. Raises JobError or FileError, in one line beginning with the file.
    """
    name = str(path)
    text = _text(name, _bytes(name))
    try:
        return _parse(text, name, draft=draft)
    except JobError as error:
        error.args = (f"{harmless(name)}: {error}",)
        raise


def parse_job(text: str, *, draft: bool = False) -> Job:
    """The job in that text, as `read_job`; the message begins with the key."""
    return _parse(text, _UNNAMED, draft=draft)


def dump_job(job: Job) -> str:
    """The job as its file's text, comments too; `parse_job` gives the same job back."""
    return toml_text(job)


def write_job(job: Job, path: str | Path) -> None:
    """Writes the job to the file as `replace_file` does. Raises FileError."""
    name = str(path)
    try:
        data = toml_text(job).encode("utf-8")
    except UnicodeEncodeError:
        raise FileError(
            name, phrase("the job holds a character that cannot be saved"), phrase("retype the name or notes")
        ) from None
    replace_file(name, data)


# --- reading


def _bytes(name: str) -> bytes:
    try:
        mode = Path(name).stat().st_mode
        if stat.S_ISDIR(mode):
            raise FileError(name, phrase("this is a folder"), phrase("name a job file"))
        if not stat.S_ISREG(mode):
            raise FileError(name, phrase("this is not a file"), phrase("name a job file"))
        with Path(name).open("rb") as file:
            data = file.read(_LARGEST + 1)
    except (OSError, ValueError) as error:
        cannot("read", name, error)
    if len(data) > _LARGEST:
        raise FileError(name, phrase("this is too large for a job"), phrase("name a job file"))
    return data


def _text(name: str, data: bytes) -> str:
    if not data.strip():
        raise FileError(name, phrase("the file is empty"), phrase("begin it with format = 1"))
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise FileError(name, phrase("the text is UTF-16"), phrase("save it as UTF-8"))
    if b"\0" in data:
        raise FileError(name, phrase("this is not a text file"), phrase("name a job file"))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise FileError(
            name, phrase("line {line} is not UTF-8 text", line=line), phrase("save the file as UTF-8")
        ) from None


def _is_deep(raw: dict[str, Any]) -> bool:
    """Whether tables and lists stand deeper than any key; other Pythons' parsers give up elsewhere."""
    level: list[Any] = [raw]
    for _ in range(_DEEPEST):
        inner = (item.values() if isinstance(item, dict) else item for item in level)
        level = [item for items in inner for item in items if isinstance(item, dict | list)]
    return bool(level)


def _parse(text: str, name: str, *, draft: bool) -> Job:
    try:
        raw = tomllib.loads(text)
    except RecursionError:
        raw = None
    except ValueError as error:
        _not_toml(text, name, error)
    if raw is None or _is_deep(raw):
        raise FileError(name, phrase("lists or tables stand too deep inside each other"), phrase("name a job file"))
    return replace(read_tables(raw, draft=draft), comments=find_comments(text))


def _not_toml(text: str, name: str, error: ValueError) -> NoReturn:
    found, _, place = str(error).rstrip(")").partition(" (at ")
    fault, remedy = next((words for start, words in _TOML_FAULTS.items() if found.startswith(start)), (found, ""))
    number = place.removeprefix("line ").partition(",")[0]
    if not number.isdigit():
        where = phrase("the file breaks off or is not TOML at its end" if place else "this is not TOML")
        remedy = phrase("complete it or correct it") if remedy in ("", _QUOTES) else remedy
        raise FileError(name, joined(": ", (where, fault)), remedy) from None
    line = text.split("\n")[int(number) - 1].strip()
    if _LIKE_DATE.search(line):
        fault, remedy = phrase("there is no such date"), phrase("check it; a date is written as 2027-03-08")
    raise FileError(
        name,
        phrase("line {number}, {line}, is not TOML: {fault}", number=number, line=shown(line), fault=fault),
        remedy or phrase("correct that line"),
    ) from None


_QUOTES = phrase("put text such as 21 1/16 in between quotes")
_LIKE_DATE = re.compile(r"=\s*\d{4}-\d")
_TWICE = (phrase("a key is given twice"), phrase("keep one of the two"))
_TOML_FAULTS = {
    "Cannot overwrite a value": _TWICE,
    "Cannot declare": (phrase("a section is given twice"), phrase("keep one of the two")),
    "Cannot mutate immutable namespace": _TWICE,
    "Duplicate inline table key": _TWICE,
    "Exceeds the limit": (phrase("a number has thousands of digits"), phrase("write a number that can be meant")),
    "Invalid value": (phrase("this is no value"), _QUOTES),
    "Expected newline or end of document": (phrase("there is more on the line than one value"), _QUOTES),
    "Unclosed": (phrase("a list or table in brackets is not closed"), _QUOTES),
    "Unterminated string": (phrase("a text is not closed"), phrase("close it with a quote")),
    "Expected '='": (phrase("a key has no value"), phrase("write key = value")),
}
