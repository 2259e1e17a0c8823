"""The third step: the drain's flange, where it stands, and how far under the level line."""

from collections.abc import Sequence

import numpy as np
import shapely

from engine.job.model import DrainKind
from engine.limits.drain_range import range_words
from engine.limits.words import length_under
from engine.phrases import phrase
from engine.quantities import INCH, Units, format_length
from engine.survey.outline import FloorOutline

from ..groups import CORNER, OFFSETS, POINT, WALL, corner_names, default_form, default_walls, wall_names
from ..rows import Offer, Row
from ..step_names import StepName, StepState
from ..view import View, heading, words
from .step import FormStep, state_of

_KINDS = (
    (DrainKind.ROUND.value, phrase("round")),
    (DrainKind.SQUARE.value, phrase("square")),
    (DrainKind.CHANNEL.value, phrase("channel")),
)
_FORMS = (
    (OFFSETS, phrase("two walls")),
    (WALL, phrase("along a wall")),
    (POINT, phrase("coordinates")),
    (CORNER, phrase("a corner")),
)
_USUAL_SIZE = {
    DrainKind.ROUND: Units.pair("6 in", "150 mm"),
    DrainKind.SQUARE: Units.pair("4 in", "100 mm"),
    DrainKind.CHANNEL: Units.pair("2 1/2 in", "65 mm"),
}
_END_OFF = Units.pair(4 * INCH, 100.0)  # [mm] a channel's middle line from its wall
_MIDDLE = phrase("the middle of the floor")


class DrainStep(FormStep):
    """Form, size, place, drop; and further drains."""

    NAME = StepName.DRAIN

    @classmethod
    def rows(cls, view: View) -> Sequence[Row]:
        """One drain after the other; the first is always there to fill in."""
        rows: list[Row] = []
        for i in range(max(len(view.job.drains), 1)):
            rows += _drain(view, i)
        more = [words("more", phrase("+ or Ins: another drain."))] if view.job.drains else []
        return [*rows, *_range(view), *more]

    @classmethod
    def state(cls, view: View) -> StepState:
        """Done when every drain has form, size and place; its height may be planned."""
        drains = view.job.drains
        placed = bool(drains) and all(d.kind and d.size and (d.at or (d.start and d.end)) for d in drains)
        return state_of(view, "drains", is_done=placed)


def _drain(view: View, i: int) -> list[Row]:
    kinds = (*_KINDS, ("", phrase("take it out"))) if i else _KINDS
    is_one = len(view.job.drains) < 2
    rows: list[Row] = [] if is_one else [heading(f"drain-{i}", phrase("Drain {number}", number=i + 1))]
    rows.append(view.choice_row(f"drains[{i}].kind", kinds, offer=Offer("round", phrase("the usual form"))))
    size = _USUAL_SIZE[_kind(view, i) or DrainKind.ROUND][view.job.units]
    offer = Offer(size, phrase("a usual size, but measure yours"))
    rows.append(view.text_row(f"drains[{i}].size", offer=offer, grows=True))
    if _kind(view, i) is DrainKind.CHANNEL:
        rows += [*_place(view, i, "from", phrase("Channel from")), *_place(view, i, "to", phrase("Channel to"))]
    else:
        rows += _place(view, i, "at", phrase("Its middle"))
    measured = next((j for j, drain in enumerate(view.job.drains) if j != i and drain.drop is not None), None)
    left_out = _planned(view, i)
    if measured is not None:
        left_out = phrase("same as drain {number}", number=measured + 1)
    rows.append(view.text_row(f"drains[{i}].drop", left_out=left_out, grows=True))
    return rows


def _planned(view: View, i: int) -> str:
    drains = () if view.plan is None or not view.plan.drains else view.plan.drains
    drop = next((drain.drop for drain in drains[i : i + 1] if drain.planned), None)
    if drop is None:
        return phrase("height is planned")
    return phrase("plan {drop}", drop=length_under(drop, view.job.units))


def _range(view: View) -> list[Row]:
    plan = view.plan
    if plan is None or plan.drain_range is None:
        return []
    ends = [phrase("{name}: {says}.", name=name, says=says) for name, says in range_words(plan.case, plan.drain_range)]
    return [words(f"drain-range-{i}", end) for i, end in enumerate(ends)]


def _kind(view: View, i: int) -> DrainKind | None:
    return view.job.drains[i].kind if i < len(view.job.drains) else None


def _place(view: View, i: int, part: str, title: str) -> list[Row]:
    prefix = f"drains[{i}].{part}"
    names = wall_names(view.job)
    if not names:
        return [words(prefix, phrase("Where it is can be said once there is an outline: PgUp goes to it."))]
    form = view.session.text(f"{prefix}.form") or default_form(part)
    forms = _FORMS if part != "at" else _FORMS[:3]
    walls, chosen, offers = [(name, name) for name in names], _walls(view, prefix), _offers(view, prefix)
    first, second = default_walls(view.job)
    rows: list[Row] = [heading(prefix, title), view.choice_row(f"{prefix}.form", forms, left_out=form)]
    match form:
        case "offsets":
            for one in ("first", "second"):
                label = phrase("From wall {wall}", wall=chosen[f"{one}_wall"])
                rows.append(view.text_row(f"{prefix}.{one}", label=label, offer=offers.get(one)))
            rows += [
                view.choice_row(f"{prefix}.first_wall", walls, left_out=first),
                view.choice_row(f"{prefix}.second_wall", walls, left_out=second),
            ]
        case "wall":
            rows += [
                view.choice_row(f"{prefix}.wall", walls, left_out=first),
                view.text_row(f"{prefix}.along", offer=offers.get("along")),
                view.text_row(f"{prefix}.off", left_out=phrase("0, at the wall"), offer=offers.get("off")),
            ]
        case "corner":
            rows.append(view.choice_row(f"{prefix}.corner", [(n, n) for n in corner_names(view.job)], left_out="A"))
        case _:
            rows += [view.text_row(f"{prefix}.{axis}", offer=offers.get(axis)) for axis in ("x", "y")]
    return rows


def _walls(view: View, prefix: str) -> dict[str, str]:
    first, second = default_walls(view.job)
    usual = {"first_wall": first, "second_wall": second, "wall": first}
    return {name: view.session.text(f"{prefix}.{name}") or wall for name, wall in usual.items()}


def _end_offers(view: View, prefix: str, floor: FloorOutline) -> dict[str, Offer]:
    wall = _walls(view, prefix)["wall"]
    if wall not in floor.walls:
        return {}
    along = 0.0 if prefix.endswith("from") else floor.length(floor.walls.index(wall))
    units = view.job.units
    return {
        "along": Offer(format_length(along, units), phrase("from wall to wall, so that no water stands past it")),
        "off": Offer(format_length(_END_OFF[units], units), phrase("along the wall")),
    }


def _offers(view: View, prefix: str) -> dict[str, Offer]:
    floor = view.floor
    if floor is None:
        return {}
    if not prefix.endswith(".at"):
        return _end_offers(view, prefix, floor)
    middle = np.array(shapely.get_coordinates(shapely.centroid(floor.polygon))[0])
    if not shapely.contains_xy(floor.polygon, *middle):
        return {}
    walls = _walls(view, prefix).values()
    if any(wall not in floor.walls for wall in walls):
        return {}
    numbers = dict(zip(("first", "second", "off"), map(floor.walls.index, walls), strict=True))
    away = {name: float((middle - floor.corners[n]) @ floor.inward[n]) for name, n in numbers.items()}
    n = numbers["off"]
    away["along"] = float((middle - floor.corners[n]) @ floor.directions[n])
    away["x"], away["y"] = middle.tolist()
    return {name: Offer(format_length(mm, view.job.units), _MIDDLE) for name, mm in away.items()}
