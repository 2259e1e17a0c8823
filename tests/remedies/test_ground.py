"""An uneven rough floor ground or filled: as little as does, told with how much, where and how it then reads."""

from __future__ import annotations

import re

import pytest

from engine.limits.findings import Level
from engine.plan import plan
from engine.quantities import Dimension, parse
from engine.remedies import changed, remedies

ROOM = [(0, 0), (1000, 0), (1000, 1200), (0, 1200)]
FELT = (("floor.bond_coat", ""), ("floor.moisture_barrier", "felt"))
UNBONDED = (("floor.bond_coat", ""),)
WOOD = (*FELT, ("floor.kind", "wood"), ("floor.lath", "true"))
DROP = re.compile(r"readings\[(\d+)\]\.drop")


@pytest.fixture
def make(make_job):
    """A bed from 31.75 to 50.8 mm deep over five readings, the last in the middle, where the drain stands."""

    def build(*drops, kind=FELT, **words):
        words = {"at": (500, 600), "drop": 500, "shape": "even-fall", **words}
        readings = list(zip([*ROOM, (500, 640)], drops, strict=True))
        return plan(changed(make_job(ROOM, **words, readings=readings), kind))

    return build


def work(planned, rule, word):
    """The remedy of that rule whose words begin so."""
    answers = zip(planned.findings, remedies(planned), strict=True)
    found = (remedy for finding, answer in answers if finding.rule == rule for remedy in answer.best)
    return next(remedy for remedy in found if remedy.says.startswith(word))


def stops(planned):
    return {finding.rule for finding in planned.findings if finding.level is Level.STOP}


def moved(change, i, by):
    """The change with the drop of that reading so much more [mm]."""
    key, text = change[i]
    drop = parse(text, Dimension.LENGTH, "mm") + by
    return (*change[:i], (key, f"{drop} mm"), *change[i + 1 :])


def drops_of(remedy):
    return [i for i, (key, _) in enumerate(remedy.change) if DROP.fullmatch(key)]


class TestUnevenSeveralTimesOver:
    """80 mm between the highest place and the lowest, where the limits leave 19: too thin here, too thick there."""

    @pytest.fixture
    def planned(self, make):
        return make(510, 560, 590, 570, 535)

    def test_the_low_places_are_filled_and_the_high_ones_ground(self, planned):
        assert stops(planned) == {"bed-thin", "bed-thick"}
        low, high = work(planned, "bed-thick", "fill"), work(planned, "bed-thin", "grind")
        assert stops(plan(changed(planned.job, low.change))) == {"bed-thin"}
        assert stops(plan(changed(planned.job, high.change))) == {"bed-thick"}
        assert "in lifts, and let each set first" in low.says
        assert "broken out" not in high.says

    def test_a_step_less_at_any_place_does_not_do(self, planned):
        low = work(planned, "bed-thick", "fill")
        for i in drops_of(low):
            after = plan(changed(planned.job, moved(low.change, i, 1)))
            assert "bed-thick" in stops(after), low.change[i]

    def test_on_wood_a_carpenter_packs_it_up(self, make):
        planned = make(510, 560, 590, 570, 535, kind=WOOD)
        assert "let it set" not in work(planned, "bed-thick", "have a carpenter pack up the low spot").says
        assert stops(planned) >= {"bed-thin", "bed-thick"}
        pair = work(planned, "bed-thin", "raise the drain")
        assert "; and with it have a carpenter pack up" in pair.says
        assert not stops(plan(changed(planned.job, pair.change))) & {"bed-thin", "bed-thick"}


def test_every_reading_that_is_out_is_told_as_it_comes_to_be(make):
    """The bed is 500 - 500 + 2 % of the way over the drain; 560 and 562 read are 60 mm and more under it."""
    planned = make(540, 562, 565, 540, 540)
    cure = work(planned, "bed-thick", "fill")
    told = [text for key, text in cure.change if DROP.fullmatch(key)]
    assert [text in cure.says for text in told] == [True] * len(told)


def test_a_level_floor_too_high_is_ground_no_deeper_than_the_bed_asks(make):
    """25 mm at the drain: 7 mm more are asked for there, none at the corners; a cone of them, told within a step."""
    planned = make(525, 525, 525, 525, 525)
    cure = work(planned, "bed-thin", "grind")
    assert cure.figure <= 8


def test_places_that_all_come_to_read_the_same_are_told_by_one_figure(make):
    """The walls are 16 mm high at the corners, where 60 mm of bed leave 544 under the line."""
    planned = make(580, 580, 580, 580, 530, shape="level-walls", bed="most_depth = 60")
    cure = work(planned, "bed-thick", "fill")
    assert ", until the line reads 544 mm at 4 places, and let it set first" in cure.says


def test_with_its_height_planned_the_drain_goes_down_with_a_high_spot(make):
    """A hump of 40 mm in the middle carries the drain up, and the bed is too thick at all corners."""
    planned = make(540, 540, 540, 540, 500, drop=None)
    assert stops(planned) == {"bed-thick"}
    cure = work(planned, "bed-thick", "grind")
    assert not stops(plan(changed(planned.job, cure.change)))
    assert cure.figure > 12.7  # half an inch
    assert "so deep it is broken out: ask first what the slab has room for" in cure.says


def test_where_nobody_has_read_the_floor_it_is_to_be_read_before_it_is_filled(make_job):
    readings = list(zip(ROOM[:3], [530, 515, 530], strict=True))
    job = make_job(ROOM, at=(500, 600), drop=500, shape="even-fall", readings=readings)
    planned = plan(changed(job, FELT))
    assert "partly guessed there: read it first" in work(planned, "bed-thick", "fill").says


def test_a_place_beside_the_wall_is_levelled_to_the_bed_on_the_floor(make_job):
    """On the wall between two readings the place is set two steps past their line, where no bed is."""
    places = [(1000, 1000), (0, 1000), (1000, 0)]
    readings = list(zip(places, (580, 560, 540), strict=True))
    room = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)]
    job = make_job(room, at=(500, 150), drop=500, shape="even-fall", readings=readings, fall="4 %")
    planned = plan(changed(job, FELT))
    assert "bed-thick" not in stops(plan(changed(planned.job, work(planned, "bed-thick", "fill").change)))


def test_a_floor_that_only_stays_as_it_is_is_no_work(make_job):
    """The thin corner lies past all readings, and a place told there as it is would do away with the guess."""
    turns = [(440.5, 47), (1214.5, 69.3), (449, 50.4), (592.5, 37.1), (662, 71.7)]
    walls = "".join(f"{{ length = {length}, turn = {turn} }}, " for length, turn in turns)
    places = ['{ wall = "C-D", along = 100, off = 38 }', '{ wall = "B-C", along = 269.5, off = 16.5 }']
    places += [(467.5, 664), '{ wall = "D-E", along = 182, off = 45.5 }']
    readings = list(zip(places, (543.5, 515, 525, 525.5), strict=True))
    words = {"at": (429, 707), "size": 107, "kind": "square", "drop": 500, "rulebook": "au-ncc", "fall": "1/4 in/ft"}
    planned = plan(changed(make_job(f"walls = [{walls}{{}}]", readings=readings, **words), UNBONDED))
    found = [remedy for answer in remedies(planned) for remedy in answer.best]
    assert found
    assert not [remedy for remedy in found if remedy.says.startswith("grind")]
