"""Sight from a point and square off a flange's side: what is seen, what a corner hides, what noise must not change."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from engine.bed.sight import Beam, Edges, Fan, wrapped

ELL = np.array([(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)], dtype=float)
ROOM = np.array([(0, 0), (1000, 0), (1000, 1000), (0, 1000)], dtype=float)
POST = np.array([(400, 400), (400, 600), (600, 600), (600, 400)], dtype=float)  # floor on the left
NOISE = 5e-7  # [mm] what a place typed to a millionth of a millimetre may be off


def edges_of(*rings):
    return Edges.of(tuple(rings))


def turned(places, degrees=23.7):
    turn = np.radians(degrees)
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return np.asarray(places, dtype=float) @ matrix * 1.37 + [812.3, -77.7]


class TestEdges:
    def test_inward_is_the_floors_side(self):
        edges = edges_of(ROOM, POST)
        middles = (edges.starts + edges.ends) / 2 + edges.inward
        floor = shapely.Polygon(ROOM, [POST])
        assert shapely.contains_xy(floor, middles).all()
        assert edges.depth(middles, np.arange(8)) == pytest.approx(1)


class TestFan:
    def test_an_open_room_is_seen_whole(self):
        fan = Fan.of(edges_of(ROOM), np.array([300.0, 700.0]))
        points = np.random.default_rng(0).uniform(0, 1000, (500, 2))
        assert fan.sees(np.vstack([points, ROOM, (ROOM + np.roll(ROOM, 1, axis=0)) / 2])).all()

    @pytest.mark.parametrize("source", [(1500, 400), (1700, 850), (300, 1500), (1000, 899)])
    def test_an_ell_as_shapely_sees_it(self, source):
        fan = Fan.of(edges_of(ELL), np.array(source, dtype=float))
        floor = shapely.Polygon(ELL)
        points = np.random.default_rng(1).uniform(0, 1800, (2000, 2))
        points = points[shapely.contains_xy(floor, points)]
        lines = shapely.linestrings(np.stack([np.broadcast_to(source, points.shape), points], axis=1))
        assert (fan.sees(points) == shapely.covers(floor, lines)).all()

    def test_grazing_a_corner_is_seeing(self):
        fan = Fan.of(edges_of(ELL), np.array([1350.0, 450.0]))
        grazed = np.array([[900.0, 900.0], [500, 1300], [0, 1800]])
        assert fan.sees(grazed).all()
        assert not fan.sees(grazed[1:] + np.array([5.0, 0.0])).any()

    def test_behind_a_post(self):
        fan = Fan.of(edges_of(ROOM, POST), np.array([100.0, 500.0]))
        assert fan.sees(np.array([[400.0, 500.0], [400, 400], [400, 600], [500, 300]])).all()
        assert not fan.sees(np.array([[600.0, 500.0], [700, 500], [1000, 500]])).any()

    @pytest.mark.parametrize("degrees", [0, 23.7, 45, 200.1])
    def test_a_posts_corners_in_one_line_with_the_source_hide_what_is_behind(self, degrees):
        """Through the post's diagonal: no ray slips between two corners whose angles differ in the last digit."""
        rings = turned(ROOM, degrees), turned(POST, degrees)
        source, behind = turned([(300, 300), (700, 700)], degrees)
        fan = Fan.of(edges_of(*rings), source)
        line = source + np.linspace(0.8, 1.6, 30)[:, None] * (behind - source)
        assert not fan.sees(line).any()
        assert fan.sees(source + np.linspace(0, 0.24, 5)[:, None] * (behind - source)).all()

    def test_from_a_corner_the_cone_is_the_floors(self):
        corner, after, before = ELL[3], ELL[4], ELL[2]
        fan = Fan.of(edges_of(ELL), corner, cone=(after, before))
        assert fan.sees(np.array([[0.0, 0.0], [1800, 0], [0, 1800], [900, 1800], [1800, 900]])).all()

    @pytest.mark.parametrize("far", [1e-12, 1e-9, 1e-7, 1e-5, 1e-3, 0.1, 10.0, 300.0])
    def test_along_its_own_walls_noise_hides_nothing(self, far):
        room = turned(ELL)
        corner, after, before = room[3], room[4], room[2]
        fan = Fan.of(edges_of(room), corner, cone=(after, before))
        for end in (after, before):
            along = (end - corner) / np.hypot(*(end - corner))
            beside = NOISE * np.array([[0, 0], [1, 0], [0, 1], [-1, 0], [0, -1]])
            assert fan.sees(corner + far * along + beside).all()

    def test_right_beside_a_corner_noise_may_span_several_others(self):
        """Past a thin wall stand corners at nearly its own direction; a place on the wall is seen all the same."""
        room = [(0, 0), (1500, 0), (1500, 1200), (516, 1200), (512, 1205), (508, 1200), (504, 1205)]
        room = np.array([*room, (504, 300), (500, 300), (500, 1200), (0, 1200)], dtype=float)
        fan = Fan.of(edges_of(room), room[8], cone=(room[9], room[7]))
        up = np.array([[0.0, 3e-5]])
        assert fan.sees(room[8] + up + NOISE * np.array([[0, 0], [1, 0], [-1, 0]])).all()

    def test_a_source_on_a_wall_does_not_see_through_it(self):
        fan = Fan.of(edges_of(ELL), np.array([900.0, 1300.0]))
        assert fan.sees(np.array([[0.0, 1300.0], [900, 1800], [500, 100]])).all()
        assert not fan.sees(np.array([[1700.0, 100.0]])).any()


class TestBeam:
    @pytest.fixture
    def beam(self):
        """Off the right side of a flange at (300, 500), 200 tall, toward the post."""
        return Beam.of(edges_of(ROOM, POST), np.array([300.0, 350.0]), np.array([300.0, 550.0]))

    def test_it_covers_what_lies_square_off_the_side(self, beam):
        assert beam.covers(np.array([[310.0, 500.0], [400, 500], [900, 360], [1000, 399.9]])).all()

    def test_a_post_stops_it(self, beam):
        assert not beam.covers(np.array([[601.0, 500.0], [1000, 540]])).any()

    def test_it_covers_nothing_beside_or_behind(self, beam):
        assert not beam.covers(np.array([[310.0, 349.0], [310, 551], [290, 450]])).any()

    def test_its_ends_and_its_own_side_belong_to_it(self, beam):
        assert beam.covers(np.array([[300.0, 350.0], [300, 550], [400, 550], [700, 350]])).all()


def test_wrapped():
    assert wrapped(np.array([0.0, np.pi, -np.pi, 4.0])) == pytest.approx([0, -np.pi, -np.pi, 4 - 2 * np.pi])
