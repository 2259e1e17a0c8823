"""Stock: strips cut from the fewest boards, spliced where a wall is longer than a board."""

from __future__ import annotations

import math

import numpy as np
import pytest

from engine.errors import JobError
from engine.layout.packing import pack
from engine.layout.stock import Piece, Splice, cut_from, cut_list, stock_plan

INCH = 25.4
ELL = [(0, 0), (1200, 0), (1200, 600), (600, 600), (600, 1200), (0, 1200)]


def pieces(*lengths):
    return [Piece(f"{i}", 0.0, float(length)) for i, length in enumerate(lengths)]


def lengths(plan):
    return sorted(sorted((piece.length for piece in board.pieces), reverse=True) for board in plan.boards)


def planned(make_plan, outline, strips="", **words):
    found = make_plan(outline, extra=f"[strips]\n{strips}\n", **words)
    return stock_plan(found.job, found.strips)


class TestBoards:
    def test_pieces_share_a_board_where_they_fit_with_the_cuts_between(self):
        assert len(cut_from(pieces(600, 597), 1200, 3).boards) == 1  # 600 + 3 + 597
        assert len(cut_from(pieces(600, 597.1), 1200, 3).boards) == 2
        assert len(cut_from(pieces(398, 398, 398), 1200, 3).boards) == 1  # two cuts: 1194 + 6
        assert len(cut_from(pieces(398, 398, 398.1), 1200, 3).boards) == 2

    def test_a_whole_board_needs_no_cut(self):
        (board,) = cut_from(pieces(1200), 1200, 3).boards
        assert board.offcut == 0

    def test_offcuts_are_what_the_last_cut_leaves(self):
        plan = cut_from(pieces(700, 400, 900), 1200, 3)
        assert lengths(plan) == [[700, 400], [900]]
        assert plan.offcuts == (1200 - 900 - 3, 1200 - 700 - 400 - 2 * 3)

    def test_a_sliver_thinner_than_the_saw_is_no_offcut(self):
        plan = cut_from(pieces(800, 396), 1200, 3)  # 1 mm would be left, and the saw takes 3
        assert plan.offcuts == ()

    def test_pieces_lie_longest_first(self):
        (board,) = cut_from(pieces(100, 300, 200), 1200, 3).boards
        assert [piece.length for piece in board.pieces] == [300, 200, 100]

    def test_first_fit_from_the_longest_is_not_the_fewest(self):
        """It cuts 6 + 3 and 5 + 2 + 2, and a last 2 from a third; 6 + 2 + 2 and 5 + 3 + 2 fill two boards of 10."""
        plan = cut_from(pieces(6, 5, 3, 2, 2, 2), 10, 0)
        assert lengths(plan) == [[5, 3, 2], [6, 2, 2]]
        assert plan.is_fewest

    def test_pieces_over_half_a_board_prove_the_bound(self):
        # 610s want one each; two 598s fit on one with the cut between, but not beside a 610
        plan = cut_from(pieces(*[610] * 5, *[598] * 2), 1200, 3)
        assert (len(plan.boards), plan.bound) == (6, 6)

    def test_no_pieces_no_boards(self):
        assert cut_from([], 1200, 3).boards == ()


class TestManyPieces:
    @pytest.mark.parametrize("seed", range(12))
    def test_every_piece_is_cut_once_and_every_board_is_long_enough(self, seed):
        rng = np.random.default_rng(seed)
        sizes = rng.uniform(50, 1200, 40).tolist()
        found = pack(sizes, 1200, 3)
        assert sorted(i for board in found.boards for i in board) == list(range(40))
        for board in found.boards:
            assert sum(sizes[i] for i in board) + 3 * (len(board) - 1) <= 1200 + 1e-3
        assert math.ceil(sum(sizes) / 1200) <= found.bound <= len(found.boards)

    def test_the_same_pieces_in_another_order_take_as_many(self):
        rng = np.random.default_rng(3)
        sizes = rng.uniform(250, 590, 30).tolist()
        counts = set()
        for _ in range(5):
            rng.shuffle(sizes)
            counts.add(len(pack(sizes, 1200, 3).boards))
        assert len(counts) == 1

    def test_more_than_can_be_searched_are_still_cut_and_the_gap_is_told(self):
        rng = np.random.default_rng(5)
        sizes = rng.uniform(100, 500, 2000).tolist()
        found = pack(sizes, 1200, 3)
        assert sorted(i for board in found.boards for i in board) == list(range(2000))
        assert found.bound <= len(found.boards) <= 1.05 * found.bound


class TestStrips:
    def test_a_board_a_wall(self, make_plan):
        room = [(0, 0), (1200, 0), (1200, 1200), (0, 1200)]
        plan = planned(make_plan, room, at=(600, 600))
        assert lengths(plan) == [[1200]] * 4
        assert (plan.stock, plan.kerf, plan.offcuts, plan.splices) == (1200, 3, (), ())

    def test_short_walls_share(self, make_plan):
        plan = planned(make_plan, [(0, 0), (800, 0), (800, 398), (0, 398)], at=(400, 200))
        # 800 + 3 + 398 is 1 mm too long: two boards of 800, and both 398s from a third
        assert lengths(plan) == [[398, 398], [800], [800]]
        shorter = planned(make_plan, [(0, 0), (800, 0), (800, 397), (0, 397)], at=(400, 200))
        assert lengths(shorter) == [[800, 397]] * 2

    def test_a_wall_longer_than_a_board_is_spliced(self, make_plan):
        plan = planned(make_plan, [(0, 0), (1500, 0), (1500, 900), (0, 900)], at=(750, 450))
        assert plan.splices == (Splice("A-B", 1200), Splice("C-D", 1200))
        # 2 whole boards, 2 x 900 + 2 x 300: 900 + 3 + 300 is 3 mm too long, 300 + 300 share
        assert lengths(plan) == [[300, 300], [900], [900], [1200], [1200]]
        assert plan.is_fewest

    def test_a_rest_too_short_to_handle_borrows(self, make_plan):
        plan = planned(make_plan, [(0, 0), (1250, 0), (1250, 900), (0, 900)], at=(625, 450))
        assert plan.splices == (Splice("A-B", 1100), Splice("C-D", 1100))  # 1100 + 150 in place of 1200 + 50

    def test_past_an_outside_corner_the_board_is_longer_than_the_wall(self, make_plan):
        found = make_plan(ELL, at=(300, 300), shape="even-fall")
        cut = {piece.wall: piece for piece in cut_list(found.strips, 1200)}
        assert (cut["C-D"].start, cut["C-D"].length) == (0, pytest.approx(612))
        assert (cut["D-E"].start, cut["D-E"].length) == (pytest.approx(-12), pytest.approx(612))

    def test_there_are_as_many_splices_as_it_takes(self, make_plan):
        plan = planned(make_plan, [(0, 0), (1500, 0), (1500, 900), (0, 900)], at=(750, 450), strips="stock = 400")
        assert [splice.along for splice in plan.splices if splice.wall == "A-B"] == [400, 800, 1200]
        assert [splice.along for splice in plan.splices if splice.wall == "B-C"] == [
            400,
            750,
        ]  # rest 150, not 100

    def test_inches(self, make_plan):
        plan = planned(
            make_plan,
            'rectangle = ["48 in", "23 7/8 in"]',
            at='{ "A-B" = "12 in", "D-A" = "24 in" }',
            units="in",
            size="4 in",
            strips='stock = "48 in"\nkerf = "1/4 in"',
        )
        assert len(plan.boards) == 3  # 23 7/8 + 1/4 + 23 7/8 = 48
        assert plan.offcuts == ()


class TestRefused:
    def test_a_stock_length_that_must_be_a_slip(self, make_plan):
        with pytest.raises(JobError) as refused:
            planned(make_plan, [(0, 0), (1500, 0), (1500, 900), (0, 900)], at=(750, 450), strips="stock = 12")
        assert refused.value.key == "strips.stock"
        assert "wall A-B" in refused.value.fault
        assert "at least 30 mm" in refused.value.remedy  # 1500 / 50

    def test_the_shortest_that_is_not(self, make_plan):
        plan = planned(make_plan, [(0, 0), (1500, 0), (1500, 900), (0, 900)], at=(750, 450), strips="stock = 30")
        assert len(plan.boards) == 2 * (50 + 30)
