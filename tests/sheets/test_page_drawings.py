"""The page's drawings: true to the scale they print, and every sign where it belongs."""

from __future__ import annotations

import math
import re
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree as ET

import numpy as np
import pytest
import shapely

from engine.job.toml_file import parse_job
from engine.plan import plan
from engine.quantities import Units
from engine.sheets.page.contours import bed_lines
from engine.sheets.page.cutting import board_bars
from engine.sheets.page.frame import scale_for
from engine.sheets.page.head import numbered
from engine.sheets.page.labels import Labels, box
from engine.sheets.page.plan_drawing import plan_drawing
from engine.sheets.page.side_view import side_view
from engine.sheets.page.svg import number, upright, written

INCH = 25.4
ROOT = Path(__file__).parents[2]

LONG_FLOOR = """
format = 1
[outline]
rectangle = ["36 in", "200 in"]
[[drains]]
kind = "channel"
size = "3 in"
from = { x = "18 in", y = "0 in" }
to = { x = "18 in", y = "200 in" }
drop = "20 in"
[[readings]]
at = "A"
drop = "21 1/2 in"
[floor]
kind = "concrete"
[bed]
shape = "plane"
"""


def read_back(drawing):
    """A drawing's text as an XML reader takes it."""
    return ET.fromstring(written(drawing.root))  # noqa: S314 - the text was written a line before


def drawn(made):
    """The plan drawing as an XML reader gives it back, and the scale that its title tells."""
    drawing = plan_drawing(made, numbered(made))
    root = read_back(drawing)
    return root, float(re.search(r"1:([\d.]+):", drawing.title)[1])


def points(path):
    return [tuple(map(float, pair.split())) for pair in re.findall(r"[\d.-]+ [\d.-]+", path.get("d"))]


def edge(root, wall):
    return points(next(path for path in root.iter("path") if path.get("data-wall") == wall))


class TestScale:
    @pytest.mark.parametrize(
        ("units", "outline", "wall", "length"),
        [
            ("in", 'rectangle = ["60 in", "36 in"]', "A-B", 60 * INCH),
            ("in", 'rectangle = ["36 in", "100 in"]', "B-C", 100 * INCH),
            ("mm", "rectangle = [900, 1200]", "D-A", 1200.0),
            ("mm", "rectangle = [9000, 400]", "A-B", 9000.0),
        ],
    )
    def test_a_wall_is_as_long_on_paper_as_the_printed_scale_says(self, make_plan, units, outline, wall, length):
        root, scale = drawn(make_plan(outline, units=units, shape=None))
        (x1, y1), (x2, y2) = edge(root, wall)
        assert math.hypot(x2 - x1, y2 - y1) == pytest.approx(length / scale, abs=2e-3)

    def test_a_unit_is_a_millimetre_of_paper(self, whole):
        for drawing in (plan_drawing(whole, []), side_view(whole), board_bars(whole.stock, Units.INCH)):
            _, _, wide, high = drawing.root.get("viewBox").split()
            assert (drawing.root.get("width"), drawing.root.get("height")) == (f"{wide}mm", f"{high}mm")
            assert float(wide) <= 190

    def test_the_bar_measures_what_it_says(self, whole):
        root, scale = drawn(whole)
        bar = next(group for group in root.iter("g") if group.get("class") == "scale-bar")
        parts = [float(part.get("width")) for part in bar.iter("rect")]
        told = next(text.text for text in bar.iter("text") if text.text.endswith(" in"))
        assert sum(parts) * scale == pytest.approx(float(told.split()[0]) * INCH, abs=0.1)

    def test_corners_and_drain_lie_where_they_are(self, whole):
        root, scale = drawn(whole)
        a = np.array(edge(root, "A-B")[0])
        drain = next(each for each in root.iter("circle") if each.get("class") == "flange")
        # 24 in from D-A and 20 in from A-B; up the plan is up the paper, where y runs down.
        offset = (np.array([float(drain.get("cx")), float(drain.get("cy"))]) - a) * scale / INCH
        assert offset == pytest.approx([24.0, -20.0], abs=0.02)
        assert float(drain.get("r")) * scale == pytest.approx(3 * INCH, abs=0.05)

    def test_scales_fit_and_no_larger_one_would(self):
        assert scale_for((1200.0, 900.0), (100.0, 90.0), Units.MM) == 12
        assert scale_for((1201.0, 900.0), (100.0, 90.0), Units.MM) == 15
        assert scale_for((1e6, 1.0), (100.0, 90.0), Units.INCH) == 10_000


class TestSigns:
    def test_walls_curbs_and_open_edges_have_lines_of_their_own(self, make_plan):
        made = make_plan(
            "rectangle = [1200, 900]", shape=None, outline_extra='edges = { "A-B" = "curb", "B-C" = "open" }'
        )
        root, _ = drawn(made)
        kinds = {path.get("data-wall"): path.get("class") for path in root.iter("path") if path.get("data-wall")}
        assert kinds == {"A-B": "edge curb", "B-C": "edge open", "C-D": "edge wall", "D-A": "edge wall"}
        texts = [text.text for text in root.iter("text")]
        assert {"A", "B", "C", "D", "1200 mm curb", "900 mm open edge", "1200 mm", "900 mm"} <= set(texts)

    def test_readings_stand_with_their_drops(self, whole):
        root, _ = drawn(whole)
        texts = [text.text for text in root.iter("text")]
        assert {"21 1/16", "21 1/4", "21 1/2", "21 1/8"} <= set(texts)

    def test_readings_by_the_thousand_do_not_blacken_the_floor(self, make_plan):
        spots = [((10.0 + i % 40 * 29, 10.0 + i // 40 * 29), 500.0) for i in range(1000)]
        made = make_plan("rectangle = [1200, 900]", readings=spots, shape=None)
        root, _ = drawn(made)
        assert not [each for each in root.iter("circle") if each.get("class") == "ring"]
        assert "1000 readings: too many to draw" in [text.text for text in root.iter("text")]

    def test_a_finding_with_a_place_has_its_numbered_badge_there(self, stopping):
        root, _ = drawn(stopping)
        placed = [str(number) for number, finding in numbered(stopping) if finding.x is not None]
        assert placed
        badges = [text.text for text in root.iter("text") if text.get("class") == "badge-number"]
        assert badges == placed

    def test_an_island_is_filled_and_a_curved_wall_is_curved(self, make_plan):
        island = [(300, 300), (500, 300), (500, 500), (300, 500)]
        walls = "walls = [{length = 1200, rise = 100}, {length = 900}, {length = 1200}, {}]"
        made = make_plan(walls, islands=[island], shape=None)
        root, _ = drawn(made)
        assert len(edge(root, "A-B")) > 10
        assert [each for each in root.iter("path") if each.get("class") == "island"]


class TestContours:
    def test_on_level_walls_without_a_flange_to_speak_of_they_lie_at_their_share_of_the_way(self, make_plan):
        # Level walls are straight from the flange to the wall: half the height is half way (similar triangles).
        made = make_plan("rectangle = [1000, 1000]", at=(500, 500), size=1.0, drop=500.0, bed="wall_height = 20")
        found = bed_lines(made.bed, Units.MM, 0.01)
        assert found.step == 5.0
        assert [contour.level for contour in found.contours] == [5.0, 10.0, 15.0]
        half = np.vstack(found.contours[1].lines) - 500.0
        assert np.abs(half).max(axis=1) == pytest.approx(np.full(len(half), 250.0), abs=1.0)

    def test_every_point_is_at_its_level(self, whole):
        for contour in bed_lines(whole.bed, Units.INCH, 0.01).contours:
            for line in contour.lines:
                assert whole.bed.height(line) == pytest.approx(np.full(len(line), contour.level), abs=0.1)

    def test_there_are_few(self, make_plan):
        for height in (3, 30, 300):
            made = make_plan("rectangle = [1000, 900]", at=(500, 450), drop=900.0, bed=f"wall_height = {height}")
            assert 2 <= len(bed_lines(made.bed, Units.MM, 0.1).contours) <= 8


class TestSideView:
    def test_it_says_how_much_too_tall_heights_are_and_draws_them_so(self, whole):
        drawing = side_view(whole)
        times = float(re.search(r"drawn (\d+) times too tall", drawing.title)[1])
        root = read_back(drawing)
        ends = [path for path in root.iter("line") if path.get("class") == "dimension"]
        tall = max(abs(float(each.get("y1")) - float(each.get("y2"))) for each in ends)
        ground = next(path for path in root.iter("path") if path.get("class") == "rough-line")
        xs = [x for x, _ in points(ground)]
        # The cut runs from D-A to B-C, 48 in, so that its width on paper tells the scale.
        scale = 48 * INCH / (max(xs) - min(xs))
        assert tall * scale / INCH == pytest.approx(times, rel=1e-3)

    def test_there_is_none_without_a_bed(self, begun):
        assert side_view(begun) is None

    @pytest.mark.parametrize(("sample", "ends"), [("ropewalk", "B-C to F-A"), ("weighbridge", "B-C to H-A")])
    def test_a_cut_that_would_leave_the_floor_gives_way_to_one_that_stays_on_it(self, plan_of, sample, ends):
        """In the L and in the U the open edge lies round a corner: a line from it to the drain crosses the notch."""
        drawing = side_view(plan_of(ROOT / f"sample_jobs/{sample}.toml"))
        assert f"from {ends}" in drawing.title
        assert len([path for path in read_back(drawing).iter("path") if path.get("class") == "rough-line"]) == 1

    @pytest.mark.parametrize("sample", ["mill_house", "chandlers_row", "quarry_lane"])
    def test_no_words_lie_on_others(self, plan_of, sample):
        self.hold_apart(plan_of(ROOT / f"sample_jobs/{sample}.toml"))

    def test_no_words_lie_on_others_where_a_long_floors_bed_is_thin_on_paper(self):
        """200 in at 1:96 are 53 mm; a bed of 2 in ten times too tall is 5 mm, less than the words beside it."""
        self.hold_apart(plan(parse_job(LONG_FLOOR)))

    def hold_apart(self, made):
        boxes = []
        for each in read_back(side_view(made)).iter("text"):
            x, y = map(float, re.findall(r"-?[\d.]+", each.get("transform"))[:2])
            wide, name = (
                0.5 * float(each.get("font-size")) * len(each.text),
                (each.get("class") or "").split(),
            )
            left = x if "start" in name else x - wide if "finish" in name else x - wide / 2
            boxes.append(shapely.box(left, y - 1.3, left + wide, y + 1.3))
        assert len(boxes) > 10
        assert not [pair for pair in combinations(boxes, 2) if shapely.intersects(*pair)]


class TestBoards:
    def test_pieces_are_as_long_as_their_share_of_the_board(self, whole):
        root = read_back(board_bars(whole.stock, Units.INCH))
        wide = [float(each.get("width")) for each in root.iter("rect") if each.get("class") == "piece"]
        lengths = [piece.length for board in whole.stock.boards for piece in board.pieces]
        assert np.array(wide) / wide[0] == pytest.approx(np.array(lengths) / lengths[0], abs=1e-3)

    def test_short_pieces_are_named_too(self, make_plan):
        # Boards of 1200 mm leave 150 mm of each long wall, the shortest piece that a splice makes.
        made = make_plan("rectangle = [1300, 900]", at=(650, 450), drop=500.0, readings=[((0, 0), 560)])
        root = read_back(board_bars(made.stock, Units.MM))
        pieces = [each for each in root.iter("rect") if each.get("class") == "piece"]
        names = [each.text for each in root.iter("text") if each.get("class") == "piece-name"]
        assert len([name for name in names if "-" in name]) == len(pieces) == 6


class TestLabels:
    def test_no_two_lie_on_each_other(self):
        labels = Labels(shapely.box(0, 0, 30, 30))
        spots = [np.array([15.0, 15.0 + i]) for i in range(8)]
        found = [labels.find("21 1/16", spots, 3.0, inside=True) for _ in range(4)]
        placed = [box("21 1/16", place, 3.0) for place in found if place is not None]
        assert 1 < len(placed) < 4
        assert all(a.disjoint(b) for i, a in enumerate(placed) for b in placed[i + 1 :])

    def test_text_is_read_from_below_or_from_the_right(self):
        for degrees, turned in (
            (0, 0),
            (90, -90),
            (-90, -90),
            (180, 0),
            (45, 45),
            (135, -45),
            (90 - 1e-13, -90),
        ):
            direction = np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
            assert upright(direction) == pytest.approx(turned, abs=1e-9)

    def test_a_line_of_text_keeps_a_quarter_of_a_letter_beside_another(self):
        """Four letters of 4 mm are 4 x 0.56 x 4 mm wide: the second has to be that far off and 1 mm more."""
        wide = 4 * 0.56 * 4
        for more, found in ((0.9, False), (1.1, True)):
            labels = Labels(shapely.box(0, 0, 60, 30))
            assert labels.find("ABCD", [np.array([20.0, 15.0])], 4.0, inside=True) is not None
            second = np.array([20.0 + wide + more, 15.0])
            assert (labels.find("ABCD", [second], 4.0, inside=True) is not None) is found


def test_numbers_have_no_idle_zeros_and_no_minus_before_nothing():
    assert [number(value) for value in (1.5, 2.0, -0.0001, 0.12345, 100.0)] == [
        "1.5",
        "2",
        "0",
        "0.123",
        "100",
    ]
