"""How long checking many jobs takes: the samples over and over, each copy with a name of its own."""

from __future__ import annotations

import time
from itertools import cycle, islice
from pathlib import Path
from subprocess import DEVNULL, run
from sys import executable
from tempfile import TemporaryDirectory

SAMPLES = sorted((Path(__file__).parents[2] / "sample_jobs").glob("*.toml"))
SIMPLE = ("mill_house.toml", "quarry_lane.toml", "station_yard.toml")  # homes with one drain


def check_time(count: int) -> float:
    """Seconds of one `fallmark check` of a folder with so many home jobs."""
    texts = [path.read_text(encoding="utf-8") for path in SAMPLES if path.name in SIMPLE]
    with TemporaryDirectory() as folder:
        for number, text in enumerate(islice(cycle(texts), count)):
            Path(folder, f"{number:05}.toml").write_text(text, encoding="utf-8")
        start = time.perf_counter()
        run([executable, "-m", "tui", "check", folder], check=False, stdout=DEVNULL, stderr=DEVNULL)
        return time.perf_counter() - start


if __name__ == "__main__":
    print(f"{check_time(1000):.1f} s")  # noqa: T201 - it is run to be read
