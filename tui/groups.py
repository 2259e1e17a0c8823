"""Entries that only make sense together: the fields of such a group join the job in one go.

A group turns a job's part into texts by key, and texts back into a job. Until the texts make a whole,
all wait beside the job.
"""

import math
import re
from dataclasses import replace
from typing import Protocol

from engine.job.entries import Ground
from engine.job.kinds import Measure
from engine.job.model import Job, Outline, Typed, Wall
from engine.job.reading import read
from engine.job.schema import COORDINATE, SIDE, TURN

_ROW = re.compile(r"\[(\d+)\]\.(\w+)$")
_OPEN = 0.03  # a gap longer than this part of the way walked is a wall still to come


class Incomplete(Exception):  # noqa: N818 - nothing is wrong: more is to come
    """The texts are good as far as they go, but do not make a whole yet."""


class Group(Protocol):
    """Fields that become part of the job together."""

    @property
    def prefix(self) -> str:
        """What the keys of all its fields begin with."""

    @property
    def parts(self) -> tuple[str, ...]:
        """The last names in its keys."""

    def texts(self, job: Job) -> dict[str, str]:
        """The texts of its fields as the job holds them, by key."""

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The job with these texts; JobError at a key that cannot be read, Incomplete while some are missing."""


def measured(kind: Measure, text: str, key: str, job: Job) -> Typed:
    """A text as the job would read it at a key; JobError in the job file's words."""
    typed: Typed = read(kind, text, key, Ground(job.units))
    return typed


class Walls:
    """The walls of a walked outline; an empty last row is the wall that closes the floor."""

    prefix = "outline.walls"
    parts = ("length", "turn", "rise")

    def texts(self, job: Job) -> dict[str, str]:
        """Length, turn and rise of each wall."""
        rows = [
            {part: str(typed.text) if (typed := getattr(wall, part)) else "" for part in self.parts}
            for wall in job.outline.walls or ()
        ]
        return texts_of(self.prefix, rows)

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The outline of these walls; a closing wall is added while the walls leave a gap."""
        rows = rows_of(texts)
        while rows and not any(rows[-1].values()):
            rows.pop()
        walls = [self._wall(job, i, row) for i, row in enumerate(rows)]
        if any(wall.length is None for wall in walls[:-1]) or len(walls) < 2:
            raise Incomplete
        if walls[-1].length is not None and _gap(walls) > _OPEN:
            walls.append(Wall())
        if len(walls) < 3:
            raise Incomplete
        return replace(job, outline=_only(job.outline, walls=tuple(walls)))

    def _wall(self, job: Job, i: int, row: dict[str, str]) -> Wall:
        kinds, key = {"length": SIDE, "turn": TURN, "rise": COORDINATE}, f"{self.prefix}[{i}]"
        return Wall(**{part: measured(kinds[part], text, f"{key}.{part}", job) for part, text in row.items() if text})


class Corners:
    """The corners of an outline given by coordinates; a row is one corner."""

    prefix = "outline.corners"
    parts = ("x", "y")

    def texts(self, job: Job) -> dict[str, str]:
        """Both coordinates of each corner."""
        corners = job.outline.corners or ()
        rows = [dict(zip(self.parts, (str(x.text), str(y.text)), strict=True)) for x, y in corners]
        return texts_of(self.prefix, rows)

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The outline of these corners, three or more."""
        rows = [row for row in enumerate(rows_of(texts)) if any(row[1].values())]
        made = [
            [measured(COORDINATE, row.get(part, ""), f"{self.prefix}[{i}].{part}", job) for part in self.parts]
            for i, row in rows
            if all(row.get(part) for part in self.parts)
        ]
        if len(made) < len(rows) or len(made) < 3:
            _check_halves(job, self.prefix, rows)
            raise Incomplete
        return replace(job, outline=_only(job.outline, corners=tuple((x, y) for x, y in made)))


def rows_of(texts: dict[str, str]) -> list[dict[str, str]]:
    """Texts by key put into rows by the number in their keys; a missing row is empty."""
    rows: list[dict[str, str]] = []
    for key, text in texts.items():
        if match := _ROW.search(key):
            number = int(match[1])
            rows += [{} for _ in range(number + 1 - len(rows))]
            rows[number][match[2]] = text
    return rows


def texts_of(prefix: str, rows: list[dict[str, str]]) -> dict[str, str]:
    """Rows back into texts by key."""
    return {f"{prefix}[{i}].{part}": text for i, row in enumerate(rows) for part, text in row.items()}


def _check_halves(job: Job, prefix: str, rows: list[tuple[int, dict[str, str]]]) -> None:
    """Raises JobError for an unreadable coordinate, though its corner is not whole yet."""
    for i, row in rows:
        for part, text in row.items():
            if text:
                measured(COORDINATE, text, f"{prefix}[{i}].{part}", job)


def _gap(walls: list[Wall]) -> float:
    x = y = way = heading = 0.0
    for wall in walls:
        length = wall.length.value if wall.length else 0.0
        x, y, way = x + length * math.cos(heading), y + length * math.sin(heading), way + length
        heading += math.radians(wall.turn.value if wall.turn else 90.0)
    return math.hypot(x, y) / way


def _only(
    outline: Outline, walls: tuple[Wall, ...] | None = None, corners: tuple[tuple[Typed, Typed], ...] | None = None
) -> Outline:
    return replace(outline, rectangle=None, half_rectangle=None, walls=walls, corners=corners)
