"""The one command of all budgets runs; what it measures is no test."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import warnings
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from hoseselect.interfaces.cli.main import run

ROOT = Path(__file__).parents[2]
PLACES = ("", "tests/benchmarks", "tests/aids")


def test_the_command_measures_every_budget_at_the_least_amount(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What it starts is run in this process: each start would take longer than what it does."""
    for place in PLACES:
        monkeypatch.syspath_prepend(str(ROOT / place))
    budgets = import_module("budgets")
    monkeypatch.setattr(budgets, "used", run_here)
    main = import_module("tests.benchmarks.__main__").main
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of a general solver, which is not ours
        main(["--quick", "--share", "0.0001"])
    rows = rows_of(capsys.readouterr().out)
    assert len(rows) == ROWS


def run_here(command: Sequence[str]) -> Any:
    """Run a command of the tool, or leave another one, and say that it took something."""
    if tuple(command[1:3]) == ("-m", "hoseselect"):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(sys, "argv", ["hoseselect", *command[3:]])
            patch.setattr(sys, "unraisablehook", sys.unraisablehook)  # put back at the end
            patch.setattr(sys, "stdout", io.TextIOWrapper(io.BytesIO(), encoding="utf-8"))
            try:
                run()
            except SystemExit as left:
                assert left.code in {None, 0, 1}, command
    return import_module("budgets").Used(0.1, 0.1, 1.0)


def rows_of(told: str) -> list[str]:
    """Return the rows of a table, each of which says whether its budget is met."""
    heads, _, *rows = told.splitlines()
    assert heads.split() == ["what", "budget", "measured", "instead", "ratio"]
    assert all(row.endswith((" met", " NOT MET")) for row in rows)
    return rows


def test_the_command_is_started_as_its_page_says() -> None:
    words = [sys.executable, "-m", "tests.benchmarks", "--quick", "--share", "0.0001"]
    told = subprocess.run(
        [*words, "--only", "rules"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
        env=_paths(),
    )
    assert len(rows_of(told.stdout)) == 2


def test_what_a_command_takes_is_measured(monkeypatch: pytest.MonkeyPatch) -> None:
    for place in PLACES:
        monkeypatch.syspath_prepend(str(ROOT / place))
    took = import_module("budgets").used((sys.executable, "-c", "sum(range(10**6))"))
    assert 0 < took.processor < 60
    assert took.wall > 0
    assert 1 < took.memory < 1000
    with pytest.raises(AssertionError, match="SystemExit"):
        import_module("budgets").used((sys.executable, "-c", "raise SystemExit(2)"))


ROWS = 13


def _paths() -> dict[str, str]:
    """The working copy that is tested, also in what the command starts."""
    return {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), *sys.path])}


def test_a_growth_plot_is_a_picture(monkeypatch: pytest.MonkeyPatch) -> None:
    for place in PLACES:
        monkeypatch.syspath_prepend(str(ROOT / place))
    from growth import Curve, picture  # type: ignore[import-not-found]

    curves = [
        Curve("time [s]", "#123456", "none", [0.5, 5.0, 70.0]),
        Curve("& more", "red", "1", [9]),
    ]
    drawn = picture("lines", [10, 100, 1000], curves[:1])
    tree = ElementTree.fromstring(drawn)
    line = next(part for part in tree.iter() if part.tag.endswith("polyline"))
    spots = [tuple(map(float, spot.split(","))) for spot in line.attrib["points"].split()]
    assert len(spots) == 3
    assert spots[0][0] < spots[1][0] < spots[2][0]
    assert spots[0][1] > spots[1][1] > spots[2][1]  # upwards
    assert "time [s]" in drawn
    assert "&amp; more" in picture("one", [10], curves[1:])
