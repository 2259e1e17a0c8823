"""The sample jobs against figures worked by hand, and without a stop."""

from pathlib import Path

import pytest

from engine.job.toml_file import dump_job, parse_job
from engine.limits.findings import Level

FOLDER = Path(__file__).parents[2] / "sample_jobs"
INCH = 25.4
# Quarry Lane: a round flange (radius 3 in) in the middle of 48 x 36 in.
#   to a corner: sqrt(24^2 + 18^2) - 3 = 30 - 3 = 27 in, at 1/4 in/ft: 27 / 48 = 0.5625 = 9/16 in, a whole step already
#   to the near walls: 18 - 3 = 15 in, so (9/16) / 15 = 0.0375 = 0.45 in/ft, under 1/2
#   at C the floor is 21 3/4 - 20 1/8 = 1 5/8 in under the flange: depth 9/16 + 1 5/8 = 2 3/16 in, the most;
#   under the flange itself 21 1/2 - 20 1/8 = 1 3/8 in, a little less at the rim towards A, over 3/4 everywhere
# Mill House: the same in the middle of 40 x 36 in.
#   to a corner: sqrt(20^2 + 18^2) - 3 = 23.907 in, / 48 = 0.498, up to 1/2 in
#   to the near walls: 15 in, so (1/2) / 15 = 0.4 in/ft; along the other two: 17 in
#   at C 21 5/16 - 19 7/8 = 1 7/16 in: depth 1/2 + 1 7/16 = 1 15/16 in, under 2
#   under the flange 21 3/16 - 19 7/8 = 1 5/16 in, at the rim towards A-B a hair less, over 1 1/4
# Station Yard: a square flange (side 120 mm) in the middle of 1200 x 900 mm.
#   to a corner: the ray (0.8, 0.6) leaves the square after 60 / 0.8 = 75 mm: 750 - 75 = 675 mm
#   675 / 70 = 9.64, up to 10 mm
#   to the near walls: 450 - 60 = 390 mm, so 10 / 390 = 1:39, flatter than 1:35; to the corner 10 / 675 = 1:67.5
#   at C 551 - 512 = 39 mm: depth 10 + 39 = 49 mm
HAND = {
    "quarry_lane": (9 / 16 * INCH, 27 * INCH, 1 / 48, 9 / 16 / 15, (2 + 3 / 16) * INCH),
    "mill_house": (1 / 2 * INCH, 23.907248 * INCH, 0.5 / 23.907248, 1 / 30, (1 + 15 / 16) * INCH),
    "station_yard": (10.0, 675.0, 10 / 675, 10 / 390, 49.0),
}
LEAST = {
    "quarry_lane": (1.30 * INCH, 1.375 * INCH),
    "mill_house": (1.25 * INCH, 1.3125 * INCH),
    "station_yard": (35.0, 36.0),
}


@pytest.fixture(scope="module", params=sorted(HAND))
def name(request):
    return request.param


@pytest.fixture(scope="module")
def planned(plan_of, name):
    return plan_of(FOLDER / f"{name}.toml")


def test_bed_is_as_worked_by_hand(name, planned):
    bed = planned.bed
    found = (bed.wall_height, bed.longest_run, bed.least_fall, bed.most_fall)
    assert found == pytest.approx(HAND[name][:4], rel=1e-6)


def test_depth_is_as_worked_by_hand(name, planned):
    least, most = LEAST[name]
    assert least < planned.depth.least.value < most
    assert planned.depth.most.value == pytest.approx(HAND[name][4], abs=1e-6)


def test_nothing_stops_it_and_nothing_is_missing(planned):
    assert [f.rule for f in planned.findings if f.level is Level.STOP] == []
    assert planned.needs == ()


def test_is_a_whole_job_with_a_drain_drop_and_readings(planned):
    assert all(drain.drop for drain in planned.job.drains)
    assert len(planned.job.readings) >= 5


def test_stays_as_it_was_typed_when_saved(name):
    text = (FOLDER / f"{name}.toml").read_text(encoding="utf-8")
    assert dump_job(parse_job(text)) == text


def test_every_sample_is_worked_by_hand():
    assert {path.stem for path in FOLDER.glob("*.toml")} >= set(HAND)
