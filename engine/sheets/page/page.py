"""The whole plan as one HTML file that prints on two sheets and needs nothing else."""

import math
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup

from ...errors import harmless
from ...packed import unpacked, wording
from ...plan import Plan
from ..cut_words import proof_words
from ..remedy_words import counts
from ..sure_words import marks_sure_words
from ..text.closing import own_rows, standing_cautions
from . import building, cutting, head, set_out
from .built import built_words, log_words
from .cutting import board_bars, crowded, spliced
from .error_map import error_map
from .head import Sources
from .plan_drawing import plan_drawing
from .side_view import side_view
from .svg import Drawing, written

# Lengths in [mm of paper].
_HEADING = 5.0  # with the air about it
_MARK, _MARKS = 3.95, 15.0  # a row of the marks' table; its heading, head and words
_LINE, _LETTERS = 3.2, 37  # a line of facts, and how many letters go on one
_OVER = 4.0  # that the column may be taller than the drawings

Rows = list[tuple[str, str]]
_MANY_ROWS, _TOO_MANY = (28, 32)  # marks and strips; beyond, drawings are small, side by side; what runs on is brief
_SMALL, _CUT = (80.0, 64.0), 46.0  # for the floor and for the cut then


def tall_drawings(drawings: Sequence[Drawing | None]) -> float:
    """The drawings' height with their headings [mm of paper]."""
    heights = [drawing.root.get("height", "0mm") for drawing in drawings if drawing is not None]
    return sum(float(height.removesuffix("mm")) + _HEADING for height in heights)


def tall_facts(*lists: Rows) -> float:
    """About the height of lists of facts under headings; 0 for empty ones [mm of paper]."""
    return sum(_HEADING + _LINE * sum(math.ceil(len(text) / _LETTERS) for _, text in rows) for rows in lists if rows)


def tall_marks(count: int) -> float:
    """About the height of a table of so many marks [mm of paper]."""
    return _MARKS + _MARK * count if count else 0.0


def fits(tall: float, room: float) -> bool:
    """Whether what is so tall stands beside drawings so tall [mm of paper]."""
    return tall <= room + _OVER


def plan_page(plan: Plan) -> str:
    """The plan as one page of HTML: US Letter for an inch job, else A4.

    Nothing typed is read as markup. A plan not whole says what it needs. Raises JobError for strip or stock entries
    that fit none.
    """
    return _environment().get_template("page.html.jinja").render(_facts(plan))


@cache
def _environment() -> Environment:
    return Environment(
        loader=DictLoader(_texts()),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_inert,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


def _inert(value: object) -> object:
    return value if isinstance(value, Markup) else harmless(str(value))


@cache
def _texts() -> dict[str, str]:
    texts: dict[str, str] = unpacked(Path(__file__).with_name("page.json.bz2"))
    return texts


def _drawn(drawing: Drawing | None) -> tuple[str, Markup] | None:
    if drawing is None:
        return None
    return drawing.title, Markup(written(drawing.root))  # noqa: S704 - made by the engine, element by element


def _facts(plan: Plan) -> dict[str, Any]:
    sources = Sources()
    stock = plan.stock or None
    marks, heights = set_out.mark_rows(plan), building.height_facts(plan)
    way_heads, ways, on_ways = building.ways(plan)
    above, beside = plan_drawing(plan, head.numbered(plan)), side_view(plan)
    drains, bed = set_out.drain_facts(plan), set_out.bed_facts(plan)
    ridges, valleys = set_out.ridge_facts(plan), set_out.valley_facts(plan)
    own = list(own_rows(plan))
    room = tall_drawings([above, beside]) - tall_facts(drains + bed, ridges, valleys, own)
    has_many_marks = not fits(tall_marks(len(marks)), room)
    strips = cutting.strip_rows(plan)
    is_small = has_many_marks and len(marks) + len(strips) > _MANY_ROWS
    is_brief = has_many_marks and len(marks) + len(strips) > _TOO_MANY
    left = room - (0.0 if has_many_marks else tall_marks(len(marks)))
    if is_small:
        above, beside = plan_drawing(plan, head.numbered(plan), _SMALL), side_view(plan, _CUT)
        left = tall_drawings([above]) - tall_drawings([beside])
        left -= 0.75 * tall_facts(drains + bed, ridges, valleys, own)  # for wider lines
    return {
        "stylesheet": Markup(_texts()["page.css"]),  # noqa: S704 - the project's own file
        "head": head.head(plan),
        "local_code": wording("care")["local-code"].partition(". ")[0] + ".",
        "needs": plan.needs,
        "counts": counts(plan),
        "is_stopped": plan.has_stop,
        "findings": head.findings(plan, sources),
        "plan_drawing": _drawn(above),
        "side_view": _drawn(beside),
        "marks": marks,
        "marks_sure": marks_sure_words(plan),
        "has_many_marks": has_many_marks,
        "is_full": plan.has_stop or not is_brief,
        "is_small": is_small,
        "is_long": is_brief or plan.as_built is not None,
        "drains": drains,
        "bed": bed,
        "ridges": ridges,
        "valleys": valleys,
        "own": own,
        "strips": strips,
        "boards": None if stock is None else _drawn(board_bars(stock, plan.units)),
        "splices": [] if stock is None else spliced(stock, plan.units),
        "crowded": [] if stock is None else crowded(stock, plan.units),
        "boards_proof": "" if stock is None else proof_words(stock, plan.units),
        "straightedges": cutting.straightedge_rows(plan),
        "bends": cutting.bends(plan),
        "layers": building.layer_rows(plan),
        "heights": heights,
        "are_heights_beside": left > 0 if is_small else fits(tall_facts(heights), left),
        "shopping": building.bought(plan, sources),
        "cost": building.cost(plan),
        "lath": building.lath_pieces(plan),
        "not_reckoned": wording("work")["not-reckoned"],
        "steps": building.steps(plan, sources),
        "ways": ways,
        "way_heads": way_heads,
        "on_ways": on_ways,
        "built": built_words(plan),
        "error_map": _drawn(error_map(plan)),
        "log": log_words(plan, sources),
        "cautions": standing_cautions(plan.rulebook, plan.units)[1:],
        "sources": sources.told,
    }
