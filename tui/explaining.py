"""What the explain key shows: the field or figure in use, and the page of all keys."""

from collections.abc import Sequence

from engine.limits.figure_page import figure_page as rule_page
from engine.limits.findings import Finding
from engine.phrases import phrase, shaped
from engine.plan import Plan
from engine.remedies import Answer
from engine.sheets.remedy_words import remedy_words
from engine.why import Pages, explained

from .explanations import explanation
from .own_figures import figure_at
from .results.lines import About
from .rule_names import rule_name, rule_title
from .terminal import sentence
from .widgets.findings import LOOK_LONGER, LOOKS_ON, level_words
from .widgets.sheet import SheetLine

_TO_SCALE = phrase("The floor to scale, seen from above. The arrows walk the cursor; its figures stand under the map.")
_LAYERS = phrase(
    "F4 goes on: depth of mud, bed height, rough floor, fall, water, how far the finished bed is off, "
    "and the cut from the side: Left and Right take another wall."
)
_MARKS = phrase("Letters are corners; the legend names the rest. Numbers are in the job's units.")
MAP_PAGE: Pages = (
    phrase("The map"),
    [("", _TO_SCALE), (phrase("Layers"), _LAYERS), (phrase("Marks"), _MARKS)],
)


def field_page(key: str | None, plan: Plan | None = None) -> Pages:
    """What a field is, how to find its figure, what is usual, and who says so."""
    if key is None:
        return phrase("Nothing is in use"), [("", phrase("Go to a field or a figure with Up and Down, then press F1."))]
    if plan is not None and figure_at(key) is not None:
        return rule_page(plan.rulebook, key, plan.units) or field_page(key)
    try:
        found = explanation(key)
    except KeyError:
        return phrase("This field"), [("", phrase("There are no words for this field."))]
    place = key.partition("@")[2]
    where = [(phrase("Where"), place)] if " " in place else []
    return shaped(found.label, str.strip), [*found.paragraphs()[:1], *where, *found.paragraphs()[1:]]


def line_page(text: str, about: About) -> Pages:
    """A line of the results: what it says, what that is, how it came about, who says so."""
    found = explanation(f"results.{about.topic}")
    paragraphs = [("", sentence(shaped(text, _bare))), *found.paragraphs()]
    if about.worked:
        paragraphs.insert(2, (phrase("How it came about"), sentence(about.worked)))
    if about.source:
        paragraphs = [part for part in paragraphs if part[0] != "Source"]
        paragraphs.append((phrase("Source"), sentence(about.source)))
    return shaped(found.label, str.strip), paragraphs


def line_words(line: SheetLine | None) -> list[tuple[str, str]]:
    """What a line of the results says, before what explains its figure; a table's row is left to its page."""
    if line is None or line.figure.startswith("mark:"):
        return []
    return [("", sentence(shaped(line.text, _bare)))]


def _bare(text: str) -> str:
    return " ".join(text.split()).lstrip("- ")


def figure_page(plan: Plan, figure: str) -> Pages:
    """Title and paragraphs for a figure or a finding; says so where there is nothing to explain.

    figure: a name of `engine.why`, or "mark:3", "finding:0" by number in the plan.
    """
    name, _, number = figure.partition(":")
    if name == "finding":
        finding = plan.findings[int(number)]
        return rule_title(finding.rule), [
            (level_words(finding), sentence(finding.says)),
            (phrase("What clears it"), sentence(finding.remedy)),
            (phrase("Source"), sentence(finding.source)),
        ]
    if name == "need":
        return phrase("Still needed"), [
            ("", phrase("F6 goes to the findings and on to what is needed; Enter there goes to its field."))
        ]
    page = explained(plan, f"marks[{number}]" if name == "mark" else name)
    if page is None or not plan.outline:
        return phrase("Nothing to explain here"), [("", phrase("Go to a figure with Up and Down, then press F1."))]
    return page


def finding_page(plan: Plan, finding: Finding, answers: Sequence[Answer], *, looks_on: bool) -> Pages:
    """A finding in full, with all that was found to clear it."""
    number = plan.findings.index(finding)
    title, paragraphs = figure_page(plan, f"finding:{number}")
    for answer in answers[number : number + 1]:
        paragraphs += [
            (phrase("Way {number}", number=i), sentence(remedy_words(way, rule_name)))
            for i, way in enumerate(answer.remedies, 1)
        ]
        paragraphs += [(phrase("Cannot be"), sentence(says)) for says in answer.ruled_out]
        paragraphs += [("", LOOKS_ON if looks_on else LOOK_LONGER)] if answer.is_open else []
    return title, paragraphs
