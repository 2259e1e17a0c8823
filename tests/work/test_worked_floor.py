"""A floor that is ground or filled first: remembered in the job, told in the plan, done before all else."""

from __future__ import annotations

import numpy as np
import pytest

from engine.errors import JobError
from engine.job.edit import with_entry, with_reading
from engine.job.toml_file import dump_job, parse_job
from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies
from engine.sheets.text import plan_text

ROOM = [(0, 0), (1000, 0), (1000, 1200), (0, 1200)]
WORDS = {"at": (500, 600), "drop": 500, "shape": "even-fall"}
POLY = (("floor.bond_coat", ""), ("floor.moisture_barrier", "poly"))
WOOD = (("floor.bond_coat", ""), ("floor.kind", "wood"), ("floor.moisture_barrier", "felt"), ("floor.lath", "true"))


@pytest.fixture
def low(make_job):
    """A floor whose last corner is too low for the bed over it: how it is planned on concrete and on wood."""
    readings = list(zip(ROOM, (535, 535, 535, 580), strict=True))

    def build(kind=POLY):
        return plan(changed(make_job(ROOM, **WORDS, readings=readings), kind))

    return build


def filled(planned):
    """The plan with its low spot filled."""
    (answer,) = (a for f, a in zip(planned.findings, remedies(planned), strict=True) if f.rule == "bed-thick")
    (fill,) = (way for way in answer.best if "low spot" in way.says)
    return plan(changed(planned.job, fill.change))


def found(planned, rule):
    return [finding for finding in planned.findings if finding.rule == rule]


def first_words(planned):
    task = planned.work.order[1].task
    return [task.title, *(said.text for said in task.says)]


def test_what_was_read_stays_in_the_job_through_its_file(low):
    after = filled(low())
    reading = after.job.readings[3]
    assert (reading.before.value, reading.read) == (580, reading.before)
    assert reading.drop.value < 580
    assert parse_job(dump_job(after.job)).readings == after.job.readings


def test_the_floor_is_filled_before_anything_else_is_done(low):
    after = filled(low())
    drop = f"{after.job.readings[3].drop.value:g} mm"
    title, order, straight, then, _, again = first_words(after)
    assert title == "Work the rough floor"
    assert order == f"Fill the slab at corner D until the line reads {drop} (580 mm before)"
    assert straight == "Work it straight from each of these places to the readings around it"
    assert then == "Fill in lifts, and let each set before anything is laid on it"
    assert again.endswith("read those places again, and enter what the line reads")
    assert first_words(low())[0] != title
    assert "at corner D, once it is worked: 580 mm before" in " ".join(plan_text(after).split())


def test_how_much_the_fill_takes_is_told(make_job):
    """By hand: 1.2 m2 raised by 20 mm at three corners, 13.3 on average in either triangle: 16 L."""
    job = make_job(ROOM, **WORDS, readings=[(corner, 540) for corner in ROOM])
    for i, before in enumerate(("560", "560", "560", "530")):
        job = with_entry(job, f"readings[{i}].before", before)
    assert first_words(plan(job))[7] == "It takes 16 L of patching mortar in place; the shopping list has none"


def test_on_wood_it_is_the_carpenters_and_needs_no_lifts(low):
    assert first_words(filled(low(WOOD)))[1].startswith("Have a carpenter pack the floor up at corner D until the line")


def test_what_is_ground_is_told_apart_with_its_dust(make_job):
    job = make_job(ROOM, **WORDS, readings=[(ROOM[0], 540), (ROOM[1], 540), (ROOM[2], 540), (ROOM[3], 540)])
    job = with_entry(with_entry(job, "readings[0].before", "530"), "readings[1].before", "600")
    task = plan(job).work.order[1].task
    assert [said.text for said in task.says][:3] == [
        "Grind the slab down at corner A until the line reads 540 mm (530 mm before)",
        "Fill the slab at corner B until the line reads 540 mm (600 mm before)",
        "Work it straight from each of these places to the readings around it",
    ]
    assert [caution.hazard for caution in task.cautions] == ["silica"]


def test_that_it_is_still_to_be_done_is_a_caution_where_most_is(low):
    assert found(low(), "floor-unworked") == []
    (told,) = found(filled(low()), "floor-unworked")
    assert (told.level, told.key, told.x, told.y) == (Level.CAUTION, "readings[3].drop", 0, 1200)
    assert "at one place" in told.says


def test_a_drop_that_is_typed_again_has_been_read(low):
    after = filled(low())
    again = plan(with_reading(after.job, 3, "D", "549 mm"))
    assert again.job.readings[3].before is None
    assert found(again, "floor-unworked") == []


def test_slips_are_looked_for_in_what_was_read(make_job):
    """A side packed up is no slip, nor is what is read there once it is done; what was mistyped elsewhere stays one."""
    places = [(x, y) for x in (0, 500, 1000) for y in (0, 400, 800, 1200)]
    packed = make_job(ROOM, **WORDS, readings=[(place, 540 - 25 * (place[0] == 0)) for place in places])
    for i in range(4):
        packed = with_entry(packed, f"readings[{i}].before", "540")
    done = with_reading(packed, 1, "x 0, y 400", "515")
    for job in (packed, done):
        assert not found(plan(job), "reading-odd")
        assert not found(plan(job), "line-moved")
    (odd,) = found(plan(with_entry(packed, "readings[9].drop", "500")), "reading-odd")
    assert "500 mm is entered" in odd.remedy


def test_slips_are_not_looked_for_where_nothing_was_read(make_job):
    places = [(x, y) for x in (0, 500, 1000) for y in (0, 400, 800, 1200)]
    job = make_job(ROOM, **WORDS, readings=[(place, 540 - 40 * (place == (500, 400))) for place in places])
    assert found(plan(job), "reading-odd")
    assert not found(plan(with_entry(job, "readings[5].reckoned", "true")), "reading-odd")
    mistyped = with_entry(with_entry(job, "readings[0].reckoned", "true"), "readings[9].drop", "580")
    assert {odd.key for odd in found(plan(mistyped), "reading-odd")} == {"readings[5].drop", "readings[9].drop"}


def test_places_that_work_adds_are_told_as_reckoned(make_job):
    """Readings in a level room, its middle too high between them: a place there is ground, at the corners none is."""
    readings = [*zip(ROOM, (545, 545, 545, 545), strict=True), ((300, 300), 518)]
    planned = plan(changed(make_job(ROOM, **WORDS, readings=readings), POLY))
    (answer,) = (a for f, a in zip(planned.findings, remedies(planned), strict=True) if f.rule == "bed-thin")
    (ground,) = (way for way in answer.best if way.says.startswith("grind"))
    after = plan(changed(planned.job, ground.change))
    new = after.job.readings[5:]
    assert new
    assert all(reading.reckoned for reading in new)
    assert not any(reading.reckoned for reading in after.job.readings[:5])


@pytest.mark.parametrize("count", [0, 1, 2])
def test_of_few_readings_all_may_be_reckoned(make_job, count):
    job = make_job(ROOM, **WORDS, readings=[(place, 545) for place in ROOM[:count]])
    for i in range(count):
        job = with_entry(job, f"readings[{i}].reckoned", "true")
    assert not found(plan(job), "reading-odd")


def test_where_nothing_is_left_to_do_nothing_is_told(make_job):
    job = with_entry(make_job(ROOM, **WORDS, readings=[(place, 545) for place in ROOM]), "readings[0].before", "545")
    assert found(plan(job), "floor-unworked") == []
    assert first_words(plan(job))[0] != "Work the rough floor"


def test_a_finished_bed_has_none(make_job):
    with pytest.raises(JobError, match="there is no such key"):
        make_job(ROOM, **WORDS, extra='[[as_built]]\nat = "A"\ndrop = 480\nbefore = 490\n')


def test_a_place_a_hair_off_the_floor_is_told_on_its_wall(make_job):
    job = make_job(ROOM, **WORDS, readings=[*((place, 540) for place in ROOM), ((1000.1, 600), 540)])
    told = first_words(plan(with_entry(job, "readings[4].before", "520")))
    assert told[1] == "Grind the slab down on B-C, 600 mm from B until the line reads 540 mm (520 mm before)"
    assert "So deep it is broken out: ask first what the slab has room for" in told


def test_worked_a_second_time_it_is_told_what_was_read_all_the_same(make_job):
    """Places that work adds lie on the floor that was read, not on one that is to be worked already."""
    readings = [*zip(ROOM, (560, 540, 545, 580), strict=True), ((300, 300), 520)]
    planned = plan(changed(make_job(ROOM, **WORDS, readings=readings), POLY))
    floor = planned.rough
    for most in ("50.8", "44"):
        planned = plan(with_entry(planned.job, "bed.most_depth", most))
        for finding, answer in zip(planned.findings, remedies(planned), strict=True):
            works = [way for way in answer.best if finding.rule in ("bed-thin", "bed-thick") and "spot" in way.says]
            if works:
                planned = plan(changed(planned.job, works[0].change))
                break
    new = [
        (station, reading)
        for station, reading in zip(planned.readings, planned.job.readings, strict=True)
        if reading.reckoned and reading.before
    ]
    assert len(new) >= 2
    for station, reading in new:
        was = floor.shift - floor.height(np.array([[station.x, station.y]]))[0]
        assert reading.before.value == pytest.approx(was, abs=0.06)
    assert planned.job.readings[4].read.value == 520


def test_what_is_reckoned_makes_no_reading_more(make_job):
    job = make_job(ROOM, **WORDS, readings=[(place, 545) for place in ROOM])
    assert found(plan(job), "readings-few") == []
    for i in (1, 2, 3):
        job = with_entry(job, f"readings[{i}].reckoned", "true")
    (few,) = found(plan(job), "readings-few")
    assert few.says == "there is one reading only: the rough floor is taken as level at its height"
