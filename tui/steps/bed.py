"""The fifth step: how the bed falls to the drain, the person's own limits, strips and mud."""

from collections.abc import Sequence
from operator import itemgetter

from engine.job.defaults import supply
from engine.job.model import BedShape, DrainKind, Supply
from engine.job.rule_figures import Figure, Need
from engine.limits.rulebook import Rulebook, default_fall, rulebook
from engine.limits.words import figure_words, length_over, length_under
from engine.phrases import joined, phrase, shaped
from engine.quantities import Dimension, format_fall, format_length

from ..own_figures import NEW, shown_figures
from ..price_rows import price_rows
from ..rows import Offer, Row
from ..step_names import StepName, StepState
from ..view import View, heading, words
from .step import FormStep, state_of

_SHAPES = (
    (BedShape.LEVEL_WALLS.value, phrase("level walls")),
    (BedShape.EVEN_FALL.value, phrase("even fall")),
    (BedShape.PLANE.value, phrase("plane")),
)
_BAGS = (("mortar.bag", Dimension.MASS), ("mortar.yield", Dimension.VOLUME))
_FITS = 18  # [characters] of a figure that stands in for one
_SITE_MIX = (("mortar.parts", Dimension.NUMBER),)
_SUPPLIES = ((Supply.BAG.value, phrase("bags")), (Supply.SITE.value, phrase("mixed on site")))


class BedStep(FormStep):
    """Shape, fall, mark step, overrides; then what is cut and what is mixed."""

    NAME = StepName.BED

    @classmethod
    def rows(cls, view: View) -> Sequence[Row]:
        """What the plan needs first, then what may be overridden."""
        job = view.job
        book = rulebook(job.rulebook) if view.plan is None else view.plan.rulebook
        fall = format_fall(default_fall(book), job.units)
        return [
            view.choice_row("bed.shape", _SHAPES, offer=_shape_offer(view)),
            view.text_row("bed.fall", Dimension.FALL, left_out=fall),
            view.text_row("bed.mark_step"),
            *_figures(view),
            heading("own", phrase("Your own figures, if you have any")),
            view.text_row("bed.least_depth", left_out=phrase("the rulebook's")),
            view.text_row("bed.most_depth", left_out=phrase("the rulebook's")),
            view.text_row("bed.wall_height", left_out=phrase("computed")),
            *_own_figures(view, book),
            heading("hand", phrase("How true you screed")),
            view.text_row("bed.trueness", left_out=phrase("not known")),
            *_strips(view),
            *_mortar(view),
            *price_rows(view),
        ]

    @classmethod
    def state(cls, view: View) -> StepState:
        """Done with a shape that fits the floor."""
        there = bool(view.plan and view.plan.depth)
        is_done = view.job.bed.shape is not None and there
        return state_of(view, "bed", "strips", "mortar", "figures", "prices", is_done=is_done)


def _own_figures(view: View, book: Rulebook) -> list[Row]:
    shown, taken = shown_figures(view.session.state)
    others = [figure for figure in Figure if figure not in shown]
    options = sorted(((figure.key, figure.words) for figure in others), key=itemgetter(1))
    return [
        *(_own_figure(view, figure, book) for figure in shown),
        view.choice_row(NEW, options, label=phrase("Another figure of the rulebook"), left_out=phrase("none")),
        *([] if taken is None else [_own_figure(view, taken, book)]),
    ]


def _own_figure(view: View, figure: Figure, book: Rulebook) -> Row:
    key, label = f"figures.{figure.key}", shaped(figure.words, str.capitalize)
    printed = book.find_printed(figure)
    instead = phrase("the rulebook has none")
    if printed is not None:
        told = figure_words(figure, printed, view.job.units)
        instead = phrase("the rulebook's: {figure}", figure=told if len(told) <= _FITS else printed.text)
    if figure.dimension is None:
        needs = [(Need.NEEDED.value, phrase("needed")), (Need.NOT_NEEDED.value, phrase("not needed"))]
        return view.choice_row(key, needs, label=label, left_out=phrase("none") if printed is None else printed.text)
    return view.text_row(key, figure.dimension, label=label, left_out=instead)


def _strips(view: View) -> list[Row]:
    return [
        heading("strips", phrase("Strips along the walls")),
        view.text_row("strips.thickness"),
        view.text_row("strips.short"),
        view.text_row("strips.stock", mark=_splices(view)),
        view.text_row("strips.kerf"),
    ]


def _splices(view: View) -> str:
    if view.plan is None or view.error is not None or view.plan.job.strips.stock is None:
        return ""
    stock = view.plan.stock
    if not stock or not stock.splices:
        return ""
    places = [
        phrase("{wall} at {along}", wall=splice.wall, along=format_length(splice.along, view.job.units))
        for splice in stock.splices
    ]
    return phrase("shorter than a wall: spliced on {places}", places=joined(", ", places))


def _mortar(view: View) -> list[Row]:
    how = _SITE_MIX if supply(view.job) is Supply.SITE else _BAGS
    return [
        heading("mortar", phrase("Deck mud")),
        view.choice_row("mortar.supply", _SUPPLIES, left_out=Supply.BAG.value),
        *(view.text_row(key, dimension) for key, dimension in how),
        view.text_row("mortar.waste", Dimension.SHARE),
    ]


def _shape_offer(view: View) -> Offer:
    if view.job.drains and view.job.drains[0].kind is DrainKind.CHANNEL:
        return Offer(BedShape.PLANE.value, phrase("usual with a channel"))
    return Offer(BedShape.LEVEL_WALLS.value, phrase("usual with a point drain"))


def _figures(view: View) -> list[Row]:
    plan = view.plan
    if plan is None or not plan.depth or not plan.bed:
        return []
    units, bed, depth = view.job.units, plan.bed, plan.depth
    is_level = bed.shape is BedShape.LEVEL_WALLS
    walls = phrase(
        "Walls {height} above the flange." if is_level else "Walls up to {height} above the flange.",
        height=length_over(bed.wall_height, units),
    )
    thick = phrase(
        "Bed {least} thick at its thinnest, {most} at its thickest.",
        least=length_under(depth.least.value, units),
        most=length_over(depth.most.value, units),
    )
    return [heading("figures", phrase("What it comes to")), words("figures-are", joined(" ", [walls, thick]))]
