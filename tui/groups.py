"""Entries that only make sense together: the fields of such a group join the job in one go.

A group turns a job's part into texts by key, and texts back into a job. Until they make a whole, all wait beside the
job.
"""

import math
import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import fields, replace
from typing import Any, Protocol

from engine.errors import JobError
from engine.job.entries import Ground
from engine.job.kinds import Measure
from engine.job.lettering import corner_count, corner_name, wall_name
from engine.job.model import (
    AtCorner,
    AtOffsets,
    AtPoint,
    AtWall,
    Corner,
    Drain,
    Island,
    Job,
    Outline,
    Place,
    Typed,
    Wall,
)
from engine.job.reading import read
from engine.job.schema import COORDINATE, OFFSET, SIDE, TAPE, TURN
from engine.survey.outline import next_diagonal, outline

_ROW = re.compile(r"\[(\d+)\]\.(\w+)$")
_OPEN = 0.03  # a gap longer than this part of the way walked is a wall still to come
OFFSETS, WALL, POINT, CORNER = "offsets", "wall", "point", "corner"
_FORMS = {AtOffsets: OFFSETS, AtWall: WALL, AtPoint: POINT, AtCorner: CORNER}
_ATTRS = {"at": "at", "from": "start", "to": "end"}
_ISLAND = re.compile(r"outline\.islands\[(\d+)\]\.")


class Incomplete(Exception):  # noqa: N818 - nothing is wrong: more is to come
    """The texts are good so far, but do not make a whole yet."""


class Group(Protocol):
    """Fields that become part of the job together."""

    @property
    def prefix(self) -> str:
        """What all its fields' keys begin with."""

    @property
    def parts(self) -> tuple[str, ...]:
        """The last names in its keys."""

    def texts(self, job: Job) -> dict[str, str]:
        """Its fields' texts as the job holds them, by key."""

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
        return texts_of(self.prefix, [_texts_in(wall) for wall in job.outline.walls or ()])

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The outline of these walls, with a closing wall while they leave a gap."""
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
    """The corners of an outline given by coordinates, one a row."""

    prefix = "outline.corners"
    parts = ("x", "y")

    def texts(self, job: Job) -> dict[str, str]:
        """Both coordinates of each corner."""
        return _corner_texts(self.prefix, job.outline.corners or ())

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The outline of these corners, three or more."""
        return replace(job, outline=_only(job.outline, corners=_corners(job, self.prefix, rows_of(texts))))


def rows_of(texts: dict[str, str]) -> list[dict[str, str]]:
    """Texts by key in rows by the number in their keys; a missing row is empty."""
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


def _texts_in(entries: Wall | Place) -> dict[str, str]:
    held = {field.name: getattr(entries, field.name) for field in fields(entries)}
    return {name: str(entry.text) if isinstance(entry, Typed) else entry or "" for name, entry in held.items()}


def _corner_texts(prefix: str, corners: tuple[Corner, ...]) -> dict[str, str]:
    return texts_of(prefix, [{"x": str(x.text), "y": str(y.text)} for x, y in corners])


def _corners(job: Job, prefix: str, rows: list[dict[str, str]]) -> tuple[Corner, ...]:
    """The corners of all rows that hold a text; Incomplete where one is half there, or they are too few."""
    made = [_corner(job, f"{prefix}[{i}]", row) for i, row in enumerate(rows) if any(row.values())]
    whole = tuple(corner for corner in made if corner is not None)
    if len(whole) < max(len(made), 3):
        raise Incomplete
    return whole


def _corner(job: Job, key: str, row: dict[str, str]) -> Corner | None:
    read = [measured(COORDINATE, row[part], f"{key}.{part}", job) for part in ("x", "y") if row.get(part)]
    return (read[0], read[1]) if len(read) == 2 else None


def _gap(walls: list[Wall]) -> float:
    x = y = way = heading = 0.0
    for wall in walls:
        length = wall.length.value if wall.length else 0.0
        x, y, way = x + length * math.cos(heading), y + length * math.sin(heading), way + length
        heading += math.radians(wall.turn.value if wall.turn else 90.0)
    return math.hypot(x, y) / way


def _only(
    outline: Outline, walls: tuple[Wall, ...] | None = None, corners: tuple[Corner, ...] | None = None
) -> Outline:
    return replace(outline, rectangle=None, half_rectangle=None, walls=walls, corners=corners)


class DrainPlace:
    """One of a drain's places: `at`, or a channel's `from` or `to`."""

    parts = ("form", "first_wall", "first", "second_wall", "second", "wall", "along", "off", "x", "y", "corner")

    def __init__(self, index: int, part: str) -> None:
        self.index = index
        self.part = part
        self.prefix = f"drains[{index}].{part}"

    def texts(self, job: Job) -> dict[str, str]:
        """The place's fields as the job holds it."""
        place = None if self.index >= len(job.drains) else getattr(job.drains[self.index], _ATTRS[self.part])
        texts = {} if place is None else {"form": _FORMS[type(place)], **_texts_in(place)}
        return {f"{self.prefix}.{name}": text for name, text in texts.items()}

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The job with the drain at this place."""
        drains = list(job.drains) or [Drain()]
        place = self._place(job, texts)
        placed: dict[str, Any] = {_ATTRS[self.part]: place}
        drains[self.index] = replace(drains[self.index], **placed)
        return replace(job, drains=tuple(drains))

    def _place(self, job: Job, texts: dict[str, str]) -> Place:
        def text(name: str) -> str:
            return texts.get(f"{self.prefix}.{name}", "")

        def length(name: str) -> Typed:
            if not text(name):
                self._check_rest(job, texts)
                raise Incomplete
            return measured(OFFSET, text(name), f"{self.prefix}.{name}", job)

        first, second = default_walls(job)
        builders: dict[str, Callable[[], Place]] = {
            OFFSETS: lambda: AtOffsets(
                text("first_wall") or first, length("first"), text("second_wall") or second, length("second")
            ),
            WALL: lambda: AtWall(text("wall") or first, length("along"), length("off") if text("off") else None),
            CORNER: lambda: AtCorner(text("corner") or "A"),
            POINT: lambda: AtPoint(*(self._coordinate(job, text(name), name) for name in ("x", "y"))),
        }
        return builders[text("form") or default_form(self.part)]()

    def _coordinate(self, job: Job, text: str, name: str) -> Typed:
        if not text:
            raise Incomplete
        return measured(COORDINATE, text, f"{self.prefix}.{name}", job)

    def _check_rest(self, job: Job, texts: dict[str, str]) -> None:
        """Raises JobError for an unreadable distance, though another is still missing."""
        for key in (f"{self.prefix}.{name}" for name in ("first", "second", "along", "off")):
            if texts.get(key):
                measured(OFFSET, texts[key], key, job)


def default_form(part: str) -> str:
    """How a place is given until chosen: a channel's ends along a wall, a drain off two walls."""
    return OFFSETS if part == "at" else WALL


def default_walls(job: Job) -> tuple[str, str]:
    """The walls at corner A, measured from until others are chosen."""
    count = corner_count(job.outline) or 4
    return wall_name(0, count), wall_name(count - 1, count)


def wall_names(job: Job) -> list[str]:
    """The walls of the job's outline."""
    count = corner_count(job.outline) or 0
    return [wall_name(i, count) for i in range(count)]


def corner_names(job: Job) -> list[str]:
    """The corners of the job's outline."""
    return [corner_name(i) for i in range(corner_count(job.outline) or 0)]


class Islands:
    """All islands of the floor; one without any corner is none."""

    prefix = "outline.islands"
    parts = ("x", "y")

    def texts(self, job: Job) -> dict[str, str]:
        """Both coordinates of each island's corners."""
        return {
            key: text
            for i, island in enumerate(job.outline.islands)
            for key, text in _corner_texts(f"{self.prefix}[{i}].corners", island.corners).items()
        }

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The outline with these islands, each of three corners or more."""
        made = [
            Island(_corners(job, f"{self.prefix}[{i}].corners", rows))
            for i, rows in enumerate(islands_of(texts))
            if any(any(row.values()) for row in rows)
        ]
        return replace(job, outline=replace(job.outline, islands=tuple(made)))


def islands_of(texts: dict[str, str]) -> list[list[dict[str, str]]]:
    """Texts by key as islands with their corners; what is missing is empty."""
    found: list[dict[str, str]] = []
    for key, text in texts.items():
        if match := _ISLAND.match(key):
            number = int(match[1])
            found += [{} for _ in range(number + 1 - len(found))]
            found[number][key] = text
    return [rows_of(island) for island in found]


class Tapes:
    """The taped lengths; a row is from, to and length, and counts once its length is there."""

    prefix = "outline.tape"
    parts = ("length", "from", "to")

    def texts(self, job: Job) -> dict[str, str]:
        """Corners and length of each."""
        texts = ((str(tape.length.text), tape.start, tape.end) for tape in job.outline.tape)
        return texts_of(self.prefix, [dict(zip(self.parts, each, strict=True)) for each in texts])

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The outline with these lengths; a row with only its corners chosen waits."""
        ground = Ground(job.units, corner_count(job.outline))
        made = []
        for i, row in enumerate(rows_of(texts)):
            if not any(row.values()):
                continue
            if not row.get("length"):
                raise Incomplete
            measured(SIDE, row["length"], f"{self.prefix}[{i}].length", job)
            start, end = self.ends(job, i)
            raw = {"from": row.get("from") or start, "to": row.get("to") or end, "length": row["length"]}
            made.append(read(TAPE, raw, f"{self.prefix}[{i}]", ground))
        return replace(job, outline=replace(job.outline, tape=tuple(made)))

    def left(self, job: Job, texts: dict[str, str]) -> dict[str, str]:
        """The texts when a field is left: a length whose field was emptied is given up."""
        rows = rows_of(texts)
        count = len(job.outline.tape)
        return texts_of(self.prefix, [row for i, row in enumerate(rows) if row.get("length") or i >= count])

    def ends(self, job: Job, index: int) -> tuple[str, str]:
        """The corners offered for a row: for a new one the best to tape, else diagonal after diagonal, then A and B."""
        with suppress(JobError):
            floor = outline(job)
            if index == len(job.outline.tape) and floor and (fix := next_diagonal(job, floor)):
                return floor.names[fix.start], floor.names[fix.end]
        count = corner_count(job.outline) or 0
        pairs = [(corner_name(i), corner_name(j)) for i in range(count) for j in range(i + 2, count - (i == 0))]
        return pairs[index] if index < len(pairs) else ("A", "B")
