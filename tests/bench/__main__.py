"""All measures that the design names, one line each: what, how long, the target, and whether it holds.

Run by itself on a quiet machine: `.venv/bin/python tests/bench`. It reports and never fails; where a busy machine
makes the clock run on, the process's own time stands beside it.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from statistics import median

from additions import TARGET as ADDITIONS_TARGET
from additions import addition_times
from cures import TARGET as CURE_TARGET
from cures import cure_time
from many import check_time
from replans import CASES, replans
from screens import key_times, one_widget_paint, wizard_paint
from start_up import JOBS, seconds
from stock import LISTS, hardest
from valleys import MOST_CORNERS, ROOMS, valleys
from valleys import TARGET as VALLEY_TARGET

ROOT = Path(__file__).parents[2]
ROUNDS = 9
STOCK_TARGET = 0.050  # [s]
PACE = 0.1  # [s] on the machine that the times in [ms] were set on
KEYS = 60
JOBS_CHECKED, CHECK_TARGET = 1000, 10.0
START_RATIO, PAINT_RATIO, KEY_TARGET, SIZE_TARGET = 2.5, 1.35, 0.050, 2e6


def say(words: str, found: str, target: str, *, holds: bool) -> None:
    """One line of the report."""
    sys.stdout.write(f"{words:44} {found:38} target {target:14} {'holds' if holds else 'DOES NOT HOLD'}\n")
    sys.stdout.flush()


def keystrokes() -> None:
    """Replans of one changed entry: the middle of all kinds of entries is judged as it is here.

    The slowest kind is told too, as it is and at the targets' pace.
    """
    slower = max(1.0, median(seconds("-c", "import shapely") for _ in range(ROUNDS)) / PACE)
    sys.stdout.write(f"pace: import shapely takes {slower:.1f} times as long here as where the times were set\n")
    for words, make, target, rounds in CASES:
        by_kind, cold = replans(make, rounds)
        middle = median(timed.own for timed in by_kind.values())
        slowest = max(timed.own for timed in by_kind.values())
        most = f"slowest kind {slowest * 1e3:.1f}, {slowest / slower * 1e3:.1f} at that pace"
        say(words, f"{middle * 1e3:.1f} ms; {most}", f"< {target * 1e3:.0f} ms", holds=middle < target)
        each = ", ".join(f"{kind} {timed.own * 1e3:.1f}" for kind, timed in by_kind.items())
        sys.stdout.write(f"    own time by what changes: {each}; a cold plan {cold.own * 1e3:.1f}\n")


def additions() -> None:
    """All that is laid, bought and done, on home floors after a drop has changed: the slowest is judged."""
    times = addition_times()
    worst = max(times.values())
    say(
        "additions on a home floor",
        f"own time {worst * 1e3:.1f} ms at most",
        f"< {ADDITIONS_TARGET * 1e3:.0f} ms",
        holds=worst < ADDITIONS_TARGET,
    )
    each = ", ".join(f"{name} {took * 1e3:.1f}" for name, took in times.items())
    sys.stdout.write(f"    by job, at the median: {each}\n")


def hidden_rooms() -> None:
    """Plans of random rooms with valleys, the median of them, and how near their beds come to the bounds."""
    for words, found in (("up to", valleys()), ("just", valleys(corners=MOST_CORNERS))):
        timed = median(found.times.tolist())
        say(
            f"plan with valleys, {ROOMS} rooms of {words} {MOST_CORNERS} corners",
            f"{timed * 1e3:.1f} ms at the median, {max(found.times) * 1e3:.0f} at most",
            f"< {VALLEY_TARGET * 1e3:.0f} ms",
            holds=timed < VALLEY_TARGET,
        )
    heights, falls = median(found.heights.tolist()), median(found.falls.tolist())
    sys.stdout.write(
        f"    over the bounds, at the median: height {heights:.3f}, fall {falls:.3f}; without a bed: {found.without}\n"
    )


def boards() -> None:
    """The hardest of many stock plans."""
    longest, unproved = hardest()
    found = f"{longest * 1e3:.0f} ms, {unproved} of {LISTS} not proved the fewest"
    say(
        "stock plan of 40 pieces, the hardest",
        found,
        f"< {STOCK_TARGET * 1e3:.0f} ms",
        holds=longest < STOCK_TARGET,
    )


def start() -> None:
    """The plan command beside importing the geometry library alone, in turns."""
    job = str(min(JOBS.glob("*.toml")))
    pairs = [(seconds("-c", "import shapely"), seconds("-m", "tui", "plan", job)) for _ in range(ROUNDS)]
    base, plan = (median(times) for times in zip(*pairs, strict=True))
    found = f"{plan * 1e3:.0f} / {base * 1e3:.0f} ms = {plan / base:.2f} times"
    say("fallmark plan / import shapely", found, f"<= {START_RATIO} times", holds=plan <= START_RATIO * base)


def paint() -> None:
    """The wizard's first paint beside a one-widget app's, in turns."""
    pairs = [(one_widget_paint(), wizard_paint()) for _ in range(ROUNDS)]
    base, wizard = (median(times) for times in zip(*pairs, strict=True))
    found = f"{wizard * 1e3:.0f} / {base * 1e3:.0f} ms = {wizard / base:.2f} times"
    say(
        "first paint / a one-widget app's",
        found,
        f"<= {PAINT_RATIO} times",
        holds=wizard <= PAINT_RATIO * base,
    )


def keys() -> None:
    """From a key to the end of its repaint, in the wizard itself."""
    times = key_times(KEYS)
    if not times:
        say("key to repaint", "no key was answered", "", holds=False)
        return
    late = times[min(len(times) - 1, int(0.95 * len(times)))]
    found = f"{late * 1e3:.0f} ms (median {median(times) * 1e3:.0f}, {len(times)} keys)"
    say("key to repaint, 95th percentile", found, f"< {KEY_TARGET * 1e3:.0f} ms", holds=late < KEY_TARGET)


def check() -> None:
    """Many home jobs checked by one command, on all cores."""
    took = check_time(JOBS_CHECKED)
    say(f"check {JOBS_CHECKED} jobs", f"{took:.1f} s", f"< {CHECK_TARGET:.0f} s", holds=took < CHECK_TARGET)


def cures() -> None:
    """All remedies of a job with three stops and more."""
    took, answered = cure_time()
    found = f"{took * 1e3:.0f} ms, {answered} stops answered"
    say("remedies, three stops", found, f"< {CURE_TARGET * 1e3:.0f} ms", holds=took < CURE_TARGET)


def _is_shipped(path: Path) -> bool:
    """Whether a file of the packages goes into a wheel: all but bytecode and what is shipped packed."""
    is_packed = path.suffix in {".toml", ".jinja", ".css"} and any(path.parent.glob("*.json.bz2"))
    return path.is_file() and "__pycache__" not in path.parts and path.suffix != ".po" and not is_packed


def size() -> None:
    """What an installation takes without what it depends on: the files that a wheel holds, bytecode left out."""
    files = [path for top in ("engine", "tui") for path in (ROOT / top).rglob("*") if _is_shipped(path)]
    total = sum(path.stat().st_size for path in files)
    say(
        "installed size",
        f"{total / 1e6:.2f} MB in {len(files)} files",
        f"< {SIZE_TARGET / 1e6:.0f} MB",
        holds=total < SIZE_TARGET,
    )


def main() -> None:
    """All of them, and how busy the machine was."""
    keystrokes()
    additions()
    hidden_rooms()
    boards()
    start()
    paint()
    keys()
    check()
    cures()
    size()
    busy = os.getloadavg()[0]
    sys.stdout.write(f"load {busy:.1f} on {os.cpu_count()} cores{'' if busy < 1.5 else ': too busy to judge by'}\n")


if __name__ == "__main__":
    main()
