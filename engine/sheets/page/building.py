"""What is bought, laid and done, in rows for the page."""

from collections.abc import Iterator

from ...limits.words import length_over, length_under
from ...packed import wording
from ...plan import Plan
from ...quantities import Units
from ...records import record
from ...work.cautions import Caution
from ...work.costs import Bill, line_words, shopping_bill, total_words
from ...work.heights import Heights
from ...work.layers import Layer
from ...work.load import Load
from ...work.shopping import Purchase, amount, item_words
from ...work.steps import Step
from ...work.whole import Work
from ...work.words import load_over, load_under, time_words
from ..text.build import of_work, piece_words
from ..text.site import WAY_COST, way_table
from .head import Sources

_COSTS = "Costs go by your own prices; a + stands where something has none."
_IN_WORDS = "What each needs: the plan as text, or the wizard."


@record
class Sentence:
    """What is said, and its source's number, 0 for none."""

    text: str
    source: int


@record
class CautionWords:
    """A caution in full: what it is about, what it says, its source's number."""

    hazard: str
    says: str
    source: int


@record
class StepWords:
    """A step of the work, in words; date: "" for none, or the same as the step before.

    again: cautions told in full before, with that step.
    """

    number: int
    day: str
    date: str
    title: str
    says: tuple[Sentence, ...]
    needs: str
    takes: str
    cautions: tuple[CautionWords, ...]
    again: str
    wait: Sentence | None


def steps(plan: Plan, sources: Sources) -> list[StepWords]:
    """The order of work; a caution is told in full at its first step."""
    if not plan.work:
        return []
    told: dict[str, int] = {}
    found, day = [], -1
    for step in plan.work.order:
        date = "" if step.date is None or step.day == day else step.date.isoformat()
        found.append(_step(step, date, sources, told))
        day = step.day
    return found


def _step(step: Step, date: str, sources: Sources, told: dict[str, int]) -> StepWords:
    task = step.task
    firsts = {caution.says: told.setdefault(caution.says, step.number) for caution in task.cautions}
    new = [caution for caution in task.cautions if firsts[caution.says] == step.number]
    again = [caution for caution in task.cautions if firsts[caution.says] < step.number]
    return StepWords(
        number=step.number,
        day=f"day {step.day + 1}",
        date=date,
        title=task.title,
        says=tuple(Sentence(said.text, sources.number(said.source)) for said in task.says),
        needs=", ".join(task.needs),
        takes="" if task.hours is None else time_words(round(task.hours, 1)),
        cautions=tuple(CautionWords(_hazard(caution), caution.says, sources.number(caution.source)) for caution in new),
        again=", ".join(f"{_hazard(caution)} (step {firsts[caution.says]})" for caution in again),
        wait=None if task.wait is None else Sentence(task.wait.says, sources.number(task.wait.source)),
    )


def _hazard(caution: Caution) -> str:
    return caution.hazard.value.replace("-", " ")


@record
class Bought:
    """An item to buy: how much, its cost ("" without a price), how it was reckoned and by whom."""

    item: str
    amount: str
    cost: str
    reckoned: str
    source: int


def bought(plan: Plan, sources: Sources) -> list[Bought]:
    """The shopping list."""
    if not plan.work:
        return []
    bill = shopping_bill(plan.work)
    return [
        Bought(item_words(one.item), amount(one), _cost(bill, one), one.reckoned, sources.number(one.source))
        for one in plan.work.shopping
    ]


def _cost(bill: Bill | None, purchase: Purchase) -> str:
    line = bill and bill.line(purchase.item)
    return line_words(line, bill.currency).replace(" each", "") if bill and line else ""


def cost(plan: Plan) -> str:
    """What all that has a price costs; "" where nothing has."""
    bill = shopping_bill(plan.work) if plan.work else None
    return "" if bill is None else total_words(bill)


@of_work
def lath_pieces(work: Work) -> list[str]:
    """Where each piece of lath lies."""
    return [] if work.lath is None else [piece_words(piece, work.site) for piece in work.lath.pieces]


@of_work
def layer_rows(work: Work) -> list[tuple[str, str]]:
    """The layers and their thickness, from the tile down to the rough floor."""
    return [(layer.name.value.replace("-", " "), _thickness(layer, work.units)) for layer in reversed(work.layers)]


def _thickness(layer: Layer, units: Units) -> str:
    if layer.most <= 0:
        return "(no thickness counted)"
    if layer.least == layer.most:
        return length_over(layer.most, units)
    return f"{length_under(layer.least, units)} to {length_over(layer.most, units)}"


@of_work
def height_facts(work: Work) -> list[tuple[str, str]]:
    """Finished heights, the lining's edge, and the load if limited."""
    units = work.units
    return [*_heights(work.heights, units), *_lining(work, units), *_load(work.load, units)]


def _heights(found: Heights, units: Units) -> Iterator[tuple[str, str]]:
    yield "Grate", f"{length_over(found.grate, units)} over the flange"
    yield "Tile at a mark", f"{length_over(found.grate, units)} over it, along every wall"
    tops = [corner.above_grate for corner in found.corners]
    low, high = length_under(min(tops), units), length_over(max(tops), units)
    same = length_over(min(tops), units) == high
    yield "Tile at the corners", f"{high if same else f'{low} to {high}'} over the grate"
    for edge in found.thresholds:
        if edge.kind.value == "open":
            yield (f"Recess at {edge.edge}", f"{length_over(edge.most, units)} under the finished floor outside")
    if found.curb_over_drain is not None and found.curb_over_floor is not None:
        over = _over(found.curb_over_drain, units)
        yield ("Curb's top", f"{over} the finished drain, {_over(found.curb_over_floor, units)} the tile beside it")


def _over(mm: float, units: Units) -> str:
    return f"{length_under(mm, units)} over" if mm >= 0 else f"{length_over(-mm, units)} under"


def _lining(work: Work, units: Units) -> Iterator[tuple[str, str]]:
    found = work.lining
    over, up = length_over(found.over_threshold.value, units), length_over(found.up_most, units)
    name = "Liner's edge" if found.is_liner else "Membrane's edge"
    yield name, f"{over} over the finished threshold, up to {up} up the walls from the bed"


def _load(found: Load, units: Units) -> Iterator[tuple[str, str]]:
    if found.allowance is not None:
        worst = load_over(found.worst.value, units)
        yield "Load", f"up to {worst}; allowed {load_under(found.allowance, units)}, your own figure"


@record
class WayRow:
    """A way's name, and what stands under each head."""

    name: str
    cells: list[str]


def ways(plan: Plan) -> tuple[list[str], list[WayRow], str]:
    """The heads, the ways, and where their words and costs come from."""
    if not plan.work:
        return [], [], ""
    table = way_table(plan.work)
    rows = [WayRow(name, cells) for name, *cells in zip(*table.values(), strict=True)]
    costs = _COSTS if WAY_COST in table else wording("work")["no-prices"]
    return [head for head in table if head], rows, f"{_IN_WORDS} {costs}"
