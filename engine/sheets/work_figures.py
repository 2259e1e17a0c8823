"""The work as plain values for the JSON."""

from dataclasses import fields

from ..plan import Plan
from ..work.alternatives import Way
from ..work.costs import Bill, shopping_bill, to_cents, way_bill
from ..work.flood import FloodTest
from ..work.heights import Heights
from ..work.lath import Lath
from ..work.lining import Lining
from ..work.load import Load
from ..work.mortar import Bags, Mix, Mortar, bags_by_portion, water_shares
from ..work.practice import SHEET_WASTE
from ..work.rules import Rules
from ..work.shopping import Purchase
from ..work.steps import Step
from ..work.whole import Work
from .cost_figures import bill_figures
from .figures import Figures, length, lengths, place, plain, ratio, rounded, spot_figures, whole

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
    """The work by key; None for all while an entry is missing.

    Lengths [mm], areas [mm2], volumes in whole [mm3], masses [kg], loads [kPa], times [h].
    """
    work = plan.work
    if not work:
        return dict.fromkeys(KEYS)
    bill = shopping_bill(work)
    return {
        "shopping": [_purchase(purchase, bill) for purchase in work.shopping],
        **({} if bill is None else {"costs": bill_figures(bill)}),
        "layers": [
            {"name": layer.name.value, **lengths(layer, "least", "most"), **plain(layer, "says", "source")}
            for layer in work.layers
        ],
        "heights": _heights(work.heights),
        "lining": _lining(work.lining),
        "barrier": work.barrier
        and {
            "kind": work.barrier.kind.value,
            **plain(work.barrier, "courses"),
            **lengths(work.barrier, "course", "width", "lap", "turn_up", "piece"),
        },
        "lath": work.lath and _lath(work.lath),
        "mortar": _mortar(work.mortar, work.site.rules),
        "portions": _portions(work),
        "load": _load(work.load),
        "flood": _flood(work.flood),
        "order": [_step(step) for step in work.order],
        "ways": [_way(way, way_bill(work, way)) for way in work.ways],
        "sources": _sources(work.site.rules),
    }


def _sources(rules: Rules) -> Figures:
    given = ((field.name, getattr(rules, field.name)) for field in fields(rules))
    return {
        name.replace("_", "-"): {
            # Densities in [kg/mm3] are small.
            "value": rounded(rule.value, 12 if abs(rule.value) < 1 else 8),
            "source": rule.source,
        }
        for name, rule in given
        if rule is not None
    }


def _purchase(purchase: Purchase, bill: Bill | None) -> Figures:
    line = None if bill is None else bill.line(purchase.item)
    return {
        "item": purchase.item.value,
        **lengths(purchase, "quantity"),
        **plain(purchase, "unit", "of", "reckoned", "source"),
        **({} if line is None else {"price": float(line.each), "cost": float(to_cents(line.cost))}),
    }


# --- what lies on what


def _heights(found: Heights) -> Figures:
    return {
        "grate": length(found.grate),
        "corners": [
            {
                "at": corner.at,
                "above_drain": length(corner.above_datum),
                **lengths(corner, "above_grate", "above_rough", "below_line"),
            }
            for corner in found.corners
        ],
        "thresholds": [
            {
                "edge": edge.edge,
                "kind": edge.kind.value,
                **lengths(edge, "low", "high"),
                "least_above_rough": length(edge.least),
                "most_above_rough": length(edge.most),
                "bed_most_above_rough": length(edge.bed_most),
            }
            for edge in found.thresholds
        ],
        **lengths(found, "curb_over_drain", "curb_over_floor"),
    }


def _lining(found: Lining) -> Figures:
    return {
        "is_liner": found.is_liner,
        "over_threshold": length(found.over_threshold.value),
        "asked": [{"over_threshold": length(rule.value), "source": rule.source} for rule in found.asked],
        "threshold": length(found.threshold),
        "is_assumed": found.is_assumed,
        **lengths(found, "top", "up_least", "up_most", "area", "piece"),
        "waste": SHEET_WASTE,
    }


def _lath(found: Lath) -> Figures:
    return {
        **plain(found, "sheets", "fasteners"),
        "pieces": [
            {
                **plain(piece, "row", "sheet"),
                **lengths(piece, "length", "width"),
                "corners": [place(*corner) for corner in piece.corners],
            }
            for piece in found.pieces
        ],
    }


# --- mud and what it weighs


def _mortar(found: Mortar, rules: Rules) -> Figures:
    (least, most), shares = found.water, [ratio(share) for share in water_shares(rules)]
    return {
        "bed": whole(found.bed),
        "upper_bed": whole(found.upper),
        "waste": ratio(found.waste),
        "ordered": whole(found.ordered),
        "weight": length(found.weight),
        "mix": _mix(found.mix),
        "dry": length(found.mix.dry),
        "water": {"least": length(least), "most": length(most), "shares": shares},
        "batch": {"volume": whole(found.batch), "bags": found.batch_bags, "count": found.batches},
        "slurry_cement": length(found.slurry),
    }


def _mix(mix: Mix) -> Figures:
    if isinstance(mix, Bags):
        return {
            "supply": "bag",
            "bags": mix.count,
            "exact": rounded(mix.exact, 3),
            "of": mix.of,
            "bag": length(mix.mass),
            "yield": whole(mix.makes),
        }
    return {
        "supply": "site",
        "parts": rounded(mix.parts, 6),
        "cement": {"volume": whole(mix.cement), "mass": length(mix.cement_mass)},
        "sand": {"volume": whole(mix.sand), "mass": length(mix.sand_mass)},
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
                **lengths(part, "near", "far"),
                "corners": list(part.corners),
                "area": rounded(part.area, 0),
                "volume": whole(part.volume),
                "bags": bags[k] if bags else None,
                "upper_volume": whole(part.upper),
                "upper_bags": upper_bags[k] if upper_bags else None,
            }
            for k, part in enumerate(found.parts)
        ],
    }


def _load(found: Load) -> Figures:
    return {
        "parts": [plain(part, "name") | lengths(part, "mean", "worst") | plain(part, "source") for part in found.parts],
        **lengths(found, "mean"),
        "worst": spot_figures("load", found.worst),
        "flood": {
            **lengths(found, "water_mean", "water_most"),
            "mean": length(found.test_mean),
            "worst": length(found.test_worst),
        },
        **lengths(found, "allowance"),
    }


def _flood(test: FloodTest) -> Figures:
    return {
        **lengths(test, "level", "at_threshold", "at_drain", "wanted"),
        "is_held": test.is_held,
        "over_curb": length(test.over_curb),
        "volume": whole(test.volume),
        "mass": length(test.mass),
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
        **lengths(task, "hours"),
        "says": [plain(said, "text", "source") for said in task.says],
        "needs": list(task.needs),
        "cautions": [{"hazard": caution.hazard.value, **plain(caution, "says", "source")} for caution in task.cautions],
        "wait": wait and lengths(wait, "hours") | plain(wait, "says", "source"),
    }


def _way(way: Way, bill: Bill | None) -> Figures:
    return {
        "way": way.name.value,
        "fits": way.fits.value,
        "why": plain(way.why, "text", "source"),
        "needs": [plain(said, "text", "source") for said in way.needs],
        "volume": whole(way.volume),
        "mass": length(way.mass),
        **lengths(way, "load"),
        "waits": rounded(way.waits, 3),
        **({} if bill is None else {"costs": bill_figures(bill)}),
    }
