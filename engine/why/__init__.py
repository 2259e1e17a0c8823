"""How a figure came about: which page a name means, and where the JSON has it."""

import re

from ..limits.figure_page import figure_page
from ..plan import Mark, Plan
from .pages import Pages, mark_page, mark_place, named_page

__all__ = ["Pages", "explained", "figure_paths", "known_figures", "mark_place"]

_PLACES = {
    "bed.wall height": "wall height",
    "bed.longest run": "longest run",
    "bed.least fall": "least fall",
    "bed.most fall": "most fall",
    "bed.least depth": "least depth",
    "bed.least depth.depth": "least depth",
    "bed.most depth": "most depth",
    "bed.most depth.depth": "most depth",
    "bed.volume": "volume",
    "drains[0].above rough": "drain",
    "drains[0].height": "drain",
    "guessed": "guessed",
    "outline.area": "area",
    "digest": "digest",
}
_MARK_AT = re.compile(
    r"marks? at ([A-Z]{1,2}(?:-[A-Z]{1,2})?|island \d{1,3} (?:corner \d{1,3}|side \d{1,3}-\d{1,3}))(?: (\d{1,6}))?"
)


def explained(plan: Plan, figure: str) -> Pages | None:
    """Title and paragraphs on how a figure came about; None for an unknown name.

    figure: its path in the JSON ("bed.wall_height", "marks[0]"), plain words ("wall height", "mark at A", "mark at A-B
    2": that wall's second, "A-B at 24 in": as the plan tells it), or a rulebook's key ("figures.curb_least").
    """
    mark = _found_mark(plan, figure)
    if mark is not None:
        return mark_page(plan, mark)
    return named_page(plan, _page(figure)) or figure_page(plan.rulebook, figure, plan.units)


def known_figures(plan: Plan) -> tuple[str, ...]:
    """The names of all that can be explained."""
    marks = tuple(f"marks[{i}]" for i in range(len(plan.marks))) if plan.marks else ()
    own = tuple(f"figures.{figure.key}" for figure in plan.rulebook.own)
    return tuple(place.replace(" ", "_") for place in _PLACES) + own + marks


def figure_paths(plan: Plan, figure: str) -> tuple[str, ...]:
    """Where a figure in plain words stands in the JSON, the likeliest first."""
    mark = _found_mark(plan, figure)
    if mark is not None and plan.marks:
        named = re.search(r"\]\.(\w+)$", figure.strip())
        return (f"marks[{plan.marks.index(mark)}].{named[1] if named else 'below_line'}",)
    page = _page(figure)
    return tuple(place.replace(" ", "_") for place, shown in _PLACES.items() if shown == page)


def _page(figure: str) -> str:
    name = " ".join(figure.lower().replace("_", " ").split())
    return _PLACES.get(name, name)


def _found_mark(plan: Plan, figure: str) -> Mark | None:
    if not plan.marks:
        return None
    numbered = re.fullmatch(r"marks?\[(\d{1,6})\](?:\.\w+)?", figure.strip())
    if numbered:
        number = int(numbered[1])
        return plan.marks[number] if number < len(plan.marks) else None
    named = _MARK_AT.fullmatch(figure.strip())
    if not named:
        place = re.sub(r"^marks? at ", "", figure.strip())
        return next((mark for mark in plan.marks if mark_place(mark, plan.units) == place), None)
    along = [mark for mark in plan.marks if mark.at == named[1]]
    number = int(named[2] or 1)
    return along[number - 1] if 1 <= number <= len(along) else None
