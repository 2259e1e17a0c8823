"""How much floor each drain takes: closed forms, an image library's watersheds, and where it is told."""

import json
from math import asinh, sqrt

import numpy as np
import pytest
import shapely
import skimage

from engine.bed.catchments import catchments, drained_to
from engine.sheets.json import plan_json
from engine.sheets.page.page import plan_page
from engine.sheets.set_out_figures import set_out_figures
from engine.sheets.text import plan_text

CELL = 20.0  # [mm]
ELL = [(0, 0), (3000, 0), (3000, 1200), (1300, 1200), (1300, 2600), (0, 2600)]
POST = [(600, 1100), (760, 1100), (760, 1260), (600, 1260)]
LONG = "rectangle = [3000, 1200]"


def drain(x, y, drop=500, size=100):
    return f'[[drains]]\nkind = "round"\nsize = {size}\nat = {{ x = {x}, y = {y} }}\ndrop = {drop}\n'


def channel(start, end, drop=500):
    places = [f"{{ x = {x}, y = {y} }}" for x, y in (start, end)]
    return f'[[drains]]\nkind = "channel"\nsize = 60\nfrom = {places[0]}\nto = {places[1]}\ndrop = {drop}\n'


def watersheds(bed):
    """The shares of the floor from which an image library's flood of the bed's heights alone reaches each drain."""
    reach = bed.reach
    low, high = np.array(reach.floor.polygon.bounds).reshape(2, 2)
    x, y = (np.arange(a + CELL / 2, b, CELL) for a, b in zip(low, high, strict=True))
    grid = np.stack(np.meshgrid(x, y), axis=-1)
    on = shapely.contains_xy(reach.floor.polygon, grid[..., 0], grid[..., 1])
    heights, markers = np.zeros(on.shape), np.zeros(on.shape, dtype=int)
    heights[on] = bed.height(grid[on])
    for number, flange in enumerate(reach.flanges, start=1):
        markers[on] += number * (flange.stretch(grid[on]) <= 1)
    labels = skimage.segmentation.watershed(heights, markers, mask=on)
    return np.bincount(labels[on], minlength=len(reach.flanges) + 1)[1:] / on.sum()


@pytest.mark.parametrize(
    ("outline", "words"),
    [
        (LONG, {"extra": drain(500, 400) + drain(2200, 800, drop=490, size=160)}),
        (LONG, {"extra": drain(500, 400) + channel((2500, 200), (2500, 1000))}),
        (LONG, {"shape": "even-fall", "extra": drain(500, 400) + channel((2500, 0), (2500, 1200), drop=488)}),
        (ELL, {"shape": "even-fall", "islands": [POST], "extra": drain(400, 2200) + drain(2600, 500)}),
        (ELL, {"shape": "even-fall", "extra": drain(400, 2200) + drain(2600, 500) + drain(900, 300, 495)}),
        (
            LONG,
            {"shape": "plane", "extra": channel((30, 0), (30, 1200)) + channel((2000, 0), (2000, 1200), 490)},
        ),
    ],
    ids=["level walls", "drain and channel", "even fall", "round a post", "three", "planes"],
)
def test_an_image_librarys_flood_parts_the_floor_alike(make_plan, outline, words):
    """Cells are a fiftieth of the floor's width: a ridge is known to one of them."""
    found = make_plan(outline, **words)
    areas = np.array(catchments(found.bed))
    assert areas.sum() == pytest.approx(found.outline.area, rel=1e-9)
    places = np.random.default_rng(7).uniform(*np.array(found.outline.polygon.bounds).reshape(2, 2), (4000, 2))
    owners = drained_to(found.bed, places[shapely.contains_xy(found.outline.polygon, *places.T)])
    assert np.bincount(owners) / len(owners) == pytest.approx(areas / areas.sum(), abs=0.03)
    assert areas / areas.sum() == pytest.approx(watersheds(found.bed), abs=0.01)


def test_between_unlike_drains_an_even_fall_parts_along_a_hyperbola(make_plan):
    """From |p - f| - |p - g| = 2 a: a = (r - r' + (h' - h) / s) / 2, foci 2 c apart, x = a sqrt(1 + y2 / (c2 - a2))."""
    found = make_plan(LONG, shape="even-fall", extra=drain(600, 600) + drain(2400, 600, drop=495, size=180))
    a, c, half = (50 - 90 + 5 * 48) / 2, 900.0, 600.0
    b = sqrt(c * c - a * a)
    strip = a * (half * sqrt(1 + (half / b) ** 2) + b * asinh(half / b))
    assert catchments(found.bed) == pytest.approx((1500 * 1200 + strip, 1500 * 1200 - strip), rel=1e-9)


def test_planes_part_where_they_are_as_high(make_plan):
    """x - 530 = 2470 - x + 10 x 48 at x = 1740."""
    extra = channel((500, 0), (500, 1200)) + channel((2500, 0), (2500, 1200), drop=490)
    found = make_plan(LONG, shape="plane", extra=extra)
    assert catchments(found.bed) == pytest.approx((1740 * 1200, 1260 * 1200))


def test_each_sheet_tells_them_and_of_one_drain_nothing(make_plan):
    found = make_plan(LONG, extra=drain(600, 600) + drain(2600, 600), readings=[("{ x = 0, y = 0 }", 550)])
    told = json.loads(plan_json(found))["catchments"]
    assert told == [{"area": 1920000, "share": 0.533333}, {"area": 1680000, "share": 0.466667}]
    assert "Takes the water of:    1.92 m2, 53.3 % of the floor" in plan_text(found)
    assert "takes the water of 1.68 m2, 46.7 % of the floor" in plan_page(found)
    one = make_plan(LONG, extra=drain(600, 600))
    assert set_out_figures(one)["catchments"] == []
    bare = make_plan(LONG, shape=None, extra=drain(600, 600) + drain(2600, 600))
    assert set_out_figures(bare)["catchments"] is None
    assert "akes the water" not in plan_text(bare)
