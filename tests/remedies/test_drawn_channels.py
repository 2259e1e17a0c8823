"""A channel's end is drawn in or out along its line where that alone keeps a limit, by no more than it takes."""

from __future__ import annotations

import pytest

from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.remedies import changed, remedies

ROOM = """format = 1
[job]
name = "a bath house"
units = "mm"
rulebook = "us-model"
[floor]
{floor}
[outline]
rectangle = [2400, 1000]
[bed]
shape = "{shape}"
{drains}
{readings}"""
CHANNEL = (
    '[[drains]]\nkind = "channel"\nsize = 60\nfrom = {{ x = {}, y = 500 }}\nto = {{ x = {}, y = 500 }}\ndrop = 500\n'
)
ROUND = '[[drains]]\nkind = "round"\nsize = 100\nat = { x = 1900, y = 500 }\ndrop = 500\n'
WOOD = 'kind = "wood"\nmoisture_barrier = "poly"\nlath = true'
SLAB = 'kind = "concrete"\nbond_coat = true'
PLACES = ('"A"', '"B"', '"C"', '"D"', *(f"{{ x = {x}, y = 500 }}" for x in (500, 800)))


def planned(drains, drops, floor=SLAB, shape="even-fall"):
    readings = "".join(f"[[readings]]\nat = {at}\ndrop = {drop}\n" for at, drop in zip(PLACES, drops, strict=False))
    return plan(parse_job(ROOM.format(floor=floor, shape=shape, drains=drains, readings=readings)))


def drawn(base, rule, way, drains=()):
    found = [answer for each, answer in zip(base.findings, remedies(base), strict=True) if each.rule == rule]
    abouts = [each.drains for each in base.findings if each.rule == rule]
    return next(remedy for remedy in found[abouts.index(drains)].best if way in remedy.says)


def rules_of(base, change):
    return [(finding.rule, finding.drains) for finding in plan(changed(base.job, change)).findings]


def test_an_end_is_drawn_out_until_the_bed_is_no_longer_too_thick():
    """By hand: 50.8 mm over a floor 35 mm under the flange at B leave 15.8 mm of fall, or 758.4 mm at 1/48.

    The channel's corner nearest to B is 470 mm off A-B, so 595.2 mm off B-C: 304.8 of its 900 mm farther on.
    """
    base = planned(CHANNEL.format(500, 1500), (534, 535, 535, 534, 533), WOOD)
    longer = drawn(base, "bed-thick", "longer")
    assert longer.says == "make the channel 305 mm longer, so that the bed keeps its depth"
    assert longer.change == (("drains[0].to", "x 1805 mm, y 500 mm"),)
    assert ("bed-thick", ()) in rules_of(base, (("drains[0].to", "x 1804 mm, y 500 mm"),))


def test_an_end_is_drawn_in_off_a_hump():
    """The floor is 28 mm under the flange at its end, and less deep all round; 31.75 mm are asked for."""
    base = planned(CHANNEL.format(500, 1900), (533, 533, 533, 533, 528, 534), WOOD)
    shorter = drawn(base, "bed-thin", "shorter")
    ((_, start),) = shorter.change
    assert shorter.figure == pytest.approx(float(start.split()[1]) - 500)
    less = f"x {500 + shorter.figure - 1:g} mm, y 500 mm"
    assert ("bed-thin", ()) in rules_of(base, (("drains[0].from", less),))


@pytest.mark.parametrize(("drain", "by"), [(0, 243), (1, 122)])
def test_beside_another_drain_a_channel_is_cut_for_the_falls_of_either(drain, by):
    """Of all cuts a step less, at either end or shared between them, none does."""
    base = planned(CHANNEL.format(200, 1000) + ROUND, (520,) * 4, shape="level-walls")
    cut = drawn(base, "fall-steep", "shorter", (drain,))
    assert cut.says == f"make drain 1 {by} mm shorter, so that the runs to the walls are equal enough"
    assert ("fall-steep", (drain,)) not in rules_of(base, cut.change)
    for at in range(0, by, 30):
        ends = (("drains[0].from", f"x {200 + at} mm, y 500 mm"), ("drains[0].to", f"x {1001 - by + at} mm, y 500 mm"))
        assert ("fall-steep", (drain,)) in rules_of(base, ends)
