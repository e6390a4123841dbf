"""Make each change of `changes.csv` in a copy of the package, and say whether its tests see it.

Run by hand, from the folder of the repository: `python tests/mutations/run_changes.py`. It ends
with 1 where a change is not seen, or where a test is red before anything is changed.
"""

from __future__ import annotations

import argparse
import csv
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue
from tempfile import TemporaryDirectory

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = "hoseselect"
CHANGES = Path(__file__).with_name("changes.csv")
SEEN, UNSEEN, RED, BROKEN = "seen", "UNSEEN", "RED BEFORE", "BROKEN"
ALL_PASSED, SOME_FAILED = 0, 1  # as pytest ends


@dataclass(frozen=True)
class Change:
    """One change of the code.

    Parameters
    ----------
    file : module, below the package
    was, became : text as it stands once in the module, and what takes its place
    kind : of fault
    seen_by : files or tests below `tests` that must fail
    """

    file: str
    was: str
    became: str
    kind: str
    seen_by: tuple[str, ...]


def read_changes(path: Path = CHANGES) -> list[Change]:
    """Return the changes of the list."""
    with path.open(encoding="utf-8", newline="") as stream:
        return [
            Change(**{**row, "seen_by": tuple(row["seen_by"].split(";"))})  # type: ignore[arg-type]
            for row in csv.DictReader(stream)
        ]


def copy_package(folder: Path) -> None:
    """Copy the package, and link the catalogue that lies beside it."""
    shutil.copytree(ROOT / PACKAGE, folder / PACKAGE)
    (folder / "catalog").symlink_to(ROOT / "catalog")


def run_tests(folder: Path, tests: Sequence[str]) -> int:
    """Run tests on the package of a folder, and return how pytest ends."""
    options = ("-x", "-p", "no:cacheprovider", "-c", str(ROOT / "pyproject.toml"))
    command = [sys.executable, "-m", "pytest", *options, "--rootdir", str(ROOT)]
    command += [str(ROOT / "tests" / test) for test in tests]
    quiet = {"env": environment(folder), "capture_output": True, "cwd": folder}
    return subprocess.run(command, check=False, **quiet).returncode  # type: ignore[call-overload]


def environment(folder: Path) -> dict[str, str]:
    """Return the environment in which the package of a folder is the one that is imported."""
    return {**os.environ, "PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}


def is_imported(folder: Path) -> bool:
    """Return whether the package of a folder is the one that is imported."""
    command = [sys.executable, "-c", f"import {PACKAGE}; print({PACKAGE}.__file__)"]
    found = subprocess.run(
        command, check=True, capture_output=True, text=True, cwd=folder, env=environment(folder)
    )
    return Path(found.stdout.strip()).is_relative_to(folder)


def tried(change: Change, folder: Path, red: Sequence[tuple[str, ...]]) -> str:
    """Make a change in a folder, run its tests, take it back, and return what came of it."""
    if change.seen_by in red:
        return RED
    module = folder / PACKAGE / change.file
    text = module.read_text(encoding="utf-8")
    if text.count(change.was) != 1:
        return BROKEN
    module.write_text(text.replace(change.was, change.became), encoding="utf-8")
    try:
        ended = run_tests(folder, change.seen_by)
    finally:
        shutil.copy2(ROOT / PACKAGE / change.file, module)
    return {ALL_PASSED: UNSEEN, SOME_FAILED: SEEN}.get(ended, BROKEN)


def run_changes(changes: Sequence[Change], jobs: int) -> list[str]:
    """Try changes, each by itself, and return what came of each."""
    with TemporaryDirectory() as place, ThreadPoolExecutor(jobs) as pool:
        folders: SimpleQueue[Path] = SimpleQueue()
        for number in range(jobs):
            folder = Path(place).resolve() / str(number)
            copy_package(folder)
            assert is_imported(folder), f"another {PACKAGE} is imported than that in {folder}"
            folders.put(folder)

        def before(tests: tuple[str, ...]) -> int:
            folder = folders.get()
            try:
                return run_tests(folder, tests)
            finally:
                folders.put(folder)

        def one(change: Change) -> str:
            folder = folders.get()
            try:
                found = tried(change, folder, red)
            finally:
                folders.put(folder)
            print(f"{found}  {change.file}  {change.was!r} -> {change.became!r}", flush=True)  # noqa: T201
            return found

        tests = list(dict.fromkeys(change.seen_by for change in changes))
        red = [own for own, ended in zip(tests, pool.map(before, tests), strict=True) if ended]
        return list(pool.map(one, changes))


def main() -> int:
    """Read the options, try the changes and return 1 where one is not seen."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", help="part of the module, the kind or the tests")
    parser.add_argument("--jobs", type=int, default=1, help="how many at once")
    asked = parser.parse_args()
    changes = [
        change
        for change in read_changes()
        if any(asked.only in text for text in (change.file, change.kind, *change.seen_by))
    ]
    found = run_changes(changes, asked.jobs)
    counts = {word: found.count(word) for word in (SEEN, UNSEEN, RED, BROKEN)}
    print(", ".join(f"{count} {word}" for word, count in counts.items()))  # noqa: T201
    return int(counts[SEEN] < len(found) or not found)


if __name__ == "__main__":
    sys.exit(main())
