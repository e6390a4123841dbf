"""Cold start of `pick` against the import of the libraries it could have loaded, in one run.

Each command runs as a whole process, in turn; the least processor time of each counts, so that a
busy machine spoils neither. Run it with the Python of an environment that has the package:

    python tests/benchmarks/bench_pick.py
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

RUNS = 12
JOB = """
service = "PCV hose"
drips = []
[duty]
fluid_steady = "110 degC"
fluid_peak = "110 degC"
air_steady = "115 degC"
air_peak = "115 degC"
coldest_start = "-25 degC"
pressure_min = "-65 kPa"
pressure_max = "0 kPa"
[nipples]
outside_diameter = "13.0 mm"
bead_diameter = "14 mm"
engagement = "25 mm"
fixed_to = "engine"
[route]
run = ["60 mm", {bend = "90 deg", radius = "110 mm"}, "180 mm"]
low_spot = "no"
[features]
turbo = "no"
insert = "none"
"""


def processor_time(command: list[str]) -> float:
    """Return user and system time of one run [s]."""
    child = os.fork()
    if child == 0:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        os.execv(command[0], command)
    _, _, used = os.wait4(child, 0)
    return used.ru_utime + used.ru_stime


def main() -> None:
    """Measure and print."""
    python = sys.executable
    with tempfile.TemporaryDirectory() as folder:
        job = Path(folder) / "job.toml"
        job.write_text(JOB, encoding="utf-8")
        inches = Path(folder) / "inches.toml"
        inches.write_text(JOB.replace('"13.0 mm"', '"0.512 in"'), encoding="utf-8")
        commands = {
            "pick": [python, "-m", "hoseselect", "pick", str(job)],
            "pick, inches": [python, "-m", "hoseselect", "pick", str(inches)],
            "imports": [python, "-c", "import pandas, pint, pydantic, typer"],
        }
        least = dict.fromkeys(commands, float("inf"))
        for _ in range(RUNS):
            for name, command in commands.items():
                least[name] = min(least[name], processor_time(command))
    for name, time in least.items():
        sys.stdout.write(
            f"{name:<14}{time:8.3f} s   {time / least['imports']:.3f} of the imports\n"
        )


if __name__ == "__main__":
    main()
