"""Outlines: which measurement to correct where they disagree."""

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from ..job.model import Outline, Wall
from ..limits.findings import Finding
from ..phrases import phrase
from ..quantities import Dimension, format_angle, parse, round_nearest
from ..survey.outline import FloorOutline, by_others, turned
from ..survey.tape import worst_first
from ..types import Array
from .remedy import Idea, Ideas
from .trials import Trials

_MOST_TRIED = 6  # measurements, the worst first
_ANGLE_STEP = 0.5  # [deg] as near as a turn is measured on site (common practice, no source)


def correct_length(trials: Trials, _: Finding) -> Ideas:
    """The measurement that fits worst, as the others make it."""
    floor = trials.plan.outline
    if not floor or not floor.residuals:
        return
    for number, residual in worst_first(floor.residuals)[:_MOST_TRIED]:
        key = _length_key(trials.job.outline, number, floor)
        if not key or residual.oddness <= 0:
            continue
        text = trials.nearest(by_others(trials.job.outline, floor, number, trials.units))
        by = abs(parse(text, Dimension.LENGTH, trials.units) - residual.measured)
        yield Idea(
            phrase(
                "enter {right} for {measurement} in place of {typed}, once it is taped again and so found: all the "
                "others together make it that",
                right=text,
                measurement=residual.name,
                typed=trials.text(residual.measured),
            ),
            ((key, text),),
            by,
        )


def _length_key(entry: Outline, number: int, floor: FloorOutline) -> str:
    """The entry of a measured length; "" for a rectangle's, where two sides share one."""
    tapes = len(floor.residuals) - len(entry.tape)
    if number >= tapes:
        return f"outline.tape[{number - tapes}].length"
    if not entry.walls:
        return ""
    return f"outline.walls[{floor.walls.index(floor.residuals[number].name)}].length"


def close_walk(trials: Trials, _: Finding, as_well: int = 0) -> Ideas:
    """One wall's length, or one turn, that closes a walk, the best first; or after so many, those that do as well."""
    walls = trials.job.outline.walls
    if not trials.plan.outline or walls is None or trials.plan.outline.residuals:
        return
    walk = _Walk.of(walls)
    if walk is None:
        return
    names = trials.plan.outline.walls
    ideas = [*_lengths(trials, walk, names), *_turns(trials, walk, names)]
    ideas.sort(key=lambda pair: (round(pair[0], 6), pair[1].change))
    most = ideas[0][0] + trials.step / 2 if as_well and ideas else math.inf
    yield from (idea for left, idea in ideas[as_well:_MOST_TRIED] if left <= most)


class _Walk(NamedTuple):
    """Walls as walked: where each starts and the last ends (n + 1, 2), lengths [mm]; headings [rad], turns [deg]."""

    places: Array
    headings: Array
    lengths: Array
    turns: Array

    @staticmethod
    def of(walls: tuple[Wall, ...]) -> "_Walk | None":
        lengths = np.array([math.nan if wall.length is None else wall.length.value for wall in walls])
        if np.isnan(lengths).any():
            return None
        turns = np.array([90.0 if wall.turn is None else wall.turn.value for wall in walls])
        headings = np.radians(np.concatenate([[0.0], np.cumsum(turns[:-1])]))
        steps = lengths[:, None] * np.column_stack([np.cos(headings), np.sin(headings)])
        return _Walk(np.vstack([[0.0, 0.0], np.cumsum(steps, axis=0)]), headings, lengths, turns)


def _lengths(trials: Trials, walk: _Walk, names: tuple[str, ...]) -> Iterator[tuple[float, Idea]]:
    gap, step = walk.places[-1], trials.step
    for i, (heading, own) in enumerate(zip(walk.headings.tolist(), walk.lengths.tolist(), strict=True)):
        along = float(gap @ [math.cos(heading), math.sin(heading)])
        right = round_nearest(own - along, step)
        if right > 0 and abs(along) > step / 2:
            text = trials.text(right)
            what = phrase("{right} for {measurement}", right=text, measurement=names[i])
            says = _closing(what, trials.text(own))
            left = math.sqrt(max(float(gap @ gap) - along**2, 0.0))
            yield left, Idea(says, ((f"outline.walls[{i}].length", text),), abs(along))


def _turns(trials: Trials, walk: _Walk, names: tuple[str, ...]) -> Iterator[tuple[float, Idea]]:
    end = walk.places[-1]
    for i, corner in enumerate(walk.places[1:-1]):
        reached, wanted = end - corner, -corner
        swing = math.degrees(math.atan2(reached[0] * wanted[1] - reached[1] * wanted[0], float(reached @ wanted)))
        right = round((float(walk.turns[i]) + swing) / _ANGLE_STEP) * _ANGLE_STEP
        if abs(swing) > _ANGLE_STEP / 2 and abs(right) < 180:
            left = abs(float(np.hypot(*reached)) - float(np.hypot(*wanted)))
            yield left, _turn(trials, walk, (i, names[i]), right)
    if (together := turned(trials.job.outline)) is not None:
        total, whole = together  # the last turn is what the others leave of once round
        last = len(walk.turns) - 1
        yield (float(np.hypot(*end)), _turn(trials, walk, (last, names[last]), float(walk.turns[last]) + whole - total))


def _turn(trials: Trials, walk: _Walk, wall: tuple[int, str], right: float) -> Idea:
    (i, name), text = wall, format_angle(right, trials.units)
    what = phrase("a turn of {right} at the end of {wall}", right=text, wall=name)
    says = _closing(what, format_angle(float(walk.turns[i]), trials.units))
    return Idea(says, ((f"outline.walls[{i}].turn", text),))


def _closing(what: str, typed: str) -> str:
    return phrase(
        "enter {what} in place of {typed}, once it is measured again and so found: then the walk round closes",
        what=what,
        typed=typed,
    )
