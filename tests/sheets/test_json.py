"""The plan as JSON: the contract's keys, its rounding, and the same bytes everywhere."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from engine.sheets.json import _PARTS, plan_json

PRINT_A_PLAN = "import sys; from tui.cli import main; sys.exit(main(['plan', sys.argv[1], '--json']))"


@pytest.fixture
def printed(whole):
    return json.loads(plan_json(whole))


def test_has_the_contracts_keys_in_order(printed):
    assert list(printed) == [
        "format",
        "engine",
        "digest",
        "job",
        "units",
        "rulebook",
        "outline",
        "drains",
        "rough",
        "bed",
        "marks",
        "drain_range",
        "guessed",
        "tape",
        "next_diagonal",
        "curves",
        "channels",
        "ridges",
        "catchments",
        "next_reading",
        "strips",
        "straightedges",
        "pulls",
        "stock",
        "shopping",
        "layers",
        "heights",
        "lining",
        "barrier",
        "lath",
        "mortar",
        "portions",
        "load",
        "flood",
        "order",
        "ways",
        "sources",
        "least_bed",
        "shapes",
        "sure",
        "hand",
        "findings",
        "needs",
    ]
    assert list(printed["outline"]) == ["corners", "area", "perimeter", "misclosure"]
    assert list(printed["drains"][0]) == ["x", "y", "height", "above_rough"]
    assert list(printed["rough"]) == ["highest", "lowest"]
    assert list(printed["rough"]["highest"]) == ["height", "x", "y"]
    assert list(printed["bed"]) == [
        "shape",
        "wall_height",
        "longest_run",
        "least_fall",
        "most_fall",
        "least_depth",
        "most_depth",
        "volume",
    ]
    assert list(printed["bed"]["least_depth"]) == ["depth", "x", "y"]


def test_a_part_that_is_made_alone_holds_what_the_whole_does(whole, printed):
    for part, keys in _PARTS.items():
        made = json.loads(json.dumps(part(whole)))
        assert made == {key: printed[key] for key in keys if key in printed}


def test_is_in_millimetres_whatever_the_jobs_units(printed):
    assert printed["outline"]["corners"][2] == {"name": "C", "x": 1219.2, "y": 1016.0}
    assert printed["outline"]["area"] == pytest.approx(48 * 40 * 25.4**2, abs=0.0005)
    drain = printed["drains"][0]
    assert (drain["x"], drain["y"], drain["height"]) == (609.6, 508.0, 0.0)
    # A is the highest reading: 20 1/4 - 21 1/16 in.
    assert printed["rough"]["highest"] == {
        "height": pytest.approx(-13 / 16 * 25.4, abs=0.00051),
        "x": 0.0,
        "y": 0.0,
    }
    assert isinstance(printed["bed"]["volume"], int)


def test_a_corners_mark_has_no_along_and_one_on_a_wall_has(printed):
    corner, wall = printed["marks"][:2]
    assert list(corner) == ["at", "x", "y", "above_drain", "above_rough", "below_line"]
    assert corner["at"] == "A"
    assert wall["at"] == "A-B"
    assert wall["along"] == 304.8
    # The longest run: from a corner (24, 20 in) to the flange's edge, at 1/4 in per ft, up to a whole 1/16 in.
    assert corner["above_drain"] == pytest.approx(10 / 16 * 25.4, abs=0.0005)
    assert corner["below_line"] == pytest.approx((20.25 - 10 / 16) * 25.4, abs=0.0006)


def test_a_finding_has_a_place_only_where_it_has_one(stopping):
    findings = json.loads(plan_json(stopping))["findings"]
    stop = next(finding for finding in findings if finding["level"] == "stop")
    assert list(stop)[:5] == ["rule", "level", "says", "remedy", "source"]
    for finding, origin in zip(findings, stopping.findings, strict=True):
        assert ("x" in finding) == (origin.x is not None)
        assert ("key" in finding) == (origin.key is not None)


def test_a_partial_plan_says_null_and_what_it_needs(begun):
    printed = json.loads(plan_json(begun))
    assert printed["outline"]["perimeter"] == pytest.approx(176 * 25.4)
    assert printed["bed"] is None
    assert printed["marks"] is None
    assert {"key": "floor.kind", "says": "is the floor concrete or wood?"} in printed["needs"]


def test_is_ascii_without_minus_zero_and_ends_in_a_newline(variant):
    text = plan_json(variant("Ferry Street flat 2, shower", "Rua São João \\u202e 3 µ"))
    assert text.isascii()
    assert text.endswith("}\n")
    assert "-0.0," not in text
    assert "NaN" not in text
    assert json.loads(text)["job"] == "Rua São João \u202e 3 µ"


def test_bytes_hang_on_neither_hash_order_nor_locale(tmp_path, whole, whole_text):
    path = tmp_path / "job.toml"
    path.write_text(whole_text, encoding="utf-8")
    runs = []
    for seed, locale in (("0", "C"), ("4711", "C.UTF-8")):
        environment = os.environ | {"PYTHONHASHSEED": seed, "LC_ALL": locale, "LANG": locale}
        done = subprocess.run(
            [sys.executable, "-c", PRINT_A_PLAN, str(path)], env=environment, capture_output=True, check=True
        )
        runs.append(done.stdout)
    assert runs == [plan_json(whole).encode("ascii")] * 2
