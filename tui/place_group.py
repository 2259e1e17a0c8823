"""A place as a group of fields: how it is given, and its walls and distances."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from engine.job.lettering import corner_count, corner_name, wall_name
from engine.job.model import AtCorner, AtOffsets, AtPoint, AtWall, Drain, Job, Place, Typed
from engine.job.schema import COORDINATE, OFFSET

from .groups import Incomplete, measured

OFFSETS, WALL, POINT, CORNER = "offsets", "wall", "point", "corner"
_ATTRS = {"at": "at", "from": "start", "to": "end"}


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
