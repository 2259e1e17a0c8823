"""The sample jobs of odd shapes against figures worked by hand.

- Chandler's Row: 60 x 36 in, its diagonals 71 and 68 15/16 in. In a parallelogram the diagonals' squares add up to
  twice the sides': 71^2 + 68.9375^2 = 9793.4 against 2 (60^2 + 36^2) = 9792. So all six lengths agree to a hair, and
  the corner at B is that of cosine (60^2 + 36^2 - 71^2) / (2 x 60 x 36) = -0.0336: 91.92 deg. Area 60 x 36 x sin =
  2158.8 sq in. The drain stands in the middle: to A and C it is 71 / 2 - 3 = 32.5 in, / 48 = 0.677 in.
- Orchard End: a chord of 40 in that rises 6: radius (20^2 + 6^2) / 12 = 36.333 in, angle 4 atan(12 / 40) = 1.16583 rad,
  arc 42.359 in, segment 36.333^2 (1.16583 - sin) / 2 = 162.9 sq in, so the floor is 1920 + 162.9 sq in. The farthest
  corner A is sqrt(27^2 + 20^2) - 3 = 30.60 in off, / 48 = 0.6375, up to 11/16 in; the walls A-B and C-D are 17 in off.
  The strip's corner at B: 90 deg and half the arc's angle, halved: 61.70 deg.
- Tram Depot: from the curb to the channel's edge 1400 - 60 - 35 = 1305 mm, / 48 = 27.19 mm.
- Bath House: each half 1200 x 900 mm: sqrt(600^2 + 450^2) - 50 = 700 mm, / 48 = 14.58, up to 15 mm; to the near walls
  400 mm: 15 / 400 = 3.75 %. The ridge at 1200 mm lies 15 mm up; in its middle the floor is 32 mm under the flanges,
  the most anywhere: 47 mm deep.
- Saltern Cross: 72 x 72 in less four corners of 12 x 12 and the bench of 10 x 10: 4508 sq in; over the liner they are
  1 1/2 in deep everywhere: 6762 cu in. From the drain's middle (36, 36) the bench hides corner E (72, 60): round the
  bench's corner (58, 46) it is sqrt(22^2 + 10^2) + sqrt(14^2 + 14^2) - 3 = 40.965 in, / 48 = 0.853, a mark of 7/8 in.
  Corner F (60, 60) lies behind it too: round (48, 56) it is sqrt(12^2 + 20^2) + sqrt(12^2 + 4^2) - 3 = 32.973 in,
  shorter than round (58, 46); / 48 = 0.687, 11/16 in. Corner H (12, 72) is seen: sqrt(24^2 + 36^2) - 3 = 40.267, 7/8.
"""

import math
from pathlib import Path

import pytest

from engine.bed.catchments import ridge_lines
from engine.job.toml_file import dump_job, parse_job
from engine.limits.findings import Level

FOLDER = Path(__file__).parents[2] / "sample_jobs"
NAMES = ("bath_house", "chandlers_row", "orchard_end", "saltern_cross", "tram_depot")
INCH = 25.4


@pytest.fixture(scope="module")
def plans(plan_of):
    return {name: plan_of(FOLDER / f"{name}.toml") for name in NAMES}


@pytest.mark.parametrize("name", NAMES)
def test_nothing_stops_it_and_it_stays_as_it_was_typed(plans, name):
    assert [finding.rule for finding in plans[name].findings if finding.level is not Level.NOTE] == []
    assert plans[name].needs == ()
    text = (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
    assert dump_job(parse_job(text)) == text


def test_the_leaning_room(plans):
    found = plans["chandlers_row"]
    cosine = (60**2 + 36**2 - 71**2) / (2 * 60 * 36)
    assert found.outline.directions[1] @ -found.outline.directions[0] == pytest.approx(cosine, abs=5e-4)
    assert found.outline.area == pytest.approx(2160 * math.sqrt(1 - cosine**2) * INCH**2, rel=1e-4)
    assert max(abs(residual.misfit) for residual in found.outline.residuals) < INCH / 32
    assert found.bed.wall_height == pytest.approx(32.5 / 48 * INCH, rel=2e-3)


def test_the_leaning_rooms_corners_have_one_mark_each(plans):
    """Its walls come out a hair longer than 60 and 36 in; the last step along each is the next corner's mark."""
    alongs = [mark.along / INCH for mark in plans["chandlers_row"].marks if mark.along is not None]
    assert alongs == pytest.approx([12, 24, 36, 48, 12, 24] * 2)


def test_the_bow(plans):
    found = plans["orchard_end"]
    radius, angle = (20**2 + 6**2) / 12, 4 * math.atan(12 / 40)
    assert found.outline.length(1) == pytest.approx(radius * angle * INCH)
    assert found.outline.area == pytest.approx((1920 + radius**2 * (angle - math.sin(angle)) / 2) * INCH**2, rel=1e-4)
    assert found.bed.wall_height == pytest.approx(11 / 16 * INCH)
    assert found.bed.most_fall == pytest.approx(11 / 16 / 17)
    bow = found.strips[1]
    assert bow.miters == pytest.approx([45 + math.degrees(angle) / 4] * 2)
    marks = [mark.along for mark in found.marks if mark.at == "B-C"]
    assert marks == pytest.approx([12 * INCH, 24 * INCH, 36 * INCH])


def test_the_channel(plans):
    found = plans["tram_depot"]
    assert found.bed.longest_run == pytest.approx(1305)
    assert found.bed.wall_height == pytest.approx(1305 / 48)
    assert found.depth.most.value == pytest.approx(21 + 1305 / 48)
    assert found.drains[0].flange.ends.tolist() == [pytest.approx([1340, 20]), pytest.approx([1340, 880])]


def test_the_two_drains(plans):
    found = plans["bath_house"]
    assert (found.bed.wall_height, found.bed.longest_run) == pytest.approx((15, 700))
    assert (found.bed.least_fall, found.bed.most_fall) == pytest.approx((15 / 700, 15 / 400))
    (ridge,) = ridge_lines(found.bed)
    assert ridge.points[:, 0] == pytest.approx([1200, 1200])
    assert ridge.heights == pytest.approx([15, 15])
    assert found.depth.most.value == pytest.approx(47)


def test_the_cross_with_a_bench_in_it(plans):
    found = plans["saltern_cross"]
    area = 72**2 - 4 * 12**2 - 10**2
    assert (len(found.outline.names), found.outline.area) == (12, pytest.approx(area * INCH**2))
    assert found.work.mortar.upper == pytest.approx(1.5 * area * INCH**3)
    longest = math.hypot(22, 10) + math.hypot(14, 14) - 3
    behind = min(math.hypot(22, 10) + math.hypot(2, 14), math.hypot(12, 20) + math.hypot(12, 4)) - 3
    assert found.bed.longest_run == pytest.approx(longest * INCH)
    marks = {mark.at: mark.above_drain / INCH for mark in found.marks if mark.along is None}
    runs = {"E": longest, "F": behind, "H": math.hypot(24, 36) - 3}
    for corner, run in runs.items():
        assert marks[corner] == pytest.approx(math.ceil(run / 48 * 16) / 16), corner
