"""The ramps keep their order for every eye, in glare, and in every kind of terminal."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from rich.color import ColorSystem

from tui.widgets.ink import Ink
from tui.widgets.looks import Colours, Looks
from tui.widgets.map_marks import ASCII_DRAIN, DRAIN, FURTHER, ISLAND, STATION
from tui.widgets.map_strokes import ASCII_STROKES, ASCII_VALLEY, STROKES, VALLEY
from tui.widgets.ramps import (
    ASCII_SHADES,
    HEATHER,
    LEVELS,
    SAND,
    SEA,
    SHADES,
    SIXTEEN,
    STARK_SIXTEEN,
    Ramp,
    level_of,
    luminance,
    readable_on,
    stark,
    style_of,
)

TRUE_RAMPS = [SAND, SEA, HEATHER, *map(stark, (SAND, SEA, HEATHER))]
SIXTEENS = [SIXTEEN, STARK_SIXTEEN]
RAMPS = [*TRUE_RAMPS, *SIXTEENS]
# How much of its cell each shade character covers: the blocks by their definition, the dots about.
COVER = np.array([0.03, 0.06, 0.25, 0.5, 0.75, 1.0])
# What remains of a colour (linear light) for an eye without one kind of cone.
# Source: Machado, Oliveira and Fernandes 2009, severity 1.0.
EYES = {
    "no red cones": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "no green cones": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "no blue cones": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}
LUMINANCE = np.array([0.2126, 0.7152, 0.0722])


def linear(colour: str) -> np.ndarray:
    channels = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def mixed(ramp: Ramp) -> np.ndarray:
    """What the eye makes of each level from a step away: ground and character together, linear light."""
    grounds, grains = (np.array([linear(c) for c in colours]) for colours in (ramp.grounds, ramp.grains))
    return grounds + COVER[:, None] * (grains - grounds)


def contrasts(light: np.ndarray) -> np.ndarray:
    return (light[:-1] + 0.05) / (light[1:] + 0.05)


@pytest.mark.parametrize(
    ("ramp", "least"), [*((ramp, 1.15) for ramp in TRUE_RAMPS), *((ramp, 1.05) for ramp in SIXTEENS)]
)
def test_every_step_is_darker_than_the_one_before(ramp, least):
    # Among sixteen colours bright yellow is all but as light as white: there the hue and the character do the rest.
    assert (contrasts(mixed(ramp) @ LUMINANCE) > least).all()


@pytest.mark.parametrize("ramp", TRUE_RAMPS)
@pytest.mark.parametrize("eye", EYES)
def test_every_step_is_darker_for_colour_blind_eyes_too(ramp, eye):
    seen = np.clip(mixed(ramp) @ np.array(EYES[eye]).T, 0, 1)
    assert (contrasts(seen @ LUMINANCE) > 1.15).all()


@pytest.mark.parametrize("ramp", RAMPS)
def test_the_ends_stand_far_apart_for_bright_sun(ramp):
    light = mixed(ramp) @ LUMINANCE
    assert (light[0] + 0.05) / (light[-1] + 0.05) > 7


@pytest.mark.parametrize("ramp", RAMPS)
def test_the_shade_character_can_be_seen_on_its_ground(ramp):
    for ground, grain in list(zip(ramp.grounds, ramp.grains, strict=True))[:-1]:
        light, dark = sorted([luminance(ground), luminance(grain)], reverse=True)
        assert (light + 0.05) / (dark + 0.05) > 1.3


@pytest.mark.parametrize("ramp", RAMPS)
def test_a_mark_on_a_shade_is_readable(ramp):
    for ground in ramp.grounds:
        light, dark = sorted([luminance(ground), luminance(readable_on(ground))], reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 7


def test_luminance_of_known_colours():
    assert luminance("#000000") == 0.0
    assert luminance("#ffffff") == pytest.approx(1.0)
    assert luminance("#ff0000") == pytest.approx(0.2126)
    assert luminance("#808080") == pytest.approx(0.2159, abs=1e-4)


def test_sixteen_colours_arrive_as_themselves():
    white, yellow, bright_cyan, cyan, blue = 15, 11, 14, 6, 4
    styles = [style_of(Ink.SHADE, level, SAND, Looks(Colours.SIXTEEN)) for level in range(LEVELS)]
    numbers = [style.bgcolor.downgrade(ColorSystem.STANDARD).number for style in styles]
    assert numbers == [white, yellow, bright_cyan, cyan, blue, blue]


def test_without_colours_no_ink_has_one():
    for ink in Ink:
        for level in range(-1, LEVELS):
            style = style_of(ink, level, SEA, Looks(Colours.NONE))
            assert style.color is None
            assert style.bgcolor is None


def test_no_character_means_two_things():
    signs = (SHADES, STROKES, VALLEY, DRAIN)
    for shades, edges, valley, drain in (signs, (ASCII_SHADES, ASCII_STROKES, ASCII_VALLEY, ASCII_DRAIN)):
        marks = [drain, STATION, FURTHER, ISLAND, *"123456789"]
        strokes = {c for stroke in (*edges.values(), valley) for c in (stroke.level, stroke.upright)}
        assert len(set(shades)) == LEVELS == len(shades)
        assert len({*shades, *marks}) == len(shades) + len(marks)
        assert not strokes & {*shades, *marks}


def test_levels_spread_over_the_whole_ramp():
    for steps in range(2, LEVELS + 1):
        levels = [level_of(i, steps) for i in range(steps)]
        assert levels[0] == 0
        assert levels[-1] == LEVELS - 1
        assert all(a < b for a, b in pairwise(levels))
    assert 0 < level_of(0, 1) < LEVELS - 1
