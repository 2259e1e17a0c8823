"""Entries that only make sense together: the fields of such a group join the job in one go.

A group turns a job's part into texts by key, and texts back into a job. Until the texts make a whole,
all wait beside the job.
"""

import math
import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
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
from engine.survey.outline import FloorOutline, next_diagonal, outline

_ROW = re.compile(r"\[(\d+)\]\.(\w+)$")
_OPEN = 0.03  # a gap longer than this part of the way walked is a wall still to come
OFFSETS, WALL, POINT, CORNER = "offsets", "wall", "point", "corner"
_ATTRS = {"at": "at", "from": "start", "to": "end"}
_KEY = re.compile(r"outline\.islands\[(\d+)\]\.corners\[(\d+)\]\.([xy])$")


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


class DrainPlace:
    """One of a drain's places: `at`, or a channel's `from` or `to`."""

    parts = ("form", "first_wall", "first", "second_wall", "second", "wall", "along", "off", "x", "y", "corner")

    def __init__(self, index: int, part: str) -> None:
        self.index = index
        self.part = part
        self.prefix = f"drains[{index}].{part}"

    def texts(self, job: Job) -> dict[str, str]:
        """The fields of the place as the job holds it."""
        place = None if self.index >= len(job.drains) else getattr(job.drains[self.index], _ATTRS[self.part])
        return {f"{self.prefix}.{name}": text for name, text in place_texts(place).items()}

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
        """Raises JobError for a distance that cannot be read, though another is still missing."""
        for name in ("first", "second", "along", "off"):
            if texts.get(f"{self.prefix}.{name}"):
                measured(OFFSET, texts[f"{self.prefix}.{name}"], f"{self.prefix}.{name}", job)


def default_form(part: str) -> str:
    """How a place is given until otherwise chosen: a channel's ends along a wall, a drain off two walls."""
    return OFFSETS if part == "at" else WALL


def default_walls(job: Job) -> tuple[str, str]:
    """The walls at corner A, which distances are measured from until others are chosen."""
    count = corner_count(job.outline) or 4
    return wall_name(0, count), wall_name(count - 1, count)


def wall_names(job: Job) -> list[str]:
    """The walls of the job's outline, in order."""
    count = corner_count(job.outline) or 0
    return [wall_name(i, count) for i in range(count)]


def corner_names(job: Job) -> list[str]:
    """The corners of the job's outline, in order."""
    return [corner_name(i) for i in range(corner_count(job.outline) or 0)]


def place_texts(place: Place | None) -> dict[str, str]:
    """A place as its fields' texts."""
    match place:
        case None:
            return {}
        case AtCorner(corner):
            return {"form": CORNER, "corner": corner}
        case AtWall(wall, along, off):
            return {"form": WALL, "wall": wall, "along": str(along.text), "off": "" if off is None else str(off.text)}
        case AtOffsets(first_wall, first, second_wall, second):
            return {
                "form": OFFSETS,
                "first_wall": first_wall,
                "first": str(first.text),
                "second_wall": second_wall,
                "second": str(second.text),
            }
        case AtPoint(x, y):
            return {"form": POINT, "x": str(x.text), "y": str(y.text)}


class Islands:
    """All islands of the floor; one without any corner is none."""

    prefix = "outline.islands"
    parts = ("x", "y")

    def texts(self, job: Job) -> dict[str, str]:
        """Both coordinates of each corner of each island."""
        return {
            corner_key(i, j, part): str(typed.text)
            for i, island in enumerate(job.outline.islands)
            for j, corner in enumerate(island.corners)
            for part, typed in zip(self.parts, corner, strict=True)
        }

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The outline with these islands, each of three corners or more."""
        made = []
        for i, rows in enumerate(islands_of(texts)):
            corners = [_corner(job, i, j, row) for j, row in enumerate(rows) if any(row.values())]
            if not corners:
                continue
            whole = tuple(corner for corner in corners if corner is not None)
            if len(whole) < max(len(corners), 3):
                raise Incomplete
            made.append(Island(whole))
        return replace(job, outline=replace(job.outline, islands=tuple(made)))


def corner_key(island: int, corner: int, part: str) -> str:
    """The key of one coordinate's field."""
    return f"{Islands.prefix}[{island}].corners[{corner}].{part}"


def islands_of(texts: dict[str, str]) -> list[list[dict[str, str]]]:
    """Texts by key sorted into islands and their corners; what is missing is empty."""
    found: list[list[dict[str, str]]] = []
    for key, text in texts.items():
        if match := _KEY.match(key):
            island, corner = int(match[1]), int(match[2])
            found += [[] for _ in range(island + 1 - len(found))]
            found[island] += [{} for _ in range(corner + 1 - len(found[island]))]
            found[island][corner][match[3]] = text
    return found


def _corner(job: Job, island: int, number: int, row: dict[str, str]) -> Corner | None:
    read = [
        measured(COORDINATE, row[part], corner_key(island, number, part), job)
        for part in Islands.parts
        if row.get(part)
    ]
    return (read[0], read[1]) if len(read) == len(Islands.parts) else None


class Tapes:
    """The taped lengths; a row is from, to and length, and counts once its length is there."""

    prefix = "outline.tape"
    parts = ("length", "from", "to")

    def texts(self, job: Job) -> dict[str, str]:
        """Corners and length of each."""
        texts = ((str(tape.length.text), tape.start, tape.end) for tape in job.outline.tape)
        return texts_of(self.prefix, [dict(zip(self.parts, each, strict=True)) for each in texts])

    def build(self, job: Job, texts: dict[str, str]) -> Job:
        """The outline with these lengths; a row whose corners alone are chosen waits for its length."""
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
        """The texts when a field is left: a length in the job whose field was emptied is given up."""
        rows = rows_of(texts)
        count = len(job.outline.tape)
        return texts_of(self.prefix, [row for i, row in enumerate(rows) if row.get("length") or i >= count])

    def ends(self, job: Job, index: int) -> tuple[str, str]:
        """The corners offered for a row: for a new one the best to tape, else diagonal after diagonal, then A and B."""
        with suppress(JobError):
            floor = outline(job)
            if (
                index == len(job.outline.tape)
                and isinstance(floor, FloorOutline)
                and (fix := next_diagonal(job, floor))
            ):
                return floor.names[fix.start], floor.names[fix.end]
        count = corner_count(job.outline) or 0
        pairs = [(corner_name(i), corner_name(j)) for i in range(count) for j in range(i + 2, count - (i == 0))]
        return pairs[index] if index < len(pairs) else ("A", "B")
