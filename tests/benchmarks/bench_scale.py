"""What a catalogue of 50,000 sizes costs: `pick --json --top 5` in a process of its own.

Seconds are of the processor; the built-in catalogue in the same run is the measure of the machine.

Usage: python tests/benchmarks/bench_scale.py [sizes]
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "aids"))

from large_catalogue import repeat_catalogue

from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue

SIZES = 50_000
JOB = ("-s", "heater hose", "-n", "16 mm", "--bead", "yes", "--measured", "300 mm")


def asked(command: str, *options: str) -> tuple[float, bytes]:
    """Return the processor seconds of a command in a process of its own, and what it wrote."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    words = [sys.executable, "-m", "hoseselect", command, *options]
    written = subprocess.run(words, check=True, stdout=subprocess.PIPE).stdout
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime, written


def peak() -> float:
    """Return the largest memory of any process so far [MiB]."""
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024


def main(sizes: int) -> list[str]:
    """Measure and report."""
    source = find_catalogue(None, {})
    times = -(-sizes // len(read_catalogue(source).sizes))
    told = []
    with tempfile.TemporaryDirectory() as name:
        large = repeat_catalogue(source, Path(name) / "large", times)
        for folder in (source, large):
            own = ("--catalog", str(folder))
            seconds, text = asked("pick", *JOB, *own, "--json", "--top", "5", "--no-book")
            looked = json.loads(text)["hoses_in_all"]
            told.append(f"pick --top 5 of {looked} sizes: {seconds:.1f} s, {peak():.0f} MiB")
    return told


if __name__ == "__main__":
    print("\n".join(main(int(sys.argv[1]) if len(sys.argv) > 1 else SIZES)))  # noqa: T201
