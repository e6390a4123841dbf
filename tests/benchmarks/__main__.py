"""All budgets in one table, and how time and memory grow.

    python -m tests.benchmarks [--quick] [--only cold|rules|bends|sheets|large] [--plots FOLDER]

`--quick` measures less, a few seconds each; `--share X` a share of either. `--plots` draws growth
plots into a folder instead. Nothing here is a test: on a busy machine every figure is worse.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
os.environ.setdefault("HOSESELECT_BOOK", "off")
HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent / "aids")]

from budgets import BUDGETS, QUICK, Amounts, Row, table  # noqa: E402
from growth import draw_growth  # noqa: E402


def main(arguments: Sequence[str] | None = None) -> list[Row]:
    """Measure and write the table; return its rows."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--only", choices=list(BUDGETS), action="append")
    parser.add_argument("--share", type=float, default=1.0)
    parser.add_argument("--plots", type=Path)
    asked = parser.parse_args(arguments)
    amounts = (QUICK if asked.quick else Amounts()).times(asked.share)
    if asked.plots is not None:
        for path in draw_growth(amounts, asked.plots):
            sys.stdout.write(f"{path}\n")
        return []
    rows: list[Row] = []
    for name in asked.only or BUDGETS:
        with tempfile.TemporaryDirectory() as folder:
            rows += BUDGETS[name](amounts, Path(folder))
    sys.stdout.write("\n".join(table(rows)) + "\n")
    return rows


if __name__ == "__main__":
    main()
