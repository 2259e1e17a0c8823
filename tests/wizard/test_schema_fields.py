"""Every key of the job file can be typed in the wizard: the schema is walked, and each key's fields are sought."""

import math
import re

import pytest

from engine.job.kinds import Edges, Many, Measure, Pair, Spot, Table
from engine.job.model import DrainKind
from engine.job.schema import JOB
from engine.survey.outline import next_diagonal, outline
from tui.dates import date_words
from tui.desk import Desk
from tui.rows import ChoiceRow, TextRow
from tui.step_names import StepName
from tui.steps.all import STEP_CLASSES
from tui.steps.step import FormStep

ELL = [("0", "0"), ("90", "0"), ("90", "40"), ("50", "40"), ("50", "80"), ("0", "80")]  # [in]


def keys_of(key, kind):
    """The plain keys of all single entries: lists without their indices, places and walls' names as one entry."""
    match kind:
        case Table():
            for field in kind.fields:
                yield from keys_of(f"{key}.{field.key}".lstrip("."), field.kind)
        case Many() | Pair():
            yield from keys_of(key, kind.item)
        case _:
            yield key, kind


def plain(key):
    """A field's key as a key of the schema: a coordinate's axis and a place's parts belong to the entry."""
    key = re.sub(r"\[\d+\]", "", key)
    key = re.sub(r"^(figures|prices)\..*", r"\1", key)
    key = re.sub(r"^(outline\.edges)\..*|^(drains\.(?:at|from|to))\..*", r"\1\2", key)
    return re.sub(r"^(outline\.(?:corners|islands\.corners))\.[xy]$", r"\1", key)


def typed_desks():
    """Desks that between them show every field there is."""
    for changes in (
        (),
        (("outline.form", "walls"), ("build.waterproofing", "between-beds"), ("mortar.supply", "site")),
        (("outline.form", "corners"), ("drains[0].kind", DrainKind.CHANNEL.value)),
        (("as_built@A", "19 5/8"), ("readings[0].before", "21"), ("readings[0].reckoned", "true")),
    ):
        desk = Desk.sample()
        for key, text in changes:
            desk.session.enter(key, text)
        desk.plan_now()
        yield desk


def typed_keys():
    for desk in typed_desks():
        for step in STEP_CLASSES.values():
            if issubclass(step, FormStep):
                yield from (r.key for r in step.rows(desk.view) if isinstance(r, TextRow | ChoiceRow))


class TestEveryKey:
    def test_of_the_schema_has_a_field(self):
        shown = {plain(key) for key in typed_keys()}
        for reading in ("readings", "as_built"):  # a reading's place is the name of its field
            if any(key.startswith(f"{reading}@") for key in shown):
                shown |= {f"{reading}.at", f"{reading}.drop"}
        missing = [key for key, _ in keys_of("", JOB) if key not in shown]
        assert missing == []

    def test_of_the_schema_is_walked_down_to_single_entries(self):
        kinds = dict(keys_of("", JOB))
        assert len(kinds) > 45
        assert all(isinstance(kinds[key], Spot) for key in ("readings.at", "drains.from"))
        assert isinstance(kinds["outline.edges"], Edges)
        assert isinstance(kinds["mortar.waste"], Measure)

    @pytest.mark.parametrize(
        ("key", "text"),
        [
            ("job.start", "2027-03-08"),
            ("job.notes", "the key hangs in [the] meter box"),
            ("job.edition", "2026-1"),
            ("strips.thickness", "5/8 in"),
            ("strips.short", "0"),
            ("strips.stock", "8 ft"),
            ("strips.kerf", "3 mm"),
            ("mortar.supply", "site"),
            ("mortar.bag", "80 lb"),
            ("mortar.yield", "0.6 ft^3"),
            ("mortar.parts", "4"),
            ("mortar.waste", "15 %"),
        ],
    )
    def test_typed_is_in_the_job(self, key, text):
        desk = Desk.sample()
        desk.session.enter(key, "")
        desk.session.enter(key, text)
        assert desk.session.fault(key) == ""
        assert desk.session.text(key) == text
        assert not desk.session.half_typed


class TestTapes:
    def test_a_length_alone_is_the_first_diagonal_and_the_next_row_offers_the_other(self):
        session = Desk.sample().session
        session.enter("outline.tape[0].length", "57 3/4")
        (tape,) = session.job.outline.tape
        assert (tape.start, tape.end, tape.length.text) == ("A", "C", "57 3/4")
        labels = {row.key: row.label for row in outline_rows(session) if isinstance(row, TextRow)}
        assert labels["outline.tape[1].length"] == "B to D"

    def test_an_empty_row_offers_the_diagonal_to_tape_next(self):
        """In a room with a corner that points in, A-C is not the one that fixes it best."""
        session = Desk.sample().session
        session.enter('outline.edges."D-A"', "")
        session.enter("outline.form", "corners")
        for i, corner in enumerate(ELL):
            for part, text in zip("xy", corner, strict=True):
                session.enter(f"outline.corners[{i}].{part}", text)
        offered = []
        for i in range(4):
            labels = {row.key: row.label for row in outline_rows(session) if isinstance(row, TextRow)}
            floor = outline(session.job)
            fix = next_diagonal(session.job, floor)
            best = f"{floor.names[fix.start]} to {floor.names[fix.end]}"
            assert labels[f"outline.tape[{i}].length"] == best
            span = math.dist(floor.corners[fix.start], floor.corners[fix.end])
            session.enter(f"outline.tape[{i}].length", f"{span:.3f} mm")
            assert f"{session.job.outline.tape[i].start} to {session.job.outline.tape[i].end}" == best
            offered.append(best)
        assert offered[0] != "A to C"
        assert len(set(offered)) == 4

    def test_its_corners_can_be_others(self):
        session = Desk.sample().session
        session.enter("outline.tape[0].from", "B")
        session.leave()
        assert session.job.outline.tape == ()
        session.enter("outline.tape[0].to", "D")
        session.enter("outline.tape[0].length", "57")
        assert [(t.start, t.end) for t in session.job.outline.tape] == [("B", "D")]

    def test_an_emptied_length_goes_when_its_field_is_left(self):
        session = Desk.sample().session
        for i, text in enumerate(("57 3/4", "57 5/8")):
            session.enter(f"outline.tape[{i}].length", text)
        session.enter("outline.tape[0].length", "")
        assert len(session.job.outline.tape) == 2
        session.leave()
        assert [(t.start, t.length.text) for t in session.job.outline.tape] == [("B", "57 5/8")]

    def test_a_length_that_cannot_be_read_says_so_at_its_field(self):
        session = Desk.sample().session
        session.enter("outline.tape[0].length", "57 x")
        assert session.fault("outline.tape[0].length")
        assert session.job.outline.tape == ()


class TestIslands:
    def test_three_corners_make_one_and_no_corner_takes_it_out(self):
        session = Desk.sample().session
        corners = (("10", "10"), ("14", "10"), ("14", "14"))
        for j, corner in enumerate(corners):
            for axis, text in zip("xy", corner, strict=True):
                session.enter(f"outline.islands[0].corners[{j}].{axis}", text)
        (island,) = session.job.outline.islands
        assert [[typed.text for typed in corner] for corner in island.corners] == [list(c) for c in corners]
        assert any(row.key == "outline.islands[1].corners[0].x" for row in outline_rows(session))
        for j in range(3):
            for axis in "xy":
                session.enter(f"outline.islands[0].corners[{j}].{axis}", "")
        assert session.job.outline.islands == ()

    def test_half_a_corner_waits_and_the_island_stays(self):
        session = Desk.sample().session
        session.enter("outline.islands[0].corners[0].x", "10")
        assert session.job.outline.islands == ()
        assert session.text("outline.islands[0].corners[0].x") == "10"


def outline_rows(session):
    return STEP_CLASSES[StepName.OUTLINE].rows(Desk(session).view)


class TestBadInput:
    """What cannot be cut, mixed or dated is refused in words under its field."""

    @pytest.mark.parametrize(
        ("key", "text", "words"),
        [
            ("mortar.yield", "0 ft^3", "must be more than 0"),
            ("mortar.yield", "-1 ft^3", "cannot be negative"),
            ("mortar.waste", "120 %", "must be at most 100 %"),
            ("job.start", "1066-10-14", "2000 to 2199"),
            ("job.start", "8 March", "2027-03-08"),
            ("job.start", "2200-01-01", "2000 to 2199"),
            ("job.start", "2027-02-30", "there is no such date"),
            ("job.start", "2027-3-8", "write year, month, day: 2027-03-08"),
            ("strips.thickness", "-1/2 in", "must be more than 0"),
            ("strips.thickness", "2 ft", "must be at most"),
            ("strips.stock", "0", "must be more than 0"),
            ("strips.stock", "-8 ft", "must be more than 0"),
            ("strips.stock", "1 mm", "would be spliced of more than 50 pieces; give the length of a board"),
            ("mortar.waste", "-5 %", "cannot be negative"),
            ("mortar.bag", "0 lb", "must be more than 0"),
        ],
    )
    def test_is_refused_at_the_field(self, key, text, words):
        desk = Desk.sample()
        desk.session.enter(key, text)
        desk.plan_now()
        assert words in shown_fault(desk, key)

    def test_a_strip_thicker_than_the_floor_leaves_the_map_as_it_is(self):
        desk = Desk.sample()
        desk.session.enter("outline.rectangle[1]", "20 in")
        desk.session.enter("drains[0].at.first", "10 in")
        desk.session.enter("strips.thickness", "11 in")
        desk.plan_now()
        assert "leave no floor between them" in shown_fault(desk, "strips.thickness")
        assert desk.planner.plan.job is desk.session.job
        assert not desk.findings("").is_old

    def test_a_board_shorter_than_a_wall_says_where_it_is_spliced(self):
        desk = Desk.sample()
        desk.session.enter("strips.stock", "30 in")
        desk.plan_now()
        row = next(row for row in all_rows(desk) if row.key == "strips.stock")
        assert re.search(r"spliced on A-B at 30 in", row.mark)


def all_rows(desk):
    return [
        row
        for step in STEP_CLASSES.values()
        if issubclass(step, FormStep)
        for row in desk.view.with_error(step.rows(desk.view))
        if isinstance(row, TextRow | ChoiceRow)
    ]


def shown_fault(desk, key):
    return next(row.fault for row in all_rows(desk) if row.key == key)


class TestDates:
    def test_a_date_is_read_back_with_its_weekday(self):
        desk = Desk.sample()
        desk.session.enter("job.start", "2027-03-08")
        row = next(row for row in all_rows(desk) if row.key == "job.start")
        assert row.echo == f"read as {date_words(desk.session.job.start)}" == "read as Monday 8 March 2027"
