"""How much there is to plan, reckoned from the job, so that it is alike everywhere.

What is too much is refused in words; a heavy job gets fewer trials of changes.
"""

import numpy as np

from ..errors import JobError
from ..job.model import BedShape, Job
from ..phrases import counted_phrase, joined, phrase
from ..survey.outline import FloorOutline
from ..survey.places import locate
from .reach import bends_of
from .sight import Edges

MOST_ISLANDS = 3  # round more no valleys are looked for: it would take too long

# About how many milliseconds a plan takes, by trial on jobs of each kind; a home floor takes about 5.
_LEAST = 3.0
_SIGHT = 0.2  # for each corner, each that may hide something, and each drain
_READING = 0.1
_CROSSED = 0.005  # for each reading and each corner that its triangles may cross
_BUILT = 3.5  # as many are too many; a finished bed takes so much to plan, and so much for each reading
_PROVED, _READ, _HELD = 12.0, 0.5, 20.0  # the last where level walls hide something: its mesh follows valleys
_RIDGED = 2.0  # times as much where ways part round islands
_PARTED = 0.5  # for each drain but one, for each other such
_HIDDEN = 7.0  # of level walls that hide something
_WALL, _VALLEY = 0.45, 0.18  # for each corner, and each that points into the floor
_TURNED, _CUT = 7.0, 0.24  # for each drain but one, and each corner
_CUT_OPEN, _FEW = 0.5, 800.0  # with islands, for each corner and each inward, but at most so many
_CHORDS = 0.1
_MOST = 2500.0
_WINDING = (100, 20)  # of a floor with more corners than the first, at most so many may point into it


def effort(job: Job, floor: FloorOutline, *, is_parted: bool = False) -> float:
    """How heavy a job is to plan, about in milliseconds [-].

    is_parted: each drain is known to see its part whole. Raises JobError for a drain's place that is none.
    """
    more, is_level = max(len(job.drains) - 1, 0), job.bed.shape is BedShape.LEVEL_WALLS
    bends = 0 if is_parted or _is_seen(job, floor) else _bends(job, floor)
    own = _LEAST + _read(job, bends) + _level_walls(floor, bends, more) if is_level else _reckoned(job, floor, bends)
    built = _PROVED + _READ * len(job.as_built) + _HELD * (is_level and bends > 0) if job.as_built else 0.0
    return own + _PARTED * more**2 + built


def _is_seen(job: Job, floor: FloorOutline) -> bool:
    spots = (spot for drain in job.drains for spot in (drain.at, drain.start, drain.end) if spot)
    places = np.array([locate(spot, floor, "drains", job.units) for spot in spots]).reshape(-1, 1, 2)
    edges = Edges.of(floor.rings)
    return len(places) > 0 and bool((((places - edges.starts) * edges.inward).sum(axis=2) > 0).all())


def _level_walls(floor: FloorOutline, bends: float, more: int) -> float:
    corners = _corners(floor)
    cut_open = _CUT_OPEN * max(corners * bends - _FEW, 0.0) if floor.islands else 0.0
    hidden = _HIDDEN + more * (_TURNED + _CUT * corners) if bends else 0.0
    return corners * (_WALL + _VALLEY * bends) + hidden + cut_open


def refuse_overload(job: Job, floor: FloorOutline) -> None:
    """Raises JobError for a job whose lists together take too long to plan."""
    corners, most = _corners(floor), _MOST - _BUILT * len(job.as_built)
    if corners <= _WINDING[0] and _reckoned(job, floor, corners) <= most:
        return  # however many of them point into the floor
    bends = _bends(job, floor)
    is_winding = _typed(job) > _WINDING[0] and bends > _WINDING[1]
    if _reckoned(job, floor, bends) <= most and not is_winding:
        return
    counts = [
        counted_phrase("{number} corner and chord", "{number} corners and chords", corners),
        counted_phrase("{number} drain", "{number} drains", len(job.drains)),
        counted_phrase("{number} reading", "{number} readings", len(job.readings) + len(job.as_built)),
    ]
    raise JobError(
        "outline",
        joined(", ", counts),
        phrase("together these are too many to plan"),
        phrase("leave out what the bed does not hang on: of any of them half as many go a long way"),
    )


def _reckoned(job: Job, floor: FloorOutline, bends: float) -> float:
    drains = max(len(job.drains), 1)
    sight = _SIGHT * _corners(floor) * (bends + 1) * drains * (_RIDGED if floor.islands else 1.0)
    return _LEAST + sight + _read(job, bends)


def _read(job: Job, bends: float) -> float:
    return len(job.readings) * (_READING + _CROSSED * bends * max(len(job.drains), 1))


def _bends(job: Job, floor: FloorOutline) -> float:
    bends = len(bends_of(floor)[0])
    chords = max(bends - _typed(job), 0)
    return bends - chords + _CHORDS * chords


def _typed(job: Job) -> int:
    outline = job.outline
    return len(outline.walls or outline.corners or ()) + sum(len(island.corners) for island in outline.islands)


def _corners(floor: FloorOutline) -> int:
    return sum(map(len, floor.rings))
