"""Make small changes of the code, one at a time, and say which of them no test sees.

Run by hand, from the folder of the repository, with the extra `mutation` installed:

    python -m tests.mutations.modules rules --sample 300 --seed 1

The changes are those of the operators of cosmic-ray. Which tests run which line is measured first
(`run_lines.py`) and kept in `build/`; a change is tried with the tests that run its line, in a
process split off for it. `pyproject.toml` says under `tool.hoseselect-mutation` which operators
are used and which tests judge which room; `equivalent.csv` names the changes that no input can
tell, each with the reason.
"""

from __future__ import annotations

import argparse
import ast
import csv
import random
import sys
import time
import tomllib
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.machinery import SourceFileLoader
from pathlib import Path
from typing import Any

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

from tests.mutations.forked import ROOT, SEEN, UNSEEN, Chosen, run_forked, say, warm_up
from tests.mutations.live import seen_alive
from tests.mutations.run_lines import Lines, measured

EQUIVALENT = Path(__file__).with_name("equivalent.csv")
SAME = "equivalent"
MOST = 3.0
"""Seconds of the processor that the tests of one change may take; the quickest come first."""
SECONDS = 90
"""Seconds of the processor after which a change hangs."""


@dataclass(frozen=True)
class Change:
    """One change of a module.

    Parameters
    ----------
    module : below the root
    operator, occurrence : by which cosmic-ray makes it
    line : where it begins
    """

    module: str
    operator: str
    occurrence: int
    line: int

    def source(self) -> str:
        """Return the module with the change."""
        made = mutate_code(read(self.module), get_operator(self.operator)(), self.occurrence)
        assert made is not None
        return str(made)

    def texts(self) -> tuple[str, str]:
        """Return the module as it stands and as it becomes."""
        return read(self.module), self.source()

    def lines(self) -> tuple[str, str]:
        """Return the line as it stands and as it becomes."""
        before = read(self.module).splitlines()[self.line - 1]
        return before.strip(), self.source().splitlines()[self.line - 1].strip()


@cache
def read(module: str) -> str:
    """Return the text of a module."""
    return (ROOT / module).read_text(encoding="utf-8")


@cache
def settings() -> dict[str, Any]:
    """Return what `pyproject.toml` says."""
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    found: dict[str, Any] = tomllib.loads(text)["tool"]["hoseselect-mutation"]
    return found


def changes(module: str) -> Iterator[Change]:
    """Yield the changes of a module, without those of what does not run: notes of types."""
    idle = list(spans(read(module)))
    nodes = list(ast_nodes(get_ast(read(module))))
    for name in operator_names():
        if name.removeprefix("core/") in settings()["operators"]:
            operator = get_operator(name)()
            places = (start for node in nodes for start, _ in operator.mutation_positions(node))
            for occurrence, start in enumerate(places):
                if not any(first <= start <= last for first, last in idle):
                    yield Change(module, name, occurrence, start[0])


def spans(text: str) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    """Yield where notes of types and decorators begin and end, as line and column."""
    for node in ast.walk(ast.parse(text)):
        inside: list[ast.expr | None] = []
        if isinstance(node, ast.FunctionDef):
            inside = [node.returns, *node.decorator_list]
        elif isinstance(node, ast.ClassDef):
            inside = list(node.decorator_list)
        elif isinstance(node, ast.arg | ast.AnnAssign):
            inside = [node.annotation]
        for part in inside:
            if part is not None:
                assert part.end_lineno is not None
                assert part.end_col_offset is not None
                yield (part.lineno, part.col_offset), (part.end_lineno, part.end_col_offset)


def make(change: Change) -> None:
    """Make a change for the rest of the process, which has not imported the package yet."""
    path, source = str(ROOT / change.module), change.source()
    plain = SourceFileLoader.get_code

    def get_code(self: SourceFileLoader, name: str) -> Any:
        if self.path == path:
            return compile(source, path, "exec", dont_inherit=True)
        return plain(self, name)

    SourceFileLoader.get_code = get_code  # type: ignore[method-assign]


def tried(change: Change, lines: Lines, known: set[tuple[str, str, str]]) -> str:
    """Return whether the tests that run the line of a change see it."""
    if (change.module, *change.lines()) in known:
        return SAME
    for tests in lines.stages(change.module, change.line, MOST):
        came = run(tests, lambda: make(change))
        if came != UNSEEN:
            return came
    return UNSEEN


def run(tests: Sequence[str], work: Callable[[], object]) -> str:
    """Return what comes of some tests after some work, in a process of their own."""
    files = sorted({test.partition("::")[0] for test in tests})
    return run_forked(work, files, SECONDS, Chosen(tests))


def read_equivalent() -> set[tuple[str, str, str]]:
    """Return the changes that no input can tell: module, line as it stands and as it becomes."""
    with EQUIVALENT.open(encoding="utf-8", newline="") as stream:
        return {(row["module"], row["line"], row["became"]) for row in csv.DictReader(stream)}


def main() -> int:
    """Read the options, try the changes and return 1 where one is not seen."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("room")
    parser.add_argument("--only", default="", help="part of the name of a module")
    parser.add_argument("--sample", type=int, default=0, help="so many, drawn; else all")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=600, help="begin none after so many")
    parser.add_argument("--list", action="store_true", help="how many there are, and no more")
    asked = parser.parse_args()
    folder = ROOT / "hoseselect" / asked.room
    modules = sorted(str(path.relative_to(ROOT)) for path in folder.rglob("*.py"))
    every = [change for module in modules if asked.only in module for change in changes(module)]
    drawn = random.Random(asked.seed)
    some = drawn.sample(every, min(asked.sample, len(every))) if asked.sample else every
    say(f"{asked.room}: {len(some)} of {len(every)} changes, seed {asked.seed}")
    if asked.list:
        return 0
    lines, known = measured(asked.room, settings()["tests"][asked.room]), read_equivalent()
    warm_up()
    found: Counter[str] = Counter()
    first = next(lines.stages(some[0].module, some[0].line, MOST), [])
    if run(first, int) != UNSEEN:
        sys.exit(f"the tests of {asked.room} are red before anything is changed")
    files = sorted({test.partition("::")[0] for test in lines.seconds})
    until = time.monotonic() + 60 * asked.minutes
    count, alive = seen_alive(
        some, lambda change: lines.stages(change.module, change.line, MOST), files, SECONDS, until
    )
    say(f"{asked.room}: {count} tried, {len(alive)} seen at once")
    for place, change in enumerate(some[:count]):
        came = SEEN if place in alive else tried(change, lines, known)
        found[came] += 1
        if came != SEEN:
            was, became = change.lines()
            say(f"{came}  {change.module}:{change.line}\n  {was}\n  {became}")
    say(f"{asked.room}: " + ", ".join(f"{number} {word}" for word, number in found.items()))
    return int(found[SEEN] + found[SAME] < count)


if __name__ == "__main__":
    sys.exit(main())
