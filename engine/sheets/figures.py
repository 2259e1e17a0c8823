"""A plan's figures as plain values: rounded once, under the names and in the order printed."""

from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from typing import TypeAlias, TypeVar

from ..bed.depth import Depth
from ..bed.surfaces import Bed, ValleyPart, valley_parts
from ..bed.valley.bed import Line
from ..limits.rulebook import Figure, Limit
from ..plan import FloorOutline, Mark, Plan, RoughFloor, SetDrain
from ..quantities import Dimension
from ..survey.spot import Needs, Spot

Figures: TypeAlias = dict[str, object]
_Stage = TypeVar("_Stage")

_CUBIC_METRE = 1e9  # [mm3]
_GUARD_DECIMALS = 4  # past the printed ones, to which float noise is taken off first


def rounded(value: float, decimals: int) -> float:
    """A finite figure to so many decimals, half away from zero, never -0.0.

    1/16 in is 1.5875 mm, a tie at three decimals: noise is taken off first.
    """
    calm = Decimal(repr(round(float(value), decimals + _GUARD_DECIMALS)))
    return float(calm.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)) + 0.0


def length(value: float) -> float:
    """A length, area, angle, mass, load or time to 0.001 [mm, mm2, deg, kg, kPa, h]."""
    return rounded(value, 3)


def ratio(value: float) -> float:
    """A fall or a share to 0.000001 [-]."""
    return rounded(value, 6)


def whole(value: float) -> int:
    """A volume or an area in whole [mm3, mm2]."""
    return int(rounded(round(value, 2), 0))


def lengths(found: object, *names: str) -> Figures:
    """Something's figures under their own names, as by `length`, each of a tuple; None where unknown."""
    return {name: _lengths(getattr(found, name)) for name in names}


def _lengths(value: float | tuple[float, ...] | None) -> object:
    if isinstance(value, tuple):
        return [length(each) for each in value]
    return None if value is None else length(value)


def place(x: float, y: float) -> Figures:
    """A place on the floor [mm]."""
    return {"x": length(x), "y": length(y)}


def plain(found: object, *names: str) -> Figures:
    """What something holds that needs no rounding, under its own names."""
    return {name: getattr(found, name) for name in names}


def known(found: _Stage | Needs, told: Callable[[_Stage], object]) -> object:
    """What a stage comes to; None while it waits."""
    return None if isinstance(found, Needs) else told(found)


def plan_figures(plan: Plan) -> Figures:
    """The figures that decide what is built, by key; None for a waiting stage."""
    return {
        "outline": known(plan.outline, _outline),
        "drains": known(plan.drains, lambda drains: [_drain(drain) for drain in drains]),
        "rough": known(plan.rough, _rough),
        "bed": _bed(plan.bed, plan.depth) if plan.bed else None,
        "marks": known(plan.marks, lambda marks: [_mark(mark) for mark in marks]),
        **_own_figures(plan),
    }


def _own_figures(plan: Plan) -> Figures:
    own = plan.rulebook.own
    return {"own_figures": [_own_figure(*each) for each in own.items()]} if own else {}


def _own_figure(figure: Figure, limit: Limit) -> Figures:
    printed = limit.replaces
    return {
        "name": figure.key,
        "value": _limit(figure, limit),
        "rulebook": None if printed is None else _limit(figure, printed),
    }


def _limit(figure: Figure, limit: Limit) -> float | bool:
    match figure.dimension:
        case None:
            return bool(limit.value)
        case Dimension.FALL:
            return ratio(limit.value)
        case Dimension.DENSITY:
            return length(limit.value * _CUBIC_METRE)
    return length(limit.value)


def _outline(floor: FloorOutline) -> Figures:
    corners = zip(floor.names, floor.corners, strict=True)
    return {
        "corners": [{"name": name, **place(*corner)} for name, corner in corners],
        **lengths(floor, "area", "perimeter", "misclosure"),
    }


def _drain(drain: SetDrain) -> Figures:
    return place(*drain.flange.centre) | lengths(drain, "height", "above_rough")


def _rough(floor: RoughFloor) -> Figures:
    return {"highest": spot_figures("height", floor.highest), "lowest": spot_figures("height", floor.lowest)}


def _bed(bed: Bed, depth: Depth | Needs) -> Figures:
    known = depth or None
    return {
        "shape": bed.shape.value,
        **lengths(bed, "wall_height", "longest_run"),
        "least_fall": ratio(bed.least_fall),
        "most_fall": ratio(bed.most_fall),
        "least_depth": known and spot_figures("depth", known.least),
        "most_depth": known and spot_figures("depth", known.most),
        "volume": known and whole(known.volume),
        **_valleys(bed),
    }


def _valleys(bed: Bed) -> Figures:
    parts = valley_parts(bed)
    if not parts:
        return {}
    several = len(bed.reach.flanges) > 1
    valleys = [_line(line, part, several=several) for part in parts for line in part.valleys]
    ridges = [_line(line, part, several=several) for part in parts for line in part.ridges]
    return {"valleys": valleys, **({"ridges": ridges} if ridges else {})}


def _line(line: Line, part: ValleyPart, *, several: bool) -> Figures:
    drain = {"drain": part.drain + 1} if several else {}
    return {**drain, "from": spot_figures("height", line.low), "to": spot_figures("height", line.high)}


def _mark(mark: Mark) -> Figures:
    return mark_place(mark) | lengths(mark, "above_drain", "above_rough", "below_line")


def mark_place(mark: Mark) -> Figures:
    """Where a mark is: at a corner, or how far along a wall."""
    return {"at": mark.at, **lengths(mark, *(() if mark.along is None else ("along",)), "x", "y")}


def spot_figures(name: str, spot: Spot) -> Figures:
    """A figure [mm] under its name, with its place."""
    return {name: length(spot.value), **lengths(spot, "x", "y")}
