"""Jobs that nobody would write: samples with entries bent, lost, doubled or swapped, and with bytes broken.

Each is planned, or refused in one harmless line that names its file. The same seeds come first on every run; the suite
goes as far as its few seconds reach. For longer, from any seed on: `.venv/bin/python tests/fuzz SECONDS [SEED]`.
"""

from __future__ import annotations

import contextlib
import copy
import io
import json
import re
import time
import tomllib
from pathlib import Path
from random import Random

import pytest
import tomli_w

from tui.cli import main

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"))
SECONDS = 3.0
FEWEST = 12

HOSTILE = (
    *(
        "",
        " ",
        "A",
        "A-B",
        "Z-A",
        "0",
        "-5 in",
        "1/0 in",
        "1e999",
        "nan",
        "inf",
        "9" * 400,
        "1 in in",
        "5 psf",
    ),
    *(
        "\x1b[31mred\x1b[0m",
        "[bold]x[/bold]",
        "\u202eright",
        "\x00",
        "a\nb",
        "<b>&",
        "{0}",
        "%s%n",
        "../../x",
    ),
    *(0, 1, -1, 10**30, -(10**400), 1e300, 5e-324, float("nan"), float("inf"), True, False),
    *([], {}, [[]], [1], ["1 in", "1 in"], {"A-B": "5 in"}, {"x": 1, "y": 1}, [{}], {"": ""}),
)
FACTORS = (0.0, 0.001, 0.1, 0.5, 0.9, 0.999, 1.001, 1.1, 2.0, 10.0, 1000.0, -1.0)
HUGE = (10**30, -(10**400))  # too large to be a float
NUMBER = re.compile(r"\d+(\.\d+)?")


def places(value, path=()):
    """The paths of everything that a parsed job holds, itself left out."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, held in items:
        yield (*path, key)
        yield from places(held, (*path, key))


def holder(job, path):
    for key in path[:-1]:
        job = job[key]
    return job


def scaled(value, factor):
    """A figure, or the first one in a text, so many times as large; anything else as it is."""
    if isinstance(value, bool) or not isinstance(value, int | float | str) or value in HUGE:
        return value
    if isinstance(value, str):
        return NUMBER.sub(lambda found: f"{float(found[0]) * factor:g}", value, count=1)
    return value * factor


def bend(job, rng):
    """One change to a parsed job."""
    path = rng.choice(list(places(job)))
    inside, key = holder(job, path), path[-1]
    match rng.choice(("scale", "scale", "scale", "hostile", "lose", "double", "swap", "rename")):
        case "scale":
            inside[key] = scaled(inside[key], rng.choice(FACTORS))
        case "hostile":
            inside[key] = copy.deepcopy(rng.choice(HOSTILE))
        case "lose":
            del inside[key]
        case "double" if isinstance(inside, list):
            inside.append(copy.deepcopy(inside[key]))
        case "swap":
            other = rng.choice(list(places(job)))
            inside[key] = copy.deepcopy(holder(job, other)[other[-1]])
        case "rename" if isinstance(inside, dict):
            inside[f"{key}s"] = inside.pop(key)


def bent(seed):
    """A sample's text after a few changes to what it holds."""
    rng = Random(seed)  # noqa: S311 - repeatable, not secret
    job = tomllib.loads(rng.choice(SAMPLES).read_text(encoding="utf-8"))
    for _ in range(rng.randint(1, 4)):
        bend(job, rng)
    try:
        return tomli_w.dumps(job).encode()
    except (ValueError, UnicodeEncodeError):  # a number too long even to write
        return b"format = 1"


def broken(seed):
    """A sample's bytes after a few cuts, doublings and slips."""
    rng = Random(seed)  # noqa: S311 - repeatable, not secret
    data = bytearray(rng.choice(SAMPLES).read_bytes())
    for _ in range(rng.randint(1, 6)):
        start = rng.randrange(len(data) + 1)
        end = min(len(data), start + rng.choice((1, 1, 2, 5, 40)))
        match rng.choice(("cut", "double", "slip", "end")):
            case "cut":
                del data[start:end]
            case "double":
                data[start:start] = data[start:end]
            case "slip":
                data[start:end] = bytes(rng.choice(b'\x00\x1b\xff"[]{}=\n.#e-9') for _ in range(end - start))
            case "end" if rng.random() < 0.1:
                del data[start:]
    return bytes(data)


def run(*arguments):
    """What a command prints, what it complains of, and what it ends with."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main(list(arguments))
    return out.getvalue(), err.getvalue(), code


def fault(path):
    """What is wrong with how a job is taken, in words; empty when nothing is."""
    out, err, code = run("plan", str(path), "--json")
    if code == 2:
        if "itself failed" in err:
            return err
        lines = err.splitlines()
        is_fine = len(lines) == 1 and lines[0].isprintable() and lines[0].startswith(str(path)) and not out
        return "" if is_fine else f"not one harmless line: {err!r}"
    json.loads(out, parse_constant=lambda name: pytest.fail(f"{name} in the JSON"))
    text, err, again = run("plan", str(path))
    if again != code or err:
        return f"as text it ends with {again}, as JSON with {code}: {err}"
    odd = {c for c in text if not c.isprintable() and c != "\n"}
    return f"{odd!r} in the text" if odd else ""


def hunt(make, path, seconds, seed=0):
    """Seeds from this one on, for so long: how many were tried, and each that was taken wrongly."""
    end, found, first = time.monotonic() + seconds, [], seed
    while time.monotonic() < end or seed - first < FEWEST:
        path.write_bytes(make(seed))
        if says := fault(path):
            found.append((seed, says))
        seed += 1
    return seed - first, found


@pytest.mark.parametrize("make", [bent, broken])
def test_a_hostile_job_is_planned_or_refused_in_one_harmless_line(make, tmp_path):
    tried, found = hunt(make, tmp_path / "job.toml", SECONDS)
    assert tried >= FEWEST
    assert not found
