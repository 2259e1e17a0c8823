"""The pages for the site: shopping, the order of work, the flood test, other ways to build."""

from engine.packed import wording
from engine.phrases import joined, phrase, shaped
from engine.quantities import Units
from engine.sheets.text.build import of_work
from engine.sheets.text.site import FITS, WAYS, way_load
from engine.work.alternatives import Way
from engine.work.cautions import Hazard
from engine.work.costs import line_words, shopping_bill, total_words, way_bill
from engine.work.finish_tasks import flood as flood_task
from engine.work.shopping import amount, item_words
from engine.work.steps import Said, Step, Task
from engine.work.whole import Work
from engine.work.words import length_over, mass_over, time_words, volume_over

from ..dates import date_words
from ..terminal import capital, sentence
from ..widgets.sheet import Listing, SheetLine
from .lines import BLANK, About, Place, head, indented, line

_HAZARDS = {
    Hazard.SILICA: phrase("silica"),
    Hazard.WET_CEMENT: phrase("wet cement"),
    Hazard.LIFTING: phrase("lifting"),
    Hazard.STRUCTURE: phrase("structure"),
    Hazard.PLUMBING: phrase("plumbing"),
    Hazard.ACCESS: phrase("accessible design"),
    Hazard.LOCAL_CODE: phrase("local code"),
}


@of_work
def shopping(work: Work) -> Listing:
    """What is bought; the explain key tells how each is reckoned."""
    yield head(phrase("Shopping list"))
    bill = shopping_bill(work)
    for i, purchase in enumerate(work.shopping):
        text = phrase("{name}: {value}", name=item_words(purchase.item), value=amount(purchase))
        about = About("purchase", sentence(purchase.reckoned), purchase.source, f"shopping[{i}].quantity")
        yield line(text, f"purchase:{purchase.item.value}", about)
        if bill is not None and (cost := bill.line(purchase.item)) is not None:
            text = phrase("  {cost}", cost=line_words(cost, bill.currency))
            yield line(text, f"cost:{purchase.item.value}", About("cost"), hangs=4)
    if bill is not None:
        yield line(phrase("Cost in all: {total}", total=total_words(bill)), "costs", About("costs"))
    yield BLANK
    yield SheetLine(joined("", [wording("work")["not-reckoned"], "."]))
    yield SheetLine(phrase("F1 tells how each was reckoned."))


@of_work
def order(work: Work) -> Listing:
    """The steps with their days, cautions, needs and waits."""
    yield head(phrase("Order of work"))
    if work.site.job.start is None:
        yield SheetLine(
            phrase("Days are counted. Give the day the work starts, in the first step, and each has its date.")
        )
    for step in work.order:
        yield BLANK
        yield from _step(step)


def _step(step: Step) -> Listing:
    day = phrase("day {number}", number=step.day + 1)
    if step.date is not None:
        day = joined(", ", [date_words(step.date), day])
    text = phrase("{number}. {task}: {day}", number=step.number, task=step.task.title, day=day)
    yield line(text, f"step:{step.number}", About("step"))
    yield from task_lines(step.task, f"step:{step.number}")


def task_lines(task: Task, key: str) -> Listing:
    """A task's cautions, sentences, needs, time and wait."""
    for i, caution in enumerate(task.cautions):
        name = shaped(_HAZARDS[caution.hazard], str.upper)
        text = phrase("  CAUTION, {hazard}: {says}", hazard=name, says=caution.says)
        yield line(text, f"{key}:caution:{i}", About("caution", "", caution.source), hangs=4)
    for i, said in enumerate(task.says):
        yield _said(said, f"{key}:says:{i}", "step.says")
    if task.needs:
        text = phrase("  Needs: {things}", things=joined(", ", task.needs))
        yield line(text, f"{key}:needs", About("step.needs"), hangs=4)
    if task.hours is not None:
        text = phrase("  Takes about {time}", time=time_words(round(task.hours, 1)))
        yield line(text, f"{key}:hours", About("step.hours"), hangs=4)
    if task.wait is not None:
        about = About("step.wait", "", task.wait.source)
        text = phrase("  WAIT {time}. {says}", time=time_words(task.wait.hours), says=task.wait.says)
        yield line(text, f"{key}:wait", about, hangs=4)


def _said(said: Said, key: str, topic: str) -> SheetLine:
    return line(joined("", ["  - ", said.text]), key, About(topic, "", said.source), hangs=4)


@of_work
def flood(work: Work) -> Listing:
    """How deep, how much, how long, and what counts as a pass."""
    test, units, drain = work.flood, work.site.units, work.site.drains[0].flange.centre.tolist()
    yield head(phrase("Flood test of the lining"))
    fill = phrase(
        "Fill to {depth} {where}, {deepest} at the drain",
        depth=length_over(test.at_threshold, units),
        where=phrase("at the threshold" if work.site.thresholds else "at the walls"),
        deepest=length_over(test.at_drain, units),
    )
    yield line(fill, "flood:depth", About("flood.depth"), Place(*drain))
    water = phrase("Water: {volume}, {mass}", volume=volume_over(test.volume, units), mass=mass_over(test.mass, units))
    yield line(water, "flood:water", About("flood.water"))
    yield BLANK
    yield head(phrase("How it is done"))
    yield from task_lines(flood_task(work), "flood")


@of_work
def ways(work: Work) -> Listing:
    """The mortar bed and other ways: whether each fits, its needs, weight and waits."""
    yield head(phrase("Other ways to build it"))
    for way in work.ways:
        yield BLANK
        yield from _way(way, work.site.units)
        bill = way_bill(work, way)
        if bill is not None:
            cost = phrase("  cost: {total}", total=total_words(bill))
            yield line(cost, f"way:{way.name.value}:cost", About("costs"), hangs=4)
    yield BLANK
    yield SheetLine(wording("work")["own-prices" if shopping_bill(work) else "no-prices"])


def _way(way: Way, units: Units) -> Listing:
    key = f"way:{way.name.value}"
    name = shaped(WAYS[way.name], capital)
    fits = phrase("{way}: fits the room? {answer}", way=name, answer=FITS[way.fits])
    yield line(fits, key, About("way", joined("", [way.why.text, "."]), way.why.source))
    yield line(indented(_weighs(way, units)), f"{key}:volume", About("way.volume"))
    waits = phrase("  waits {time} in all, flood test not counted", time=time_words(way.waits))
    yield line(waits, f"{key}:waits", About("way.waits"))
    yield _said(way.why, f"{key}:why", "way")
    for i, need in enumerate(way.needs):
        yield _said(need, f"{key}:need:{i}", "way.needs")


def _weighs(way: Way, units: Units) -> str:
    volume = volume_over(way.volume, units) if way.volume else phrase("no mud or leveller")
    if not way.mass:
        return volume
    return phrase(
        "{volume}, {mass}, mean load {load}", volume=volume, mass=mass_over(way.mass, units), load=way_load(way, units)
    )
