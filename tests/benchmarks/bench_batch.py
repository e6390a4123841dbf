"""A sheet of a million lines: time and peak memory, against a plain loop of picks.

Run it as a program; the number of lines may be given. Figures of one run can be compared with each
other only. The plain loop is measured on the first lines and extrapolated.
"""

from __future__ import annotations

import csv
import importlib.util
import random
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter
from types import ModuleType

from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.intake.read_job import read_job
from hoseselect.intake.run_text import run_parts
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.knowledge.errors import InputError

LINES = 1_000_000
PLAIN = 2_000
MODULE = Path(__file__).parents[1] / "aids" / "random_jobs.py"


def random_lines() -> ModuleType:
    """Return the module of random lines."""
    spec = importlib.util.spec_from_file_location("random_jobs", MODULE)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def write_sheet(path: Path, count: int) -> None:
    """Write a sheet of random lines."""
    chance, lines = random.Random(9), random_lines()
    keys = list(sheet_keys())
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(keys)
        for _ in range(count):
            line = lines.random_line(chance)
            writer.writerow([line.get(key, "") for key in keys])


def plain_loop(path: Path, count: int) -> float:
    """Return the seconds of reading and picking line by line."""
    catalogue = read_catalogue(find_catalogue(None, {}))
    start = perf_counter()
    with path.open(encoding="utf-8", newline="") as stream:
        for number, line in enumerate(csv.DictReader(stream)):
            if number == count:
                break
            values: dict[str, object] = {}
            for key, text in line.items():
                if text:
                    *tables, name = key.split(".")
                    inner = values
                    for table in tables:
                        inner = inner.setdefault(table, {})  # type: ignore[assignment]
                    inner[name] = run_parts(text) if key == "route.run" else text
            try:
                answer = pick_hose(read_job(values), catalogue)
            except InputError:
                continue
            if answer.hoses:
                _ = (answer.hoses[0].deciding, answer.hoses[0].cut)
    return perf_counter() - start


def batch(path: Path, out: Path) -> float:
    """Return the seconds of the command in a process of its own."""
    start = perf_counter()
    command = [sys.executable, "-m", "hoseselect", "batch", str(path), "-o", str(out), "--json"]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return perf_counter() - start


def main(count: int) -> list[str]:
    """Measure and report."""
    with tempfile.TemporaryDirectory() as folder:
        sheet, out = Path(folder) / "jobs.csv", Path(folder) / "answers.csv"
        write_sheet(sheet, count)
        size = sheet.stat().st_size / 2**20
        seconds = batch(sheet, out)
        with out.open(encoding="utf-8-sig", newline="") as stream:
            answered = sum(1 for _ in csv.reader(stream)) - 1
        assert answered == count
        peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        looped = min(PLAIN, count)
        plain = plain_loop(sheet, looped)
    whole = plain / looped * count
    return [
        f"{count} lines, {size:.0f} MiB: {seconds:.0f} s, {count / seconds:.0f} lines/s,"
        f" peak memory {peak:.0f} MiB",
        f"plain loop: {plain:.1f} s for {looped} lines, {whole:.0f} s for all of them:"
        f" {whole / seconds:.0f} times as long",
    ]


if __name__ == "__main__":
    print("\n".join(main(int(sys.argv[1]) if len(sys.argv) > 1 else LINES)))  # noqa: T201
