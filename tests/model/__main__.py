"""Compare model and engine for as long as one likes: `python -m tests.model --pairs N`."""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter

from .differ import Mismatch, Tally, compare

PROGRESS = 20_000
"""Pairs between two lines of progress."""


def say(words: str) -> None:
    """Write a line."""
    sys.stdout.write(f"{words}\n")
    sys.stdout.flush()


def shown(found: Mismatch) -> str:
    """Return one mismatch in full."""
    return (
        f"{found.what}\n  model  {found.model}\n  engine {found.engine}\n"
        f"  job    {found.job}\n  hose   {found.hose}"
    )


def main() -> int:
    """Return 1 where model and engine part."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--pairs", type=int, required=True, help="pairs of job and hose size")
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--most", type=int, default=1000, help="mismatches that are shown in full")
    told = words.parse_args()
    started, tally, lines, seen = time.process_time(), Tally(), 0, 0
    for tally in compare(told.pairs, told.seed):
        for found in tally.mismatches[seen : told.most]:
            say(shown(found))
        seen = len(tally.mismatches)
        if tally.pairs // PROGRESS > lines:
            lines = tally.pairs // PROGRESS
            spent = time.process_time() - started
            say(f"{tally.pairs} pairs, {spent:.0f} s, {seen} mismatches")
    for what, many in Counter(found.what for found in tally.mismatches).most_common():
        say(f"{many:8} {what}")
    spent = time.process_time() - started
    say(
        f"{tally.pairs} pairs of {tally.jobs} jobs ({tally.stopped} stopped) in {spent:.1f} s of"
        f" processor time; {len(tally.mismatches)} mismatches"
    )
    return 1 if tally.mismatches else 0


if __name__ == "__main__":
    sys.exit(main())
