"""The README's walk from what a customer said to the answer: its commands give what it says they give."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from tui.cli import main

TOP = Path(__file__).parent.parent
SECTION = (TOP / "README.md").read_text(encoding="utf-8").split("## At the support desk")[1].split("\n## ")[0]
COMMANDS = [shlex.split(line)[1:] for line in SECTION.splitlines() if line.startswith(".venv/bin/fallmark")]
SAID = {
    "plan": ["VEQY-DFPT"],
    "why": ["9/16 in", "drains[0].drop", "readings[8].drop"],
    "check": ["is 1 in higher than the floor around it", "20 3/8 in is entered; 21 3/8 in would fit"],
    "compare": ["entry readings[8].drop: '20 3/8'", "figure bed.least_depth.depth", "finding reading-odd"],
}


def test_there_are_four_commands():
    assert [command[0] for command in COMMANDS] == list(SAID)


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command[0])
def test_each_says_what_the_readme_says_it_does(command, capsys, monkeypatch):
    monkeypatch.chdir(TOP)
    assert main(command) in (0, 1)
    out = capsys.readouterr().out
    for words in SAID[command[0]]:
        assert words in " ".join(out.split())
