"""Tiles: large ones do not follow a floor that is not flat."""

from __future__ import annotations

from collections.abc import Iterator

from engine.bed.surfaces import Hidden
from engine.job.defaults import tile_edge
from engine.job.model import BedShape, DrainKind
from engine.limits.checks.case import NOISE, Case
from engine.limits.findings import Finding
from engine.limits.rulebook import Figure
from engine.limits.words import figure_words
from engine.phrases import phrase
from engine.survey.spot import Needs

_FORM = {
    BedShape.EVEN_FALL: phrase("a cone: no part of it is flat"),
    BedShape.LEVEL_WALLS: phrase("facets that meet in valleys and lean toward the drain like a cone"),
}


def check_tiles(case: Case) -> Iterator[Finding]:
    """Finding large-tile-cone, where a bed falls to a point drain from all sides."""
    limit, edge, bed = case.book.find(Figure.CONE_TILE_EDGE), tile_edge(case.job), case.stages.bed
    shape = case.job.bed.shape if isinstance(bed, Needs | Hidden) else bed.shape
    to_a_point = any(drain.kind in (DrainKind.ROUND, DrainKind.SQUARE) for drain in case.job.drains)
    if limit is None or shape not in _FORM or not to_a_point or edge < limit.value - NOISE:
        return
    yield Finding(
        rule="large-tile-cone",
        level=limit.level,
        says=phrase(
            "tiles of {edge} show lippage here: the bed is {form}, and from {limit} up tiles do not follow it",
            edge=case.length(edge),
            form=_FORM[shape],
            limit=case.limit(limit),
        ),
        remedy=phrase(
            "take tiles under {limit}, {mosaic} follows best; cut the large ones along the valleys; or plan "
            "one plane to a channel",
            limit=case.limit(limit),
            mosaic=_mosaic(case),
        ),
        source=limit.cited,
        key="build.tile_edge",
    )


def _mosaic(case: Case) -> str:
    limit = case.book.find(Figure.MOSAIC_AREA)
    if limit is None:
        return phrase("mosaic")
    return phrase("mosaic (tiles under {area})", area=figure_words(Figure.MOSAIC_AREA, limit, case.units))
