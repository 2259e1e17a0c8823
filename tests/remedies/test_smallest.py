"""Small changes that clear a stop where the usual one is larger, or brings another."""

from __future__ import annotations

from engine.job.toml_file import parse_job
from engine.limits.findings import Level
from engine.plan import plan
from engine.remedies import changed, remedies

START = 'format = 1\n[job]\nname = "small"\nunits = "{units}"\nrulebook = "{book}"\n'
START += '[floor]\nkind = "concrete"\nbond_coat = true\n'
START += '[outline]\nrectangle = [{sides}]\nedges = {{ "{edge}" = "curb" }}\n[curb]\ndrop = {curb}\n'


def job(head, drains, corners, bed, more=()):
    """A room with a curb: drains x, y, size and drop; corners' drops, and more readings x, y and drop."""
    text = START.format(**head)
    for x, y, size, drop in drains:
        text += f'[[drains]]\nkind = "round"\nsize = {size}\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n'
    for at, drop in [*zip(('"A"', '"B"', '"C"', '"D"'), corners, strict=True), *more]:
        text += f"[[readings]]\nat = {at}\ndrop = {drop}\n"
    return plan(parse_job(f"{text}[bed]\n{bed}"))


def told(planned, rule, drains=()):
    """What is told of a stop, without what brings another."""
    (answer,) = (
        answer
        for finding, answer in zip(planned.findings, remedies(planned), strict=True)
        if finding.rule == rule and (not drains or finding.drains == drains)
    )
    return [str(remedy.says) for remedy in answer.best]


def stops(planned, *change):
    return [finding.rule for finding in plan(changed(planned.job, change)).findings if finding.level is Level.STOP]


INCH = {"units": "in", "book": "us-model", "edge": "D-A"}


def test_a_bed_under_the_floor_comes_just_out_of_it_where_its_least_depth_would_leave_the_curb_too_low():
    spots = [("{ x = 44, y = 12 }", 20.5625), ("{ x = 20, y = 20 }", 20.625), ("{ x = 30, y = 18 }", 21.125)]
    corners, bed = (21.0625, 20.25, 20.875, 21.5625), 'shape = "level-walls"\nfall = "1/4 in/ft"'
    planned = job({**INCH, "sides": "60, 36", "curb": 18.1875}, [(30, 18, 6, 20.75)], corners, bed, spots)
    out = "raise the drain by 1/16 in: line reading 20 11/16 in; the bed is then just out of the floor"
    assert told(planned, "bed-below-floor")[0] == out
    low = job({**INCH, "sides": "60, 36", "curb": 16}, [(30, 18, 6, 20.75)], corners, bed, spots)
    assert told(low, "bed-below-floor")[:2] == ["raise the drain by 13/16 in: line reading 19 15/16 in", out]
    spared = plan(changed(planned.job, (("figures.fall_most", "10 %"),)))  # else it is too steep as it is
    ground, steeper = told(spared, "bed-below-floor")[1:3]
    assert ground.startswith("grind the high spot 14 3/8 in from C-D and 24 in from D-A by 1/16 in, over a patch")
    assert steeper.startswith("raise the fall to 0.29 in/ft")
    assert {says.split("; ")[-1] for says in (ground, steeper)} == {"the bed is then just out of the floor"}
    assert "bed-below-floor" in stops(planned, ("bed.fall", "0.28 in/ft"))
    assert "bed-below-floor" in stops(planned)
    assert "bed-below-floor" not in stops(planned, ("drains[0].drop", "20 11/16"))
    assert "curb-low" in stops(planned, ("drains[0].drop", "19 15/16"))


def test_one_drain_is_lowered_for_the_curb_where_all_together_would_be_under_the_floor():
    drains = [(21.625, 18.8125, 6, 20.375), (48.1875, 19.6875, 6, 18.6875)]
    bed = 'shape = "even-fall"\nfall = "1/4 in/ft"'
    planned = job({**INCH, "sides": "84, 40", "curb": 17.25}, drains, (21.125, 20.75, 21, 21.5625), bed)
    assert "lower drain 2 by 1 in: line reading 19 11/16 in" in told(planned, "curb-low")
    assert "curb-low" in stops(planned, ("drains[1].drop", "19 5/8"))


def test_a_fall_under_the_least_that_the_marks_round_up_is_told_of_a_bed_too_steep():
    head = {"units": "mm", "book": "uk-bs5385", "edge": "A-B", "sides": "2600, 1200", "curb": 448}
    drains = [(607, 516, 120, 492), (1940, 633, 120, 507)]
    bed = 'shape = "level-walls"\n'
    planned = job(head, drains, (553, 521, 537, 554), bed, [("{ x = 1300, y = 600 }", 544)])
    assert "lower the fall to 1.2 %, which the marks round up to enough" in told(planned, "fall-steep", (0,))
    assert not {"fall-low"} & {*stops(planned, ("bed.fall", "1.20 %"))}


def test_flanges_on_one_another_are_parted_by_a_step_of_mud():
    head = {"units": "mm", "book": "us-model", "edge": "D-A", "sides": "2000, 1000", "curb": 420}
    drains, bed = [(900, 500, 150, 500), (1000, 500, 150, 500)], 'shape = "even-fall"\nfall = "2.1 %"'
    planned = job(head, drains, (545, 548, 546, 545), bed)
    assert told(planned, "flanges-overlap")[0].startswith("move drain 1 by 51 mm, to x 849 mm, y 500 mm")
    assert "flanges-overlap" in stops(planned, ("drains[0].at", "x 851 mm, y 500 mm"))


def test_a_drain_is_moved_too_where_else_only_the_floor_would_be_worked():
    spots = [("{ x = 18, y = 16 }", 20.6875), ("{ x = 30, y = 21 }", 21.75), ("{ x = 42, y = 30 }", 21.375)]
    corners, bed = (20.625, 20.8125, 21.1875, 20.625), 'shape = "level-walls"\nfall = "1/4 in/ft"'
    bonded = job({**INCH, "sides": "60, 42", "curb": 17.0625}, [(28.75, 23.75, 6, 19.6875)], corners, bed, spots)
    planned = plan(changed(bonded.job, (("floor.bond_coat", ""), ("floor.moisture_barrier", "poly"))))
    ground, _, move = told(planned, "bed-thin")
    assert ground.startswith("grind the high spot 15 5/8 in from A-B and 18 7/8 in from D-A by 1/16 in")
    assert move == "move the drain by 1 in, to x 29 1/8 in, y 24 5/8 in: there the bed keeps its depth"


def test_one_drain_of_several_is_set_no_step_too_far():
    """A bed that is 1 mm too deep in a corner, and one that is 1 mm too thin at the ridge."""
    head = {"units": "mm", "book": "us-model", "edge": "D-A", "sides": "2400, 1000", "curb": 400}
    poly = (("floor.bond_coat", ""), ("floor.moisture_barrier", "poly"), ("figures.fall_most", "20 %"))
    corners, level = (545, 540, 541, 543), 'shape = "level-walls"\nfall = "2.1 %"\n'
    deep = job(
        head, [(600, 500, 150, 500), (1800, 500, 150, 504)], corners, f"{level}most_depth = 59\nleast_depth = 5\n"
    )
    thin = job(
        head, [(600, 500, 150, 500), (1800, 500, 150, 496)], corners, f"{level}most_depth = 79\nleast_depth = 43.5\n"
    )
    deep, thin = (plan(changed(each.job, poly)) for each in (deep, thin))
    assert "lower drain 1 by 1 mm: line reading 501 mm" in told(deep, "bed-thick")
    assert "raise drain 1 by 1 mm: line reading 499 mm" in told(thin, "bed-thin")


def test_the_only_drain_is_moved_for_walls_of_ones_own_height():
    """Walls 3/4 in high fall 1/2 in/ft over 18 in, the least run; and no less than 1/4 in/ft over 36 in, the most."""
    head = {**INCH, "sides": "48, 48", "curb": 17}
    planned = job(head, [(18, 24, 6, 20)], [21.5] * 4, 'shape = "level-walls"\nwall_height = "3/4 in"')
    says = "move the drain by 3 in, to x 21 in, y 24 in: there the runs to the walls are equal enough"
    assert says in told(planned, "fall-steep")
    assert not stops(planned, ("drains[0].at", "x 21 in, y 24 in"))
    assert "fall-steep" in stops(planned, ("drains[0].at", "x 20 15/16 in, y 24 in"))


ACCESSIBLE = {**INCH, "book": "us-accessible"}
EVEN = 'shape = "even-fall"'


def test_the_drain_is_raised_for_a_threshold_too_high_over_the_floor_beside_it():
    planned = job({**ACCESSIBLE, "sides": "60, 36", "curb": 18.5}, [(30, 18, 6, 20.5)], [21.5] * 4, EVEN)
    lower, higher = told(planned, "curb-high")
    assert lower == "build the curb 1/2 in lower: line reading 19 in"
    assert higher == "raise the drain by 1/2 in: line reading 20 in"
    assert stops(planned, ("drains[0].drop", "20 1/16")) == ["curb-high"]


def test_one_drain_is_raised_for_it_as_little_as_walls_of_whole_marks_ask_for():
    drains = [(18, 18, 6, 20.5), (54, 18, 6, 20.5)]
    marks = 'shape = "level-walls"\nmark_step = "1/4 in"'
    planned = job({**ACCESSIBLE, "sides": "72, 36", "curb": 18.9375}, drains, [21.5] * 4, marks)
    planned = plan(changed(planned.job, (("figures.fall_most", "2 in/ft"),)))
    one = [says for says in told(planned, "curb-high") if says.startswith("raise drain")]
    assert one == ["raise drain 2 by 1/16 in: line reading 20 7/16 in"]
    assert "curb-high" not in stops(planned, ("drains[1].drop", "20 7/16"))


def test_a_bed_is_made_steeper_for_it_where_that_is_no_stop():
    planned = job({**ACCESSIBLE, "sides": "60, 36", "curb": 18.875}, [(30, 18, 6, 20.5)], [21.5] * 4, EVEN)
    assert not any("fall" in says for says in told(planned, "curb-high"))
    free = plan(changed(planned.job, (("figures.fall_most", "1/2 in/ft"),)))
    (steeper,) = (says for says in told(free, "curb-high") if "fall" in says)
    assert steeper == "raise the fall to 0.31 in/ft"
    assert not stops(free, ("bed.fall", "0.31 in/ft"))
    assert stops(free, ("bed.fall", "0.30 in/ft")) == ["curb-high"]
