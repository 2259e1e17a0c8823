"""A remedy clears the very finding that it is told of, not another of its rule."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.bed.parted_walls import PartedWalls
from engine.limits.checks.proud import proud_drains
from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies
from engine.remedies.matched import as_numbered, stands
from engine.remedies.remedy import Idea
from engine.remedies.trials import Trials

ROOMS = range(8)


def _steep(planned):
    return [finding for finding in planned.findings if finding.rule == "fall-steep"]


@pytest.fixture(scope="module")
def row(several):
    return several("rectangle = [3000, 1000]", (500, 500, 500), (1500, 500, 503), (2500, 500, 498))


class TestOfSeveralParts:
    """Three drains' parts, each too steep; the middle drain moved 100 mm clears the first's alone."""

    MOVE = Idea("", (("drains[1].at", "x 1600 mm, y 500 mm"),))

    def test_the_one_that_is_cleared(self, row):
        remedy = Trials(row).tried(_steep(row)[0], self.MOVE)
        assert remedy is not None
        assert remedy.clears == ("fall-steep",)

    def test_one_that_only_comes_to_be_elsewhere_is_not(self, row):
        """The third part's steepest place is then 68 mm farther along, as steep."""
        after = _steep(plan(changed(row.job, self.MOVE.change)))
        assert [finding.drains for finding in after] == [(1,), (2,)]
        assert after[1].x > _steep(row)[2].x + 60
        assert Trials(row).tried(_steep(row)[2], self.MOVE) is None

    def test_cleared_while_anothers_comes_up_it_brings_a_stop(self, several):
        """Of 2400 by 1000 one drain stands 440 off its wall; moved to 500, with the other to 440 off its own."""
        pair = several("rectangle = [2400, 1000]", (440, 500, 500), (1700, 500, 500))
        (finding,) = _steep(pair)
        both = (("drains[0].at", "x 500 mm, y 500 mm"), ("drains[1].at", "x 1960 mm, y 500 mm"))
        assert [found.drains for found in _steep(plan(changed(pair.job, both)))] == [(1,)]
        assert Trials(pair).tried(finding, Idea("", both)).brings == ("fall-steep",)

    def test_with_a_drain_left_out_the_others_keep_their_numbers(self, row):
        change = (("drains[0]", ""),)
        after = plan(changed(row.job, change)).findings
        assert [finding.drains for finding in _steep(plan(changed(row.job, change)))] == [(0,), (1,)]
        left = as_numbered(after, change)
        assert [finding.drains for finding in left if finding.rule == "fall-steep"] == [(1,), (2,)]
        assert [stands(finding, row.findings, left) for finding in _steep(row)] == [False, True, True]


def test_of_many_of_a_rule_each_is_matched_with_one(row):
    """Two of the floor's places: with one gone the other is not that one, wherever the first was told."""
    first, second, _ = (_at(finding, x) for finding, x in zip(_steep(row), (100, 900, 0), strict=True))
    assert not stands(first, (first, second), (_at(second, 880),))
    assert stands(second, (first, second), (_at(second, 880),))
    assert stands(first, (first, second), (_at(first, 300), _at(second, 880)))


def _at(finding, x):
    return type(finding)("ponding", Level.STOP, finding.says, "", "", float(x), 0.0)


def _room(seed):
    """A rectangle or an L, its two or three drains anywhere on it, at unlike heights."""
    rng = np.random.default_rng(seed)
    wide, deep = rng.integers(1100, 2600, 2).tolist()
    ell = [(0, 0), (wide, 0), (wide, deep // 2), (wide // 2, deep // 2), (wide // 2, deep), (0, deep)]
    corners = ell if seed % 3 == 2 else [(0, 0), (wide, 0), (wide, deep), (0, deep)]
    region, drains = shapely.buffer(shapely.Polygon(corners), -80), []
    while len(drains) < 2 + seed % 2:
        x, y = rng.integers(80, (wide - 80, deep - 80)).tolist()
        if shapely.intersects_xy(region, x, y):
            drains.append((x, y, int(rng.integers(495, 506))))
    return corners, drains, "even-fall" if seed % 4 == 3 else "level-walls"


@pytest.fixture(scope="module")
def answered(several):
    plans = [several(corners, *drains, shape=shape) for corners, drains, shape in map(_room, ROOMS)]
    return [(planned, remedies(planned)) for planned in plans]


@pytest.mark.parametrize("seed", ROOMS)
def test_in_any_room_of_several_drains_that_very_finding_is_cleared(answered, seed):
    planned, answers = answered[seed]
    for finding, answer in zip(planned.findings, answers, strict=True):
        for remedy in answer.remedies:
            left = [
                number for number in range(len(planned.job.drains)) if (f"drains[{number}]", "") not in remedy.change
            ]
            if set(finding.drains) <= set(left):
                after = plan(changed(planned.job, remedy.change))
                assert _is_cleared(finding, after, [left.index(number) for number in finding.drains]), remedy.says


def _is_cleared(finding, after, drains):
    """By the bed and the flanges themselves."""
    if finding.rule == "fall-steep":
        bed = after.bed.beds[drains[0]] if isinstance(after.bed, PartedWalls) and drains else after.bed
        return bed.most_fall <= after.rulebook.most_fall.value * (1 + 1e-9)
    if finding.rule == "drain-proud":
        return drains[0] not in [proud.drain for proud in proud_drains(after.bed)]
    if finding.rule == "flanges-overlap":
        one, other = (after.drains[number].flange.polygon for number in drains)
        return shapely.area(shapely.intersection(one, other)) <= 1e-6
    return finding.rule not in [found.rule for found in after.findings]


def test_in_these_rooms_many_parts_are_too_steep_at_once(answered):
    assert sum(len(_steep(planned)) > 1 for planned, _ in answered) > len(ROOMS) / 3


def test_runs_are_not_equal_enough_where_the_floor_is_hidden_and_still_too_steep(make_plan):
    """Two rooms that meet in a neck 50 mm wide, the drain in it: a move off the neck's line hides a part."""
    neck = [(0, 0), (775, 0), (775, 500), (1500, 500), (1500, 1500), (725, 1500), (725, 1000), (0, 1000)]
    planned = make_plan(neck, at=(750, 750), size=80, drop=460, readings=[('"A"', 520)], rulebook="au-ncc", fall="1:80")
    answers = dict(zip((found.rule for found in planned.findings), remedies(planned), strict=True))
    for remedy in answers["runs-unequal"].remedies:
        after = plan(changed(planned.job, remedy.change))
        assert not _steep(after)
