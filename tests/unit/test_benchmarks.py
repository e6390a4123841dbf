"""The one command of all budgets runs; what it measures is no test."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest

ROOT = Path(__file__).parents[2]
PLACES = ("", "tests/benchmarks", "tests/aids")


def test_the_command_measures_every_budget_at_the_least_amount() -> None:
    words = [sys.executable, "-m", "tests.benchmarks", "--quick", "--share", "0.0001"]
    told = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True, env=_paths())
    heads, _, *rows = told.stdout.splitlines()
    assert heads.split() == ["what", "budget", "measured", "instead", "ratio"]
    assert len(rows) == ROWS
    assert all(row.endswith((" met", " NOT MET")) for row in rows)


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
