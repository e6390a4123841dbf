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
    *("hypothesis", "numpy", "pandas", "pydantic", "openpyxl", "rich.table", "typer.testing"),
    *("highspy", "pint", "tomlkit", "scipy.optimize", "scipy.interpolate", "scipy.linalg"),
    *("scipy.sparse", "scipy.integrate", "scipy.spatial", "filelock", "platformdirs"),
)
"""What tests import from outside, and what takes long."""

ALL_PASSED, SOME_FAILED = 0, 1  # as pytest ends
WAIT = 10  # of the clock, for each second of the processor


def warm_up(names: Sequence[str] = OUTSIDE) -> None:
    """Import what every test would import anew."""
    for name in names:
        import_module(name)


def run_forked(change: Callable[[], object], tests: Sequence[str], seconds: int) -> str:
    """Split off a process, make a change in it, run tests, and return what came of it.

    Parameters
    ----------
    change : makes the change
    tests : files or names of tests, as pytest takes them, below the root
    seconds : of the processor; a change that needs more hangs, and is seen by that
    """
    process = os.fork()
    if process == 0:
        os._exit(_in_the_child(change, tests, seconds))
    until = time.monotonic() + WAIT * seconds
    while True:
        ended, status = os.waitpid(process, os.WNOHANG)
        if ended:
            break
        if time.monotonic() > until:
            os.kill(process, signal.SIGKILL)
            _, status = os.waitpid(process, 0)
            break
        time.sleep(0.01)
    if os.WIFSIGNALED(status):
        return SEEN
    return {ALL_PASSED: UNSEEN, SOME_FAILED: SEEN}.get(os.WEXITSTATUS(status), BROKEN)


def _in_the_child(change: Callable[[], object], tests: Sequence[str], seconds: int) -> int:
    """Make the change, run the tests with nothing shown, and return how they end."""
    try:
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        nowhere = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(nowhere, stream)
        os.chdir(ROOT)
        change()
        options = ("-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", "--tb=no", "-c")
        places = (str(ROOT / test) for test in tests)
        ended = pytest.main([*options, "pyproject.toml", "--rootdir", str(ROOT), *places])
    except BaseException:  # whatever the change breaks is seen
        return SOME_FAILED
    # what cannot even be collected (2) or set up (3) with the change is seen as well
    return SOME_FAILED if ended in {1, 2, 3} else int(ended)
