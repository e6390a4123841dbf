"""What scale costs: one pick and a sheet against 50,000 sizes, a long sheet on all processors.

Seconds are of the processor, summed over all processes of a command; the built-in catalogue and one
worker in the same run are the measure of the machine. Workers that share a processor with others
take longer each.

Usage: python tests/benchmarks/bench_scale.py [sizes [lines]]
"""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1] / "aids"))

from bench_batch import write_sheet
from large_catalogue import repeat_catalogue

from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.interfaces.cli.workers import processors

SIZES, LINES = 50_000, 20_000
SHARE = 100
"""Of how many of those lines one is answered against the large catalogue."""

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


def main(sizes: int, lines: int) -> list[str]:
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
        sheet = Path(name) / "jobs.csv"
        write_sheet(sheet, lines)
        for workers in sorted({1, processors()}):
            told.append(answered(sheet, source, lines, workers))
        write_sheet(sheet, lines // SHARE)
        told.append(answered(sheet, large, lines // SHARE, 1))
    return told


def answered(sheet: Path, folder: Path, lines: int, workers: int) -> str:
    """Return what a sheet costs on so many workers."""
    start = perf_counter()
    where = ("-o", str(sheet.with_name("answers.csv")), "--catalog", str(folder))
    seconds, _ = asked("batch", str(sheet), *where, "--workers", str(workers), "--json")
    wall = perf_counter() - start
    return (
        f"batch of {lines} lines on {workers}: {seconds:.0f} s of processors in {wall:.0f} s,"
        f" {lines / seconds:.0f} lines/s per processor, {peak():.0f} MiB at most so far"
    )


if __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:3]]
    print("\n".join(main(*given, *(SIZES, LINES)[len(given) :])))  # noqa: T201
