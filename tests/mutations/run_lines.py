"""Measure which tests run which line of a room, and how long each test takes."""

from __future__ import annotations

import json
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import coverage
import pytest

from tests.mutations.forked import OPTIONS, ROOT, split_off

KEPT = ROOT / "build"
MOST = 8.0
"""Seconds of the processor for the tests of one file; what comes after is not asked."""


@dataclass(frozen=True)
class Lines:
    """What was measured.

    Parameters
    ----------
    seconds : of the processor, by test
    run_by : tests that run a line, by module and line
    """

    seconds: dict[str, float]
    run_by: dict[str, dict[str, list[str]]]

    def stages(self, module: str, line: int, most: float) -> Iterator[list[str]]:
        """Yield the tests that run a line: those of the file with most of them, then the others.

        The quickest come first, so many as fit in some seconds. A line that runs when its module
        is loaded is run by every test that runs the module.
        """
        own = self.run_by.get(module, {})
        tests = own.get(str(line)) or {test for other in own.values() for test in other}
        chosen: list[str] = []
        for test in sorted(tests, key=lambda test: (self.seconds[test], test)):
            most -= self.seconds[test]
            if most < 0:
                break
            chosen.append(test)
        files = Counter(test.partition("::")[0] for test in chosen)
        nearest = max(files, key=lambda file: (files[file], file), default="")
        near = [test for test in chosen if test.startswith(f"{nearest}::")]
        for stage in (near, [test for test in chosen if test not in set(near)]):
            if stage:
                yield stage


def measured(room: str, tests: Sequence[str]) -> Lines:
    """Return what was measured of a room, measuring it where that was not done yet."""
    kept = KEPT / f"lines_{room}.json"
    if not kept.exists():
        KEPT.mkdir(exist_ok=True)
        split_off(lambda: _measure(room, tests, kept), 3600)
    found = json.loads(kept.read_text(encoding="utf-8"))
    return Lines(found["seconds"], found["run_by"])


class _Clock:
    """Tells which test runs, and how long it takes."""

    def __init__(self, measuring: coverage.Coverage) -> None:
        self.measuring, self.seconds = measuring, dict[str, float]()
        self.spent: Counter[str] = Counter()  # type: ignore[type-var]

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> None:
        if self.spent[item.nodeid.partition("::")[0]] > MOST:
            pytest.skip("its file has had its time")

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Iterator[None]:
        self.measuring.switch_context(item.nodeid)
        began = time.process_time()
        try:
            yield
            self.seconds[item.nodeid] = round(time.process_time() - began, 4)
        finally:  # a test that skips itself is no test of the lines that it ran
            self.spent[item.nodeid.partition("::")[0]] += time.process_time() - began
            self.measuring.switch_context("")


def _measure(room: str, tests: Sequence[str], kept: Path) -> int:
    source = str(ROOT / "hoseselect" / room)
    measuring = coverage.Coverage(data_file=None, include=[f"{source}/*"], config_file=False)
    measuring.start()
    clock = _Clock(measuring)
    places = [str(path) for test in tests for path in sorted(ROOT.glob(f"tests/{test}"))]
    ended = pytest.main([*OPTIONS, *places], plugins=[clock])
    measuring.stop()
    data = measuring.get_data()
    run_by: dict[str, dict[int, list[str]]] = {}
    for file in data.measured_files():
        lines = data.contexts_by_lineno(file)
        own = {line: sorted(clock.seconds.keys() & set(by)) for line, by in lines.items()}
        run_by[str(Path(file).relative_to(ROOT))] = own
    if ended != 0:
        sys.stderr.write(f"the tests of {room} are red before anything is changed\n")
        return 1
    kept.write_text(json.dumps({"seconds": clock.seconds, "run_by": run_by}), encoding="utf-8")
    return 0
