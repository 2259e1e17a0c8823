"""The proof's figures as plain values, under the JSON's names."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..plan import Plan
from ..proof.tolerance import Sureness
from .built_falls import built_falls
from .figures import Figures, length, lengths, mark_place, plain, ratio, spot_figures, whole
from .sure_words import marks_sure

if TYPE_CHECKING:
    from ..proof.as_built import AsBuilt
    from ..proof.hand import Room
    from ..proof.log import FloodLog


def proof_figures(plan: Plan) -> Figures:
    """The keys that the proof adds to the JSON; `as_built` and `flood_test` only where there is one."""
    figures: Figures = {
        "sure": None if plan.sureness is None else _sure(plan.sureness) | _marks(plan),
        "hand": [_room(room) for room in plan.rooms],
    }
    if plan.as_built is not None:
        figures["as_built"] = _as_built(plan, plan.as_built) if plan.as_built else None
    if plan.flood_log is not None:
        figures["flood_test"] = _flood_test(plan.flood_log)
    return figures


def _sure(found: Sureness) -> Figures:
    next_one, slip = found.next, found.slip
    return {
        "step": length(found.step),
        "least_depth": length(found.sure),
        "most_depth": length(found.sure_most),
        "assured": spot_figures("depth", found.assured),
        "roughness": ratio(found.roughness),
        "next": next_one and lengths(next_one, "gain", "x", "y"),
        "enough": found.is_enough,
        "slip": slip
        and {
            "shows": length(slip.usual),
            "worst": spot_figures("shows", slip.worst),
            "unjudged": list(slip.unjudged),
            **lengths(slip, "move"),
        },
    }


def _marks(plan: Plan) -> Figures:
    found = marks_sure(plan)
    return {} if found is None else {"marks": [length(sure) for sure in found.tolist()]}


def _room(room: Room) -> Figures:
    return {
        "trueness": length(room.trueness),
        "chance": ratio(room.chance),
        "fall": ratio(room.fall) if room.can_pass else None,
        "simulated": room.simulated,
        "bare": [spot_figures("room", one) for one in room.bare],
    }


def _as_built(plan: Plan, built: AsBuilt) -> Figures:
    mending, areas = built.mending, built.surface.catchment_areas
    return {
        "ponds": [
            lengths(pond, "depth", "area", "x", "y", "long", "wide") | {"volume": whole(pond.volume)}
            for pond in built.ponds
        ],
        "worst": spot_figures("error", built.worst),
        "least_fall": ratio(built.least_fall.value),
        "most_fall": ratio(built.most_fall.value),
        "falls": [mark_place(mark) | {"fall": ratio(fall)} for mark, fall in built_falls(plan)],
        "line": length(built.line),
        "line_moved": length(built.moved),
        "sure": length(built.sure),
        "catchments": [whole(area) for area in areas.tolist()],
        "catchment_shares": [ratio(share) for share in (areas / areas.sum()).tolist()],
        "stations": [
            {
                "reading": station.number,
                **lengths(station, "x", "y", "planned"),
                "built": length(station.height),
                "error": length(station.error),
            }
            for station in built.stations
        ],
        "mend": [lengths(mend, "add", "x", "y") for mend in mending.mends],
        "mended": {"ponds": mending.ponds_left, "least_fall": ratio(mending.least_fall.value)},
    }


def _flood_test(log: FloodLog) -> Figures:
    loss = log.loss
    figures = {"verdict": log.verdict.value, **plain(log, "says", "remedy", "source", "standard")}
    if loss is not None:
        figures |= lengths(loss, "hours", "lost") | {"may_have_dried": length(loss.dried), "sure": length(loss.sure)}
    return figures
