"""The plan as text, for site and screen reader: every line says what its figures are."""

from ...plan import Plan
from . import build, closing, cuts, floor, proof, set_out, site

_SECTIONS = (
    floor.top,
    floor.needs,
    floor.findings,
    floor.floor,
    floor.readings,
    floor.drains,
    floor.bed,
    floor.shapes,
    set_out.valleys,
    floor.marks,
    set_out.ridges,
    cuts.strips,
    cuts.stock,
    cuts.straightedges,
    build.layers,
    build.heights,
    build.mortar,
    build.load,
    site.shopping,
    site.order,
    site.ways,
    floor.least_bed,
    proof.sure,
    proof.hand,
    proof.as_built,
    proof.flood_log,
    closing.own_figures,
    closing.meanings,
    closing.cautions,
)


def plan_text(plan: Plan) -> str:
    """The plan in lines of at most 80 characters, in the job's units, with a newline at its end.

    Lengths are rounded to 1/32 in or 0.1 mm, amounts to what is bought, toward the safe side. Raises JobError for strip
    or stock entries that fit none.
    """
    return "\n".join(line for section in _SECTIONS for line in section(plan)) + "\n"
