"""The pages for the site: shopping, the order of work, the flood test, other ways to build."""

from __future__ import annotations

from typing import TYPE_CHECKING

from engine.sheets.text.site import FITS, WAYS, way_load
from engine.survey.spot import Needs
from engine.work.alternatives import PRICES
from engine.work.finish_tasks import flood as flood_task
from engine.work.shopping import NOT_RECKONED, amount, item_words
from engine.work.words import length_over, mass_over, time_words, volume_over
from tui.results.lines import BLANK, About, Place, head, line
from tui.widgets.sheet import SheetLine
from tui.words_of import date_words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from engine.plan import Plan
    from engine.quantities import Units
    from engine.work.alternatives import Way
    from engine.work.said import Said
    from engine.work.steps import Step, Task


def shopping(plan: Plan) -> Iterator[SheetLine]:
    """What is bought; the explain key tells how each was reckoned."""
    if isinstance(plan.work, Needs):
        return
    yield head("Shopping list")
    for purchase in plan.work.shopping:
        name = item_words(purchase.item)
        about = About("purchase", f"{purchase.reckoned}.", purchase.source)
        yield line(f"{name}: {amount(purchase)}", f"purchase:{purchase.item.value}", about)
    yield BLANK
    yield SheetLine(f"{NOT_RECKONED}.")
    yield SheetLine("F1 tells how each was reckoned.")


# ------------------------------------------------------------------ order of work


def order(plan: Plan) -> Iterator[SheetLine]:
    """The steps with their days, cautions, needs and waits."""
    if isinstance(plan.work, Needs):
        return
    yield head("Order of work")
    if plan.job.start is None:
        yield SheetLine(
            "Days are counted. Give the day the work starts, in the first step, and each has its date."
        )
    for step in plan.work.order:
        yield BLANK
        yield from _step(step)


def _step(step: Step) -> Iterator[SheetLine]:
    day = f"day {step.day + 1}" if step.date is None else f"{date_words(step.date)}, day {step.day + 1}"
    yield line(f"{step.number}. {step.task.title}: {day}", f"step:{step.number}", About("step"))
    yield from task_lines(step.task, f"step:{step.number}")


def task_lines(task: Task, key: str) -> Iterator[SheetLine]:
    """A task's cautions, sentences, needs, time and wait."""
    for i, caution in enumerate(task.cautions):
        name = caution.hazard.value.replace("-", " ").upper()
        about = About("caution", "", caution.source)
        yield line(f"  CAUTION, {name}: {caution.says}", f"{key}:caution:{i}", about, hangs=4)
    for i, said in enumerate(task.says):
        yield _said(said, f"{key}:says:{i}", "step.says")
    if task.needs:
        yield line(f"  Needs: {', '.join(task.needs)}", f"{key}:needs", About("step.needs"), hangs=4)
    if task.hours is not None:
        hours = time_words(round(task.hours, 1))
        yield line(f"  Takes about {hours}", f"{key}:hours", About("step.hours"), hangs=4)
    if task.wait is not None:
        about = About("step.wait", "", task.wait.source)
        yield line(f"  WAIT {time_words(task.wait.hours)}. {task.wait.says}", f"{key}:wait", about, hangs=4)


def _said(said: Said, key: str, topic: str) -> SheetLine:
    return line(f"  - {said.text}", key, About(topic, "", said.source), hangs=4)


# ------------------------------------------------------------------ flood test


def flood(plan: Plan) -> Iterator[SheetLine]:
    """How deep, how much, how long, and what counts as a pass."""
    if isinstance(plan.work, Needs):
        return
    work, units = plan.work, plan.job.units
    test, drain = work.flood, work.site.drains[0].flange.centre.tolist()
    where = "at the threshold" if work.site.thresholds else "at the walls"
    yield head("Flood test of the lining")
    yield line(
        f"Fill to {length_over(test.at_threshold, units)} {where}, {length_over(test.at_drain, units)} at the drain",
        "flood:depth",
        About("flood.depth"),
        Place(*drain),
    )
    volume, mass = volume_over(test.volume, units), mass_over(test.mass, units)
    yield line(f"Water: {volume}, {mass}", "flood:water", About("flood.water"))
    yield BLANK
    yield head("How it is done")
    yield from task_lines(flood_task(work), "flood")


# ------------------------------------------------------------------ other ways


def ways(plan: Plan) -> Iterator[SheetLine]:
    """The mortar bed and other ways, each with whether it fits, what it needs, weighs and waits for."""
    if isinstance(plan.work, Needs):
        return
    yield head("Other ways to build it")
    for way in plan.work.ways:
        yield BLANK
        yield from _way(way, plan.job.units)
    yield BLANK
    yield SheetLine(PRICES)


def _way(way: Way, units: Units) -> Iterator[SheetLine]:
    key = f"way:{way.name.value}"
    name = WAYS[way.name]
    fits = f"{name[:1].upper()}{name[1:]}: fits the room? {FITS[way.fits]}"
    yield line(fits, key, About("way", f"{way.why.text}.", way.why.source))
    volume = volume_over(way.volume, units) if way.volume else "no mud or leveller"
    weighs = f", {mass_over(way.mass, units)}, mean load {way_load(way, units)}" if way.mass else ""
    yield line(f"  {volume}{weighs}", f"{key}:volume", About("way.volume"))
    yield line(
        f"  waits {time_words(way.waits)} in all, flood test not counted", f"{key}:waits", About("way.waits")
    )
    yield _said(way.why, f"{key}:why", "way")
    for i, need in enumerate(way.needs):
        yield _said(need, f"{key}:need:{i}", "way.needs")
