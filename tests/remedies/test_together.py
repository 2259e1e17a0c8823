"""Two changes together, where every single one brings a stop of its own; and words where none will do."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies

ROOM = [(0, 0), (1000, 0), (1000, 1000), (0, 1000)]
WORDS = {"at": (500, 500), "shape": "even-fall", "drop": 500}


def readings(*drops):
    return list(zip(ROOM, drops, strict=True))


WOOD = (
    ("floor.kind", "wood"),
    ("floor.moisture_barrier", "felt"),
    ("floor.lath", "true"),
    ("floor.bond_coat", ""),
)


@pytest.fixture
def make(make_job):
    """On wood, where a bed from 31.75 to 50.8 mm deep is asked for: 1 1/4 to 2 in."""

    def build(outline=ROOM, **words):
        return plan(changed(make_job(outline, **{**WORDS, **words}), WOOD))

    return build


def answer(planned, rule):
    at = next(i for i, finding in enumerate(planned.findings) if finding.rule == rule)
    return remedies(planned)[at]


def stops(planned):
    return [finding.rule for finding in planned.findings if finding.level is Level.STOP]


class TestRaiseAndFill:
    """A floor that leans 30 mm: 18 to 48 mm deep at the corners, and the limits leave 19 mm between them."""

    @pytest.fixture
    def planned(self, make):
        return make(readings=readings(505, 505, 535, 535))

    def test_each_alone_is_not_enough(self, planned):
        found = answer(planned, "bed-thin")
        for remedy in found.remedies[1:]:
            assert stops(plan(changed(planned.job, remedy.change)))

    def test_both_are(self, planned):
        pair = answer(planned, "bed-thin").best[0]
        assert stops(plan(changed(planned.job, pair.change))) == []
        assert "; and with it have a carpenter pack up the low spot" in pair.says

    def test_why_none_alone_does(self, planned):
        assert any("and the limits leave 19 mm" in says for says in answer(planned, "bed-thin").ruled_out)

    def test_another_place_of_the_drain_is_looked_for(self, planned):
        """30 mm apart wherever it stands."""
        none = "another place of a drain alone: there is none that clears this and brings no stop"
        assert none in answer(planned, "bed-thin").ruled_out


class TestRaiseFillAndBuildTheCurbHigher:
    """The same floor behind a curb 68 mm over the drain: 50.8 are asked for over what is raised by 13 and more."""

    @pytest.fixture
    def planned(self, make):
        outline = 'rectangle = [1000, 1000]\nedges = { "A-B" = "curb" }'
        return make(outline, readings=readings(505, 505, 535, 535), extra="[curb]\ndrop = 432")

    def test_all_three_clear_it(self, planned):
        assert stops(planned) == ["bed-thin"]
        three = answer(planned, "bed-thin").best[0]
        assert stops(plan(changed(planned.job, three.change))) == []
        assert three.says.count("; and with it ") == 2

    def test_any_two_of_them_leave_a_stop(self, planned):
        three = answer(planned, "bed-thin").best[0]
        floor = {key.partition(".")[0] for key, _ in three.change}
        for section in {key.partition("[")[0] for key in floor}:
            two = tuple(entry for entry in three.change if not entry[0].startswith(section))
            assert stops(plan(changed(planned.job, two))), section

    def test_it_is_told_that_one_alone_does_not(self, planned):
        assert any(says.startswith("one change alone") for says in answer(planned, "bed-thin").ruled_out)


def test_a_floor_that_is_too_low_nearly_everywhere_is_filled_at_all_its_readings(make):
    """Eight readings of a floor that leans 40 mm, six of them too low wherever the drain stands."""
    low, middle, high = 575, 560, 535
    along = [((500, 0), high), ((1000, 500), middle), ((500, 1000), low), ((0, 500), middle)]
    planned = make(readings=[*readings(high, high, low, low), *along])
    cure = answer(planned, "bed-thick").best[0]
    assert not any(key == "bed.most_depth" for key, _ in cure.change)
    assert "bed-thick" in stops(planned)
    assert stops(plan(changed(planned.job, cure.change))) == []


def test_three_changes_of_what_is_built_come_before_two_that_set_a_limit_of_ones_own(make):
    """Raised, the bed is too thick: with a limit of one's own that would do, with an even fall and filling, too."""
    room = [(0, 0), (1116, 0), (1116, 1303), (0, 1303)]
    second = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 249, y = 454 }\ndrop = 501\n'
    planned = make(
        room,
        at=(415, 747),
        shape="level-walls",
        bed="least_depth = 37\nmost_depth = 43",
        readings=list(zip(room, (534, 517, 532, 532), strict=True)),
        extra=second,
    )
    three = answer(planned, "bed-thin").best[0]
    assert {"bed.shape", "drains[0].drop"} < {key for key, _ in three.change}
    assert "bed.most_depth" not in dict(three.change)
    assert not {"bed-thin", "bed-thick"} & set(stops(plan(changed(planned.job, three.change))))


def test_raise_and_build_the_curb_higher(make):
    outline = 'rectangle = [1000, 1000]\nedges = { "A-B" = "curb" }'
    planned = make(outline, readings=readings(520, 520, 520, 520), extra="[curb]\ndrop = 428")
    pair = answer(planned, "bed-thin").best[0]
    assert [key for key, _ in pair.change] == ["drains[0].drop", "curb.drop"]
    assert stops(plan(changed(planned.job, pair.change))) == []


def test_where_none_do_it_is_told_whom_to_turn_to(make, monkeypatch):
    """Raised by what is missing at one corner, the bed is too thick at the others and the curb too low.

    A third change would do.
    """
    monkeypatch.setattr("engine.remedies.together._MOST", 2)
    outline = 'rectangle = [1000, 1000]\nedges = { "A-B" = "curb" }'
    planned = make(outline, readings=readings(400, 560, 560, 560), extra="[curb]\ndrop = 428")
    found = answer(planned, "bed-thin")
    assert set(found.remedies[0].brings) == {"bed-thick", "curb-low"}
    assert not found.best
    assert any("Turn to whoever levels the rough floor" in says for says in found.ruled_out)


def test_a_failed_flood_test_has_no_cure_by_figures(make):
    planned = make(readings=readings(560, 560, 560, 560), extra="[flood_test]\nleaked = true")
    found = answer(planned, "flood-failed")
    assert not found.remedies
    assert "only a new test shows" in found.ruled_out[0]


def test_where_no_bed_is_found_another_s_stops_are_told_to_show_for_the_first_time(make, monkeypatch):
    """Beside an island no level walls will do: the even fall is too thin, which was not judged before."""
    monkeypatch.setattr("engine.remedies.together._MOST", 1)
    outline = "rectangle = [51, 67]\nislands = [{ corners = [[20, 37], [24.5, 37], [24.5, 44], [20, 44]] }]"
    drain = {"at": (28, 39), "size": 6, "kind": "square", "drop": 34.75}
    words = {
        "shape": "level-walls",
        "mark_step": "1/16",
        "units": "in",
        "readings": [(f'"{corner}"', 35.5) for corner in "ABCD"],
    }
    planned = make(outline, **drain, **words, extra='[figures]\nfall_most = "1/4 in/ft"\n')
    found = answer(planned, "hidden-floor")
    assert {rule for remedy in found.remedies for rule in remedy.brings} == {"bed-thin"}
    assert not found.best
    assert any("is judged for the first time, and each stop" in says for says in found.ruled_out)
