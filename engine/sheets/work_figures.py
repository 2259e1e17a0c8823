"""The work as plain values for the plan as JSON: what is cut, laid, mixed, carried, bought and done."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

from engine.plan import Plan
from engine.sheets.cost_figures import bill_figures, line_figures
from engine.sheets.figures import Figures, length, rounded, spot_figures
from engine.survey.spot import Needs
from engine.work.alternatives import Way
from engine.work.costs import Bill, shopping_bill, way_bill
from engine.work.flood import FloodTest
from engine.work.heights import Heights
from engine.work.load import Load
from engine.work.mortar import Bags, Mix, Mortar, bags_by_portion
from engine.work.rules import Rules
from engine.work.steps import Said

if TYPE_CHECKING:
    from engine.work.barrier import BarrierSheet
    from engine.work.lath import Lath
    from engine.work.layers import Layer
    from engine.work.lining import Lining
    from engine.work.shopping import Purchase
    from engine.work.steps import Step
    from engine.work.whole import Work

KEYS = (
    "shopping",
    "layers",
    "heights",
    "lining",
    "barrier",
    "lath",
    "mortar",
    "portions",
    "load",
    "flood",
    "order",
    "ways",
    "sources",
)
WITH_COSTS = (KEYS[0], "costs", *KEYS[1:])  # of a job with prices


def work_figures(plan: Plan) -> Figures:
    """What the work comes to, by key; None for all of it while the plan still waits for an entry.

    Lengths in [mm], areas in [mm2], volumes in whole [mm3], masses in [kg], loads in [kPa], times in [h].
    """
    work = plan.work
    if isinstance(work, Needs):
        return dict.fromkeys(KEYS)
    bill = shopping_bill(work)
    return {
        "shopping": [_purchase(purchase, bill) for purchase in work.shopping],
        **({} if bill is None else {"costs": bill_figures(bill)}),
        "layers": [_layer(layer) for layer in work.layers],
        "heights": _heights(work.heights),
        "lining": _lining(work.lining),
        "barrier": None if work.barrier is None else _barrier(work.barrier),
        "lath": None if work.lath is None else _lath(work.lath),
        "mortar": _mortar(work.mortar),
        "portions": _portions(work),
        "load": _load(work.load),
        "flood": _flood(work.flood),
        "order": [_step(step) for step in work.order],
        "ways": [_way(way, way_bill(work, way)) for way in work.ways],
        "sources": _sources(work.site.rules),
    }


def mass(value: float) -> float:
    """A mass to 0.001 [kg]."""
    return rounded(value, 3)


def load(value: float) -> float:
    """A load to 0.001 [kPa], which is 0.02 psf."""
    return rounded(value, 3)


def volume(value: float) -> int:
    """A volume in whole [mm3]."""
    return int(rounded(value, 0))


def share(value: float) -> float:
    """A share to 0.000001 [-]."""
    return rounded(value, 6)


def _maybe(value: float | None) -> float | None:
    return None if value is None else length(value)


def _sources(rules: Rules) -> Figures:
    """Every figure that the work went by, in the unit inside, with its source."""
    given = ((field.name, getattr(rules, field.name)) for field in fields(rules))
    return {
        name.replace("_", "-"): {"value": _figure(rule.value), "source": rule.source}
        for name, rule in given
        if rule is not None
    }


def _figure(value: float) -> float:
    """A figure of any kind: to twelve decimals, for densities in [kg/mm3] are small; from 1 up to eight."""
    return rounded(value, 12 if abs(value) < 1 else 8)


def _purchase(purchase: Purchase, bill: Bill | None) -> Figures:
    line = None if bill is None else bill.line(purchase.item)
    return {
        "item": purchase.item.value,
        "quantity": rounded(purchase.quantity, 3),
        "unit": purchase.unit,
        "of": purchase.of,
        "reckoned": purchase.reckoned,
        "source": purchase.source,
        **({} if line is None else line_figures(line)),
    }


# --- what lies on what


def _layer(layer: Layer) -> Figures:
    return {
        "name": layer.name.value,
        "least": length(layer.least),
        "most": length(layer.most),
        "says": layer.says,
        "source": layer.source,
    }


def _heights(found: Heights) -> Figures:
    return {
        "grate": length(found.grate),
        "corners": [
            {
                "at": corner.at,
                "above_drain": length(corner.above_datum),
                "above_grate": length(corner.above_grate),
                "above_rough": length(corner.above_rough),
                "below_line": _maybe(corner.below_line),
            }
            for corner in found.corners
        ],
        "thresholds": [
            {
                "edge": edge.edge,
                "kind": edge.kind.value,
                "low": length(edge.low),
                "high": length(edge.high),
                "least_above_rough": length(edge.least),
                "most_above_rough": length(edge.most),
                "bed_most_above_rough": length(edge.bed_most),
            }
            for edge in found.thresholds
        ],
        "curb_over_drain": _maybe(found.curb_over_drain),
        "curb_over_floor": _maybe(found.curb_over_floor),
    }


def _lining(found: Lining) -> Figures:
    return {
        "is_liner": found.is_liner,
        "over_threshold": length(found.over_threshold.value),
        "asked": [{"over_threshold": length(rule.value), "source": rule.source} for rule in found.asked],
        "threshold": length(found.threshold),
        "is_assumed": found.is_assumed,
        "top": length(found.top),
        "up_least": length(found.up_least),
        "up_most": length(found.up_most),
        "area": length(found.area),
        "piece": [length(side) for side in found.piece],
    }


def _barrier(sheet: BarrierSheet) -> Figures:
    return {
        "kind": sheet.kind.value,
        "courses": sheet.courses,
        "course": length(sheet.course),
        "width": length(sheet.width),
        "lap": length(sheet.lap),
        "turn_up": length(sheet.turn_up),
        "piece": [length(side) for side in sheet.piece],
    }


def _lath(found: Lath) -> Figures:
    return {
        "sheets": found.sheets,
        "fasteners": found.fasteners,
        "pieces": [
            {
                "row": piece.row,
                "sheet": piece.sheet,
                "length": length(piece.length),
                "width": length(piece.width),
                "corners": [{"x": length(x), "y": length(y)} for x, y in piece.corners],
            }
            for piece in found.pieces
        ],
    }


# --- mud and what it weighs


def _mortar(found: Mortar) -> Figures:
    least, most = found.water
    return {
        "bed": volume(found.bed),
        "upper_bed": volume(found.upper),
        "waste": share(found.waste),
        "ordered": volume(found.ordered),
        "weight": mass(found.weight),
        "mix": _mix(found.mix),
        "dry": mass(found.mix.dry),
        "water": {"least": mass(least), "most": mass(most)},
        "batch": {"volume": volume(found.batch), "bags": found.batch_bags, "count": found.batches},
        "slurry_cement": mass(found.slurry),
    }


def _mix(mix: Mix) -> Figures:
    if isinstance(mix, Bags):
        return {
            "supply": "bag",
            "bags": mix.count,
            "exact": rounded(mix.exact, 3),
            "of": mix.of,
            "bag": mass(mix.mass),
            "yield": volume(mix.makes),
        }
    return {
        "supply": "site",
        "parts": rounded(mix.parts, 6),
        "cement": {"volume": volume(mix.cement), "mass": mass(mix.cement_mass)},
        "sand": {"volume": volume(mix.sand), "mass": mass(mix.sand_mass)},
    }


def _portions(work: Work) -> Figures:
    found = work.portions
    bags, upper_bags = bags_by_portion(work.mortar, found)
    return {
        "way_out": list(found.way_out),
        "is_assumed": found.is_assumed,
        "parts": [
            {
                "number": part.number,
                "near": length(part.near),
                "far": length(part.far),
                "corners": list(part.corners),
                "area": rounded(part.area, 0),
                "volume": volume(part.volume),
                "bags": bags[k] if bags else None,
                "upper_volume": volume(part.upper),
                "upper_bags": upper_bags[k] if upper_bags else None,
            }
            for k, part in enumerate(found.parts)
        ],
    }


def _load(found: Load) -> Figures:
    return {
        "parts": [
            {"name": part.name, "mean": load(part.mean), "worst": load(part.worst), "source": part.source}
            for part in found.parts
        ],
        "mean": load(found.mean),
        "worst": spot_figures("load", found.worst),
        "flood": {
            "water_mean": load(found.water_mean),
            "water_most": load(found.water_most),
            "mean": load(found.test_mean),
            "worst": load(found.test_worst),
        },
        "allowance": None if found.allowance is None else load(found.allowance),
    }


def _flood(test: FloodTest) -> Figures:
    return {
        "level": length(test.level),
        "at_threshold": length(test.at_threshold),
        "at_drain": length(test.at_drain),
        "wanted": length(test.wanted),
        "is_held": test.is_held,
        "over_curb": length(test.over_curb),
        "volume": volume(test.volume),
        "mass": mass(test.mass),
    }


# --- what is done


def _step(step: Step) -> Figures:
    task, wait = step.task, step.task.wait
    return {
        "number": step.number,
        "title": task.title,
        "day": step.day,
        "days": step.days,
        **({} if step.date is None else {"date": step.date.isoformat()}),
        "hours": None if task.hours is None else rounded(task.hours, 3),
        "says": [_said(said) for said in task.says],
        "needs": list(task.needs),
        "cautions": [
            {"hazard": caution.hazard.value, "says": caution.says, "source": caution.source}
            for caution in task.cautions
        ],
        "wait": None if wait is None else {"hours": rounded(wait.hours, 3), "says": wait.says, "source": wait.source},
    }


def _said(said: Said) -> Figures:
    return {"text": said.text, "source": said.source}


def _way(way: Way, bill: Bill | None) -> Figures:
    return {
        "way": way.name.value,
        "fits": way.fits.value,
        "why": _said(way.why),
        "needs": [_said(said) for said in way.needs],
        "volume": volume(way.volume),
        "mass": mass(way.mass),
        "load": load(way.load),
        "waits": rounded(way.waits, 3),
        **({} if bill is None else {"costs": bill_figures(bill)}),
    }
