"""The second step: the floor's edge in one of three forms, what stands along it, and the curb.

An empty last row makes a list grow.
"""

from collections.abc import Sequence

from engine.job.lettering import corner_name, wall_name
from engine.job.model import EdgeKind
from engine.limits.words import length_over
from engine.phrases import phrase
from engine.quantities import Dimension
from engine.survey.outline import next_diagonal

from ..entries import CORNERS, FORM_KEY, RECTANGLE, WALLS
from ..groups import Corners, Islands, Tapes, Walls, corner_names, islands_of, rows_of, wall_names
from ..rows import Row
from ..step_names import StepName, StepState
from ..view import View, heading, words
from .step import FormStep, state_of

_FORMS = ((RECTANGLE, phrase("rectangle")), (WALLS, phrase("walls")), (CORNERS, phrase("corners")))
_ROUND = phrase("Call any corner A and go round: A-B is one side, B-C the next. The map then shows them.")
_EMPTIED = phrase("left empty, this length is taken away when you go on")
_ISLANDS = phrase("x to the right, y up the map; A is at 0, 0 unless you gave it coordinates.")
_EDGES = (
    (EdgeKind.WALL.value, phrase("wall")),
    (EdgeKind.CURB.value, phrase("curb")),
    (EdgeKind.OPEN.value, phrase("open")),
)


class OutlineStep(FormStep):
    """Rectangle, walls or corners; edges, curb, taped diagonals, posts and bench bases."""

    NAME = StepName.OUTLINE

    @classmethod
    def rows(cls, view: View) -> Sequence[Row]:
        """The fields of the chosen form first."""
        form = view.session.text(FORM_KEY)
        makers = {RECTANGLE: _rectangle, WALLS: _walls, CORNERS: _corners}
        return [view.choice_row(FORM_KEY, _FORMS), *makers[form](view), *_edges(view), *_tapes(view), *_islands(view)]

    @classmethod
    def state(cls, view: View) -> StepState:
        """Done with an outline that bounds a floor."""
        is_done = view.floor is not None and view.job.outline.is_given
        return state_of(view, "outline", "curb", is_done=is_done)


def _rectangle(view: View) -> list[Row]:
    sides: list[Row] = [
        view.text_row(f"outline.rectangle[{i}]", label=phrase("Side {wall}", wall=side))
        for i, side in enumerate(("A-B", "B-C"))
    ]
    return sides if view.job.outline.is_given else [*sides, words("outline.round", _ROUND)]


def _texts(view: View, group: Walls | Corners | Tapes) -> list[dict[str, str]]:
    return rows_of(view.session.state.waiting(group.prefix) or group.texts(view.job))


def _walls(view: View) -> list[Row]:
    listed = _texts(view, Walls())
    closed = bool(listed) and bool(listed[-1].get("length"))
    count = max(len(listed), 1) + (closed and not view.job.outline.walls)
    rows: list[Row] = []
    for i in range(count):
        key = f"outline.walls[{i}]"
        name = wall_name(i, count) if count > 2 else f"{corner_name(i)}-{corner_name(i + 1)}"
        label, turn, rise = phrase("Wall {wall}", wall=name), phrase("  turn after it"), phrase("  bows out by")
        closes = phrase("closes the floor") if i == count - 1 and i > 1 else ""
        left = phrase("90 deg, left")
        rows += [
            view.text_row(f"{key}.length", label=label, left_out=closes, grows=True),
            view.text_row(f"{key}.turn", Dimension.ANGLE, label=turn, left_out=left, grows=True),
            view.text_row(f"{key}.rise", label=rise, left_out=phrase("straight"), grows=True),
        ]
    return [*rows, words("walls", phrase("Walk with the floor on your left. + puts a wall after this one."))]


def _corners(view: View) -> list[Row]:
    listed = _texts(view, Corners())
    rows: list[Row] = []
    for i in range(len(listed) + 1):
        rows += _corner(view, f"outline.corners[{i}]", corner_name(i), "" if i < 3 else phrase("no more"), grows=True)
    return [*rows, words("corners", phrase("x to the right, y up. + puts a corner after this one."))]


def _corner(view: View, key: str, name: str | int, left_out: str, *, grows: bool = False) -> list[Row]:
    label = phrase("Corner {name}  x", name=name)
    left_out = "" if view.session.text(f"{key}.x") or view.session.text(f"{key}.y") else left_out
    return [
        view.text_row(f"{key}.x", label=label, left_out=left_out, grows=grows),
        view.text_row(f"{key}.y", label="          y", left_out=left_out, grows=grows),
    ]


def _edges(view: View) -> list[Row]:
    names = wall_names(view.job)
    if not names:
        return []
    rows: list[Row] = [heading("edges", phrase("What stands at each edge"))]
    for name in names:
        label = phrase("Edge {wall}", wall=name)
        rows.append(view.choice_row(f'outline.edges."{name}"', _EDGES, label=label, left_out=EdgeKind.WALL.value))
    if any(kind is EdgeKind.CURB for _, kind in view.job.outline.edges) or view.session.text("curb.drop"):
        rows.append(view.text_row("curb.drop", left_out=phrase("not built yet")))
    return rows


def _tapes(view: View) -> list[Row]:
    names = [(name, name) for name in corner_names(view.job)]
    if len(names) < 3:
        return []
    tapes = Tapes()
    rows: list[Row] = [heading("tape", phrase("Diagonals taped as a check"))]
    for i in range(len(_texts(view, tapes)) + 1):
        key = f"{tapes.prefix}[{i}]"
        ends = [
            view.session.text(f"{key}.{part}") or usual
            for part, usual in zip(("from", "to"), tapes.ends(view.job, i), strict=True)
        ]
        emptied = _EMPTIED if i < len(view.job.outline.tape) and not view.session.text(f"{key}.length") else ""
        label = phrase("{start} to {end}", start=ends[0], end=ends[1])
        rows += [
            view.text_row(f"{key}.length", label=label, left_out=phrase("not taped"), mark=emptied),
            view.choice_row(f"{key}.from", names, left_out=ends[0]),
            view.choice_row(f"{key}.to", names, left_out=ends[1]),
        ]
    return [*rows, *_next_diagonal(view)]


def _next_diagonal(view: View) -> list[Row]:
    floor = view.floor
    if floor is None or not view.job.outline.tape or (fix := next_diagonal(view.job, floor)) is None:
        return []
    told = phrase(
        "Tape {start} to {end} next: it fixes the shape best, every corner then to about {left}.",
        start=floor.names[fix.start],
        end=floor.names[fix.end],
        left=length_over(fix.left, view.job.units),
    )
    return [words("diagonal", told)]


def _islands(view: View) -> list[Row]:
    """An empty corner makes a post or bench base grow, an empty base begins another."""
    if not view.job.outline.is_given:
        return []
    listed = islands_of(view.session.state.waiting(Islands.prefix) or Islands().texts(view.job))
    while listed and not any(any(row.values()) for row in listed[-1]):
        listed.pop()
    rows: list[Row] = []
    for i, corners in enumerate([*listed, []]):
        rows.append(heading(f"island-{i}", phrase("Post or bench base {number}", number=i + 1)))
        for j in range(len(corners) + 1):
            left_out = phrase("none") if not corners else ("" if j < 3 else phrase("no more"))
            rows += _corner(view, f"{Islands.prefix}[{i}].corners[{j}]", j + 1, left_out)
    return [*rows, words("islands", _ISLANDS)]
