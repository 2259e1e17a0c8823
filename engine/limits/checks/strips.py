"""The strips: high spots, no room, a flange or another strip in their way, too steep, boards too short."""

import math
from collections.abc import Iterator
from itertools import combinations

import numpy as np
import shapely

from ...bed.depth import Depth
from ...bed.surfaces import Bed
from ...errors import JobError
from ...job.defaults import mark_step, strip_short, strip_stock, strip_thickness
from ...job.model import DrainKind, EdgeKind
from ...layout.stock import wall_pieces
from ...layout.strip_heights import LOWEST_STRIP
from ...layout.strips import Strip, clear_of_flanges, ends, strips, wall_slopes
from ...phrases import joined, phrase
from ...quantities import INCH, Units, round_up
from ...records import record
from ...survey.outline import FloorOutline
from ...survey.place_words import paced
from ...survey.rough_floor import RoughFloor
from .case import NOISE, Case, Finding, Findings, Level, Spot

_PRACTICE = phrase("common practice, no source")
_ROOM = 24  # thicknesses a strip may reach past its wall, but at needle-sharp corners
_SAW = 45.0  # [degrees] that a saw tilts (common practice, no source)
_BOARD_STEP = Units.pair(12 * INCH, 100.0)  # [mm] that boards are sold in


def check_strips(case: Case) -> Findings:
    """Findings strips-overlap, strip-notched, strip-low, strip-on-flange, strip-steep and stock-short."""
    stages = case.stages
    if not stages.bed:
        return
    floor = stages.bed.reach.floor
    yield from _stock(case, floor)
    yield from _overlaps(case, floor)
    if not stages.rough or not stages.depth:
        return
    if _all_stand(case, stages.bed, stages.rough, stages.depth):
        return
    try:
        found = strips(case.job, stages.bed, stages.rough)
    except JobError:  # an entry that fits no strip is refused where the strips are asked for
        return
    for strip in found:
        for trouble in _troubles(case, strip):
            yield _finding(trouble, strip, floor)


def _all_stand(case: Case, bed: Bed, rough: RoughFloor, depth: Depth) -> bool:
    """Whether a saw cuts every strip, and each stands whole by the least depth less the floor's unevenness."""
    spare = depth.least.value - strip_short(case.job) - mark_step(case.job)
    if not bed.has_level_walls:
        spare -= rough.highest.value - rough.lowest.value
    elif any((wall_slopes(border, bed) > math.tan(math.radians(_SAW))).any() for border in bed.reach.floor.borders):
        return False  # else the bed is nowhere steeper than its fall
    return spare >= LOWEST_STRIP and all(
        all(clear_of_flanges(border, bed, strip_thickness(case.job))) for border in bed.reach.floor.borders
    )


@record
class _Trouble:
    rule: str
    level: Level
    says: str
    remedy: str
    key: str = "strips.thickness"


def _troubles(case: Case, strip: Strip) -> Iterator[_Trouble]:
    if not strip.fits:
        yield _low(case, strip)
    elif strip.notches:
        yield _notched(case, strip)
    if strip.bevel > _SAW:
        yield _Trouble(
            "strip-steep",
            Level.CAUTION,
            phrase(
                "the strip along {wall} is bevelled {bevel} degrees, and a saw tilts to {most}: a drain lies so near "
                "that wall's line that the bed stands like a step along it",
                wall=strip.wall,
                bevel=f"{strip.bevel:.1f}",
                most=f"{_SAW:.0f}",
            ),
            phrase("move the drain off that line, or take an even fall"),
            "bed.shape",
        )
    if not strip.is_clear:
        thick = case.length(strip_thickness(case.job))
        channel = any(drain.kind is DrainKind.CHANNEL for drain in case.job.drains)
        yield _Trouble(
            "strip-on-flange",
            Level.NOTE if channel else Level.CAUTION,  # a channel from wall to wall is built so
            phrase(
                "the strip along {wall} would lie on a flange, which is nearer to the wall than the strip is "
                "thick, {thick}",
                wall=strip.wall,
                thick=thick,
            ),
            phrase(
                "cut the strip off beside the flange and pack there by hand, or take strips thinner than {thick}",
                thick=thick,
            ),
        )


def _low(case: Case, strip: Strip) -> _Trouble:
    depth = min(point.height + point.gap for point in strip.points)
    lacks = LOWEST_STRIP + strip_short(case.job) - depth
    by = case.worked(max(lacks, LOWEST_STRIP - strip.lowest))
    height = case.under(depth) if depth >= 0 else case.over(-depth)
    return _Trouble(
        "strip-low",
        Level.CAUTION,
        phrase(
            "no strip stands along {wall}: over the rough floor's high spots its straight foot leaves it under {least}"
            if lacks <= 0
            else "no strip stands along {wall}: the bed is at least {height} the rough floor there, too little for one",
            wall=strip.wall,
            height=phrase("{height} over" if depth >= 0 else "{height} under", height=height),
            least=case.length(LOWEST_STRIP),
        ),
        phrase(
            "raise the bed there by {by}, take the high spot down by as much, or screed that wall to its marks by hand",
            by=by,
        ),
    )


def _notched(case: Case, strip: Strip) -> _Trouble:
    told = [
        phrase(
            "{start} to {end} from {first} by {height}",
            start=paced(notch.start, case.units),
            end=paced(notch.end, case.units),
            first=strip.corners[0],
            height=case.over(notch.height),
        )
        for notch in strip.notches
    ]
    return _Trouble(
        "strip-notched",
        Level.NOTE,
        phrase(
            "the rough floor stands so high along {wall} that its strip is notched over it: {notches}",
            wall=strip.wall,
            notches=joined(", ", told),
        ),
        phrase("cut the strip's foot away there, as the cut list says, or take the high spot down by as much"),
    )


def _finding(trouble: _Trouble, strip: Strip, floor: FloorOutline) -> Finding:
    lowest = min(strip.points, key=lambda point: point.height + point.gap)
    border, wall = floor.border_of(strip.wall)
    ((x, y),) = border.on_wall(wall, np.array([lowest.along])).tolist()
    says, remedy = trouble.says, trouble.remedy
    return Finding(trouble.rule, trouble.level, says, remedy, _PRACTICE, x=x, y=y, key=trouble.key)


def _overlaps(case: Case, floor: FloorOutline) -> Findings:
    both = 2 * strip_thickness(case.job)
    for border, island in combinations(floor.borders, 2):
        nearest = shapely.shortest_line(shapely.linearrings(border.ring), shapely.linearrings(island.ring))
        gap, place = float(shapely.length(nearest)), shapely.get_coordinates(nearest)[:1]
        x, y = place[0].tolist()
        if gap < both - NOISE and border.kinds[border.sides.walls[border.sides.at(place)[0]]] is not EdgeKind.OPEN:
            says = phrase(
                "two strips overlap {place}: {island} leaves {gap} there, and they take {both}",
                place=case.at(Spot(gap, x, y)),
                island=island.ring_name,
                gap=case.under(gap),
                both=case.length(both),
            )
            remedy = phrase("leave one of them out there, or take strips of at most {half}", half=case.under(gap / 2))
            yield Finding("strips-overlap", Level.CAUTION, says, remedy, phrase("geometry"), x, y, "strips.thickness")


# --- boards


def _stock(case: Case, floor: FloorOutline) -> Findings:
    stock, thickness = strip_stock(case.job), strip_thickness(case.job)
    most = max(float(np.max(border.lengths)) for border in floor.borders)
    if case.job.strips.stock is None or most + _ROOM * thickness <= stock:
        return
    spliced = list(_spliced(case, floor))
    if spliced:
        enough = case.length(round_up(max(blank for blank, _ in spliced), _BOARD_STEP[case.units]))
        yield Finding(
            "stock-short",
            Level.NOTE,
            says=phrase("boards of {stock} are shorter than a wall's strip", stock=case.length(stock)),
            remedy=phrase(
                "splice with square ends: {walls}; or take boards of {enough}",
                walls=joined("; ", (where for _, where in spliced)),
                enough=enough,
            ),
            source=_PRACTICE,
            key="strips.stock",
            change=(("strips.stock", enough),),
        )


def _spliced(case: Case, floor: FloorOutline) -> Iterator[tuple[float, str]]:
    """The strips longer than a board: how long [mm], and where they are spliced, in words."""
    stock, thickness = strip_stock(case.job), strip_thickness(case.job)
    for border in floor.borders:
        for i, end in enumerate(ends(border, thickness)):
            wall = border.walls[i]
            blank = float(border.lengths[i]) + sum(max(0.0, -allowance) for allowance in end.allowances)
            pieces = wall_pieces(wall, blank, min(0.0, end.allowances[0]), stock)
            if border.kinds[i] is not EdgeKind.OPEN and len(pieces) > 1:
                places = joined(", ", (case.nearly(piece.start) for piece in pieces[1:]))
                corner = border.ends_of(i)[0]
                yield blank, phrase("{wall} {places} from {corner}", wall=wall, places=places, corner=corner)
