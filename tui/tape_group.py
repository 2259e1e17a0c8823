"""Taped lengths between corners as a group of fields; an empty last row makes it grow."""

from contextlib import suppress
from dataclasses import replace

from engine.errors import JobError
from engine.job.entries import Ground
from engine.job.lettering import corner_count, corner_name
from engine.job.model import Job
from engine.job.reading import read
from engine.job.schema import SIDE, TAPE
from engine.survey.outline import FloorOutline, next_diagonal, outline

from .groups import Incomplete, measured, rows_of, texts_of


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
