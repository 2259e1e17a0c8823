"""Drains that are set together: each goes no step farther than the finding asks for."""

from __future__ import annotations

import numpy as np
import pytest

from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.quantities import INCH, Units
from engine.remedies import changed, remedies
from engine.remedies.drain_height import keeps_depth, set_for_curb, set_for_depth
from engine.remedies.remedy import Idea
from engine.remedies.several import level_out, set_one, set_one_for_curb
from engine.remedies.trials import LENGTH_STEP, Trials

MAKERS = {
    **dict.fromkeys(("bed-thin", "bed-thick", "bed-below-floor"), (set_for_depth, set_one)),
    **dict.fromkeys(("curb-low", "curb-high"), (set_for_curb, set_one_for_curb)),
    "drain-proud": (level_out,),
}


def _job(rng, high, *books):
    """A room with a curb, perhaps so high [mm], and two to four drains, some read off the step, one perhaps open."""
    units = rng.choice(["mm", "in"])
    unit, parts = (1.0, rng.choice([1, 2])) if units == "mm" else (INCH, rng.choice([16, 32]))

    def length(mm):
        return f"{round(mm / unit * parts) / parts}"

    count, line, deep = rng.choice([2, 2, 3, 4]), rng.uniform(440, 520), rng.uniform(20, 60)
    wide, spread = 800 * count, rng.choice([1, 6, 20])
    text = f'format = 1\n[job]\nname = "x"\nunits = "{units}"\nrulebook = "{rng.choice(books)}"\n'
    text += f'[floor]\nkind = "concrete"\nbond_coat = true\n[outline]\nrectangle = [{length(wide)}, {length(1000)}]\n'
    text += f'edges = {{ "A-B" = "curb" }}\n[curb]\ndrop = {length(line - rng.choice([rng.uniform(20, 60), high]))}\n'
    for i in range(count):
        x, y = 800 * i + rng.uniform(300, 500), rng.uniform(400, 600)
        text += f'[[drains]]\nkind = "round"\nsize = {length(110)}\nat = {{ x = {length(x)}, y = {length(y)} }}\n'
        text += f"drop = {length(line + rng.uniform(-spread, spread))}\n" if i == 0 or rng.random() < 0.9 else ""
    for corner in "ABCD":
        text += f'[[readings]]\nat = "{corner}"\ndrop = {length(line + deep + rng.uniform(-12, 12))}\n'
    text += f'[bed]\nshape = "{rng.choice(["even-fall", "level-walls"])}"\nfall = "1:48"\n'
    if rng.random() < 0.6:
        text += rng.choice([f"most_depth = {length(deep + 12)}\n", f"least_depth = {length(deep - 5)}\n"])
    return parse_job(text)


def _nearer(base, change):
    """The change with each of its drops by itself a step nearer to what was entered, or as that was."""
    step, after = LENGTH_STEP[base.job.units], changed(base.job, change)
    for at, (key, _) in enumerate(change):
        number = int(key[len("drains[") : -len("].drop")])
        was, now = base.drains[number].drop, after.drains[number].drop.value
        others = (*change[:at], *change[at + 1 :])
        if base.job.drains[number].drop is not None and 1e-6 < abs(was - now) <= step + 1e-6:
            yield others
        elif abs(was - now) > step:
            to = now + (step if was > now else -step)
            yield (*others, (key, f"{to} mm" if base.job.units is Units.MM else f"{round(to / INCH * 32) / 32} in"))


@pytest.mark.parametrize("kind", [(230, "us-model", "au-ncc"), (60, "us-accessible")], ids=["usual", "accessible"])
@pytest.mark.parametrize("seed", range(60))
def test_no_drain_could_be_set_a_step_less(seed, kind):
    """Where one is, the bed is still out of its limit, or the curb; or a stop comes with it."""
    base = plan(_job(np.random.default_rng(seed), *kind))
    trials = Trials(base)
    for finding in base.findings:
        for maker in MAKERS.get(finding.rule, ()):
            tried = (trials.tried(finding, idea) for idea in maker(trials, finding))
            told = next((remedy for remedy in tried if remedy and not remedy.brings), None)
            for less in _nearer(base, told.change) if told else ():
                remedy = trials.tried(finding, Idea("", less))
                is_kept = finding.rule != "bed-below-floor" or keeps_depth(trials, finding.rule, trials.depth(less))
                assert remedy is None or remedy.brings or not is_kept, (told.says, less)


def _row(kind, curb, drops, corners, wide):
    """The plan of a row of drains a metre apart, in the middle of a floor with a curb, and with the corners' drops."""
    text = f'format = 1\n[job]\nname = "x"\nunits = "mm"\nrulebook = "us-model"\n[floor]\nkind = "{kind}"\n'
    text += f'moisture_barrier = "poly"\n[outline]\nrectangle = [{wide}, 1000]\nedges = {{ "D-A" = "curb" }}\n'
    text += f"[curb]\ndrop = {curb}\n"
    for i, drop in enumerate(drops):
        text += f'[[drains]]\nkind = "round"\nsize = 110\nat = {{ x = {500 + 1000 * i}, y = 500 }}\n'
        text += "" if drop is None else f"drop = {drop}\n"
    for corner, drop in zip("ABCD", corners, strict=True):
        text += f'[[readings]]\nat = "{corner}"\ndrop = {drop}\n'
    return plan(parse_job(f'{text}[bed]\nshape = "even-fall"\nfall = "2.1 %"\n'))


def _told(base, rule):
    found = zip(base.findings, remedies(base), strict=True)
    return next([str(remedy.says) for remedy in answer.best] for finding, answer in found if finding.rule == rule)


@pytest.mark.parametrize(
    ("drops", "says"),
    [
        ((500, 506, 500), "lower drains 1, 3 by 2 mm: line readings 502 mm, 502 mm"),
        ((500, 503, 510), "lower drain 1 by 2 mm: line reading 502 mm"),
        ((500, 502, 501), "lower drains 1, 3 by up to 2 mm: line readings 502 mm, 502 mm"),
        ((500, 501, 501), "lower every drain by up to 2 mm: line readings 502 mm, 502 mm, 502 mm"),
        ((500, 506, None), "lower drains 1, 3 by 2 mm: line reading 502 mm"),
    ],
)
def test_it_is_told_which_drains_are_lowered_and_by_how_much(drops, says):
    """Tiles 11.2 mm thick and a curb 50.8 mm over them: the line must read 502 at least; one left open goes along."""
    assert says in _told(_row("concrete", 440, drops, [545] * 4, 3000), "curb-low")


def test_drains_that_are_set_with_other_work_go_no_farther_than_both_ask_for():
    """Without it the first goes to 492 as well: as far up as the second."""
    base = _row("wood", 372, (500, 505), (529, 530, 530, 539), 2000)
    told = next(says for says in _told(base, "bed-thin") if "and with it" in says)
    assert told.startswith(
        "raise every drain by up to 8 mm: line readings 497 mm, 497 mm; and with it have a carpenter"
    )


def test_where_not_each_smaller_change_is_tried_that_is_told(monkeypatch):
    monkeypatch.setattr("engine.remedies.set_drops._EFFORT", 25.0)
    base = _row("concrete", 440, (500, 506, 500), [545] * 4, 3000)
    trials = Trials(base)
    finding = next(finding for finding in base.findings if finding.rule == "curb-low")
    less = next(set_for_curb(trials, finding))
    assert less.says.endswith("; a smaller change may do")
    assert trials.is_open
    remedy = trials.tried(finding, less)
    assert remedy is not None
    assert not remedy.brings
