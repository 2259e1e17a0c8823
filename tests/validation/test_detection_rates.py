"""How often a planted slip is caught and named, how often in vain, and what cannot be seen at all.

Sources: seeded synthetic surveys of made-up slabs, one slip each, that know what was planted; Neyman and Pearson's
lemma (Philosophical Transactions A 231, 1933) for what nobody can better at the same rate of false alarms.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest

from engine.job.model import Typed
from engine.quantities import Units, format_length
from engine.survey.least_slip import least_moves, least_slips
from engine.survey.odd import Slip, judged, meant, price
from engine.survey.slab import USUAL_SCATTER, Fit, slab

INCH = 25.4
STATIONS = (  # in walking order round a 60 x 36 in floor, then across its middle [in]
    *((0, 0), (30, 0), (60, 0), (60, 18), (60, 36), (30, 36), (0, 36), (0, 18)),
    *((30, 18), (15, 9), (45, 27)),
)
PLACES = np.array(STATIONS, dtype=float) * INCH
MORE = np.vstack([PLACES, np.random.Generator(np.random.PCG64(8)).uniform((150, 150), (1370, 760), (14, 2))])
ROUNDS = 48
COUNTS = (9, 11, 16, 25)  # readings a survey, in turn
SLABS = {  # [mm] scatter about its plane, of each place by itself, and what near places have in common
    "smooth": (1.0, 0.0),
    "usual": (1.6, 0.0),
    "uneven": (0.5, 1.6),
    "rough": (2.5, 0.0),
}
SLIPS = {
    Units.INCH: ("inch", "swapped", "fraction", "moved"),
    Units.MM: ("centimetre", "swapped", "moved"),
}
NAMES = {
    "inch": Slip.WHOLE_UNIT,
    "centimetre": Slip.WHOLE_CENTIMETRE,
    "swapped": Slip.SWAPPED,
    "fraction": Slip.FRACTION,
}
# What the table has to hold on a slab as slabs are. In millimetres swapped digits are often 9 mm, which a centimetre
# explains as well.
CAUGHT = {"inch": 0.98, "centimetre": 0.75, "swapped": 0.95, "fraction": 0.65, "moved": 0.9}
# Sound surveys called odd: less than one in a hundred on a slab as slabs are, which is what findings say of themselves;
# one in twenty-five on a rough one, which few readings do not tell from it.
FALSE_ALARMS = {"smooth": 0.01, "usual": 0.01, "uneven": 0.01, "rough": 0.04}
SHOWN = 0.95  # of slips no smaller than the plan says would show: 19 times in 20
TITLE = """
Planted slips, one a survey of 9 to 25 readings; the line moves 1/2 in or 12 mm, sixteenths misread are 5/16 or 7/16 in.
caught, named: of all planted. others: surveys in which something sound was called odd as well. none: sound surveys
called odd; the stated rate of false alarms is under 1 % (smooth, usual and uneven slabs; a rough one has up to 4 %).
big enough: slips no smaller than what the plan of that very survey says would show; of those: how many were caught."""
UNSEEN = """
What cannot be seen: a slip smaller than that is hidden by the floor's own unevenness, as most misread sixteenths and
centimetres on a rough slab are. No honest test does much better (see below); a place read a second time shows it."""


class Survey(NamedTuple):
    """Readings at places (n, 2) [mm]: drops (n,) in the units of the rule that was read."""

    places: np.ndarray
    drops: np.ndarray
    units: Units

    @property
    def heights(self):
        return -self.drops * (INCH if self.units is Units.INCH else 1.0)

    def typed(self):
        if self.units is Units.MM:
            return [Typed(f"{drop:.0f}", float(drop)) for drop in self.drops]
        return [Typed(format_length(drop * INCH, Units.INCH, INCH / 16), drop * INCH) for drop in self.drops]

    def judged(self):
        return judged(self.places, self.heights, self.typed(), self.units)

    def told(self, at):
        """From which size on a slip in this reading shows [mm], by what the plan says."""
        return least_slips(self.places, self.heights, self.typed(), self.units)[at]

    def told_of_moves(self, since):
        """From which size on a move of the line from this reading on shows [mm], by what the plan says."""
        numbers, sizes = least_moves(self.places, self.heights, self.typed(), self.units)
        return sizes[numbers == since].item()


def stations(rng, count):
    """The places of so many readings, the extra ones anywhere off the walls."""
    more = rng.uniform((150, 150), (1370, 760), (max(count - len(PLACES), 0), 2))
    return np.vstack([PLACES[:count], more])


def alike(rng, places):
    """Heights that differ the more the farther apart places are, about 1 off the plane of such a floor."""
    away = np.hypot(*(places[:, None] - places).transpose(2, 0, 1))
    values, vectors = np.linalg.eigh(away.max() - away)
    heights = vectors @ (np.sqrt(np.maximum(values, 0)) * rng.standard_normal(len(places)))
    return heights / np.sqrt(away.max() / 4)


def surveyed(rng, count, ground, units):
    """A leaning slab, read to 1/16 in or 1 mm."""
    by_itself, common = SLABS[ground]
    places = stations(rng, count)
    heights = places @ rng.uniform(-0.01, 0.01, 2) + rng.normal(0, by_itself, count)
    if common:
        heights += common * alike(rng, places)
    drops = 540 - heights
    return Survey(places, np.round(drops / INCH * 16) / 16 if units is Units.INCH else np.round(drops), units)


def with_slip(rng, survey, kind):
    """The survey with one slip in it, the reading that it is in, and how large it is [mm]."""
    drops, at = survey.drops.copy(), int(rng.integers(len(survey.drops)))
    if kind in ("inch", "centimetre"):
        by = rng.choice([-1, 1]) * (1 if kind == "inch" else 10)
    elif kind == "swapped":
        by, lower = swapped(rng, drops[at], survey.units)
        drops += lower
    else:
        by = int(rng.choice([5, 7])) / 16  # 5/16 or 7/16 is there, 5/8 or 7/8 is written
        drops += np.floor(drops[at]) + by - drops[at]
    drops[at] += by
    return survey._replace(drops=drops), at, abs(by) * (INCH if survey.units is Units.INCH else 1.0)


def swapped(rng, drop, units):
    """By how much two neighbouring digits of a drop's whole part the other way round are off, 21 for 12 or 455 for 545.

    And how much lower all places have to be for its digits to have another order that is a length.
    """
    lower = {"20": 1, "22": -1}.get(str(int(drop)), 0) if units is Units.INCH else 0
    digits = str(int(drop) + lower)
    ways = [digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :] for i in range(len(digits) - 1)]
    ways = [int(way) for way in ways if way != digits and way[0] != "0"]
    return float(rng.choice(ways)) - int(digits), lower


class Rates(NamedTuple):
    """Shares of the planted slips; of those that are big enough, how many were caught."""

    caught: float
    named: float
    others: float
    big: float = np.nan
    of_those: float = np.nan


def counted(rng, ground, kind, units):
    """How often, of so many surveys: caught, named, something sound called odd as well, big enough, caught of those."""
    found = np.zeros((ROUNDS, 5))
    for number in range(ROUNDS):
        survey = surveyed(rng, COUNTS[number % len(COUNTS)], ground, units)
        found[number] = (moved if kind == "moved" else slipped)(rng, survey, kind)
    caught, named, others, big, both = found.mean(axis=0)
    return Rates(caught, named, others, big, both / big if big else np.nan)


def slipped(rng, survey, kind):
    survey, at, size = with_slip(rng, survey, kind)
    found = survey.judged()
    caught = any(one.number == at for one in found.odd)
    named = any(one.number == at and one.likely and one.likely.slip is NAMES[kind] for one in found.odd)
    others = found.move is not None or any(one.number != at for one in found.odd)
    big = size >= survey.told(at)
    return caught, named, others, big, big and caught


def moved(rng, survey, _):
    since = int(rng.integers(3, len(survey.drops) - 2))
    by = 0.5 if survey.units is Units.INCH else 12
    survey.drops[since:] += rng.choice([-1, 1]) * by
    found = survey.judged()
    caught = found.move is not None
    big = by * (INCH if survey.units is Units.INCH else 1.0) >= survey.told_of_moves(since)
    return caught, caught and found.move.since == since, bool(found.odd), big, big and caught


def false_alarms(rng, ground, units):
    """How often a sound survey of 5 to 25 readings is called odd."""
    alarms = 0
    for _ in range(6 * ROUNDS):
        found = surveyed(rng, int(rng.integers(5, 26)), ground, units).judged()
        alarms += bool(found.odd) or found.move is not None
    return alarms / (6 * ROUNDS)


@pytest.fixture(scope="module")
def rates():
    rng = np.random.Generator(np.random.PCG64(20270308))
    found = {}
    for units, kinds in SLIPS.items():
        for ground in SLABS:
            rows = {kind: counted(rng, ground, kind, units) for kind in kinds}
            found[units, ground] = {**rows, "none": Rates(false_alarms(rng, ground, units), np.nan, np.nan)}
    return found


def test_the_rates_as_a_table(rates, capsys):
    heads = "".join(f"{head:>12}" for head in ("caught", "named", "others", "big enough", "of those"))
    rows = [TITLE, f"{'rule':6}{'slab':8}{'slip':12}{heads}"]
    for (units, ground), kinds in rates.items():
        for kind, figures in kinds.items():
            told = "".join(" " * 12 if np.isnan(figure) else f"{figure:12.1%}" for figure in figures)
            rows.append(f"{units.value:6}{ground:8}{kind:12}{told}".rstrip())
    with capsys.disabled():
        print("\n".join([*rows, UNSEEN]))  # noqa: T201 - the rates are to be read in the tests' output


@pytest.mark.parametrize("ground", ["smooth", "usual", "uneven"])
@pytest.mark.parametrize(("units", "kind"), [(units, kind) for units, kinds in SLIPS.items() for kind in kinds])
def test_on_a_slab_as_slabs_are_a_slip_is_caught_and_named(rates, units, kind, ground):
    found = rates[units, ground][kind]
    assert found.caught >= CAUGHT[kind]
    assert found.named >= 0.9 * CAUGHT[kind]
    assert found.others <= 0.03


@pytest.mark.parametrize("units", SLIPS)
@pytest.mark.parametrize("ground", SLABS)
def test_a_sound_survey_is_left_alone(rates, units, ground):
    assert rates[units, ground]["none"].caught <= FALSE_ALARMS[ground]


@pytest.mark.parametrize("ground", SLABS)
def test_on_any_slab_what_the_plan_says_would_show_does_19_times_in_20(rates, ground):
    found = [row for units in SLIPS for kind, row in rates[units, ground].items() if kind != "none" and row.big]
    big = np.array([row.big for row in found])
    assert big @ [row.of_those for row in found] >= SHOWN * big.sum()
    assert len(found) >= 3


class TestWhatIsKnownOfTheSlab:
    """A misread fraction on a rough slab is caught about one time in two, and nobody could do much better.

    Whoever knew the slab's own scatter, and that each place has its own, would compare likelihoods by normal errors,
    and no test of the same rate of false alarms catches more (Neyman and Pearson). On a usual slab not knowing it
    costs one in five: readings say that it is no rougher only by what the fit leaves, slip and all.
    """

    @staticmethod
    def best(survey, scatter):
        """The slip that such a one holds likeliest: by how much, and which reading it is in."""
        heights = survey.heights
        design = np.column_stack([np.ones(len(heights)), survey.places])
        free = np.eye(len(heights)) - design @ np.linalg.pinv(design)
        rest, kept = free @ heights, np.diag(free)
        ways = [(i, drop.value - to) for i, drop in enumerate(survey.typed()) for _, to in meant(drop, survey.units)]
        return max((-(2 * by * rest[i] + by * by * kept[i]) / (2 * scatter**2), i) for i, by in ways)

    @pytest.mark.parametrize("ground", ["usual", "rough"])
    def test_would_help_by_no_more_than_one_in_five(self, ground, capsys):
        rng, scatter = np.random.Generator(np.random.PCG64(4)), SLABS[ground][0]
        sound = [self.best(surveyed(rng, 11, ground, Units.INCH), scatter)[0] for _ in range(ROUNDS)]
        least = np.quantile(sound, 0.99)
        best = ours = 0
        for _ in range(ROUNDS):
            survey, at, _ = with_slip(rng, surveyed(rng, 11, ground, Units.INCH), "fraction")
            gain, number = self.best(survey, scatter)
            best += gain > least and number == at
            ours += any(one.number == at for one in survey.judged().odd)
        told = f"{ground}: sixteenths misread, caught {ours / ROUNDS:.0%}; with its scatter known {best / ROUNDS:.0%}"
        with capsys.disabled():
            print("\n" + told)  # noqa: T201 - the rates are to be read in the tests' output
        assert ours >= best - 0.22 * ROUNDS


class TestTheLeastThatShows:
    def test_outweighs_its_price_19_times_in_20(self):
        """A slip of just the size that is told, on slabs whose scatter is spread as slabs' scatter is held to be."""
        rng = np.random.Generator(np.random.PCG64(12))
        outweighs = 0
        for number in range(400):
            count = COUNTS[number % len(COUNTS)]
            places = PLACES[:count] if count <= len(PLACES) else MORE[:count]
            scatter = USUAL_SCATTER * np.sqrt(4 / rng.chisquare(4))
            heights = places @ rng.uniform(-0.01, 0.01, 2) - 540 + rng.normal(0, scatter, count)
            drops = [Typed("540", 540.0)] * count
            at = int(rng.integers(count))
            size = least_slips(places, heights, drops, Units.MM)[at]
            heights[at] += size
            fit = Fit(slab(places), heights)
            gain = fit.shifted(np.array([at]), np.array([-size]))[0] - fit.likelihood
            outweighs += gain >= price(count)
        assert 0.93 <= outweighs / 400 <= 0.97
