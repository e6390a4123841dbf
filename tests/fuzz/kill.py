"""`python -m tests.fuzz.kill --times N`: writes that are killed at random moments.

Each write is made in a process of its own, split off one that has loaded everything, and killed: a
few times before it touches the disk, mostly at a moment drawn from the time that it takes from then
on, and a little longer. Old or new, whole, is right; anything else is told, exit code 1. After each
kill the same write is made again, and must come to the new state whatever was left.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import resource
import shutil
import signal
import sys
import time
from collections import Counter
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryDirectory

from .writes import WRITES, Write

State = Mapping[str, object]
LOADED = frozenset({*sys.stdlib_module_names, "hoseselect", "numpy", "pandas", "pydantic"})
BEGUN, DONE = b"b", b"e"
FOLDERS = ("os.mkdir", "tempfile.mkdtemp")
CHANGES = frozenset(
    (
        "os.mkdir",
        "os.rename",
        "os.remove",
        "tempfile.mkstemp",
        "tempfile.mkdtemp",
        "sqlite3.connect",
    )
)
LATE, EARLY = 1.15, 0.1
"""Times the write's own time in which kills fall; share of them that come before the write."""
MEASURED = 5
"""Runs by which its time is measured; the middle one counts."""


@dataclass
class Counted:
    """What became of the kills of one write.

    Parameters
    ----------
    fell : kills before the write touched the disk, within it, and after it was done
    states : old, new, or partly there: of several files some are missing, all others of one kind
    wrong : what was found that should never be
    seconds : that a write takes, from its first touch of the disk
    """

    fell: Counter[str] = field(default_factory=Counter)
    states: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    seconds: float = 0.0

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {
            "kills": dict(self.fell),
            "states": dict(self.states),
            "wrong": self.wrong,
            "ms": round(1000 * self.seconds, 1),
        }


@dataclass
class Child:
    """A process that writes.

    Parameters
    ----------
    number : of the process
    heard : end of a pipe on which it says that it has begun, and that it is done
    """

    number: int
    heard: int

    @classmethod
    def of(cls, work: Callable[[], None]) -> Child:
        """Split a process off that does some work."""
        heard, told = os.pipe()
        number = os.fork()
        if number:
            os.close(told)
            return cls(number, heard)
        said: list[bool] = []

        def hook(event: str, given: tuple[object, ...]) -> None:
            writes = event == "open" and isinstance(given[1], str) and set(given[1]) & set("wxa+")
            if not said and (event in CHANGES or writes):
                said.append(True)
                os.write(told, BEGUN)

        code = 1
        try:
            os.close(heard)
            silent = os.open(os.devnull, os.O_RDWR)
            for stream in (0, 1):
                os.dup2(silent, stream)
            sys.addaudithook(hook)
            work()
            code = 0
        except SystemExit as left:
            code = left.code if isinstance(left.code, int) else 1
        except BaseException as error:
            sys.stderr.write(f"{type(error).__name__}: {error}\n")
        finally:
            os.write(told, DONE)
            os._exit(code)

    def ended(self) -> int:
        """Wait for its end; return how it ended, as the system says it."""
        return os.waitpid(self.number, 0)[1]

    def said(self) -> bytes:
        """Return all that it has said, once it has ended."""
        found = os.read(self.heard, 16)
        os.close(self.heard)
        return found

    def moments(self) -> tuple[float, float]:
        """Return after how many seconds it begins, and is done."""
        start, found = time.perf_counter(), []
        while len(found) < 2 and (said := os.read(self.heard, 1)):
            found.append(time.perf_counter() - start)
            if said == DONE:
                break
        os.close(self.heard)
        self.ended()
        return found[0], found[-1]


class Killing:
    """Kills one write again and again.

    Parameters
    ----------
    write : what is written
    place : folder for it
    """

    def __init__(self, write: Write, place: Path) -> None:
        self.write, self.folder, self.before = write, place / "now", place / "before"
        self.before.mkdir(parents=True)
        write.prepare(self.before)
        self.old = write.state(self._anew())
        self._load(place / "modules")
        self.new = write.state(self.folder)
        assert self.old != self.new, write.name
        self.counted = Counted()

    def _anew(self) -> Path:
        shutil.rmtree(self.folder, ignore_errors=True)
        shutil.copytree(self.before, self.folder)
        return self.folder

    def _work(self) -> None:
        os.chdir(self.folder)
        self.write.make(self.folder)

    def _whole(self) -> None:
        """Write without a kill.

        Raises
        ------
        AssertionError
            when it does not come to its end.
        """
        ended = Child.of(self._work).ended()
        assert ended == 0, f"{self.write.name}: the write itself fails, {ended}"

    def _load(self, told: Path) -> None:
        """Write once; then load what that has loaded, so that each child need not."""

        def work() -> None:
            try:
                self._work()
            finally:
                told.write_text("\n".join(sys.modules), encoding="utf-8")

        assert Child.of(work).ended() == 0, self.write.name
        for name in told.read_text(encoding="utf-8").split("\n"):
            if name.partition(".")[0] in {
                *sys.stdlib_module_names,
                "hoseselect",
                "pandas",
                "numpy",
            }:
                with suppress(ImportError):
                    import_module(name)

    def measure(self) -> tuple[float, float]:
        """Return when the write begins and is done."""
        found = []
        for _ in range(MEASURED):
            self._anew()
            found.append(Child.of(self._work).moments())
        begins, done = (sorted(times)[MEASURED // 2] for times in zip(*found, strict=True))
        self.counted.seconds = done - begins
        return begins, done

    def kill(self, chance: random.Random, begins: float, done: float) -> None:
        """Kill the write once, look at what is there, and write again."""
        self._anew()
        child = Child.of(self._work)
        said = b""
        if chance.random() < EARLY:
            time.sleep(chance.uniform(0.0, begins))
        else:
            said = os.read(child.heard, 1)
            time.sleep(chance.uniform(0.0, LATE * (done - begins)))
        os.kill(child.number, signal.SIGKILL)
        child.ended()
        said += child.said()
        self.counted.fell["after" if DONE in said else "within" if BEGUN in said else "before"] += 1
        found = self.write.state(self.folder)
        self.counted.states[self._kind(found)] += 1
        self._whole()
        again = self.write.state(self.folder)
        if not self.write.comes_to(again, found, self.new):
            self.counted.wrong.append(f"after the next write: {sorted(again)}")

    def _kind(self, found: State) -> str:
        if found in (self.old, self.new):
            return "old" if found == self.old else "new"
        for name, whole in (("old", self.old), ("new", self.new)):
            if self.write.together and found.items() < whole.items():
                return f"{name} in part"
        self.counted.wrong.append(f"neither old nor new: {sorted(found)}")
        return "neither"


def killed(write: Write, times: int, seed: int) -> Counted:
    """Return what became of a write that was killed some times."""
    with TemporaryDirectory(prefix="hoseselect-kill-") as place:
        killing = Killing(write, Path(place))
        begins, done = killing.measure()
        chance = random.Random(seed)
        for _ in range(times):
            killing.kill(chance, begins, done)
        return killing.counted


def main() -> None:
    """Kill every write, or one of them."""
    told = argparse.ArgumentParser(prog="python -m tests.fuzz.kill")
    told.add_argument("write", nargs="?")
    told.add_argument("--times", type=int, default=200)
    told.add_argument("--seed", type=int, default=1)
    asked = told.parse_args()
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    wrong = False
    for write in WRITES:
        if asked.write in (None, write.name):
            found = killed(write, asked.times, asked.seed)
            wrong = wrong or bool(found.wrong)
            sys.stdout.write(f"{write.name}: {json.dumps(found.as_json())}\n")
            sys.stdout.flush()
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
