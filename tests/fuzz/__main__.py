"""`python -m tests.fuzz READER --inputs N --seed S`: one reader in a process of its own.

Led by coverage where atheris is there, which the extra `fuzz` installs; else by chance alone. The
process may grow by 1 GB beyond what it has once every seed was read (the arenas of the libraries
are reserved by then), and each input has 10 s of processor time. What is found is made small and
kept in `tests/fuzz/found/READER/`; the last line is a summary in JSON, exit code 1 where anything
was found.
"""

from __future__ import annotations

import argparse
import faulthandler
import importlib
import importlib.util
import json
import math
import os
import random
import resource
import shutil
import signal
import sys
import time
import warnings
from collections import Counter
from contextlib import nullcontext
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .reader import Reader

MOST_GROWTH = 1_000_000_000
MOST_SECONDS = 10
NEVER = 10**6
"""Seconds after which the fuzzer itself gives up: it counts those in which it was halted too."""
STUCK = 3600
"""Seconds by the clock after which the process ends: something waits for ever."""
OURS = "hoseselect"


class Run:
    """Counts inputs and keeps what they find."""

    def __init__(self, asked: argparse.Namespace, folder: Path) -> None:
        short = importlib.import_module("tests.fuzz.short")
        self.tools: Any = importlib.import_module("tests.fuzz.reader")
        self.reader: Reader = short.READERS[asked.reader]
        self.keep: Path = short.FOUND / asked.reader
        self.seeds = list(self.reader.seeds())
        self.inputs, self.seed, self.seconds = asked.inputs, asked.seed, asked.seconds
        self.folder = folder
        self.done = 0
        self.slowest = 0.0
        self.finds: Counter[str] = Counter()
        self.start = time.perf_counter()

    def warm(self) -> None:
        """Read every seed, then say how much memory may be taken from here on."""
        for data in self.seeds:
            self.one(data)
        self.done = 0
        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
        most = pages * resource.getpagesize() + MOST_GROWTH
        resource.setrlimit(resource.RLIMIT_AS, (most, most))

    def one(self, data: bytes) -> None:
        """Read one input within its time."""
        (self.folder / "now").write_bytes(data)
        faulthandler.dump_traceback_later(STUCK, exit=True)
        signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
        start = time.process_time()
        try:
            find = self.tools.tried(self.reader, data, self.folder)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
        self.slowest = max(self.slowest, time.process_time() - start)
        if find is not None:
            self._note(data, find)
        self.done += 1

    def _note(self, data: bytes, find: Any) -> None:
        where = f"{find.kind} in {find.place}"
        self.finds[where] += 1
        if self.finds[where] > 1:
            return
        if find.kind not in {"HangError", "MemoryError"}:
            data = self.tools.smallest(self.reader, data, find, self.folder)
        self.keep.mkdir(parents=True, exist_ok=True)
        file = self.keep / sha256(data).hexdigest()[:12]
        file.write_bytes(data)
        sys.stderr.write(f"\n== {where}: {file}\n{find.told}\n")

    @property
    def over(self) -> bool:
        """Whether there were inputs enough, or the time is up."""
        late = time.perf_counter() - self.start > self.seconds
        return late or self.done >= self.inputs

    def summary(self, by: str) -> dict[str, Any]:
        """Return what the run came to."""
        seconds = time.perf_counter() - self.start
        return {
            "reader": self.reader.name,
            "by": by,
            "inputs": self.done,
            "seconds": round(seconds, 1),
            "inputs_a_second": round(self.done / seconds, 1),
            "slowest_s": round(self.slowest, 2),
            "largest_mb": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1000,
            "finds": dict(self.finds),
        }

    def end(self, by: str) -> None:
        """Write the summary and leave at once: the fuzzer would go on by itself."""
        sys.stdout.write(f"{json.dumps(self.summary(by))}\n")
        sys.stdout.flush()
        sys.stderr.flush()
        shutil.rmtree(self.folder.parent, ignore_errors=True)
        os._exit(1 if self.finds else 0)


def by_coverage(run: Run, atheris: Any, corpus: Path) -> None:
    """Let the fuzzer choose the inputs: it keeps those that reach what none before has reached."""
    mutate = importlib.import_module("tests.fuzz.mutate").mutated

    def one(data: bytes) -> None:
        run.one(data)
        if run.over:
            run.end("coverage")

    def changed(data: bytes, most: int, seed: int) -> bytes:
        chance = random.Random(seed)
        if chance.random() < 0.5:
            return bytes(atheris.Mutate(data, most))
        return bytes(mutate([data, *run.seeds], run.reader.words, chance)[:most])

    corpus.mkdir()
    for number, data in enumerate(run.seeds):
        (corpus / str(number)).write_bytes(data)
    longest = max(4096, 2 * max(map(len, run.seeds)))
    told = (f"-max_len={longest}", f"-seed={run.seed}", f"-timeout={NEVER}", "-rss_limit_mb=0")
    atheris.Setup([OURS, *told, "-verbosity=0", str(corpus)], one, custom_mutator=changed)
    atheris.Fuzz()


def by_chance(run: Run) -> None:
    """Choose the inputs by chance alone."""
    mutate = importlib.import_module("tests.fuzz.mutate").mutated
    chance = random.Random(run.seed)
    while not run.over:
        run.one(mutate(run.seeds, run.reader.words, chance))
    run.end("chance")


def main() -> None:
    """Fuzz one reader."""
    told = argparse.ArgumentParser(prog="python -m tests.fuzz")
    told.add_argument("reader")
    told.add_argument("--inputs", type=int, default=20_000)
    told.add_argument("--seed", type=int, default=1)
    told.add_argument("--seconds", type=float, default=math.inf, help="Ends it before its inputs.")
    asked = told.parse_args()
    os.environ |= {"HOSESELECT_BOOK": "off", "OPENBLAS_NUM_THREADS": "1", "HOME": "/nonexistent"}
    os.environ["HOSESELECT_TODAY"] = "2031-05-30"
    warnings.simplefilter("error")  # each would be a line on the screen of whoever runs it
    guided = importlib.util.find_spec("atheris") is not None
    atheris: Any = importlib.import_module("atheris") if guided else None

    def late(_number: int, _frame: object) -> None:
        raise importlib.import_module("tests.fuzz.reader").HangError(f"more than {MOST_SECONDS} s")

    signal.signal(signal.SIGPROF, late)
    with TemporaryDirectory(prefix="hoseselect-fuzz-") as place:
        folder = Path(place) / "files"
        folder.mkdir()
        seen = atheris.instrument_imports(include=[OURS]) if guided else nullcontext()
        with seen:
            run = Run(asked, folder)
            run.warm()
        if guided:
            by_coverage(run, atheris, Path(place) / "corpus")
        else:
            by_chance(run)


if __name__ == "__main__":
    main()
