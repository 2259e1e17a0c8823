"""How long `fallmark plan` takes, as a multiple of importing the geometry library alone, in the same run.

Run it by itself on a quiet machine: `.venv/bin/python tests/bench/start_up.py [JOB]`. Ends with 1 past the limit.
"""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path
from statistics import median

ROUNDS = 15
MOST = 2.5
JOBS = Path(__file__).parents[2] / "sample_jobs"


def seconds(*arguments: str) -> float:
    """The time of one run of Python with these arguments [s]."""
    begun = time.perf_counter()
    subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, check=False)
    return time.perf_counter() - begun


def main() -> int:
    """Measures both in turns, so that a busy moment hits both, and compares their medians."""
    job = sys.argv[1] if len(sys.argv) > 1 else str(min(JOBS.glob("*.toml")))
    pairs = [(seconds("-c", "import shapely"), seconds("-m", "tui", "plan", job)) for _ in range(ROUNDS)]
    base, plan = (median(times) for times in zip(*pairs, strict=True))
    sys.stdout.write(f"import shapely {base * 1000:.0f} ms, plan {plan * 1000:.0f} ms: {plan / base:.2f} times\n")
    return 0 if plan <= MOST * base else 1


if __name__ == "__main__":
    sys.exit(main())
