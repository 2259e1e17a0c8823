"""Ranges of the rough floor against simulation: floors made up, read and foretold, over and over.

Source: Monte Carlo propagation (JCGM 101:2008) with numpy alone. The floors are Gaussian, of the linear variogram that
the plan takes floors to have (Matheron, Economic Geology 58, 1963).
"""

from __future__ import annotations

import numpy as np
import pytest

from engine.proof.tolerance import LINE_TILT, SURE, roughness, survey

STATIONS = np.array([(0.0, 0.0), (1500.0, 0.0), (1500.0, 1200.0), (200.0, 1000.0), (700.0, 500.0), (1100.0, 800.0)])
FLANGE = np.array([750.0, 600.0])
POINTS = np.array([(700.0, 500.0), (900.0, 600.0), (1300.0, 300.0), (0.0, 1200.0), (50.0, 1100.0)])
ROUGH = 0.02  # [mm] the variance of a height difference, per distance
STEP = 1.0  # [mm] drops are read to
SAMPLES = 4000


@pytest.fixture(scope="module")
def floor(make_plan):
    return make_plan("rectangle = [1500, 1200]", at=tuple(FLANGE)).outline


def floors(rng, places, rough, samples):
    """So many floors' heights at places (samples, k) [mm], that of the first place 0."""
    away = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1))
    values, vectors = np.linalg.eigh(rough * (away[:, [0]] + away[[0]] - away) / 2)
    return rng.standard_normal((samples, len(places))) * np.sqrt(np.maximum(values, 0)) @ vectors.T


def foretold(floor, read, points):
    """What each floor is held to be at points (samples, k) [mm], by its readings (samples, n)."""
    units = [survey(floor, STATIONS, unit, 0.0, 0.0).foretold(points) for unit in np.eye(len(STATIONS))]
    return read @ np.array(units)


def test_between_readings_it_is_as_far_off_as_simulated_floors_are(floor):
    rng = np.random.Generator(np.random.PCG64(7))
    truth = floors(rng, np.vstack([STATIONS, POINTS]), ROUGH, SAMPLES)
    off = truth[:, len(STATIONS) :] - foretold(floor, truth[:, : len(STATIONS)], POINTS)
    _, gaps = survey(floor, STATIONS, np.zeros(len(STATIONS)), 0.0, ROUGH).parts(POINTS)
    assert off.std(axis=0) == pytest.approx(np.sqrt(ROUGH * gaps), rel=0.05, abs=1e-6)


def test_a_depth_is_as_sure_as_it_is_said_to_be_19_times_in_20(floor):
    """Floors read to a step below a line that leans, flange and all: how often the depth lies within its range."""
    rng = np.random.Generator(np.random.PCG64(21))
    truth = floors(rng, np.vstack([STATIONS, POINTS]), ROUGH, SAMPLES)
    count = len(STATIONS)
    lean = rng.uniform(-LINE_TILT, LINE_TILT, (SAMPLES, 1))
    read = truth[:, :count] + rng.uniform(-STEP / 2, STEP / 2, (SAMPLES, count))
    flange = rng.uniform(-STEP / 2, STEP / 2, (SAMPLES, 1))
    far = np.hypot(*(POINTS - FLANGE).T)
    off = foretold(floor, read, POINTS) - flange + lean * far - truth[:, count:]
    found = survey(floor, STATIONS, np.zeros(count), STEP / np.sqrt(12), ROUGH)
    within = np.abs(off) <= SURE * np.sqrt(found.variance(POINTS, FLANGE))
    assert (within.mean(axis=0) > 0.935).all()
    assert within.mean() < 0.975


def test_the_roughness_is_found_again(floor):
    """From many readings of a simulated floor, within what so many can tell."""
    rng = np.random.Generator(np.random.PCG64(11))
    places = rng.uniform((0, 0), (1500, 1200), (60, 2))
    heights = floors(rng, places, 0.05, 1)[0]
    assert roughness(floor, places, heights, 0.0) == pytest.approx(0.05, rel=0.35)
