"""Change one cell of the published tables at a time, and say which changes no test sees.

Run by hand, from the folder of the repository:

    python -m tests.mutations.tables --sample 300 --seed 1
    python -m tests.mutations.tables --all

`table_columns.csv` says how each column is changed, or why it only tells. A figure becomes a tenth
more and a tenth less, a word another word of its column, a list loses its first entry, and each
row that decides is taken out once. What the pinned cells do not see is tried with the tests that
`table_tests.csv` names for the table, each change in a process of its own.
"""

from __future__ import annotations

import argparse
import csv
import functools
import random
import re
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

from hoseselect.knowledge import load
from tests.mutations.forked import ROOT, SEEN, UNSEEN, run_forked, say, warm_up

HERE = Path(__file__).parent
OUT = "row out"
MORE, LESS = 1.1, 0.9
OTHER_WORDS = 1
SECONDS = 120  # of the processor, for the tests of one change
PINNED = "unit/test_pinned_figures.py"


@dataclass(frozen=True)
class Change:
    """One change of a published table.

    Parameters
    ----------
    table, line : where, the line as it stands in the file
    column : heading, or that the row is taken out
    was, became : text of the cell, empty where the row is taken out
    key : the key cells of the row, to be told by
    """

    table: str
    line: int
    column: str
    was: str
    became: str
    key: str

    def __str__(self) -> str:
        made = OUT if self.column == OUT else f"{self.column}: {self.was!r} -> {self.became!r}"
        return f"{self.table}.csv:{self.line} [{self.key}] {made}"

    def made_in(self, table: load.KnowledgeTable) -> load.KnowledgeTable:
        """Return the table with the change."""
        if table.name != self.table:
            return table
        rows = [row for row in table.rows if self.column != OUT or row.line != self.line]
        changed = {self.column: self.became}
        return load.KnowledgeTable(
            table.name,
            tuple(
                replace(row, cells=row.cells | changed) if row.line == self.line else row
                for row in rows
            ),
        )


def read_columns() -> dict[str, list[dict[str, str]]]:
    """Return how each column of each table is changed."""
    found: dict[str, list[dict[str, str]]] = {}
    with (HERE / "table_columns.csv").open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            found.setdefault(row["table"], []).append(row)
    return found


def read_tests() -> dict[str, tuple[str, ...]]:
    """Return the tests that can notice a change of a table, beside the pinned cells."""
    with (HERE / "table_tests.csv").open(encoding="utf-8", newline="") as stream:
        return {row["table"]: tuple(row["tests"].split()) for row in csv.DictReader(stream)}


def changes(name: str, columns: Sequence[dict[str, str]]) -> Iterator[Change]:
    """Yield the changes of one table, always the same and in the same order."""
    rows = load.table(name).rows
    how = {column["column"]: column["how"] for column in columns if column["how"] != "told"}
    decide = {column["column"]: column["rows"] for column in columns if column["rows"]}
    keys = [column for column, way in how.items() if way in {"key", "pattern"}] or list(how)
    words = {column: sorted({row[column] for row in rows}) for column in how}
    for row in rows if how else ():
        if all(re.fullmatch(pattern, row[column]) for column, pattern in decide.items()):
            made = functools.partial(
                Change, name, row.line, key=";".join(row[column][:40] for column in keys)
            )
            yield made(OUT, "", "")
            for column, way in how.items():
                own = f"{name}:{row.line}:{column}"
                for became in others(way, row[column], words[column], own):
                    yield made(column, row[column], became)


def others(way: str, was: str, words: Sequence[str], own: str) -> Iterator[str]:
    """Yield what a cell may become instead.

    Parameters
    ----------
    way : how its column is changed
    was : text of the cell
    words : all that stand in its column
    own : place of the cell, by which words are drawn
    """
    if way == "number" and re.fullmatch(r"-?[0-9.]+", was):
        figure = float(was)
        yield from (f"{figure * share:g}" for share in (MORE, LESS)) if figure else ("1", "-1")
    elif way == "word" or (way == "number" and was):
        left = [word for word in words if word != was]
        yield from random.Random(own).sample(left, min(OTHER_WORDS, len(left)))
    elif way.startswith("list") and was:
        mark = way.split()[1]
        yield mark.join(was.split(mark)[1:])
    elif way == "pattern":
        yield f"{was}NEVER"


@functools.cache
def pinned_module() -> ModuleType:
    """Return the module of the pinned cells."""
    spec = spec_from_file_location("pinned", ROOT / "tests" / PINNED)
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def seen_by_pins(change: Change) -> bool:
    """Return whether a pinned cell of the table is missed with the change."""
    module = pinned_module()
    changed = change.made_in(load.table(change.table))
    module.table = lambda name: changed
    try:
        return bool(module.unlike_in(change.table))
    except load.KnowledgeError:
        return True
    finally:
        module.table = load.table


def make(change: Change) -> None:
    """Make a change for the rest of the process, which has read nothing but tables yet."""
    read = load.read_table
    load.read_table = lambda path: change.made_in(read(path))
    load.table.cache_clear()


def tried(change: Change, tests: dict[str, tuple[str, ...]]) -> str:
    """Return whether the pinned cells or the tests of the table see a change."""
    if seen_by_pins(change):
        return SEEN
    own = tests.get(change.table, ())
    return run_forked(lambda: make(change), own, SECONDS) if own else UNSEEN


def main() -> int:
    """Read the options, try the changes, and return 1 where one is not seen."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", help="tables, with commas between them")
    parser.add_argument("--sample", type=int, default=0, help="so many of each table, drawn")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--all", action="store_true", help="every change")
    parser.add_argument("--pins-only", action="store_true", help="the pinned cells and no test")
    asked = parser.parse_args()
    if not (asked.all or asked.sample):
        parser.error("say --all or --sample N")
    tests = {} if asked.pins_only else read_tests()
    wanted = asked.only.split(",") if asked.only else list(read_columns())
    warm_up()
    for name, own in tests.items():
        if name in wanted and run_forked(int, own, SECONDS) != UNSEEN:
            sys.exit(f"the tests of {name} are red before anything is changed")
    found: Counter[tuple[str, str]] = Counter()
    drawn = random.Random(asked.seed)
    for name, columns in read_columns().items():
        if name not in wanted:
            continue
        every = list(changes(name, columns))
        some = every if asked.all else drawn.sample(every, min(asked.sample, len(every)))
        for change in some:
            came = tried(change, tests)
            found[name, came] += 1
            if came != SEEN:
                say(f"{came}  {change}")
        if some:
            say(f"{name}: {found[name, SEEN]} of {len(some)} seen")
    total, seen = found.total(), sum(n for (_, came), n in found.items() if came == SEEN)
    say(f"all: {seen} of {total} seen, {seen / max(total, 1):.1%}")
    return int(seen < total)


if __name__ == "__main__":
    sys.exit(main())
