"""The flood test's log: IPC 312.9 (2 in at the threshold), ASTM D5957 (24 h at least, by analogy)."""

from __future__ import annotations

import pytest

from engine.proof.log import Verdict
from engine.sheets.text import plan_text

FULL = 'filled = "2 in"\nhours = 24\nleft = "{left}"\n'


@pytest.mark.parametrize(
    ("log", "verdict", "words"),
    [
        (FULL.format(left="2 in"), Verdict.PASS, "no more than dried"),
        (FULL.format(left="1 15/16 in") + 'bucket = "1/16 in"', Verdict.PASS, "no more than dried"),
        (FULL.format(left="1 27/32 in"), Verdict.WATCH, "nothing shows that it did"),
        (FULL.format(left="1 1/2 in"), Verdict.FAIL, "more than"),
        (FULL.format(left="1 3/4 in") + 'bucket = "1/16 in"', Verdict.FAIL, "more than"),
        ('filled = "2 in"\nhours = 2\nleft = "2 in"', Verdict.WATCH, "short of 24 h"),
        ('filled = "1 in"\nhours = 24\nleft = "1 in"', Verdict.WATCH, "not filled to 2 in"),
        ('filled = "2 in"', Verdict.WATCH, "not whole"),
        ("leaked = true", Verdict.FAIL, "water was seen"),
    ],
)
def test_pass_watch_or_fail(make_plan, log, verdict, words):
    found = make_plan(
        "rectangle = [60, 48]", at=(30, 24), size=6.0, drop=20.0, units="in", extra=f"[flood_test]\n{log}\n"
    )
    assert found.flood_log.verdict is verdict
    assert words in found.flood_log.says
    assert "IPC 312.9" in found.flood_log.source
    assert "D5957" in found.flood_log.source
    assert "THE FLOOD TEST" in plan_text(found)


def test_what_is_not_logged_is_not_judged(make_plan):
    assert make_plan("rectangle = [1500, 1200]", at=(750, 600)).flood_log is None
