"""Try changes in a run of pytest that has its tests: a function is changed where it lives.

What runs when a module is loaded, and what no test sees here, is tried again in a process that
imports the changed module afresh; so a test that read something before the change cannot hide it.
"""

from __future__ import annotations

import functools
import gc
import json
import os
import time
from collections.abc import Callable, Iterator, Sequence
from types import CodeType, FunctionType
from typing import Any

import pytest

from tests.mutations.forked import OPTIONS, ROOT, SOME_FAILED, hushed, say, split_off

Key = tuple[str, int]
LATE = 77
"""How a process ends where a change is not one of functions alone."""
LONGEST = 36000
"""Seconds of the processor for a whole run."""
CONTROLS = 3
"""Changes of which the tests are run without the change first."""


def codes(code: CodeType) -> Iterator[CodeType]:
    """Yield a code and all that is defined in it."""
    yield code
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield from codes(inner)


def _plain(code: CodeType) -> tuple[Any, ...]:
    """Return what a code does by itself, without what is defined in it."""
    own = tuple(repr(part) for part in code.co_consts if not isinstance(part, CodeType))
    return code.co_code, own, code.co_names, code.co_varnames


def changed_functions(was: CodeType, became: CodeType) -> dict[Key, CodeType] | None:
    """Return the functions that differ, by name and first line; None where loading differs."""
    before, after = list(codes(was)), list(codes(became))
    if len(before) != len(after):
        return None
    found: dict[Key, CodeType] = {}
    for old, new in zip(before, after, strict=True):
        function = bool(new.co_flags & 0x0002)  # its names are local: no module and no class
        if not function and _plain(old) != _plain(new):
            return None
        if function and old != new:
            if old.co_freevars != new.co_freevars:
                return None
            found[old.co_qualname, old.co_firstlineno] = new
    return found


class Live:
    """Tries changes on the collected tests, and keeps what came of each."""

    def __init__(
        self, changes: Sequence[Any], stages: Callable[[Any], Any], seconds: int, until: float
    ) -> None:
        self.changes, self.stages, self.seconds, self.until = changes, stages, seconds, until
        self.seen: list[int] = []
        self.tried = 0
        self.failed = False
        self.items: dict[str, pytest.Item] = {}

    def pytest_collection_modifyitems(self, items: Sequence[pytest.Item]) -> None:
        """Keep the collected tests by name."""
        self.items = {item.nodeid: item for item in items}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note that a test failed."""
        self.failed |= report.failed

    def pytest_runtestloop(self) -> bool:
        """Try every change, each in a process split off from this one."""
        living: dict[tuple[str, str, int], list[FunctionType]] = {}
        kept = []
        gc.unfreeze()  # what is frozen is not told
        for held in gc.get_objects():
            if isinstance(held, FunctionType):
                code = held.__code__
                key = (code.co_filename, code.co_qualname, code.co_firstlineno)
                living.setdefault(key, []).append(held)
            elif isinstance(held, functools._lru_cache_wrapper):
                kept.append(held)
        gc.freeze()
        for place, change in enumerate(self.changes):
            if time.monotonic() > self.until:
                break
            tests = [self.items[test] for stage in self.stages(change) for test in stage]

            def work(change: Any = change, tests: Sequence[pytest.Item] = tests) -> int:
                hushed()
                path = str(ROOT / change.module)
                codes = (compile(text, path, "exec", dont_inherit=True) for text in change.texts())
                made = changed_functions(*codes)
                if not made:
                    return LATE
                for (name, line), code in made.items():
                    for function in living.get((path, name, line), ()):
                        function.__code__ = code
                for wrapper in kept:
                    wrapper.cache_clear()
                return self.run_items(tests)

            control = functools.partial(self.run_items, tests)
            if place < CONTROLS and split_off(control, self.seconds):
                raise pytest.UsageError(f"red before anything is changed: {change.module}")
            if tests and split_off(work, self.seconds) == 1:
                self.seen.append(place)
            self.tried = place + 1
            if self.tried % 20 == 0:
                say(f"  {len(self.seen)} of {self.tried}")
        return True

    def run_items(self, items: Sequence[pytest.Item]) -> int:
        """Run collected tests until one fails, and return 1 then, else 0."""
        for item, after in zip(items, [*items[1:], None], strict=True):
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=after)
            if self.failed:
                return 1
        return 0


def seen_alive(
    changes: Sequence[Any],
    stages: Callable[[Any], Any],
    tests: Sequence[str],
    seconds: int,
    until: float,
) -> tuple[int, set[int]]:
    """Return how many changes were tried, and the places of those that the collected tests see.

    Parameters
    ----------
    changes : of modules
    stages : the tests that run the line of a change
    tests : files of tests, below the root
    seconds : of the processor, for the tests of one change
    until : no change is begun after this [s of the clock that only goes forward]
    """
    kept = ROOT / "build" / f"seen_{os.getpid()}.json"

    def work() -> int:
        live = Live(changes, stages, seconds, until)
        places = [str(ROOT / test) for test in tests]
        ended = pytest.main([*OPTIONS, *places], plugins=[live])
        kept.write_text(json.dumps([live.tried, live.seen]), encoding="utf-8")
        return int(ended)

    if split_off(work, LONGEST) > SOME_FAILED:
        raise SystemExit("the tests did not run to their end")
    tried, seen = json.loads(kept.read_text(encoding="utf-8"))
    kept.unlink()
    return tried, set(seen)
