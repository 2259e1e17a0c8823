"""Channels in a wall's way: moved, cut, laid anew, made longer."""

from __future__ import annotations

import pytest

from engine.plan import plan
from engine.remedies import changed, remedies

ROOM = [(0, 0), (1500, 0), (1500, 1000), (0, 1000)]
LEVEL = [(corner, 560) for corner in ROOM]


def answer(planned, rule):
    at = next(i for i, finding in enumerate(planned.findings) if finding.rule == rule)
    return remedies(planned)[at]


def rules(planned):
    return [finding.rule for finding in planned.findings]


def after(planned, remedy):
    return plan(changed(planned.job, remedy.change))


def channel(start, end):
    place = "from = {{ x = {}, y = {} }}\nto = {{ x = {}, y = {} }}".format(*start, *end)
    return f'[[drains]]\nkind = "channel"\nsize = 65\n{place}\ndrop = 500\n'


class TestChannels:
    def test_moved_off_the_wall_as_it_lies(self, make_plan):
        """Half its 65 mm less the 20 mm that its middle is off the wall."""
        planned = make_plan(ROOM, shape="even-fall", readings=LEVEL, extra=channel((100, 20), (1400, 20)))
        remedy = answer(planned, "flange-over-wall").remedies[0]
        assert remedy.figure == pytest.approx(13, abs=0.5)
        flange = after(planned, remedy).drains[0].flange
        assert flange.length == pytest.approx(1300)

    def test_cut_to_the_walls(self, make_plan):
        planned = make_plan(ROOM, shape="plane", readings=LEVEL, extra=channel((-100, 500), (1600, 500)))
        remedy = answer(planned, "flange-over-wall").remedies[0]
        assert dict(remedy.change) == {
            "drains[0].from": "x 0 mm, y 500 mm",
            "drains[0].to": "x 1500 mm, y 500 mm",
        }

    @pytest.mark.parametrize(
        ("place", "by"),
        [(((300, 500), (1550, 500)), 50), (((100, 500), (1700, 500)), 200)],  # moved; too long for that, cut
    )
    def test_laid_so_that_no_flat_is_left_at_its_other_end(self, make_plan, place, by):
        """Clear of B-C it ends there, and short of D-A unless it goes on to an inch off it."""
        planned = make_plan(ROOM, shape="plane", readings=LEVEL, extra=channel(*place))
        laid = next(remedy for remedy in answer(planned, "flange-over-wall").best if remedy.says.startswith("lay"))
        assert dict(laid.change) == {"drains[0].from": "x 25 mm, y 500 mm", "drains[0].to": "x 1500 mm, y 500 mm"}
        assert laid.figure == pytest.approx(by, abs=0.5)
        assert not {"flange-over-wall", "channel-short"} & set(rules(after(planned, laid)))

    def test_a_steeper_plane_is_ruled_out_in_words(self, make_plan):
        planned = make_plan(ROOM, shape="plane", readings=LEVEL, extra=channel((300, 500), (1200, 500)))
        found = answer(planned, "channel-short")
        assert any("steeper plane" in says for says in found.ruled_out)
        steep = plan(changed(planned.job, (("bed.fall", "4 %"),)))
        assert "channel-short" in rules(steep)

    def test_moved_off_the_wall_alone_where_it_lies_on_another_drain(self, make_plan):
        """Half its 65 mm less the 20 mm that its middle is off the wall; it lies on the drain as before."""
        drain = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 700, y = 52 }\ndrop = 500\n'
        extra = channel((100, 20), (1400, 20)) + drain
        found = answer(make_plan(ROOM, shape="even-fall", readings=LEVEL, extra=extra), "flange-over-wall")
        assert found.best[0].figure == pytest.approx(13, abs=0.5)

    def test_an_end_that_has_met_another_channel_stays(self, make_plan):
        """It lies 20 mm inside the other; past it the next wall is the room's."""
        extra = channel((40, 0), (40, 1000)) + channel((52.5, 500), (900, 500))
        found = answer(make_plan(ROOM, shape="plane", readings=LEVEL, extra=extra), "channel-short")
        assert dict(found.best[0].change) == {"drains[1].to": "x 1475 mm, y 500 mm"}
