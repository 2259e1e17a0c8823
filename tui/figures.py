"""What the explain key shows of a figure or a finding."""

from engine.phrases import phrase
from engine.plan import Plan
from engine.survey.outline import FloorOutline
from engine.why import Pages, explained
from tui.rule_names import rule_title
from tui.terminal import sentence
from tui.widgets.findings import level_words


def figure_page(plan: Plan, figure: str) -> Pages:
    """Title and paragraphs for a figure or a finding; says so where there is nothing to explain.

    figure: a plain name of `engine.why`, "mark:3" or "finding:0" by their numbers in the plan.
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
    if page is None or not isinstance(plan.outline, FloorOutline):
        return phrase("Nothing to explain here"), [("", phrase("Go to a figure with Up and Down, then press F1."))]
    return page
