"""Large rooms: how far drains may be from one another and from the walls, where the room is a shared one."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from engine.bed.flange import Flange
from engine.job.model import EdgeKind
from engine.limits.checks.case import NOISE, Case
from engine.limits.findings import Finding, Level
from engine.limits.rulebook import Figure, Limit
from engine.phrases import phrase
from engine.survey.outline import FloorOutline
from engine.survey.spot import Needs
from engine.types import Shape


def check_apart(case: Case) -> Iterator[Finding]:
    """Findings drains-far: the drain farthest from its next one, and the wall farthest from any drain.

    Cautions, for the code has these figures for shared rooms, and a job does not tell whether it is one.
    """
    floor, flanges = case.stages.outline, case.stages.flanges
    if isinstance(floor, Needs) or isinstance(flanges, Needs) or not flanges:
        return
    apart, off = case.book.find(Figure.DRAINS_APART_MOST), case.book.find(Figure.DRAIN_TO_WALL_MOST)
    across = _across(floor)
    if apart is not None and len(flanges) > 1 and across > apart.value:
        yield from _between(case, flanges, apart)
    if off is not None and across > off.value:
        yield from _to_walls(case, floor, flanges, off)


def _across(floor: FloorOutline) -> float:
    """A length [mm] that no two places of a floor are farther apart than."""
    return float(np.hypot(*(floor.ring.max(axis=0) - floor.ring.min(axis=0))))


def _shapes(flanges: tuple[Flange, ...]) -> Shape:
    return np.array([shapely.Polygon(flange.polygon) for flange in flanges])


def _between(case: Case, flanges: tuple[Flange, ...], most: Limit) -> Iterator[Finding]:
    shapes = _shapes(flanges)
    gaps = shapely.distance(shapes[:, None], shapes[None, :])
    np.fill_diagonal(gaps, np.inf)
    nearest = gaps.min(axis=1)
    i = int(np.argmax(np.round(nearest, 6)))
    if nearest[i] <= most.value + NOISE:
        return
    x, y = np.asarray(flanges[i].centre).tolist()
    yield Finding(
        rule="drains-far",
        level=Level.CAUTION,
        says=phrase(
            "drain {number} is {gap} from the next one; in a large shared room drains are at most {most} apart",
            number=i + 1,
            gap=case.over(float(nearest[i])),
            most=case.limit(most),
        ),
        remedy=phrase(
            "where the room is shared, set a drain between them, or move drain {number} {by} nearer",
            number=i + 1,
            by=case.worked(float(nearest[i]) - most.value),
        ),
        source=most.cited,
        x=x,
        y=y,
        key=f"drains[{i}]",
    )


def _to_walls(case: Case, floor: FloorOutline, flanges: tuple[Flange, ...], most: Limit) -> Iterator[Finding]:
    sides = shapely.linestrings(np.stack([floor.sides.starts, floor.sides.ends], axis=1))
    gaps = shapely.distance(sides[:, None], _shapes(flanges)[None, :]).min(axis=1)
    walls = np.array([kind is EdgeKind.WALL for kind in floor.kinds])
    if not walls.any():
        return
    far = np.array([gaps[floor.sides.walls == i].min() if wall else 0.0 for i, wall in enumerate(walls.tolist())])
    i = int(np.argmax(np.round(far, 6)))
    if far[i] <= most.value + NOISE:
        return
    x, y = floor.on_wall(i, np.array([floor.length(i) / 2]))[0].tolist()
    yield Finding(
        rule="drains-far",
        level=Level.CAUTION,
        says=phrase(
            "wall {wall} is {gap} from the nearest drain; in a large shared room a drain is at most {most} from a "
            "side wall",
            wall=floor.walls[i],
            gap=case.over(float(far[i])),
            most=case.limit(most),
        ),
        remedy=phrase(
            "where the room is shared, set a drain nearer to {wall}, or move one by {by}",
            wall=floor.walls[i],
            by=case.worked(float(far[i]) - most.value),
        ),
        source=most.cited,
        x=x,
        y=y,
        key="drains",
    )
