"""Room for the hand on beds with valleys against simulation: facets' planes solved anew for every room.

Source: Monte Carlo (JCGM 101:2008) with numpy alone, from the facets' corners and the valleys as the plan tells them:
a facet's fall is the slope of the plane through its three corners, a valley's its rise over its length, and off the
flange's edge a line's; where a rulebook measures square to walls, of the facets on walls the drop over the square way.
Over a short run a level takes away its part of what both ends are out by.
"""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest

TRUE = NormalDist().inv_cdf(0.975)
SAMPLES = 10_000
SURE = 0.018  # three standard errors of the difference of two chances by 10,000 and by 20,000
LEVEL = 609.6  # [mm] 2 ft: nearer than a level reaches its lean counts in proportion (common practice, no source)
ELL = [(0, 0), (1800, 0), (1800, 900), (900, 900), (900, 1800), (0, 1800)]
TEE = [(0, 0), (2700, 0), (2700, 900), (1800, 900), (1800, 1900), (900, 1900), (900, 900), (0, 900)]
ARMS = [(0, 1000), (0, 0), (3000, 0), (3000, 1000), (2000, 1000), (2000, 2500), (1000, 2500), (1000, 1000)]
RIDGE = np.array([(1500, 0), (1500, 2500)])  # midway between its drains, up the stem that neither sees whole
TWO = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 2500, y = 500 }\ndrop = 500\n'
CASES = {
    "an ell": (ELL, {"at": (1500, 450), "rulebook": "nz-e3"}),
    "measured square": (
        ELL,
        {"at": (1500, 450), "rulebook": "au-ncc", "fall": "1:79", "bed": "trueness = 5"},
    ),
    "a tee": (TEE, {"at": (300, 450), "rulebook": "de-din18040", "fall": "2.2 %"}),
    "two drains": (ARMS, {"at": (500, 500), "rulebook": "nz-e3", "extra": TWO}),
}


def built_beds(plan):
    """The beds of the drains' parts."""
    return getattr(plan.bed, "beds", (plan.bed,))


def key(place):
    return round(float(place[0]), 3), round(float(place[1]), 3)


class Errors:
    """Errors of corners and relays by their places, and straight between corners along walls."""

    def __init__(self, plan, trueness, seed):
        rng, spread = np.random.default_rng(seed), trueness / TRUE
        self.corners = np.array(plan.outline.corners)
        ways = np.min([bed.reach.way(self.corners) for bed in built_beds(plan)], axis=0)
        self.of_corners = spread * rng.standard_normal((SAMPLES, len(ways))) * np.minimum(ways / LEVEL, 1.0)
        self.of_relays = {key(bed.reach.flange.centre): np.zeros(SAMPLES) for bed in built_beds(plan)}
        for bed in built_beds(plan):
            for line in bed.valleys:
                place = np.array([line.high.x, line.high.y])
                share = min(line.high.value / bed.valley_fall / LEVEL, 1.0)  # it falls the same all the way
                self.of_relays[key(place)] = share * spread * rng.standard_normal(SAMPLES)
        self.spread = spread

    def levelled(self, off, run):
        """How much of what a fall is out by is left where a level lies over its run, from 0 to 1."""
        return min(2**0.5 * min(run / LEVEL, 1.0) * self.spread / max(off.std(), 1e-9), 1.0)

    def __call__(self, place):
        """At a drain or a relay, or on a wall or on the ridge between two walls (SAMPLES,)."""
        if key(place) in self.of_relays:
            return self.of_relays[key(place)]
        starts, ends = self.corners, np.roll(self.corners, -1, axis=0)
        along = ends - starts
        part = ((place - starts) * along).sum(axis=1) / (along**2).sum(axis=1)
        off = np.hypot(*(place - starts - np.clip(part, 0, 1)[:, None] * along).T)
        if off.min() > 1e-3:
            share = place[1] / RIDGE[1, 1]
            return (1 - share) * self(RIDGE[0]) + share * self(RIDGE[1])
        wall = int(off.argmin())
        other = (wall + 1) % len(starts)
        return self.of_corners[:, wall] * (1 - part[wall]) + self.of_corners[:, other] * part[wall]


def too_flat(plan, bed, errors, scale):
    """In which rooms something of a valley bed falls less than it has to."""
    least, square = plan.rulebook.least_fall.value, bed.square
    flange, failed = bed.reach.flange, np.zeros(SAMPLES, dtype=bool)
    facets = zip(bed.mesh.corners, scale * bed.mesh.heights, bed.mesh.at_drain, bed.mesh.walls, strict=True)
    for corners, heights, at_drain, wall in facets:
        if square and wall < 0:
            continue
        off, side = np.column_stack([errors(at) for at in corners]), corners[2] - corners[1]
        if at_drain:
            shares = np.linspace(0, 1, 41)
            runs = np.hypot(*(corners[1] + shares[:, None] * side - flange.centre).T) - flange.half
            built = heights + off
            failed |= (built[:, [1]] + shares * (built[:, [2]] - built[:, [1]]) < least * runs).any(axis=1)
            continue
        run = abs(np.linalg.det([side, corners[0] - corners[1]])) / np.hypot(*side)
        share = (corners[0] - corners[1]) @ side / (side @ side)
        share = np.clip(share, 0, 1) if square else share
        drop = (1 - share) * off[:, 1] + share * off[:, 2] - off[:, 0]
        part = errors.levelled(drop, run)
        if square:  # the drop from the wall's place nearest the point, over the distance square to the wall
            failed |= heights[1] - heights[0] + part * drop < least * run
            continue
        planes = np.linalg.solve(np.column_stack([corners, np.ones(3)]), (heights + part * off).T)
        failed |= np.hypot(*planes[:2]) < least
    for line in () if square else bed.valleys:
        low, high = (np.array([end.x, end.y]) for end in (line.low, line.high))
        off, run = errors(high) - (errors(low) if line.drain is None else 0.0), np.hypot(*(high - low))
        rise = scale * (line.high.value - line.low.value)
        failed |= rise + errors.levelled(off, run) * off < least * run
    return failed


def failing(plan, trueness, seed, scale=1.0):
    """How often something of the whole bed falls less than it has to."""
    errors = Errors(plan, trueness, seed)
    return np.any([too_flat(plan, bed, errors, scale) for bed in built_beds(plan)], axis=0).mean()


@pytest.fixture(scope="module", params=CASES)
def found(request, make_plan):
    outline, words = CASES[request.param]
    made = make_plan(outline, **{"drop": 500.0, "size": 100.0, "mark_step": 0.01, "bed": "trueness = 1.5", **words})
    assert made.rooms[0].simulated
    return made


def test_the_chance_is_what_simulated_facets_show(found):
    room = found.rooms[0]
    assert 0.02 < room.chance < 0.98
    assert room.chance == pytest.approx(failing(found, room.trueness, 5), abs=SURE)


def test_with_the_fall_to_plan_all_pass_19_times_in_20(found):
    room = found.rooms[0]
    assert failing(found, room.trueness, 6, room.fall / found.bed.least_fall) == pytest.approx(0.05, abs=0.009)
