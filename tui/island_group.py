"""Posts and bench bases as groups of corners; an empty last corner makes one grow."""

import re
from dataclasses import replace

from engine.job.model import Corner, Island, Job
from engine.job.schema import COORDINATE

from .groups import Incomplete, measured

_KEY = re.compile(r"outline\.islands\[(\d+)\]\.corners\[(\d+)\]\.([xy])$")


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
