"""The legend of a map: what the shades stand for in the job's units, and what each mark is."""

from collections.abc import Iterator

from engine.bed.catchments import ridge_lines
from engine.bed.surfaces import valley_parts
from engine.job.model import EdgeKind
from engine.phrases import phrase
from engine.plan import Plan

from ..terminal import capital
from ..tongues import told
from .ink import Ink, PictureLine, Span
from .lines import wrapped
from .looks import Looks
from .map_bands import Bands, bare
from .map_cells import MapCells
from .map_layers import MapLayer, waits_briefly, waits_for
from .map_marks import ASCII_DRAIN, DRAIN, ISLAND, STATION, MarkKind, read_on
from .map_strokes import ASCII_VALLEY, VALLEY, strokes
from .map_water import catchment_shares, tag
from .ramps import shades

COLUMN_WIDTH = 24
_EDGE_WORDS = {EdgeKind.WALL: phrase("wall"), EdgeKind.CURB: phrase("curb"), EdgeKind.OPEN: phrase("open edge")}
_UNDER = {
    MapLayer.DEPTH: phrase("bed over rough floor"),
    MapLayer.BED: phrase("over the drain"),
    MapLayer.ROUGH: phrase("over the drain"),
    MapLayer.FALL: phrase("steepest way, there"),
    MapLayer.WATER: phrase("deep; arrows: it runs"),
    MapLayer.ERROR: phrase("over the planned bed"),
}
_MINUS = phrase("minus: under the drain")
_TOO_LOW = phrase("minus: too low")


def column(plan: Plan, cells: MapCells, looks: Looks, width: int, rows: int) -> list[PictureLine]:
    """The legend as a column: least and most, a line for each step, then the marks; at most so many rows."""
    head: list[PictureLine] = [(Span(told(cells.layer.value), Ink.STRONG),)]
    if cells.bands is None:
        head += [(Span(line),) for line in wrapped(_waiting(plan, cells.layer, has_title=True), width)]
    else:
        minus = _TOO_LOW if cells.layer is MapLayer.ERROR else _MINUS
        head.append((Span(told(minus if cells.bands.least < 0 else _UNDER[cells.layer])),))
        head += _steps(cells.bands, looks)
    keys = [(span, Span(f" {told(words)}")) for span, words in key(plan, cells, looks)]
    room = rows - len(head) - 1
    return [*head, (), *keys][:rows] if room > 0 else head[:rows]


def line(plan: Plan, cells: MapCells, looks: Looks, width: int) -> PictureLine:
    """The legend as one line with the layer's name, as much as fits: limits, else least, most and step."""
    if cells.bands is None:
        words = _waiting(plan, cells.layer)
        brief = told(waits_briefly(plan, cells.layer))
        return (Span(words if len(words) <= width else brief[:width]),)
    name = f"{told(cells.layer.value)} "
    forms = (
        _scale(cells, looks, swatch=2, name=f"{name} "),
        _scale(cells, looks, swatch=1, name=name),
        _short(cells, looks, name),
        _short(cells, looks, name, has_step=False),
        _short(cells, looks, "", has_step=False),
    )
    return next((form for form in forms if length(form) <= width), forms[-1][:1])


def lines(plan: Plan, cells: MapCells, looks: Looks, width: int, rows: int) -> list[PictureLine]:
    """The legend in a few lines: the limits between the shades, then as many marks as fit."""
    keys = _key_lines(plan, cells, looks, width)
    if cells.bands is None:
        head: list[PictureLine] = [(Span(words),) for words in wrapped(_waiting(plan, cells.layer), width)]
        if cells.layer is MapLayer.WATER and len(plan.job.drains) > 1 and len(head) + len(keys) > rows:
            head = [(Span(told(waits_briefly(plan, cells.layer))),)]
    else:
        head = _head(plan, cells, looks, width, rows)
    return [*head, *keys][:rows]


def _head(plan: Plan, cells: MapCells, looks: Looks, width: int, rows: int) -> list[PictureLine]:
    named = _scale(cells, looks, swatch=1, name=f"{told(cells.layer.value)} ")
    limits = _broken(_scale(cells, looks, swatch=1, name=""), width)
    if length(named) <= width or len(limits) > rows - 2:
        return [line(plan, cells, looks, width)]
    return [(Span(told(cells.layer.value), Ink.STRONG),), *limits]


def _broken(scale: PictureLine, width: int) -> list[PictureLine]:
    lines: list[list[Span]] = [[]]
    for span, following in zip(scale, (*scale[1:], Span("")), strict=True):
        needed = len(span.text) + (len(following.text.rstrip()) if span.ink is Ink.SHADE else 0)
        if lines[-1] and span.ink is Ink.SHADE and length(tuple(lines[-1])) + needed > width:
            lines[-1][-1] = lines[-1][-1]._replace(text=lines[-1][-1].text.rstrip())
            lines.append([])
        lines[-1].append(span)
    return [tuple(spans) for spans in lines]


def _key_lines(plan: Plan, cells: MapCells, looks: Looks, width: int) -> list[PictureLine]:
    lines: list[list[Span]] = [[]]
    for span, words in key(plan, cells, looks):
        piece = [span, Span(f" {told(words)}")]
        gap = [Span("  ")] if lines[-1] else []
        if lines[-1] and length((*lines[-1], *gap, *piece)) > width:
            lines.append(piece)
        else:
            lines[-1] += [*gap, *piece]
    return [tuple(spans) for spans in lines]


def key(plan: Plan, cells: MapCells, looks: Looks) -> Iterator[tuple[Span, str]]:
    """The marks on this map, each with its word; what is rare first."""
    kinds = {mark.kind for mark in cells.marks}
    numbered = [mark for mark in cells.marks if mark.number]
    if numbered:
        yield Span(numbered[0].character, Ink(numbered[0].kind.value)), phrase("a finding's number")
    if cells.layer is MapLayer.WATER:
        yield from ((Span(number), words) for number, words in catchment_shares(plan))
    if MarkKind.DRAIN in kinds:
        several = len(plan.job.drains) > 1
        sign = f"{ASCII_DRAIN if looks.ascii else DRAIN}{tag(1) if several else ''}"
        yield Span(sign, Ink.DRAIN), phrase("drain {number}", number=1) if several else phrase("drain")
    if MarkKind.ISLAND in kinds:
        yield Span(ISLAND, Ink.ISLAND), phrase("island, no bed")
    yield from _lines(plan, looks)
    read = read_on(plan, cells.layer)
    if MarkKind.STATION in kinds:
        name = phrase("reading" if read is plan.readings else "reading of the bed")
        yield Span(STATION, Ink.STATION), name
    elif read:
        yield Span(STATION, Ink.STATION), phrase("{count} readings, too close to draw", count=len(read))
    for edge in (EdgeKind.CURB, EdgeKind.OPEN, EdgeKind.WALL):
        if edge in cells.edges:
            yield Span(strokes(looks)[edge].level, Ink.EDGE), _EDGE_WORDS[edge]


def _lines(plan: Plan, looks: Looks) -> Iterator[tuple[Span, str]]:
    if not plan.bed:
        return
    stroke = ASCII_VALLEY if looks.ascii else VALLEY
    if valley_parts(plan.bed):
        yield Span(stroke.level, Ink.EDGE), phrase("valley")
    if ridge_lines(plan.bed):
        yield Span(stroke.upright, Ink.EDGE), phrase("ridge")


def length(spans: PictureLine) -> int:
    """How many cells a line takes."""
    return sum(len(span.text) for span in spans)


def _waiting(plan: Plan, layer: MapLayer, *, has_title: bool = False) -> str:
    small = phrase("{layer}: the floor is too small to shade at this size.", layer=layer.value)
    words = told(waits_for(plan, layer) or small)
    return capital(words.removeprefix(f"{told(layer.value)}: ")) if has_title else words


def _steps(meaning: Bands, looks: Looks) -> Iterator[PictureLine]:
    glyphs = shades(looks)
    if meaning.is_flat:
        yield _swatch(meaning, glyphs, 0), _all_over(meaning)
        return
    most, least = told(phrase("most")), told(phrase("least"))
    wide = max(len(most), len(least))
    yield (Span(f"{most.ljust(wide)} {meaning.most_text}", Ink.STRONG),)
    limits = [meaning.number(limit) for limit in meaning.limits]
    for band in reversed(range(meaning.count)):
        between = phrase("{low} to {high}", low=limits[band], high=limits[band + 1])
        yield _swatch(meaning, glyphs, band), Span(f" {told(between)}")
    yield (Span(f"{least.ljust(wide)} {meaning.least_text}", Ink.STRONG),)


def _all_over(meaning: Bands) -> Span:
    return Span(f" {told(phrase('{figure} all over', figure=meaning.text(meaning.least)))}")


def _swatch(meaning: Bands, glyphs: str, band: int, width: int = 3) -> Span:
    level = meaning.level(band)
    return Span(glyphs[level] * width, Ink.SHADE, level)


def _scale(cells: MapCells, looks: Looks, swatch: int, name: str) -> PictureLine:
    """Least, then each shade and its upper limit, then most: `1 1/8 .. 1 1/2 :: 2 in`."""
    meaning = cells.bands
    if meaning is None or meaning.is_flat:
        return _short(cells, looks, name)
    spans = [Span(name, Ink.STRONG)] if name else []
    spans.append(Span(f"{bare(meaning.least_text)} "))
    for band in range(meaning.count):
        is_last = band == meaning.count - 1
        end = meaning.most_text if is_last else meaning.number(meaning.limits[band + 1])
        spans += [_swatch(meaning, shades(looks), band, swatch), Span(f" {end}" if is_last else f" {end} ")]
    return tuple(spans)


def _short(cells: MapCells, looks: Looks, name: str, *, has_step: bool = True) -> PictureLine:
    meaning = cells.bands
    if meaning is None:
        return ()
    spans = [Span(name, Ink.STRONG)] if name else []
    swatches = [_swatch(meaning, shades(looks), band, 1) for band in range(meaning.count)]
    if meaning.is_flat:
        return (*spans, swatches[0], _all_over(meaning))
    least, most = Span(f"{bare(meaning.least_text)} "), Span(f" {meaning.most_text}")
    words = phrase(", steps of {step}", step=meaning.number(meaning.step))
    step = [Span(told(words))] if has_step else []
    return (*spans, least, *swatches, most, *step)
