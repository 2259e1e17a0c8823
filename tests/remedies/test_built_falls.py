"""A finished bed whose plan breaks the limits of fall: mended until it keeps them, no more than does, or why not."""

from __future__ import annotations

import re

import numpy as np
import pytest

from engine.limits.findings import Level
from engine.plan import plan
from engine.quantities import parse
from engine.remedies import changed, remedies
from engine.remedies.built import mend_least, never_within
from engine.remedies.trials import Trials
from engine.remedies.within import Limited
from engine.remedies.worked_bed import idea_of, worked

FALLS = ("built-fall-low", "built-fall-steep")
NEW = re.compile(r"as_built\[(\d+)\]\.at")
STEP = 1.0
BEDS = range(10)


@pytest.fixture(scope="module")
def make(make_plan):
    """A rectangle with a bed flatter or steeper than may be, read at corners and middles of walls, none too true."""

    def build(seed):
        rng = np.random.default_rng(seed)
        wide, deep = rng.integers(900, 1800, 2).tolist()
        corners = [(0, 0), (wide, 0), (wide, deep), (0, deep)]
        at = rng.integers(300, np.array([wide, deep]) - 300).tolist()
        words = {
            "at": tuple(at),
            "drop": 500,
            "shape": ["level-walls", "even-fall"][seed % 2],
            "fall": ["1 %", "3 %", "5 %"][seed % 3],
            "rulebook": ["us-model", "uk-bs5385"][seed % 2],
            "readings": [(corner, 560) for corner in corners],
        }
        ends = np.array(corners, dtype=float)
        places = np.vstack([ends, *[(ends + np.roll(ends, -1, axis=0)) / 2] * (seed % 4 > 0)])
        heights = make_plan(corners, **words).bed.height(places) + rng.normal(0, 2, len(places))
        rows = zip(places.tolist(), (500 - heights).round().tolist(), strict=True)
        text = "\n".join(f"[[as_built]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n" for (x, y), drop in rows)
        return make_plan(corners, extra=text, **words)

    return build


def _out(planned):
    return [finding for finding in planned.findings if finding.rule in FALLS]


def test_beds_that_the_plan_does_not_help_are_mended(make):
    told, cleared = 0, 0
    for seed in BEDS:
        planned = make(seed)
        answers = dict(zip(planned.findings, remedies(planned), strict=True))
        for finding in _out(planned):
            told += 1
            cleared += bool(answers[finding].best)
            assert answers[finding].best or any("until its falls keep" in why for why in answers[finding].ruled_out)
            for remedy in answers[finding].best:
                assert " 0 mm " not in remedy.says
                after = plan(changed(planned.job, remedy.change))
                assert finding.rule not in {found.rule for found in after.findings}, remedy.says
                stops = {found.rule for found in after.findings if found.level is Level.STOP}
                assert stops <= {found.rule for found in planned.findings if found.level is Level.STOP}
    assert told >= 8
    assert cleared >= 0.9 * told


def _less(trials, change):
    """The change with one reading a step nearer to what was read, or as it was, each in turn."""
    for i, (key, text) in enumerate(change):
        number = int(key.split("[")[1].split("]")[0])
        if key.startswith("as_built") and key.endswith(".drop") and number < len(trials.job.as_built):
            drop, was = parse(text, "length", "mm"), trials.job.as_built[number].drop.value
            nearer = was if abs(drop - was) <= STEP else drop + np.copysign(STEP, was - drop)
            yield (*change[:i], (key, f"{nearer} mm"), *change[i + 1 :])


def test_no_reading_could_be_a_step_nearer_to_what_it_was(make):
    kinds = set()
    for seed in BEDS:
        planned = make(seed)
        for finding in _out(planned):
            trials = Trials(planned)
            for idea in mend_least(trials, finding):
                remedy = trials.tried(finding, idea)
                if remedy is None or remedy.brings:
                    continue
                kinds.add(finding.rule)
                for less in _less(trials, idea.change):
                    after = plan(changed(planned.job, less))
                    assert _out(after), (seed, idea.says, less)
                break
    assert kinds == {*FALLS}


def test_a_place_between_those_that_were_read_is_worked_as_the_plan_reads_it_then(make):
    planned = make(5)
    (steep,) = _out(planned)
    trials = Trials(planned)
    (work, *_) = Limited(trials, planned.as_built, steep.rule).works()
    idea = idea_of(trials, planned.outline, work)
    assert any(NEW.fullmatch(key) for key, _ in idea.change)
    after = plan(changed(planned.job, idea.change))
    assert not _out(after)
    starts = planned.as_built.lines.starts
    reckoned = worked(planned.as_built.surface, work).error(starts)
    assert after.as_built.surface.error(starts) == pytest.approx(reckoned, abs=1e-6)


def test_two_lines_from_one_corner_that_no_height_suits_are_told(make_plan):
    """Square to its two walls the inward corner is 240 mm from the drain's edge and 420 mm, 1.75 times as far."""
    corners = [(0, 0), (1918, 0), (1918, 661), (1055, 661), (1055, 1201), (0, 1201)]
    words = {"at": (576, 360), "size": 120, "drop": 500, "readings": [(corner, 560) for corner in corners]}
    built = zip(corners, (481, 487, 480, 481, 486, 473), strict=True)
    extra = "\n".join(f"[[as_built]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n" for (x, y), drop in built)
    planned = make_plan(corners, rulebook="au-ncc", fall="1:80", extra=extra, **words)
    (why,) = never_within(Trials(planned))
    assert "two lines start at corner D, 241 mm and 419 mm long, and no height there suits both" in why


def test_a_change_may_read_the_finished_bed_at_a_place_more(make):
    job = make(1).job
    key = f"as_built[{len(job.as_built)}]"
    more = changed(job, ((f"{key}.at", "x 100 mm, y 0 mm"), (f"{key}.drop", "480 mm")))
    assert more.as_built[-1].drop.value == 480
    assert more.readings == job.readings


def test_too_low_a_fall_is_mended_by_itself_where_another_is_too_steep_by_the_plan(make_plan):
    """Level walls at 1:60 and 100 mm from the rim to A-B: too flat at C and D, too steep at A-B whatever is mended."""
    room = [(0, 0), (1200, 0), (1200, 900), (0, 900)]
    words = {"at": (600, 150), "drop": 500, "shape": "level-walls", "fall": "1:60", "readings": [('"A"', 560)]}
    rows = zip([*room, (600, 0)], (484, 484, 490, 484, 484), strict=True)
    laid = "".join(f"[[as_built]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n" for (x, y), drop in rows)
    planned = make_plan(room, extra=laid, **words)
    low = next(i for i, finding in enumerate(planned.findings) if finding.rule == "built-fall-low")
    best = remedies(planned)[low].best[0]
    assert {key for key, _ in best.change} == {"as_built[2].drop", "as_built[3].drop"}
    assert "built-fall-low" not in [finding.rule for finding in plan(changed(planned.job, best.change)).findings]
    for key, text in best.change:
        less = tuple((own, f"{float(text.split()[0]) + (own == key):.0f} mm") for own, text in best.change)
        assert "built-fall-low" in [finding.rule for finding in plan(changed(planned.job, less)).findings], key


def test_a_station_that_is_hardly_off_the_plan_is_mended_where_a_fall_asks_for_it(make_plan):
    """Least and most fall are one figure, and the bed is planned flatter: brought to its plan it is nowhere too steep.

    Corner D is a mm over the plan, which is little enough to be left, were its line not too steep by that.
    """
    finished = "".join(
        f'[[as_built]]\nat = "{name}"\ndrop = {drop}\n' for name, drop in zip("ABCD", (484, 471, 483, 491), strict=True)
    )
    words = {"drop": 500, "shape": "even-fall", "fall": "1.66 %", "rulebook": "us-accessible"}
    corners = [(0, 0), (1400, 0), (1400, 1100), (0, 1100)]
    built = make_plan(corners, at=(392, 737), readings=[('"A"', 560)], extra=finished, **words)
    steep = next(finding for finding in built.findings if finding.rule == "built-fall-steep")
    (least, green) = remedies(built)[built.findings.index(steep)].best
    assert least.figure < green.figure
    assert dict(green.change) == {"as_built[1].drop": "480 mm", "as_built[3].drop": "492 mm"}
    for left_out in green.change:
        less = plan(changed(built.job, tuple(entry for entry in green.change if entry is not left_out)))
        assert "built-fall-steep" in {finding.rule for finding in less.findings}


def test_of_work_that_brings_all_within_the_limits_only_what_the_finding_asks_for_is_told(make_plan):
    """Corner B is 2 mm too low for its own line; what the middle of C-D asks for is the other finding's."""
    room = [(0, 0), (1143, 0), (1143, 1067), (0, 1067)]
    places = [*room, (571, 0), (1143, 533), (571, 1067), (0, 533), (220, 129), (1087, 862), (502, 762), (964, 668)]
    places += [(533, 784), (114, 995), (554, 473), (102, 746), (394, 962)]
    drops = [489, 492, 486, 486, 495, 492, 492, 495, 494, 495, 497, 498, 505, 490, 503, 497, 494]
    laid = "".join(
        f"[[as_built]]\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n"
        for (x, y), drop in zip(places, drops, strict=True)
    )
    planned = make_plan(room, at=(494, 613), size=127, drop=508, readings=[('"A"', 549)], extra=laid)
    told = {
        f.rule: a.best[0].change for f, a in zip(planned.findings, remedies(planned), strict=True) if "built" in f.rule
    }
    assert told == {
        "built-fall-low": (("as_built[1].drop", "490 mm"),),
        "built-fall-steep": (("as_built[6].drop", "494 mm"),),
    }
