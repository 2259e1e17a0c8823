"""Remedies on the sheets: under their finding in the text, inside it in the JSON."""

from __future__ import annotations

import json

from engine.remedies import remedies
from engine.sheets.json import plan_json
from engine.sheets.text import plan_text


def test_each_finding_in_the_json_holds_its_remedies(stopping):
    printed = json.loads(plan_json(stopping))["findings"]
    answers = remedies(stopping)
    assert any(answer.remedies for answer in answers)
    for finding, answer in zip(printed, answers, strict=True):
        assert [remedy["says"] for remedy in finding["remedies"]] == [r.says for r in answer.remedies]
        for remedy, truth in zip(finding["remedies"], answer.remedies, strict=True):
            assert list(remedy) == ["says", "change", "figure", "clears", "brings"]
            assert [(entry["key"], entry["text"]) for entry in remedy["change"]] == list(truth.change)


def test_the_drain_to_raise_is_in_the_json_with_its_entry(stopping):
    """The flange is 21 1/4 in down; at A the floor is 21 1/16 in down and the bed 5/8 in over the flange."""
    thin = next(f for f in json.loads(plan_json(stopping))["findings"] if f["rule"] == "bed-thin")
    first = thin["remedies"][0]
    assert first["change"][0]["key"] == "drains[0].drop"
    assert first["brings"] == []


def test_the_text_tells_the_best_under_the_finding(stopping):
    text = " ".join(plan_text(stopping).split())
    for finding, answer in zip(stopping.findings, remedies(stopping), strict=True):
        place = text.index(" ".join(finding.says.split()))
        for remedy in answer.remedies[:3]:
            assert text.index(f"Would clear it: {remedy.says}", place)
