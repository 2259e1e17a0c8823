"""mix-rich, mix-lean, drains-far, floor-sunk, and the least falls of a bed and of a liner's base.

Figures: NTCA and the trade (1 : 4 to 1 : 6, richer than 1 : 3 curls), CPC 2016 408.8 (16 ft, 8 ft), guidance to
DIN 18040 (20 mm), ANSI A108.1A-2.3.4 and UPC 408.7 (1/4 in per ft).
"""

from __future__ import annotations

import pytest

from engine.job.edit import with_entry
from engine.limits.findings import Level
from engine.plan import plan


def _site(parts):
    return f'supply = "site"\nparts = {parts}'


class TestMix:
    @pytest.mark.parametrize(
        ("parts", "rule", "cleared"),
        [(2.9, "mix-rich", "4"), (3, "mix-rich", "4"), (3.9, "mix-rich", "4"), (6.1, "mix-lean", "6")],
    )
    def test_off_the_usual_parts_is_a_caution_that_its_change_clears(self, make, found, parts, rule, cleared):
        (caution,) = found(rule, mortar=_site(parts))
        assert caution.level is Level.CAUTION
        assert caution.change == (("mortar.parts", cleared),)
        changed = with_entry(make(mortar=_site(parts)), *caution.change[0])
        assert not {f.rule for f in plan(changed).findings} & {"mix-rich", "mix-lean"}

    @pytest.mark.parametrize("parts", [4, 5, 6])
    def test_the_usual_parts_are_not_spoken_of(self, found, parts):
        assert found("mix-rich", mortar=_site(parts)) == found("mix-lean", mortar=_site(parts)) == []

    def test_only_what_is_richer_than_1_to_3_curls(self, found):
        (curls,), (rich,) = (found("mix-rich", mortar=_site(parts)) for parts in (2.9, 3))
        assert curls.says == "the mud is mixed 1 part of cement to 2.9 of sand: richer than 1 to 3 it curls as it dries"
        assert rich.says.endswith("richer than the 1 to 4 that deck mud is")

    def test_bags_have_their_own_mix(self, found):
        assert found("mix-rich", mortar='supply = "bag"\nparts = 1') == []


def _room(length, width, *drains):
    """A room [in] with round drains of 6 in at these places."""
    tables = [f'kind = "round"\nsize = "6 in"\nat = {{ x = {x}, y = {y} }}\ndrop = "20 in"' for x, y in drains]
    return {
        "outline": f'rectangle = ["{length} in", "{width} in"]',
        "drains": "\n\n[[drains]]\n".join(tables),
        "bed": 'shape = "even-fall"',
    }


class TestFar:
    def test_drains_16_ft_from_flange_to_flange_are_near_enough_and_a_little_more_is_not(self, found):
        """16 ft are 192 in between flanges of 6 in: middles 198 in apart."""
        assert found("drains-far", **_room(300, 100, (51, 50), (249, 50))) == []
        (far,) = found("drains-far", **_room(300, 100, (51, 50), (249.5, 50)))
        assert far.says.startswith("drain 1 is 192 1/2 in from the next one; in a large shared room")
        assert far.level is Level.CAUTION
        assert "1/2 in nearer" in far.remedy

    def test_a_wall_8_ft_from_the_flange_is_near_enough_and_a_little_more_is_not(self, found):
        """8 ft are 96 in; the flange reaches 3 in toward the wall, so the middle stands 99 in off it."""
        assert found("drains-far", **_room(198, 60, (99, 30))) == []
        (far,) = found("drains-far", **_room(199, 60, (99, 30)))
        assert far.says.startswith("wall B-C is ")
        assert far.source == "CPC 2016 408.8"
        assert "move one by 1 in" in far.remedy

    def test_a_curb_is_no_side_wall(self, found):
        room = _room(199, 60, (99, 30))
        room["outline"] += '\nedges = { "B-C" = "curb" }'
        assert found("drains-far", **room) == []


class TestSunk:
    @pytest.mark.parametrize(("long", "found_"), [(1050, 0), (1051, 1)])
    def test_20_mm_under_an_open_edge(self, found, long, found_):
        """At 2 % from the edge of a channel 50 mm wide at the far wall, 1000 mm rise 20 mm."""
        tables = {
            "job": 'name = "x"\nunits = "mm"\nrulebook = "de-din18040"',
            "outline": f'rectangle = [{long}, 900]\nedges = {{ "B-C" = "open" }}',
            "drains": 'kind = "channel"\nsize = 50\nfrom = { x = 25, y = 0 }\nto = { x = 25, y = 900 }\ndrop = 500',
            "bed": 'shape = "plane"\nfall = "2 %"',
        }
        sunk = found("floor-sunk", readings=[("A", "550 mm")], **tables)
        assert len(sunk) == found_
        if sunk:
            assert sunk[0].level is Level.CAUTION
            assert sunk[0].source.startswith("DIN 18040 guidance")

    def test_only_where_the_rulebook_has_it(self, found):
        assert found("floor-sunk", outline='rectangle = ["48 in", "48 in"]\nedges = { "A-B" = "open" }') == []


class TestLeastFalls:
    LOW = 'shape = "even-fall"\nfall = "1/4 in/ft"'

    def test_the_steepest_least_fall_is_told_by_its_name_and_source(self, found):
        figures = 'bed_fall_least = "3/8 in/ft"\nliner_fall_least = "5/16 in/ft"'
        (low,) = found("fall-low", bed=self.LOW, figures=figures)
        assert low.says.endswith("less than 3/8 in/ft, the least fall of a mortar bed")
        assert low.change == (("bed.fall", "3/8 in/ft"),)

    def test_a_liners_base_counts_only_where_there_is_one(self, found):
        figures = 'liner_fall_least = "3/8 in/ft"'
        assert found("fall-low", bed=self.LOW, figures=figures) == []
        (low,) = found("fall-low", bed=self.LOW, figures=figures, build='waterproofing = "between-beds"')
        assert low.says.endswith("less than 3/8 in/ft, the least fall under a liner")

    def test_an_own_lower_fall_of_the_floor_leaves_the_beds_standard_in_force(self, found):
        bed = 'shape = "even-fall"\nfall = "1/8 in/ft"'
        (low,) = found("fall-low", bed=bed, figures='fall_least = "1/8 in/ft"')
        assert (low.level, low.source.startswith("ANSI A108.1A-2.3.4")) == (Level.STOP, True)
        assert low.says.endswith(
            "your own least fall to the drain does not lower it: set the least fall of a mortar bed too"
        )
        both = 'fall_least = "1/8 in/ft"\nbed_fall_least = "1/8 in/ft"'
        assert found("fall-low", bed=bed, figures=both) == []

    def test_under_a_liner_both_standards_are_named_and_what_was_lowered_is_not(self, found):
        tables = {"bed": 'shape = "even-fall"\nfall = "1/8 in/ft"', "build": 'waterproofing = "between-beds"'}
        (low,) = found("fall-low", figures='fall_least = "1/8 in/ft"', **tables)
        assert low.says.endswith("set the least fall of a mortar bed and least fall under a liner too")
        lowered = 'fall_least = "1/8 in/ft"\nbed_fall_least = "1/8 in/ft"'
        (low,) = found("fall-low", figures=lowered, **tables)
        assert low.says.endswith("does not lower it: set the least fall under a liner too")

    def test_where_the_floors_own_least_fall_is_not_lowered_nothing_is_said_of_it(self, found):
        (low,) = found("fall-low", bed='shape = "even-fall"\nfall = "1/8 in/ft"', figures='curb_least = "1 in"')
        assert "figures." not in low.says


def test_the_lining_goes_over_a_curb_as_far_as_the_own_figure_asks(make):
    outline = 'rectangle = ["48 in", "48 in"]\nedges = { "A-B" = "curb" }'
    tables = {"outline": outline, "curb": 'drop = "16 in"', "build": 'waterproofing = "between-beds"'}
    usual, own = (plan(make(**tables, figures=text)) for text in (None, 'lining_over_curb = "5 in"'))
    tops = [found.work.lining.top / 25.4 for found in (usual, own)]
    assert tops == pytest.approx([4 + 3, 4 + 5])  # the curb 4 in over the flange, 3 in by UPC 408.7 over it, or 5
    (note,) = [f for f in own.findings if f.rule == "liner-height"]
    assert "over the curb 5 in are asked for" in note.says
    assert note.remedy.startswith("turn it up 5 in")
