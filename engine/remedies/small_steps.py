"""An outline without steps in the walls so small that the bed need not follow them."""

from collections.abc import Iterator

import numpy as np
import shapely

from ..arrays import following, preceding, turns_between
from ..job.defaults import mark_step
from ..job.lettering import corner_index, corner_name
from ..job.model import AtCorner, AtOffsets, AtPoint, AtWall, EdgeKind, Place
from ..job.place_text import place_text
from ..limits.findings import Finding
from ..phrases import joined, phrase
from ..quantities import round_up
from ..records import result
from ..survey.outline import FloorOutline
from ..survey.places import locate
from .remedy import Change, Idea, Ideas
from .retold import retold
from .trials import Trials

_PARTS = (0.125, 0.25, 0.5, 1.0)  # of the most that is left out, tried in turn


def without_steps(trials: Trials, _: Finding) -> Ideas:
    """The outline without steps, niches and bumps so shallow that the bed is off by less than a mark step there."""
    floor, most, off = trials.plan.outline, trials.plan.rulebook.most_fall, mark_step(trials.job)
    if not floor or floor.is_curved or most is None:
        return
    before: tuple[int, ...] = tuple(range(len(floor.corners)))
    for part in _PARTS:
        kept = _kept(floor, part * off / most.value)
        if kept != before:
            yield from _Straight(trials, floor, kept).ideas(off)
            before = kept


def _kept(floor: FloorOutline, within: float) -> tuple[int, ...]:
    """The corners that stay when those of walls at most so long [mm], as near to a straight wall, go."""
    shorter = np.minimum(floor.spans, preceding(floor.spans))  # of the two walls at each corner
    first = int(np.argmax(shorter))  # no step is where long walls meet
    ring = np.roll(floor.corners, -first, axis=0)
    left = shapely.get_coordinates(shapely.simplify(shapely.polygons(ring), within))[:-1]
    stays = (floor.corners[:, None] == left).all(axis=2).any(axis=1)
    return tuple(np.flatnonzero(stays | (shorter > within)).tolist())


@result
class _Straight:
    """An outline of the corners that stay, with all that names corners and walls."""

    trials: Trials
    floor: FloorOutline
    kept: tuple[int, ...]

    def ideas(self, off: float) -> Ideas:
        """The change in words, if it touches no curb or open edge; off: more than the bed is off [mm]."""
        left = sorted(set(range(len(self.floor.corners))) - set(self.kept))
        merged = {wall for i in left for wall in (i - 1, i)}
        walked = bool(self.trials.job.outline.walls)
        if any(self.floor.kinds[wall] is not EdgeKind.WALL for wall in merged) or (walked and self.kept[:2] != (0, 1)):
            return  # a walk begins along its first wall
        ring = shapely.linearrings(self.floor.corners[list(self.kept)])
        by = round_up(float(shapely.distance(ring, shapely.points(self.floor.corners[left])).max()), self.trials.step)
        yield Idea(
            phrase(
                "leave the steps at {corners} out of the outline, none deeper than {by}: the walls run straight past "
                "them, the corners are lettered anew, and the bed is off by less than {off} there",
                corners=joined(", ", [self.floor.names[i] for i in left]),
                by=self.trials.text(by),
                off=self.trials.text(off),
            ),
            self._change(left),
            by,
        )

    def _change(self, left: list[int]) -> Change:
        """Names go before corners do, and come after: each entry fits the outline of then."""
        job = self.trials.job
        renamed = [(wall, self._wall(wall), kind.value) for wall, kind in job.outline.edges]
        gone = [(f'outline.edges."{old}"', "") for old, new, _ in renamed if new != old]
        edges = [(f'outline.edges."{new}"', kind) for old, new, kind in renamed if new not in ("", old)]
        form = "walls" if job.outline.walls else "corners"
        walls = self._walls() if job.outline.walls else []
        corners = [(f"outline.{form}[{i}]", "") for i in reversed(left)]
        return (*gone, *self._tape(), *walls, *corners, *edges, *retold(job, self._placed))

    def _walls(self) -> list[tuple[str, str]]:
        ring = self.floor.corners[list(self.kept)]
        along = following(ring) - ring
        turned = np.degrees(turns_between(along, following(along)))
        is_new = np.diff([*self.kept, len(self.floor.corners)]) > 1
        changes = []
        for k, old in enumerate(self.kept):
            after = (k + 1) % len(self.kept)
            if is_new[k]:
                changes.append((f"outline.walls[{old}].length", self.trials.nearest(float(np.hypot(*along[k])))))
            if is_new[k] or is_new[after]:
                changes.append((f"outline.walls[{old}].turn", f"{turned[k]:.3f}"))
        return changes

    def _tape(self) -> Iterator[tuple[str, str]]:
        for i, tape in reversed(list(enumerate(self.trials.job.outline.tape))):
            ends = {"from": self._corner(tape.start), "to": self._corner(tape.end)}
            if all(ends.values()):
                yield from ((f"outline.tape[{i}].{key}", name) for key, name in ends.items())
            else:
                yield f"outline.tape[{i}]", ""

    def _placed(self, place: Place, key: str) -> str:
        match place:
            case AtCorner(corner) if name := self._corner(corner):
                return name
            case AtWall(wall, along, off) if name := self._wall(wall):
                return place_text(AtWall(name, along, off))
            case AtOffsets(one, first, other, second) if (name := self._wall(one)) and (also := self._wall(other)):
                return place_text(AtOffsets(name, first, also, second))
            case AtPoint():
                return place_text(place)
        x, y = (self.trials.text(value) for value in locate(place, self.floor, key, self.trials.units).tolist())
        return f"x {x}, y {y}"

    def _corner(self, name: str) -> str:
        i = corner_index(name)
        return corner_name(self.kept.index(i)) if i in self.kept else ""

    def _wall(self, name: str) -> str:
        both = [self._corner(corner) for corner in name.split("-")]
        return "-".join(both) if all(both) else ""
