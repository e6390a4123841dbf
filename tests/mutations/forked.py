"""Run tests in a process split off one that has imported what is slow to import.

A change is made in memory, in the split-off process alone: no file is touched, and what the
change breaks dies with it.
"""

from __future__ import annotations

import os
import resource
import signal
import time
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SEEN, UNSEEN, BROKEN = "seen", "UNSEEN", "BROKEN"
OUTSIDE = (
    *("numpy", "pandas", "pydantic", "openpyxl", "rich.table", "typer.testing"),
    *("highspy", "pint", "tomlkit", "scipy.optimize", "scipy.interpolate", "scipy.linalg"),
    *("scipy.sparse", "scipy.integrate", "scipy.spatial", "filelock", "platformdirs"),
)
"""What tests import from outside, and what takes long."""
OPTIONS = (
    *("-x", "-q", "-p", "no:cacheprovider", "--tb=no"),
    *("-c", str(ROOT / "pyproject.toml"), "--rootdir", str(ROOT)),
)
ALL_PASSED, SOME_FAILED, NOT_COLLECTED, NOT_SET_UP = 0, 1, 2, 3  # as pytest ends
WAIT = 10  # seconds of the clock, for each of the processor


class Chosen:
    """Of the tests of some files the chosen ones alone, in the order in which they are given."""

    def __init__(self, tests: Sequence[str]) -> None:
        self.places = {test: place for place, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = [item for item in items if item.nodeid in self.places]
        items.sort(key=lambda item: self.places[item.nodeid])


def warm_up(names: Sequence[str] = OUTSIDE) -> None:
    """Import what every test would import anew."""
    for name in names:
        import_module(name)


def run_forked(
    change: Callable[[], object], tests: Sequence[str], seconds: int, chosen: Chosen | None = None
) -> str:
    """Split off a process, make a change in it, run tests, and return what came of it.

    Parameters
    ----------
    change : makes the change
    tests : files of tests, below the root
    seconds : of the processor; a change that needs more hangs, and is seen by that
    chosen : which of the tests; None stands for all
    """

    def run() -> int:
        hushed()
        change()
        places = [str(ROOT / test) for test in tests]
        return pytest.main([*OPTIONS, *places], plugins=[chosen] if chosen else [])

    ended = split_off(run, seconds)
    if ended == ALL_PASSED:
        return UNSEEN
    return SEEN if ended in {SOME_FAILED, NOT_COLLECTED, NOT_SET_UP} else BROKEN


def say(line: str) -> None:
    """Show a line at once."""
    print(line, flush=True)  # noqa: T201


def hushed() -> None:
    """Show nothing more in this process, and read nothing."""
    nowhere = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(nowhere, stream)


def split_off(work: Callable[[], int], seconds: int) -> int:
    """Do some work in a process of its own, and return how it ends; to hang is to fail."""
    process = os.fork()
    if process == 0:
        try:
            resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
            os.chdir(ROOT)
            os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
            os._exit(int(work()))
        except BaseException:  # whatever a change breaks is seen
            os._exit(SOME_FAILED)
    until = time.monotonic() + WAIT * seconds
    while time.monotonic() < until:
        ended, status = os.waitpid(process, os.WNOHANG)
        if ended:
            return SOME_FAILED if os.WIFSIGNALED(status) else os.WEXITSTATUS(status)
        time.sleep(0.01)
    os.kill(process, signal.SIGKILL)
    os.waitpid(process, 0)
    return SOME_FAILED
