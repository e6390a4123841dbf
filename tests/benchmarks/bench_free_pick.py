"""A whole `pick` on a free route from cold, with and without movement, in one run.

Beside it stand the import of the usual libraries and a `pick` on a run of straights and bends.
Each command runs as a whole process, in turn; least processor and wall time of each count.

    python tests/benchmarks/bench_free_pick.py
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

RUNS = 7
JOBS = Path(__file__).parents[2] / "docs" / "jobs"


def timed(command: list[str]) -> tuple[float, float]:
    """Return processor and wall time of one run [s]."""
    start = time.perf_counter()
    child = os.fork()
    if child == 0:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        os.execv(command[0], command)
    _, _, used = os.wait4(child, 0)
    return used.ru_utime + used.ru_stime, time.perf_counter() - start


def main() -> None:
    """Measure and print."""
    python = sys.executable
    pick = [python, "-m", "hoseselect", "pick"]
    commands = {
        "breather, no movement": [*pick, str(JOBS / "breather.toml")],
        "loop, no movement": [*pick, str(JOBS / "coolant-loop.toml")],
        "rocking, nine positions": [*pick, str(JOBS / "rocking-crankcase.toml")],
        "imports alone": [python, "-c", "import pandas, pint, pydantic, typer"],
    }
    least = {name: (float("inf"), float("inf")) for name in commands}
    for _ in range(RUNS):
        for name, command in commands.items():
            used, wall = timed(command)
            least[name] = min(least[name][0], used), min(least[name][1], wall)
    for name, (used, wall) in least.items():
        sys.stdout.write(f"{name:<26}{used:7.3f} s processor {wall:7.3f} s wall\n")


if __name__ == "__main__":
    main()
