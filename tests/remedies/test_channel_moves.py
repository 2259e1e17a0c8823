"""Channels moved as they lie, or cut, for falls and depth: by the least that does."""

from __future__ import annotations

import numpy as np
import pytest

from engine.bed.flange import Flange
from engine.job.model import DrainKind
from engine.plan import plan
from engine.remedies import changed, remedies
from engine.remedies.parted_moves import leaning
from engine.remedies.remedy import Idea
from engine.remedies.trials import Trials

ROOM = [(0, 0), (1500, 0), (1500, 1200), (0, 1200)]
DEEP = [(corner, 542) for corner in ROOM]

WOOD = (("floor.kind", "wood"), ("floor.bond_coat", ""), ("floor.moisture_barrier", "felt"), ("floor.lath", "true"))


def channel(start, end):
    place = "from = {{ x = {}, y = {} }}\nto = {{ x = {}, y = {} }}".format(*start, *end)
    return f'[[drains]]\nkind = "channel"\nsize = 65\n{place}\ndrop = 510\n'


def told(planned, rule, start):
    at = next(i for i, finding in enumerate(planned.findings) if finding.rule == rule)
    ways = [way for way in remedies(planned)[at].best if way.says.startswith(start)]
    return planned.findings[at], ways[0]


def does(planned, finding, ends):
    """Whether a channel from here to there clears a finding and brings no stop."""
    keys = zip(("from", "to"), np.round(ends, 6).tolist(), strict=True)
    change = tuple((f"drains[0].{key}", f"x {x} mm, y {y} mm") for key, (x, y) in keys)
    remedy = Trials(planned).tried(finding, Idea("", change))
    return remedy is not None and not remedy.brings


class TestMoved:
    @pytest.mark.parametrize("shape", ["plane", "even-fall"])
    def test_square_off_the_wall_until_the_far_one_is_near_enough(self, make_plan, shape):
        """32 mm at the drain and 1 in 48 of the run are 50.8 mm at 902.4 mm: its middle 265.1 mm off A-B, not 32.5."""
        ends = ((0, 32.5), (1500, 32.5))
        planned = make_plan(ROOM, readings=DEEP, shape=shape, fall="1:48", extra=channel(*ends))
        planned = plan(changed(planned.job, WOOD))
        finding, way = told(planned, "bed-thick", "move the channel")
        assert way.figure == 233
        assert dict(way.change) == {"drains[0].from": "x 0 mm, y 265.5 mm", "drains[0].to": "x 1500 mm, y 265.5 mm"}
        assert not does(planned, finding, np.add(ends, [0, 232]))

    def test_with_level_walls_to_the_nearest_place_that_is_gentle_enough(self, make_plan):
        ends = np.array([(200, 500), (500, 500)])
        planned = make_plan(ROOM, readings=DEEP, shape="level-walls", fall="1:48", extra=channel(*ends))
        finding, way = told(planned, "fall-steep", "move the channel")
        assert "fall-steep" not in {found.rule for found in plan(changed(planned.job, way.change)).findings}
        ring = [np.round((way.figure - 1) * np.array([np.cos(a), np.sin(a)])) for a in np.linspace(0, 2 * np.pi, 48)]
        assert not any(does(planned, finding, ends + by) for by in ring if np.hypot(*by) < way.figure)

    def test_both_ends_alike(self, make_plan):
        ends = np.array([(200, 480), (500, 520)])
        planned = make_plan(ROOM, readings=DEEP, shape="level-walls", fall="1:48", extra=channel(*ends))
        _, way = told(planned, "fall-steep", "move the channel")
        after = plan(changed(planned.job, way.change)).drains[0].flange
        assert after.ends - ends == pytest.approx(np.tile(after.ends[0] - ends[0], (2, 1)))
        assert np.hypot(*(after.ends[0] - ends[0])) == pytest.approx(way.figure)

    @pytest.mark.parametrize("length", [65, 130, 1000])
    def test_no_run_changes_faster_than_is_reckoned_with(self, length):
        """From the rim outward, by moves of a hundredth of a millimetre; near the corners it is nearly reached."""
        flange, rng = (
            Flange(DrainKind.CHANNEL, np.zeros(2), 65.0, np.array([0.6, 0.8]), length),
            np.random.default_rng(1),
        )
        angles, turns = rng.uniform(0, 2 * np.pi, (2, 20_000))
        ways, by = (np.column_stack([np.cos(each), np.sin(each)]) for each in (angles, turns))
        places = ways * (flange.rim(ways) * rng.uniform(1, 1.5, len(ways)))[:, None]
        changes = np.abs(flange.runs(places + by * 0.01) - flange.runs(places)) / 0.01
        assert 0.8 * leaning(flange) < changes.max() < leaning(flange) + 1e-3


class TestCut:
    def test_with_level_walls_where_no_move_does(self, make_plan):
        """Of a step less none does, whichever ends it is off."""
        ends = np.array([(100, 600), (1400, 600)])
        planned = make_plan(ROOM, readings=DEEP, shape="level-walls", fall="1:48", extra=channel(*ends))
        finding, way = told(planned, "fall-steep", "make the channel")
        assert "fall-steep" not in {found.rule for found in plan(changed(planned.job, way.change)).findings}
        less = round(way.figure) - 1
        parts = np.unique(np.linspace(0, less, 40).astype(int)).tolist()
        assert not any(does(planned, finding, np.add(ends, [(part, 0), (part - less, 0)])) for part in parts)
