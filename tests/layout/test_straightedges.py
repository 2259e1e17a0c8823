"""Straightedges: every line served, by the fewest lengths, on every shape of bed.

A line's need is worked out here from the plan's surfaces alone: where it runs, where its strip's inner face is, and
where it meets the flange. That no fewer lengths can do is proved by lines that no one length serves two of.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from engine.bed.level_walls import LevelWalls
from engine.bed.planes import PlaneBed
from engine.job.model import EdgeKind

INCH = 25.4
T = 12.0  # [mm] the thickness taken in a mm job
STEP = 1.0  # [mm]
SAMPLES = 401
TOO_SHORT = 0.01  # [mm] lines shorter than this need no straightedge
TOUCH = 1e-6  # [mm]
WIDE = [(0, 0), (1200, 0), (1200, 600), (0, 600)]
ODD = [(0, 0), (1300, 200), (1100, 1000), (100, 900)]
ELL = [(0, 0), (1200, 0), (1200, 600), (600, 600), (600, 1200), (0, 1200)]
CHANNEL = '[[drains]]\nkind = "channel"\nsize = 60\nfrom = { x = 300, y = 420 }\nto = { x = 800, y = 500 }\n'
SECOND = '[[drains]]\nkind = "round"\nsize = 150\nat = { x = 900, y = 250 }\n'
OPEN = 'edges = { "B-C" = "open" }'
ROOMS = {
    "level, round": {"outline": ODD, "at": (500, 480)},
    "level, round, walked the other way": {"outline": ODD[::-1], "at": (500, 480), "outline_extra": OPEN},
    "level, square": {"outline": WIDE, "at": (500, 280), "kind": "square", "size": 120},
    "level, square, at odd angles": {
        "outline": ODD,
        "at": (500, 480),
        "kind": "square",
        "outline_extra": OPEN,
    },
    "level, channel": {"outline": ODD, "extra": CHANNEL},
    "even, round": {"outline": ODD, "at": (700, 480), "shape": "even-fall", "outline_extra": OPEN},
    "even, round, bent": {"outline": ELL, "at": (900, 250), "shape": "even-fall"},
    "even, square": {"outline": ODD, "at": (500, 480), "kind": "square", "shape": "even-fall"},
    "even, square, all in sight": {"outline": ELL, "at": (310, 200), "kind": "square", "shape": "even-fall"},
    "even, square, bent": {"outline": ELL, "at": (900, 250), "kind": "square", "shape": "even-fall"},
    "even, channel": {"outline": ODD, "extra": CHANNEL, "shape": "even-fall"},
    "even, two drains": {"outline": ELL, "at": (300, 900), "shape": "even-fall", "extra": SECOND},
    "plane": {"outline": WIDE, "extra": CHANNEL, "shape": "plane"},
}


PLANNED = {}


@pytest.fixture(params=sorted(ROOMS))
def room(request, make_plan):
    """A room's plan, and its lines: worked out once for all tests."""
    if request.param not in PLANNED:
        words = dict(ROOMS[request.param])
        found = make_plan(words.pop("outline"), **words)
        PLANNED[request.param] = found, [entry for entry in lines(found) if entry[2] > TOO_SHORT]
    return PLANNED[request.param]


def lines(found):
    """(wall, place along it, near, far) of lines from evenly spread places along all walls."""
    floor = found.outline
    for wall, name in enumerate(floor.walls):
        alongs = np.linspace(0, floor.lengths[wall], SAMPLES)
        places = floor.corners[wall] + alongs[:, None] * floor.directions[wall]
        for along, ends in zip(alongs, _ends(found, places), strict=True):
            square = ends is not None and ends[0] @ floor.inward[wall]
            if square > TOUCH:
                strip = 0 if floor.kinds[wall] is EdgeKind.OPEN else T / square
                yield name, along, ends[1] - strip, ends[2] - strip


def _ends(found, places):
    """Of each line the direction and the lengths to the flange's near and far edge; None where it is not straight."""
    bed = found.bed
    if isinstance(bed, PlaneBed):
        return [_to_channel(bed.reach.flange, place) for place in places]
    if isinstance(bed, LevelWalls):
        return [_across(bed.reach.flange, place, bed.reach.flange.centre) for place in places]
    return _shortest(bed, shapely.buffer(found.outline.polygon, TOUCH), places)


def _to_channel(flange, place):
    off = (place - flange.centre) @ flange.frame[1]
    near = abs(off) - flange.half
    return (-np.sign(off) * flange.frame[1], near, near + flange.size) if near > 0 else None


def _shortest(bed, room, places):
    """Where the flange is in straight sight and no drain is nearer."""
    ends = [None] * len(places)
    ways = bed.reach.way(places)
    shapely.prepare(room)
    for flange in bed.reach.flanges:
        feet = flange.foot(places)
        sight = shapely.covers(room, shapely.linestrings(np.stack([places, feet], axis=1)))
        for i in np.flatnonzero(sight & np.isclose(flange.distance(places), ways, rtol=0, atol=1e-7)):
            ends[i] = _across(flange, places[i], feet[i])
    return ends


def _across(flange, place, target):
    heading = (target - place) / np.hypot(*(target - place))
    if flange.is_round:
        far = np.hypot(*(flange.centre - place))
        return heading, far - flange.half, far + flange.half
    grown = shapely.buffer(flange.polygon, 1e-9, join_style="mitre")  # a line to a corner is to meet it
    beam = shapely.linestrings([place, place + 1e5 * heading])
    met = (shapely.get_coordinates(shapely.intersection(grown, beam)) - place) @ heading
    return heading, met.min(), met.max()


class TestAnyBed:
    def test_every_line_has_one_that_reaches_and_does_not_touch_the_far_edge(self, room):
        found, needs = room
        lengths = np.array(found.straightedges.lengths)
        for name, along, near, far in needs:
            assert ((lengths >= near) & (lengths < far)).any(), (name, along, near, far)

    def test_no_fewer_lengths_would_do(self, room):
        """Lines taken by their far ends, each with its near end over the far end before: no length serves two."""
        found, needs = room
        apart, last = 0, -math.inf
        for _, _, near, far in sorted(needs, key=lambda need: need[3]):
            if near > last:
                apart, last = apart + 1, far
        assert len(found.straightedges.lengths) == apart

    def test_each_stretch_is_served_by_the_shortest_that_serves_it(self, room):
        found, needs = room
        edges = found.straightedges.edges
        for name, along, near, far in needs:
            told = {
                edge.length
                for edge in edges
                for part in edge.serves
                if part.wall == name and part.start + 1 < along < part.end - 1
            }
            serving = [edge.length for edge in edges if near - TOUCH <= edge.length < far + TOUCH]
            assert told <= {min(serving)}, (name, along)
        parts = [part for edge in edges for part in edge.serves]
        untold = [
            need for need in needs if not any(p.wall == need[0] and p.start - 1 <= need[1] <= p.end + 1 for p in parts)
        ]
        assert untold == []

    def test_longest_first_is_the_order_to_trim_one_board_in(self, room):
        found, needs = room
        lengths = found.straightedges.lengths
        assert list(lengths) == sorted(lengths, reverse=True)
        assert lengths[0] >= found.straightedges.longest >= max(near for _, _, near, _ in needs) - TOUCH
        assert found.straightedges.shortest <= min(near for _, _, near, _ in needs) + TOUCH
        assert all(edge.serves for edge in found.straightedges.edges)

    def test_stretches_lie_on_their_walls(self, room):
        found, _ = room
        floor = found.outline
        for edge in found.straightedges.edges:
            for part in edge.serves:
                length = floor.lengths[floor.walls.index(part.wall)]
                assert -TOUCH <= part.start < part.end <= length + TOUCH


class TestByHand:
    def test_a_48_by_36_in_room(self, make_plan):
        """Half-inch strips, a 6 in flange in the middle: lines from 18 - 1/2 - 3 = 14 1/2 in to 26 3/8 in.

        To a corner R = 30, the strip of the nearer wall (24 off) takes 1/2 x 30 / 24 = 5/8: 30 - 5/8 - 3 = 26 3/8. Each
        length serves 6 in of that, so two do, with 1/8 in to spare: a third of it, 1/24, is left at each limit.
        """
        found = make_plan(
            'rectangle = ["48 in", "36 in"]',
            units="in",
            size="6 in",
            at='{ "A-B" = "18 in", "D-A" = "24 in" }',
            mark_step="1/16 in",
        ).straightedges
        assert found.longest == pytest.approx(26.375 * INCH)
        assert found.shortest == pytest.approx(14.5 * INCH)
        # 26 3/8 + 1/24 and 20 1/2 - 1/24, in whole sixteenths down
        assert found.lengths == pytest.approx(((26 + 6.5 / 16) * INCH, (20 + 7 / 16) * INCH), abs=0.01)
        longer, shorter = found.edges
        # the shorter serves lines up to R = 20 7/16 + 3 off the strip: R (1 - 1/36) from the long walls, 18 off
        off = math.sqrt(((20 + 7 / 16 + 3) / (1 - 0.5 / 18)) ** 2 - 18**2)
        served = {part.wall: (part.start, part.end) for part in shorter.serves}
        assert list(served) == ["A-B", "C-D"]
        assert served["A-B"] == pytest.approx(((24 - off) * INCH, (24 + off) * INCH))
        assert [part.wall for part in longer.serves] == ["A-B", "A-B", "B-C", "C-D", "C-D", "D-A"]

    def test_one_line_long_all_round_takes_one(self, make_plan):
        """A square channel's length of wall: one plane, every line 400 - 30 - 12 long."""
        drain = '[[drains]]\nkind = "channel"\nsize = 60\nfrom = { x = 0, y = 400 }\nto = { x = 900, y = 400 }\n'
        found = make_plan([(0, 0), (900, 0), (900, 800), (0, 800)], shape="plane", extra=drain).straightedges
        assert (found.longest, found.shortest) == pytest.approx((358, 358))
        assert found.lengths == (388,)  # half way across the channel
        assert [(part.wall, part.start, part.end) for part in found.edges[0].serves] == [
            ("A-B", 0, 900),
            ("C-D", 0, 900),
        ]

    def test_past_an_open_edge_no_strip_is_taken_off(self, make_plan):
        walled = make_plan([(0, 0), (800, 0), (800, 800), (0, 800)], at=(400, 400))
        opened = make_plan([(0, 0), (800, 0), (800, 800), (0, 800)], at=(400, 400), outline_extra=OPEN)
        corner = math.hypot(400, 400)
        assert walled.straightedges.longest == pytest.approx(corner * (1 - T / 400) - 50)
        assert opened.straightedges.longest == pytest.approx(corner - 50)

    def test_a_whole_number_of_flanges_takes_one_more(self, make_plan):
        """Lines that differ by exactly the flange's width: one length would have to touch the far edge."""
        room = [(0, 0), (1000, 0), (1000, 900), (0, 900)]
        edges = 'edges = { "A-B" = "open", "B-C" = "open", "C-D" = "open", "D-A" = "open" }'
        nearest, farthest = 450, math.hypot(500, 450)
        one = make_plan(room, at=(500, 450), size=farthest - nearest + 0.01, outline_extra=edges)
        two = make_plan(room, at=(500, 450), size=farthest - nearest - 0.01, outline_extra=edges)
        assert [len(found.straightedges.lengths) for found in (one, two)] == [1, 2]


class TestBends:
    def test_lines_that_bend_are_told_by_their_bend(self, make_plan):
        """From (900, 300) all of the leg above y = 600 left of the line through D is reached round D = (600, 600)."""
        found = make_plan(ELL, at=(900, 300), shape="even-fall").straightedges
        (bend,) = found.bends
        assert (bend.corner, bend.x, bend.y) == ("D", 600, 600)
        # the line through D runs at 45 degrees: it meets F-A at (0, 1200), so E-F and D-E lie behind it
        assert [part.wall for part in bend.serves] == ["E-F"]
        assert (bend.serves[0].start, bend.serves[0].end) == pytest.approx((0, 600))
        # to D from F, 600 off across and up, past the strip along E-F: sqrt(2) x 600 x (1 - 12 / 600)
        assert bend.longest == pytest.approx(math.sqrt(2) * 600 * (1 - T / 600))
        assert bend.shortest == pytest.approx(600 - T)

    def test_there_are_none_in_a_room_that_the_drain_sees(self, make_plan):
        assert make_plan(WIDE, at=(600, 300), shape="even-fall").straightedges.bends == ()
        assert make_plan(ELL, at=(300, 300), shape="level-walls").straightedges.bends == ()

    def test_round_a_post_each_way_ends_where_the_other_is_shorter(self, make_plan):
        post = [(500, 240), (560, 240), (560, 360), (500, 360)]
        found = make_plan(WIDE, at=(900, 300), shape="even-fall", islands=[post]).straightedges
        assert {(bend.corner, bend.x) for bend in found.bends} == {
            ("island 1 corner 1", 500),
            ("island 1 corner 2", 560),
            ("island 1 corner 3", 560),
            ("island 1 corner 4", 500),
        }
        # the room is the same above and below y = 300: the two ways part in the middle of D-A
        behind = {bend.y: bend.serves for bend in found.bends if bend.x == 500}
        above, below = ([part for part in behind[y] if part.wall == "D-A"] for y in (360, 240))
        assert [part.end for part in above] == pytest.approx([300], abs=1e-4)  # D-A runs down from y = 600
        assert [part.start for part in below] == pytest.approx([300], abs=1e-4)


class TestSmallFlanges:
    def test_a_flange_too_small_for_lengths_is_worked_with_one_trimmed_board(self, make_plan):
        found = make_plan(WIDE, at=(600, 300), size=0.5).straightedges
        assert found.edges == ()
        assert found.longest > found.shortest > 0

    def test_a_small_one_takes_many(self, make_plan):
        found = make_plan(WIDE, at=(600, 300), size=40).straightedges
        spread = found.longest - found.shortest
        assert len(found.lengths) == math.ceil(spread / 40)
