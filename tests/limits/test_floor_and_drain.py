"""floor-small, drain-outside, flange-over-wall, hidden-floor, wood and tiles."""

from __future__ import annotations

import pytest

from engine.limits.findings import Level

DRAIN = 'kind = "{kind}"\nsize = "{size} in"\nat = {{ x = "{x} in", y = "{y} in" }}\ndrop = "20 in"'
L_SHAPE = 'corners = [["0", "0"], ["72", "0"], ["72", "36"], ["36", "36"], ["36", "72"], ["0", "72"]]'  # reflex at D


def _drain(x, y, size=6, kind="round"):
    return DRAIN.format(kind=kind, size=size, x=x, y=y)


def _small(found, a, b):
    return found("floor-small", outline=f'rectangle = ["{a} in", "{b} in"]', drains=_drain(a / 2, b / 2))


@pytest.mark.parametrize(
    ("a", "b", "stops"),
    [(30, 30, 0), (30, 29.99, 2), (45, 20, 1), (44.9, 20, 2), (32, 32, 0), (60, 29.999, 1)],
)
def test_900_square_inches_and_a_circle_of_30_inches_must_fit(found, a, b, stops):
    findings = [finding for finding in _small(found, a, b) if finding.level is Level.STOP]
    assert len(findings) == stops


def test_a_small_floor_is_told_how_much_is_missing(found):
    area, circle = _small(found, 32, 27)
    assert area.says == "the floor is 6 sq ft, less than 6.25 sq ft (900 sq in)"
    assert area.remedy == "make the floor 0.25 sq ft larger"
    assert circle.says == "the largest circle that fits on the floor is 27 in wide, less than 30 in"
    assert circle.remedy == "make the floor 3 in wider there"


@pytest.mark.parametrize(("a", "notes"), [(32, 0), (31.99, 1)])
def test_another_code_that_asks_for_more_is_a_note(found, a, notes):
    findings = _small(found, a, 32)
    assert [finding.level for finding in findings] == [Level.NOTE] * notes
    assert all("1024 sq in" in f.says and "where that code is in force" in f.says for f in findings)


def test_an_island_takes_the_circle_away(found):
    island = 'islands = [ {corners = [["22 in","22 in"], ["26 in","22 in"], ["26 in","26 in"], ["22 in","26 in"]]} ]'
    outline = f'rectangle = ["48 in", "48 in"]\n{island}'
    assert len(found("floor-small", outline=outline, drains=_drain(10, 10))) == 1


def test_a_u_shaped_floor_whose_middle_is_off_it_is_still_searched(found):
    corners = [(0, 0), (96, 0), (96, 60), (64, 60), (64, 32), (32, 32), (32, 60), (0, 60)]
    outline = f"corners = [{', '.join(f'[{x}, {y}]' for x, y in corners)}]"
    assert found("floor-small", outline=outline, drains=_drain(48, 16), bed='shape = "even-fall"') == []


@pytest.mark.parametrize(("leg", "count"), [(25.60, 1), (25.61, 0)])
def test_a_circle_between_an_inward_corner_and_two_walls_is_measured_exactly(found, leg, count):
    """By hand: it touches both far walls and the corner where its radius is 2 - sqrt(2) of a leg: 15 in of 25.607."""
    corners = [(0, 0), (72, 0), (72, leg), (leg, leg), (leg, 72), (0, 72)]
    outline = f"corners = [{', '.join(f'[{x}, {y}]' for x, y in corners)}]"
    assert len(found("floor-small", outline=outline, drains=_drain(12, 12), bed='shape = "even-fall"')) == count


def test_a_book_without_a_floor_size_finds_none_small(found):
    job = 'name = "x"\nrulebook = "au-ncc"'
    assert found("floor-small", job=job, outline='rectangle = ["20 in", "20 in"]', drains=_drain(10, 10)) == []


def test_a_drain_off_the_floor_is_told_the_way_back(found):
    outside = found("drain-outside", drains=_drain(-3, 10))[0]
    assert outside.level is Level.STOP
    assert outside.says == "the middle of the drain is outside the floor"
    assert outside.remedy == "move it by more than 6 in: the floor begins on D-A, 38 in from D"
    assert found("flange-over-wall", drains=_drain(-3, 10)) == []


def test_a_drain_on_an_island_is_told_so(found):
    island = 'islands = [ {corners = [["20 in","20 in"], ["28 in","20 in"], ["28 in","28 in"], ["20 in","28 in"]]} ]'
    outline = f'rectangle = ["48 in", "48 in"]\n{island}'
    assert "on an island" in found("drain-outside", outline=outline)[0].says
    over = found("flange-over-wall", outline=outline, drains=_drain(18, 24))[0]
    assert over.says == "the flange of the drain reaches 1 in over an island"


@pytest.mark.parametrize(
    ("x", "y", "kind", "says"),
    [
        (2, 24, "round", "1 in over D-A"),
        (2, 24, "square", "1 in over D-A"),
        (24, 47.5, "round", "2 1/2 in over C-D"),
        (2, 2, "square", "over A-B and D-A"),
        (3, 3, "round", "touches A-B and D-A, so no bed fits between"),
        (3, 3, "square", "touches A-B and D-A, so no bed fits between"),
        (3, 24, "round", "touches D-A, so no bed fits between"),
        (2.99, 24, "round", "1/16 in over D-A"),
    ],
)
def test_a_flange_over_a_wall_is_told_by_how_much(found, x, y, kind, says):
    over = found("flange-over-wall", drains=_drain(x, y, kind=kind))
    assert len(over) == (0 if says is None else 1)
    if says:
        assert says in over[0].says
        assert over[0].level is Level.STOP
        assert over[0].remedy.startswith("move the drain more than ")


def test_a_channel_is_told_the_walls_that_its_ends_touch(found):
    """It stands 2 3/4 in clear of A-B, which its middle is nearest to."""
    ends = "\n".join(
        f'{end} = {{ wall = "A-B", along = "{at} in", off = "4 in" }}' for end, at in (("from", 0), ("to", 60))
    )
    drain = f'kind = "channel"\nsize = "2 1/2 in"\n{ends}\ndrop = "20 in"'
    (over,) = found("flange-over-wall", outline='rectangle = ["60 in", "36 1/2 in"]', drains=drain)
    assert over.says == "the flange of the drain touches B-C and D-A, so no bed fits between them"
    assert over.remedy == "move the drain more than 1/16 in away from B-C and D-A, or take a smaller one"


@pytest.mark.parametrize("size", [48, 60])
def test_a_flange_that_the_floor_has_no_room_for_is_to_be_smaller(found, size):
    (over,) = found("flange-over-wall", drains=_drain(24, 24, size))
    assert over.remedy == "take a smaller drain: the floor has no room for this one"
    (over,) = found("flange-over-wall", drains=_drain(25, 24, 47))
    assert over.remedy.startswith("move the drain more than 1/2 in away from B-C")


def test_a_hidden_part_of_the_floor_names_the_corner_and_offers_even_fall(found):
    hidden = found("hidden-floor", outline=L_SHAPE, drains=_drain(62, 10))[0]
    assert hidden.level is Level.CAUTION
    assert "by corner D" in hidden.says
    assert "D-E" in hidden.says
    assert (hidden.x, hidden.y) == (36 * 25.4, 36 * 25.4)
    assert hidden.change == (("bed.shape", "even-fall"),)
    assert found("hidden-floor", outline=L_SHAPE, drains=_drain(18, 18)) == []
    assert found("hidden-floor", outline=L_SHAPE, drains=_drain(62, 10), bed='shape = "even-fall"') == []


WOOD = 'kind = "wood"'


@pytest.mark.parametrize(
    ("floor", "barrier", "lath"),
    [
        (WOOD, 1, 1),
        (f'{WOOD}\nmoisture_barrier = "none"\nlath = false', 1, 1),
        (f'{WOOD}\nmoisture_barrier = "felt"', 0, 1),
        (f"{WOOD}\nlath = true", 1, 0),
        (f'{WOOD}\nmoisture_barrier = "poly"\nlath = true', 0, 0),
        ('kind = "concrete"', 0, 0),
    ],
)
def test_wood_needs_a_barrier_and_lath(found, floor, barrier, lath):
    assert len(found("wood-no-barrier", floor=floor)) == barrier
    assert len(found("wood-no-lath", floor=floor)) == lath


def test_wood_stops_in_the_us_and_cautions_where_the_figure_is_borrowed(found):
    stop = found("wood-no-lath", floor=WOOD)[0]
    assert stop.level is Level.STOP
    assert "a sheet for every 18 sq ft" in stop.remedy
    borrowed = found("wood-no-lath", floor=WOOD, job='name = "x"\nrulebook = "de-din18040"')[0]
    assert borrowed.level is Level.CAUTION
    assert "the rulebook (DIN 18040) has no figure of its own" in borrowed.source


@pytest.mark.parametrize(
    ("edge", "shape", "words"),
    [
        ("6 in", "even-fall", "a cone"),
        ("6 in", "level-walls", "facets"),
        ("5 31/32 in", "even-fall", None),
        ("12 in", "level-walls", "tiles of 12 in"),
        (None, "level-walls", None),
    ],
)
def test_large_tiles_on_a_bed_that_falls_to_a_point(found, edge, shape, words):
    build = None if edge is None else f'tile_edge = "{edge}"'
    findings = found("large-tile-cone", build=build, bed=f'shape = "{shape}"')
    assert [finding.level for finding in findings] == ([Level.CAUTION] if words else [])
    assert all(words in finding.says for finding in findings)
    assert all(("valleys" in finding.remedy) is (shape == "level-walls") for finding in findings)


def test_large_tiles_to_a_channel_are_fine(found):
    channel = 'kind = "channel"\nsize = "3 in"\nfrom = { x = "0 in", y = "2 in" }\nto = { x = "48 in", y = "2 in" }'
    assert found("large-tile-cone", build='tile_edge = "12 in"', drains=channel, bed='shape = "plane"') == []


@pytest.mark.parametrize(("apart", "count"), [(0, 1), (5, 1), (5.99, 1), (6.01, 0)])
def test_flanges_that_lie_on_one_another_stop(found, apart, count):
    drains = f"{_drain(20, 24)}\n[[drains]]\n{_drain(20 + apart, 24)}"
    overlaps = found("flanges-overlap", drains=drains)
    assert [finding.level for finding in overlaps] == [Level.STOP] * count
    assert all("drain 1 and drain 2" in finding.says for finding in overlaps)
