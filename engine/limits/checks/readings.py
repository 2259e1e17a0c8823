"""Readings: enough to know the floor, and none that does not fit the others."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from math import hypot

import numpy as np
import shapely

from ...job.model import Reading
from ...packed import wording
from ...phrases import phrase
from ...quantities import INCH, Units, format_length
from ...records import Same
from ...survey.advice import LEAST_DISAGREEMENT, LEAST_ODD, next_corner
from ...survey.odd import FEWEST, LEAST_MOVE, Judged, Likely, Move, Odd, judged_readings, likely_slip
from ...survey.rough_floor import RoughFloor, rough_floor
from ..stages import Station
from ..words import higher_than, nearly
from .case import Case, Finding, Findings, Level, Needs, Spot

_MOST_GUESSED = 0.25
_BESIDE_FLOOR = 6 * INCH  # [mm] a reading may be past a curb, or in a doorway
_WILD, _STEEP = 16 * INCH, 1 / 8  # [mm], [-] off all others by more than steps, trenches and ramps are
_KEPT = 4  # surveys remembered
_PRACTICE = phrase("common practice, no source")


def check_few(case: Case) -> Findings:
    """Finding readings-few: how much of the rough floor is taken on trust."""
    floor, rough, count = case.stages.outline, case.stages.rough, len(case.job.readings)
    if not floor or not rough:
        return
    stations, read = case.stages.readings, [i for i, one in enumerate(case.job.readings) if not one.reckoned]
    if not isinstance(stations, Needs) and 0 < len(read) < count:
        places = np.array([(stations[i].x, stations[i].y) for i in read])
        rough, count = rough_floor(floor, places, np.zeros(len(read))), len(read)
    known = _what_is_known(rough, count)
    if known is None:
        return
    places = rough.stations if count else rough.stations[:0]
    corner, left = next_corner(floor.polygon, floor.corners, places)
    x, y = floor.corners[corner].tolist()
    remedy = _read_next(floor.names, corner, left, count)
    yield Finding("readings-few", Level.CAUTION, known, remedy, _PRACTICE, x, y, "readings")


def _what_is_known(rough: RoughFloor, count: int) -> str | None:
    if count == 0:
        return phrase("there are no readings: the rough floor is taken as level, at the depth that the bed needs")
    if len(rough.stations) == 1:
        return phrase("there is one reading only: the rough floor is taken as level at its height")
    if not len(rough.triangles):
        two = phrase("there are two readings only" if len(rough.stations) == 2 else "all readings stand on one line")
        return phrase("{two}: the rough floor is taken as sloped along them and level across", two=two)
    if rough.guessed <= _MOST_GUESSED:
        return None
    share = int(np.ceil(round(100 * rough.guessed, 6)))
    return phrase("{share} % of the floor lies outside the readings: its height there is guessed", share=share)


def _read_next(names: Sequence[str], corner: int, left: float, count: int) -> str:
    if count < 3 and left > _MOST_GUESSED:
        return phrase(
            "read all {number} corners, corner {corner} next: it tells most", number=len(names), corner=names[corner]
        )
    share = int(np.ceil(round(100 * left, 6)))
    return phrase(
        "read corner {corner} next: it tells most, and leaves {share} % guessed", corner=names[corner], share=share
    )


@lru_cache(maxsize=_KEPT)
def _judged(readings: Same[tuple[Reading, ...]], places: bytes, units: Units) -> Judged:
    return judged_readings(readings.it, np.frombuffer(places).reshape(-1, 2), units)


def all_odd(case: Case) -> Judged:
    """All that is odd about a case's readings."""
    stations = case.stages.readings or ()
    places = np.array([(station.x, station.y) for station in stations])
    found = _judged(Same(case.job.readings), places.tobytes(), case.units)
    return replace(found, odd=tuple(_wild(case, stations))) if len(stations) < FEWEST else found


def _wild(case: Case, stations: Sequence[Station]) -> Iterator[Odd]:
    drains = zip(case.stages.flanges or (), case.job.drains, strict=False)
    known = [(s.x, s.y, -r.read.value) for s, r in zip(stations, case.job.readings, strict=True)]
    known += [(*flange.centre.tolist(), -drain.drop.value) for flange, drain in drains if drain.drop]
    for i, (x, y, z) in enumerate(known[: len(stations)]):
        off = [z - c for a, b, c in known if abs(z - c) > max(_WILD, hypot(x - a, y - b) * _STEEP)]
        if 0 < len(off) == len(known) - 1:
            least = min(off, key=abs)
            yield Odd(i, least, likely_slip(case.job.readings[i].read, case.units, least, LEAST_ODD))


def check_odd(case: Case) -> Findings:
    """Findings line-moved and reading-odd: a moved line, odd readings, places that disagree."""
    stations = case.stages.readings
    if isinstance(stations, Needs) or not stations:
        return
    found = all_odd(case)
    if found.move is not None:
        yield _moved(case, stations, found.move)
    for odd in found.odd:
        yield _odd(case, stations, odd)
    for i, k in found.pairs:
        station, reads = stations[k], [case.job.readings[one].read.value for one in (i, k)]
        apart = abs(reads[1] - reads[0])
        if k == i + 1:
            says = phrase("two readings {place} differ by {apart}", place=_at(case, station), apart=case.nearly(apart))
            yield _reading(case, (station, k), says, _agreement(case.units))
        else:
            at = Spot(apart, station.x, station.y)
            yield read_again(_at(case, station), at, f"readings[{k}].drop", case.units)


def _moved(case: Case, stations: Sequence[Station], move: Move) -> Finding:
    station, before = stations[move.since], stations[move.since - 1]
    says = phrase(
        "from the reading {place} on, all read {off} the floor before: the level line may have moved",
        place=_at(case, station),
        off=higher_than(move.shift, case.units),
    )
    remedy = phrase(
        "read {place} again; if it has changed by as much, read all of them anew from one set-up",
        place=_at(case, before),
    )
    source = _statistics(phrase("a step over {least}", least=case.length(LEAST_MOVE)))
    key = f"readings[{move.since}].drop"
    return Finding("line-moved", Level.CAUTION, says, remedy, source, station.x, station.y, key)


def _statistics(why: str) -> str:
    return phrase(
        "statistics: {why}; a sound survey of a usual slab is called odd less than once in a hundred times", why=why
    )


def read_again(place: str, apart: Spot, key: str, units: Units) -> Finding:
    """A place read again, as a check on the line, that differs by so much."""
    says = phrase(
        "the place {place} was read again and differs by {apart}: the level line may have moved in between",
        place=place,
        apart=nearly(apart.value, units),
    )
    remedy = wording("remedies")["line-moved-between"]
    return Finding("line-moved", Level.CAUTION, says, remedy, _agreement(units), apart.x, apart.y, key)


def _agreement(units: Units) -> str:
    return phrase(
        "{practice}: two of one place agree within {most}",
        practice=_PRACTICE,
        most=format_length(LEAST_DISAGREEMENT, units),
    )


def _odd(case: Case, stations: Sequence[Station], odd: Odd) -> Finding:
    station = stations[odd.number]
    why = phrase("that slip explains it" if odd.likely else "over {least} off", least=case.length(LEAST_ODD))
    says = phrase(
        "the reading {place} is {off} the floor around it",
        place=_at(case, station),
        off=higher_than(odd.off, case.units),
    )
    source = _PRACTICE if len(stations) < FEWEST else _statistics(why)
    return _reading(case, (station, odd.number), says, source, slip_words(odd.likely, case.units))


def check_off_floor(case: Case) -> Findings:
    """Finding reading-odd: a place too far off the floor to be meant; the reading counts all the same."""
    floor, stations = case.stages.outline, case.stages.readings
    if not floor or isinstance(stations, Needs) or not stations:
        return
    x, y = np.array([(station.x, station.y) for station in stations]).T
    out = np.flatnonzero(~shapely.intersects_xy(floor.polygon, x, y))
    if not out.size:
        return
    away = shapely.distance(floor.polygon, shapely.points(x[out], y[out]))
    far = away > _BESIDE_FLOOR
    remedy = phrase(
        "correct its place, or leave it out: a place more than {most} off the floor tells little of it",
        most=case.length(_BESIDE_FLOOR),
    )
    for i, off in zip(out[far].tolist(), away[far].tolist(), strict=True):
        says = phrase(
            "reading {number} was taken {off} off the floor, and the rough floor goes by it",
            number=i + 1,
            off=case.nearly(off),
        )
        key = f"readings[{i}].at"
        yield Finding("reading-odd", Level.CAUTION, says, remedy, _PRACTICE, stations[i].x, stations[i].y, key)


def slip_words(likely: Likely | None, units: Units) -> str:
    """The slip that explains a reading, to go on from what is entered; "" for none."""
    if likely is None:
        return ""
    return phrase("; {reading} would fit: {slip}", reading=format_length(likely.drop, units), slip=likely.slip.value)


def _at(case: Case, station: Station) -> str:
    return case.at(Spot(station.height, station.x, station.y)) or phrase("at {place}", place=station.at)


def _reading(case: Case, which: tuple[Station, int], says: str, source: str, slip: str = "") -> Finding:
    station, i = which
    drop = case.length(case.job.readings[i].read.value)
    remedy = phrase("read it again: {reading} is entered{slip}", reading=drop, slip=slip)
    return Finding("reading-odd", Level.CAUTION, says, remedy, source, station.x, station.y, f"readings[{i}].drop")
