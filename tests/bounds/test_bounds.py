"""Any file is planned or refused in words within 5 s of the processor's time and 1 GB of memory.

Each job is given to a command of its own, which the system ends when it takes more. The suite takes some of them; all,
each as JSON, as text, as a page, and with one figure asked for: `.venv/bin/python tests/bounds`.
"""

from __future__ import annotations

import math
import os
import subprocess
import sys
from pathlib import Path
from random import Random

import pytest

resource = pytest.importorskip("resource", reason="limits of a process are a matter of Unix")

TOP = Path(__file__).parents[2]
SECONDS = 5
MEMORY = 1 << 30  # bytes
WAYS = ("--json", "", "--html", "why")
HEAD = 'format = 1\n[job]\nname = "Hostile"\nunits = "mm"\n[floor]\nkind = "concrete"\n'
MANY = 200  # corners, the most that a job may have, islands' among them
CORNERS = 100  # of a floor that winds


def numbers(pairs):
    return "[" + ", ".join(f"[{x:.3f}, {y:.3f}]" for x, y in pairs) + "]"


def job(outline, *, drains=((750, 450),), readings=(), built=(), shape="even-fall", size=60, rest=""):
    """A job's text; drains (x, y), readings and built (x, y, drop) in mm."""
    lines = [f"{HEAD}[outline]\n{outline}"]
    lines += [f'[[drains]]\nkind = "round"\nsize = {size}\nat = {{ x = {x}, y = {y} }}\ndrop = 400' for x, y in drains]
    for name, list_ in (("readings", readings), ("as_built", built)):
        lines += [f"[[{name}]]\nat = {{ x = {x:.2f}, y = {y:.2f} }}\ndrop = {drop:.2f}" for x, y, drop in list_]
    return "\n".join([*lines, f'[bed]\nshape = "{shape}"\n{rest}\n'])


def scattered(count, wide, deep, drop):
    rng = Random(3)  # noqa: S311 - repeatable, not secret
    return [(rng.uniform(1, wide - 1), rng.uniform(1, deep - 1), rng.uniform(drop - 5, drop + 5)) for _ in range(count)]


def comb(count=CORNERS):
    """A floor of narrow bays, each hidden from the next."""
    bays = (count - 4) // 4
    step = 3000 / (2 * bays + 1)
    ring = [(0, 0), (3000, 0), (3000, 2000)]
    for bay in range(bays):
        x = 3000 - (2 * bay + 1) * step
        ring += [(x, 2000), (x, 400), (x - step, 400), (x - step, 2000)]
    return [*ring, (0, 2000)]


def zigzag(count=CORNERS):
    near = [(3000 * i / (count // 2 - 1), 300 * (i % 2)) for i in range(count // 2)]
    return near + [(x, y + 1500) for x, y in reversed(near)]


def spiral(count=CORNERS):
    turns = [0.35 * i for i in range(count // 2)]

    def arm(off):
        return [((360 + 19 * a + off) * math.cos(a), (360 + 19 * a + off) * math.sin(a)) for a in turns]

    return arm(0.0) + arm(-90.0)[::-1]


def star(count=CORNERS):
    turns = [(2 * math.pi * i / count, 1200 + 200 * (i % 2)) for i in range(count)]
    return [(1500 + far * math.cos(turn), 1500 + far * math.sin(turn)) for turn, far in turns]


def islands(count, corners):
    """Posts on a floor of 3 by 3 m."""
    row = math.ceil(math.sqrt(count))
    places = [(200 + 2600 * (i % row + 0.5) / row, 200 + 2600 * (i // row + 0.5) / row) for i in range(count)]
    turns = [2 * math.pi * k / corners for k in range(corners)]
    rings = [[(x + 800 / row * math.cos(t), y + 800 / row * math.sin(t)) for t in turns] for x, y in places]
    return "islands = [" + ", ".join(f"{{ corners = {numbers(ring)} }}" for ring in rings) + "]"


def posts(count, corners):
    """Posts in a row along the middle of a zigzag."""
    turns = [2 * math.pi * k / corners for k in range(corners)]
    middles = [3000 * (i + 1) / (count + 1) for i in range(count)]
    rings = [[(x + 60 * math.cos(t), 900 + 60 * math.sin(t)) for t in turns] for x in middles]
    return "islands = [" + ", ".join(f"{{ corners = {numbers(ring)} }}" for ring in rings) + "]"


def circle(count=MANY):
    turns = [2 * math.pi * i / count for i in range(count)]
    return [(1500 + 1400 * math.cos(turn), 1500 + 1400 * math.sin(turn)) for turn in turns]


def of(ring, **words):
    return job(f"corners = {numbers(ring)}", **words)


ROOM = "rectangle = [1500, 900]"
HALL = "rectangle = [3000, 3000]"
CURVED = (
    "walls = ["
    + ", ".join(
        f"{{ length = {length}, rise = {rise} }}"
        for length, rise in ((3000, 300), (2000, 900), (3000, -100), (2000, 1000))
    )
    + "]"
)
BOWED_IN = CURVED.replace("300 }", "-150 }").replace("900 }", "-150 }").replace("1000 }", "-100 }")
THREE = [(500, 600), (1500, 1300), (2400, 700)]
TWENTY = [(150 + 140 * i, 400 + 97 * i % 2000) for i in range(20)]

PLANNED = {
    "comb": lambda: of(comb(), drains=[(1500, 200)], readings=scattered(2, 3000, 400, 410)),
    "comb, level walls": lambda: of(comb(), drains=[(1500, 200)], shape="level-walls"),
    "zigzag": lambda: of(zigzag(), drains=[(1500, 900)]),
    "zigzag, level walls": lambda: of(zigzag(), drains=[(1500, 900)], shape="level-walls"),
    "spiral": lambda: of(spiral(), drains=[(315, 0)], size=20),
    "circle": lambda: of(circle(), drains=[(500, 1500)]),
    "circle, level walls": lambda: of(circle(), drains=[(1500, 1500)], shape="level-walls"),
    "zigzag round posts, level walls": lambda: job(
        f"corners = {numbers(zigzag(92))}\n{posts(1, 8)}", drains=[(300, 1000)], shape="level-walls"
    ),
    "zigzag round three posts, level walls": lambda: job(
        f"corners = {numbers(zigzag(88))}\n{posts(3, 4)}", drains=[(300, 1000)], shape="level-walls"
    ),
    "star": lambda: of(star(), drains=[(1500, 1500)], shape="level-walls"),
    "readings": lambda: job(ROOM, readings=scattered(8000, 1500, 900, 420)),
    "readings of the finished bed": lambda: job(ROOM, built=scattered(500, 1500, 900, 380), shape="level-walls"),
    "islands": lambda: job(f"{HALL}\n{islands(12, 6)}", drains=[(100, 100)]),
    "one island": lambda: job(f"{HALL}\n{islands(1, 70)}", drains=[(100, 100)], shape="level-walls"),
    "drains": lambda: job(HALL, drains=TWENTY),
    "drains, level walls": lambda: job(HALL, drains=TWENTY, shape="level-walls"),
    "curves": lambda: job(CURVED, drains=[(1500, 500)]),
    "curves, level walls": lambda: job(CURVED, drains=[(1500, 500)], shape="level-walls"),
    "walls that bow in": lambda: job(BOWED_IN, drains=THREE),
    "walls that bow in, level walls": lambda: job(BOWED_IN, drains=THREE, shape="level-walls"),
    "hall": lambda: job("rectangle = [30000, 29000]", drains=[(5000, 5000)]),
    "corridor": lambda: job("rectangle = [30000, 900]", drains=[(5000, 450)], shape="level-walls"),
    "mark step": lambda: job(ROOM, shape="level-walls", rest="mark_step = 0.000001"),
    "fall": lambda: job(ROOM, shape="level-walls", rest='fall = "0.01 %"'),
    "short boards": lambda: of(star(), drains=[(1500, 1500)], shape="level-walls", rest="[strips]\nstock = 20"),
}
REFUSED = {
    "10,000 corners": lambda: of(star(10_000)),
    "a comb of 200 corners": lambda: of(comb(MANY), drains=[(1500, 200)]),
    "corners of 50 islands": lambda: job(f"{HALL}\n{islands(50, 4)}"),
    "corners of few islands": lambda: job(f"{HALL}\n{islands(10, 12)}"),
    "100,000 readings": lambda: job(ROOM, readings=scattered(100_000, 1500, 900, 420)),
    "20,000 readings": lambda: job(ROOM, readings=scattered(20_000, 1500, 900, 420)),
    "1,000 readings of the finished bed": lambda: job(ROOM, built=scattered(1000, 1500, 900, 380)),
    "a comb with drains in it": lambda: of(comb(), drains=[(100 + 140 * i, 200) for i in range(20)]),
    "a comb with readings in it": lambda: of(comb(), readings=scattered(8000, 3000, 400, 420)),
    "readings of both kinds": lambda: job(
        ROOM, readings=scattered(8000, 1500, 900, 420), built=scattered(500, 1500, 900, 380)
    ),
    "walls of 100 m": lambda: job("rectangle = [100000, 90000]"),
    "a curve of thousands of chords": lambda: job(CURVED.replace("000,", "0000,").replace("00 }", "000 }")),
    "a name of a million letters": lambda: job(ROOM).replace("Hostile", "x" * 1_000_000),
    "lists in lists": lambda: job(ROOM) + "notes = " + "[" * 100_000,
    "10 MB": lambda: job(ROOM) + "#" * 10_000_000,
}
IN_THE_SUITE = (
    "comb",
    "walls that bow in",
    "10,000 corners",
    "100,000 readings",
    "a comb with readings in it",
    "a name of a million letters",
    "10 MB",
)


def limited():
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS + 1))


def taken(path, way):
    """How a command takes a job within its limits: what it prints, what it complains of, what it ends with."""
    options = {"": [], "--html": ["--html", f"{path}.html"]}.get(way, [way])
    asked = ["why", str(path), "least depth"] if way == "why" else ["plan", str(path), *options]
    return subprocess.run(
        [sys.executable, "-m", "tui", *asked],
        cwd=TOP,
        env={
            **os.environ,
            "OPENBLAS_NUM_THREADS": "1",
            "PYTHONPATH": str(TOP),
        },  # a thread's stack counts as memory
        preexec_fn=limited,
        capture_output=True,
        text=True,
        check=False,
    )


def fault(path, way, *, is_planned):
    """What is wrong with how a job is taken; empty when nothing is."""
    done = taken(path, way)
    if is_planned:
        return "" if done.returncode in (0, 1) and not done.stderr else f"{done.returncode} {done.stderr[-300:]!r}"
    lines = done.stderr.splitlines()
    is_fine = done.returncode == 2 and len(lines) == 1 and len(lines[0]) < 600 and "itself failed" not in lines[0]
    return "" if is_fine else f"{done.returncode} {done.stderr[-300:]!r}"


@pytest.mark.parametrize("name", IN_THE_SUITE)
def test_a_large_job_is_planned_in_time_or_refused_in_one_line(name, tmp_path):
    path = tmp_path / "job.toml"
    path.write_text({**PLANNED, **REFUSED}[name](), encoding="utf-8")
    assert fault(path, "--json", is_planned=name in PLANNED) == ""


def test_why_a_figure_of_thousands_of_readings_is_told_in_time(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(PLANNED["readings"](), encoding="utf-8")
    assert fault(path, "why", is_planned=True) == ""


def test_a_command_that_takes_longer_would_be_ended(tmp_path):
    """The limits themselves work: under a tenth of the memory not even the libraries are read."""
    path = tmp_path / "job.toml"
    path.write_text(job(ROOM), encoding="utf-8")
    small = f"import resource; resource.setrlimit(resource.RLIMIT_AS, ({MEMORY // 20},) * 2); import tui.cli; "
    done = subprocess.run(
        [sys.executable, "-c", f"{small} tui.cli.main(['plan', {str(path)!r}])"],
        cwd=TOP,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode != 0
