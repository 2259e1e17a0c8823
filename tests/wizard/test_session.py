"""The session: what is typed becomes the job or waits beside it, and every change can be undone."""

from dataclasses import replace
from math import asin, sin

import pytest

from engine import plan
from engine.job.model import AtCorner, AtOffsets, AtPoint, AtWall, BedShape, DrainKind, Reading, Typed
from engine.job.toml_file import dump_job, parse_job
from engine.quantities import INCH
from tui.desk import Desk
from tui.session import Session
from tui.state import Pending
from tui.stations import stations
from tui.tongues import Tongue, speak, told


def typed(session, key, text):
    """Types a text a character at a time, as a person does."""
    for end in range(1, len(text) + 1):
        session.enter(key, text[:end])
    session.leave()


@pytest.fixture
def session():
    return Session()


@pytest.fixture
def floor(session):
    typed(session, "outline.rectangle[0]", "48")
    typed(session, "outline.rectangle[1]", "36")
    return session


class TestTyping:
    def test_a_good_text_is_in_the_job_and_kept_as_typed(self, session):
        typed(session, "bed.fall", "1/4 in/ft")
        assert session.job.bed.fall.text == "1/4 in/ft"
        assert session.job.bed.fall.value == pytest.approx(1 / 48)

    def test_a_text_that_cannot_be_read_waits_with_its_fault(self, floor):
        floor.enter("outline.rectangle[0]", "48 x")
        assert floor.text("outline.rectangle[0]") == "48 x"
        assert floor.fault("outline.rectangle[0]")
        assert floor.job.outline.rectangle[0].value == pytest.approx(48 * INCH)

    def test_half_a_rectangle_waits_for_the_other_side(self, session):
        typed(session, "outline.rectangle[0]", "4ft")
        assert session.job.outline.rectangle is None
        assert session.text("outline.rectangle[0]") == "4ft"
        typed(session, "outline.rectangle[1]", "3ft")
        assert session.job.outline.rectangle is not None

    def test_an_emptied_side_keeps_the_floor_until_another_is_typed(self, floor):
        floor.enter("outline.rectangle[0]", "")
        assert floor.fault("outline.rectangle[0]")
        assert floor.job.outline.rectangle[0].value == pytest.approx(48 * INCH)


class TestUndo:
    def test_one_fields_typing_is_one_step(self, floor):
        typed(floor, "outline.rectangle[0]", "60 1/2")
        assert floor.undo()
        assert floor.text("outline.rectangle[0]") == "48"
        assert floor.redo()
        assert floor.text("outline.rectangle[0]") == "60 1/2"

    def test_coming_back_to_a_field_is_a_new_step(self, floor):
        typed(floor, "bed.fall", "2 %")
        typed(floor, "bed.fall", "1:48")
        floor.undo()
        assert floor.text("bed.fall") == "2 %"

    def test_a_half_typed_text_is_undone_too(self, floor):
        typed(floor, "bed.fall", "1:")
        assert floor.fault("bed.fall")
        floor.undo()
        assert floor.text("bed.fall") == ""

    def test_all_the_way_back_is_the_blank_job_and_forth_again_the_same(self, floor):
        last = floor.job
        while floor.undo():
            pass
        assert floor.job == Session().job
        while floor.redo():
            pass
        assert floor.job == last
        assert not floor.redo()

    def test_a_change_after_undo_ends_the_way_forth(self, floor):
        floor.undo()
        typed(floor, "bed.fall", "2 %")
        assert not floor.redo()

    def test_it_tells_the_entry_and_the_step_that_the_change_was_made_in(self):
        desk = Desk.sample()
        desk.session.enter("job.name", "Mill")
        desk.session.enter("bed.fall", "1/")
        assert [desk.undo(), desk.undo(), desk.undo()] == [
            "Undone in step Bed: Fall",
            "Undone in step Floor: Job name",
            "Nothing to undo",
        ]
        assert desk.redo() == "Redone in step Floor: Job name"

    def test_a_change_in_several_steps_names_its_entries_alone(self):
        desk = Desk.sample()
        desk.apply((("readings[0].drop", "19 in"), ("bed.wall_height", "1 in")))
        assert desk.undo() == "Undone: A, Wall height"

    @pytest.mark.parametrize(
        ("key", "text", "told"),
        [
            ("outline.rectangle[0]", "50 in", "Outline: Side A-B"),
            ("outline.form", "walls", "Outline: Enter it as, Wall A-B, ..."),
            ("drains[0].drop", "", "Drain: Flange drop"),
            ("readings@C", "", "Readings: C"),
            ("as_built@C", "20 in", "As built: C"),
        ],
    )
    def test_it_names_the_entry_as_its_field_does(self, key, text, told):
        desk = Desk.sample()
        desk.session.enter(key, text)
        desk.session.leave()
        desk.plan_now()
        before = desk.session.job
        assert (desk.undo(), desk.redo()) == (
            f"Undone in step {told}",
            f"Redone in step {told}".replace("Wall", "Side"),
        )
        assert desk.session.job == before


class TestOutlineForms:
    def test_a_rectangle_is_carried_over_to_walls_and_corners(self, floor):
        area = Desk(floor).planner.plan.outline.area
        floor.enter("outline.form", "walls")
        assert [wall.length.text for wall in floor.job.outline.walls] == ["48", "36", "48", "36"]
        assert Desk(floor).planner.plan.outline.area == pytest.approx(area)
        floor.undo()
        floor.enter("outline.form", "corners")
        assert Desk(floor).planner.plan.outline.area == pytest.approx(area)

    def test_walls_make_a_floor_as_they_are_walked(self, session):
        session.enter("outline.form", "walls")
        typed(session, "outline.walls[0].length", "60")
        assert session.job.outline.walls is None
        typed(session, "outline.walls[1].length", "36")
        assert len(session.job.outline.walls) == 3
        typed(session, "outline.walls[2].length", "60")
        assert len(session.job.outline.walls) == 4
        typed(session, "outline.walls[3].length", "36")
        assert Desk(session).planner.plan.outline.area == pytest.approx(60 * 36 * INCH**2)

    def test_a_wall_bows_out_and_with_a_minus_into_the_floor(self, session):
        session.enter("outline.form", "walls")
        for i, side in enumerate(("60", "36", "60", "36")):
            typed(session, f"outline.walls[{i}].length", side)
        areas = [Desk(session).planner.plan.outline.area / INCH**2]
        for rise in ("2", "-2"):
            typed(session, "outline.walls[0].rise", rise)
            areas.append(Desk(session).planner.plan.outline.area / INCH**2)
        # The circular segment: r^2 (t - sin t) / 2 with r = (c^2 / 4 + h^2) / 2h, t = 2 asin(c / 2r).
        radius = (60**2 / 4 + 2**2) / 4
        angle = 2 * asin(60 / (2 * radius))
        bow = radius**2 * (angle - sin(angle)) / 2
        assert areas == pytest.approx([60 * 36, 60 * 36 + bow, 60 * 36 - bow], rel=1e-4)

    def test_a_wall_can_be_put_between_two(self, session):
        session.enter("outline.form", "walls")
        for i, length in enumerate(("60", "36", "60", "36")):
            typed(session, f"outline.walls[{i}].length", length)
        desk = Desk(session)
        assert desk.add_row("outline.walls[0].length") == "outline.walls[1].length"
        assert session.text("outline.walls[2].length") == "36"
        assert len(session.job.outline.walls) == 4
        typed(session, "outline.walls[1].length", "12")
        assert [wall.length.text for wall in session.job.outline.walls[:3]] == ["60", "12", "36"]

    def test_another_form_keeps_the_floor_until_it_is_whole(self, session):
        session.enter("outline.form", "walls")
        for i, length in enumerate(("60", "36", "60", "36")):
            typed(session, f"outline.walls[{i}].length", length)
        session.enter("outline.form", "corners")
        assert session.text("outline.form") == "corners"
        assert session.job.outline.walls is not None
        for i, corner in enumerate((("0", "0"), ("40", "0"), ("40", "30"))):
            for part, text in zip("xy", corner, strict=True):
                typed(session, f"outline.corners[{i}].{part}", text)
        assert session.job.outline.walls is None
        assert len(session.job.outline.corners) == 3


class TestDrainPlaces:
    def test_offsets_from_the_two_walls_at_a_need_no_wall_to_be_named(self, floor):
        typed(floor, "drains[0].at.first", "18")
        assert not floor.job.drains
        typed(floor, "drains[0].at.second", "24")
        place = floor.job.drains[0].at
        assert isinstance(place, AtOffsets)
        assert (place.first_wall, place.second_wall) == ("A-B", "D-A")

    def test_another_form_waits_and_the_old_place_comes_back_with_its_form(self, floor):
        typed(floor, "drains[0].at.first", "18")
        typed(floor, "drains[0].at.second", "24")
        old = floor.job.drains[0].at
        floor.enter("drains[0].at.form", "wall")
        assert floor.job.drains[0].at == old
        floor.enter("drains[0].at.form", "offsets")
        assert floor.text("drains[0].at.first") == "18"
        floor.enter("drains[0].at.form", "wall")
        typed(floor, "drains[0].at.along", "20")
        assert isinstance(floor.job.drains[0].at, AtWall)

    def test_a_channel_lets_go_of_the_one_place_and_undo_brings_it_back(self, floor):
        typed(floor, "drains[0].at.first", "18")
        typed(floor, "drains[0].at.second", "24")
        floor.enter("drains[0].kind", "channel")
        assert floor.job.drains[0].kind is DrainKind.CHANNEL
        assert floor.job.drains[0].at is None
        floor.undo()
        assert floor.job.drains[0].at is not None

    def test_a_channels_ends_are_given_along_a_wall(self, floor):
        floor.enter("drains[0].kind", "channel")
        for end, along in (("from", "3"), ("to", "45")):
            typed(floor, f"drains[0].{end}.along", along)
            typed(floor, f"drains[0].{end}.off", "4")
        drain = floor.job.drains[0]
        assert isinstance(drain.start, AtWall)
        assert (drain.start.along.text, drain.end.along.text) == ("3", "45")

    def test_a_second_drain_can_be_added_and_taken_out(self, floor):
        floor.enter("drains[0].kind", "round")
        desk = Desk(floor)
        assert desk.add_row("drains[0].size") == "drains[1].kind"
        floor.enter("drains[1].kind", "square")
        assert [drain.kind for drain in floor.job.drains] == [DrainKind.ROUND, DrainKind.SQUARE]
        desk.apply((("drains[1]", ""),))
        assert len(floor.job.drains) == 1


class TestReadings:
    def test_a_reading_is_kept_by_its_place(self, floor):
        typed(floor, "readings@B", "21 5/8")
        typed(floor, "readings@A", "21 1/2")
        assert [reading.at for reading in floor.job.readings] == [AtCorner("B"), AtCorner("A")]
        typed(floor, "readings@B", "22")
        assert [reading.drop.text for reading in floor.job.readings] == ["22", "21 1/2"]

    def test_an_emptied_reading_goes_only_when_its_field_is_left(self, floor):
        typed(floor, "readings@A", "21")
        floor.enter("readings@A", "")
        assert len(floor.job.readings) == 1
        floor.leave()
        assert floor.job.readings == ()
        floor.undo()
        assert floor.job.readings[0].drop.text == "21"

    def test_of_very_many_readings_only_some_get_a_field_and_the_odd_ones_always(self, floor):
        readings = tuple(
            Reading(AtPoint(Typed(i, i * INCH), Typed(1, INCH)), Typed("21", 21 * INCH)) for i in range(1, 48)
        )
        job = replace(floor.job, readings=readings * 30)
        found = stations(job, plan(job), odd={700})
        assert len(found.listed) == 4 + 60 + 1
        assert found.hidden == len(job.readings) - 61
        assert any(station.index == 700 for station in found.listed)

    def test_a_station_of_ones_own_is_taken_when_it_is_whole(self, floor):
        desk = Desk(floor)
        desk.add_row("readings@A")
        assert desk.take_own_station("readings") == ""
        typed(floor, "readings.own.along", "18")
        typed(floor, "readings.own.drop", "21 3/4")
        assert desk.take_own_station("readings") == "readings@A-B 18"
        assert isinstance(floor.job.readings[0].at, AtWall)
        assert not desk.has_own_station("readings")


class TestUnsaved:
    def test_a_change_is_unsaved_until_it_is_saved(self, floor, tmp_path):
        assert floor.is_unsaved
        floor.mark_saved(tmp_path / "a.toml")
        assert not floor.is_unsaved
        floor.enter("bed.shape", BedShape.PLANE.value)
        assert floor.is_unsaved

    def test_a_half_typed_text_is_unsaved(self, floor, tmp_path):
        floor.mark_saved(tmp_path / "a.toml")
        floor.enter("bed.fall", "1/")
        assert floor.half_typed == ["1/"]
        assert floor.is_unsaved

    def test_what_is_saved_reads_back_as_the_same_job(self, floor):
        typed(floor, "readings@A", "21 1/2")
        assert parse_job(dump_job(floor.job)) == floor.job


class TestUnits:
    def test_other_units_write_the_old_unit_out(self, floor):
        floor.enter("job.units", "mm")
        assert floor.text("outline.rectangle[0]") == "48 in"
        assert floor.job.outline.rectangle[0].value == pytest.approx(48 * INCH)

    def test_a_length_that_was_too_long_in_inches_is_read_again_in_mm(self, session):
        typed(session, "outline.rectangle[0]", "1200")
        assert 'must be at most 1181 in; write "1200 mm"' in session.fault("outline.rectangle[0]")
        session.enter("job.units", "mm")
        assert session.fault("outline.rectangle[0]") == ""
        typed(session, "outline.rectangle[1]", "900")
        assert [side.value for side in session.job.outline.rectangle] == [1200.0, 900.0]


def test_what_is_wrong_with_a_text_that_comes_back_can_be_told_in_another_tongue(session):
    session.restore({"curb.drop": Pending("14 1/", "a fault as it was written down")})
    fault = session.fault("curb.drop")
    assert str(fault) != "a fault as it was written down"
    assert told(fault) == str(fault)
    speak(Tongue.SPANISH)
    assert told(fault) != str(fault)
