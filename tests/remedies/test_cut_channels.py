"""A channel that is too long is cut where it stands over a wall, by no more, and its sound end stays."""

from __future__ import annotations

import pytest

from engine.plan import plan
from engine.remedies import changed, remedies

CHANNEL = (
    '[[drains]]\nkind = "channel"\nsize = 64\nfrom = {{ x = {}, y = 888 }}\nto = {{ x = {}, y = 888 }}\ndrop = 489\n'
)


@pytest.mark.parametrize(
    ("start", "end", "by", "ends"),
    [
        (-12, 1053, 24, {"from": "x 0 mm, y 888 mm", "to": "x 1041 mm, y 888 mm"}),
        (-11, 1036, 11, {"from": "x 0 mm, y 888 mm"}),
    ],
)
def test_cut_to_the_walls_and_no_further(make_plan, start, end, by, ends):
    corners = [(0, 0), (1041, 0), (1041, 1499), (0, 1499)]
    readings = list(zip(corners, (534, 536, 534, 528), strict=True))
    planned = make_plan(corners, readings=readings, shape="even-fall", extra=CHANNEL.format(start, end))
    found = next(a for f, a in zip(planned.findings, remedies(planned), strict=True) if f.rule == "flange-over-wall")
    cut = next(way for way in found.best if "shorter" in way.says)
    assert cut.figure == by
    assert dict(cut.change) == {f"drains[0].{which}": place for which, place in ends.items()}
    assert "flange-over-wall" not in {finding.rule for finding in plan(changed(planned.job, cut.change)).findings}


def test_an_oblique_channel_is_made_no_longer_than_it_takes(make_plan):
    """Its ends lie on whole millimetres beside oblique walls: a step more than the usual way off them does.

    D-A is at x 10.3 where y is 210, B-C at x 1722.4 where y is 179: the new ends are 23.7 and 24.4 mm off.
    """
    corners = [(0, 0), (1753, 0), (1575, 1041), (51, 1041)]
    text = (
        '[[drains]]\nkind = "channel"\nsize = 76\nfrom = { x = 51, y = 209 }\nto = { x = 1676, y = 180 }\ndrop = 483\n'
    )
    readings = list(zip(corners, (523, 523, 523, 530), strict=True))
    planned = make_plan(corners, readings=readings, shape="plane", fall="1:60", extra=text)
    (found,) = (a for f, a in zip(planned.findings, remedies(planned), strict=True) if f.rule == "channel-short")
    longer = found.best[0]
    assert longer.says.startswith("make the channel 40 mm longer, to 24 mm off the walls")
    assert "channel-short" not in {finding.rule for finding in plan(changed(planned.job, longer.change)).findings}


@pytest.mark.parametrize(
    ("start", "end", "says"),
    [
        (300, 600, "make the channel 550 mm longer, to 25 mm off the walls"),  # 25.4, on the step
        (12, 600, "make the channel 275 mm longer, to 12 mm and 25 mm off the walls"),  # an end that is near stays
    ],
)
def test_a_short_channel_is_told_how_far_off_the_walls_it_ends_then(make_plan, start, end, says):
    ends = f"from = {{ x = 60, y = {start} }}\nto = {{ x = 60, y = {end} }}"
    text = f'[[drains]]\nkind = "channel"\nsize = 70\n{ends}\ndrop = 489\n'
    corners = [(0, 0), (1400, 0), (1400, 900), (0, 900)]
    planned = make_plan(corners, readings=[(corner, 530) for corner in corners], shape="plane", extra=text)
    longer = about(planned, "channel-short", ()).best[0]
    assert longer.says == says


CORNER = [(0, 0), (1400, 0), (1400, 1700), (0, 1700)]
LEVEL = [(corner, 530) for corner in CORNER]
TWO = """[[drains]]
kind = "channel"
size = 76
from = { x = 38, y = 0 }
to = { x = 38, y = 1700 }
drop = 489
[[drains]]
kind = "channel"
size = 76
from = { x = 0, y = 1662 }
to = { x = 1400, y = 1662 }
drop = 489
"""


def about(planned, rule, drains):
    pairs = zip(planned.findings, remedies(planned), strict=True)
    return next(answer for found, answer in pairs if (found.rule, found.drains) == (rule, drains))


@pytest.mark.parametrize("shape", ["plane", "even-fall"])
def test_of_two_channels_from_wall_to_wall_one_is_cut_where_they_meet(make_plan, shape):
    """By the other's 76 mm and 1 mm of mud; with 76 mm they touch."""
    planned = make_plan(CORNER, readings=LEVEL, shape=shape, extra=TWO)
    cut = about(planned, "flanges-overlap", (0, 1)).best[0]
    assert dict(cut.change) == {"drains[0].to": "x 38 mm, y 1623 mm"}
    assert cut.says == "make drain 1 77 mm shorter, until there is mud between the flanges"


def test_a_channel_cut_off_another_drain_and_the_wall_it_stands_over(make_plan):
    """Its longest piece clear of the drain alone is past the wall. The drain ends at 60 + 38 mm."""
    text = (
        '[[drains]]\nkind = "round"\nsize = 76\nat = { x = 60, y = 850 }\ndrop = 489\n[[drains]]\nkind = "channel"\n'
        "size = 76\nfrom = { x = -1500, y = 850 }\nto = { x = 1300, y = 850 }\ndrop = 489\n"
    )
    found = about(make_plan(CORNER, readings=LEVEL, shape="even-fall", extra=text), "flanges-overlap", (0, 1))
    cut = next(way for way in found.best if "shorter" in way.says)
    assert dict(cut.change) == {"drains[1].from": "x 99 mm, y 850 mm"}


def test_a_channel_over_a_wall_is_cut_off_another_by_no_more_than_that_asks(make_plan):
    """It reaches 20 mm over B-C besides, which is another finding's."""
    text = TWO.replace("x = 1400, y = 1662", "x = 1420, y = 900").replace("x = 0, y = 1662", "x = 30, y = 900")
    found = about(make_plan(CORNER, readings=LEVEL, shape="even-fall", extra=text), "flanges-overlap", (0, 1))
    cut = next(way for way in found.best if "shorter" in way.says)
    assert dict(cut.change) == {"drains[1].from": "x 77 mm, y 900 mm"}
