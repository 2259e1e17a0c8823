"""The comments of a job file: found where they stand at reading, put back there at writing.

Each hangs on its line's key path ("bed.fall", "readings[3]"), or on "" at the end of the file.
"""

import re
from collections import Counter
from collections.abc import Iterable, Sequence

from .model import Comment

_PIECE = re.compile(
    r'"""(?:[^\\]|\\.)*?"""|\'\'\'.*?\'\'\'|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|#[^\n]*|[\[\]{}]|\n|[^"\'#\[\]{}\n]+',
    re.DOTALL,
)


def find_comments(text: str) -> tuple[Comment, ...]:
    """The comments of a text that is known to be TOML."""
    if "#" not in text:
        return ()
    finder = _Finder()
    for piece in _PIECE.findall(text):
        finder.take(piece)
    return finder.all()


class _Finder:
    """Walks over a file piece by piece; a list in brackets counts as one line."""

    def __init__(self) -> None:
        self._found: list[Comment] = []
        self._waiting: list[str] = []
        self._items: Counter[str] = Counter()
        self._section = ""
        self._line = ""
        self._depth = 0
        self._anchor: str | None = None

    def take(self, piece: str) -> None:
        if piece.startswith("#"):
            self._comment(piece.rstrip())
        elif piece == "\n":
            self._end_line()
        else:
            self._line += piece
            self._depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(piece, 0)

    def all(self) -> tuple[Comment, ...]:
        self._end_line()
        return (*self._found, *(Comment("", text) for text in self._waiting))

    def _comment(self, text: str) -> None:
        if not self._line.strip():
            self._waiting.append(text)
        else:
            self._found.append(Comment(self._here(), text, beside=self._depth == 0))

    def _end_line(self) -> None:
        if self._depth > 0:
            return
        if self._line.strip():
            self._here()
        self._line, self._anchor = "", None

    def _here(self) -> str:
        """The present line's key path, which what waited above hangs on too."""
        if self._anchor is None:
            self._anchor = self._path(self._line.strip())
            self._found += [Comment(self._anchor, text) for text in self._waiting]
            self._waiting = []
        return self._anchor

    def _path(self, line: str) -> str:
        name = line.strip("[]").strip()
        if line.startswith("[["):
            self._section = f"{name}[{self._items[name]}]"
            self._items[name] += 1
            return self._section
        if line.startswith("["):
            self._section = name
            return name
        key = line.partition("=")[0].strip().strip("\"'")
        return f"{self._section}.{key}" if self._section else key


def with_comments(lines: Sequence[tuple[str, str]], comments: Iterable[Comment]) -> str:
    """The lines (key path, text) as one text, each comment at its line, or near a lost one."""
    above: dict[str, list[str]] = {}
    beside: dict[str, list[str]] = {}
    known = {path: text for path, text in lines if path}
    for comment in comments:
        path = _nearest(comment.path, known)
        is_beside = comment.beside and path == comment.path and "\n" not in known.get(path, "\n")
        (beside if is_beside else above).setdefault(path, []).append(comment.text)
    parts: list[str] = []
    for path, text in lines:
        parts += above.get(path, []) if path else []
        parts.append("  ".join([text, *beside.get(path, [])]) if path else text)
    return "".join(f"{part}\n" for part in [*parts, *above.get("", [])])


def _nearest(path: str, known: dict[str, str]) -> str:
    while path and path not in known:
        path = path.rpartition(".")[0]
    return path
