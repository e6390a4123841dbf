"""Cut lengths of the worked scenarios, to the millimetre.

Judgement of the trade: common practice, no source; invented data.
Lengths: common practice, no source; tip = centreline, bare = tip + engagements,
cut = bare + movement, rounded up to 5 mm.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

JOBS = Path(__file__).parent / "jobs"
# scenario, tip, bare, cut, a hose that carries the cut; none where no hose of the shelf suits
LENGTHS = [
    ("s01", 412.8, 462.8, 465.0, "H14-13"),
    ("s02", 304.2, 354.2, 355.0, "H15-15.9"),
    ("s03", 589.9, 649.9, 660.0, "H14-19"),
    ("s03", 589.9, 649.9, 660.0, "H20-19"),
    ("s05", 387.1, 437.1, 440.0, "H14-16"),
    ("s07", 233.5, 283.5, 285.0, ""),
    ("s09", 677.1, 737.1, 755.0, "H01-15.9"),
    ("s09", 677.1, 737.1, 755.0, "H03-15.9"),
    ("s11", 304.2, 344.2, 345.0, "H02-7.9"),
    ("s15", 300.0, 350.0, 375.0, ""),
    ("s17", 650.0, 674.0, 685.0, "H05-3.5"),
    ("s17", 650.0, 674.0, 685.0, "H17-3.5"),
    ("s18", 441.4, 491.4, 505.0, "H07-7.9"),
    ("s24", 552.8, 608.8, 625.0, ""),
    ("s25_return", 487.1, 543.1, 560.0, "H12-9.5"),
    ("s25_return", 487.1, 543.1, 560.0, "H11-9.5"),
    ("s27_washer", 900.0, 924.0, 935.0, "H17-4"),
    ("s27_washer", 900.0, 924.0, 935.0, "H16-4"),
]


@pytest.mark.parametrize(("name", "tip", "bare", "cut", "hose"), LENGTHS)
def test_cut_length(
    ask: Callable[..., Any], name: str, tip: float, bare: float, cut: float, hose: str
) -> None:
    told = ask(name, *([hose] if hose else ["H01"]))
    plans = [told.plan()]
    if hose:
        assert told.hose(hose).cut is not None
        plans.append(told.hose(hose).cut)
    for plan in plans:
        assert plan.tip == pytest.approx(tip, abs=0.1)
        assert plan.bare == pytest.approx(bare, abs=0.1)
        assert plan.cut == pytest.approx(cut, abs=1e-9)
        assert sum(part.length for part in plan.parts) == pytest.approx(cut, abs=1e-9)


@pytest.mark.parametrize(("name", "tip", "bare", "cut", "hose"), LENGTHS)
def test_cut_follows_the_route(
    ask: Callable[..., Any], name: str, tip: float, bare: float, cut: float, hose: str
) -> None:
    values = tomllib.loads((JOBS / f"{name}.toml").read_text(encoding="utf-8"))
    route = values["route"]
    longer = {"route.measured": f"{tip + 10} mm"}
    if "run" in route:
        first = float(route["run"][0].removesuffix(" mm"))
        longer = {"route.run": [f"{first + 10} mm", *route["run"][1:]]}
    plan = ask(name, "H01", change=longer).plan()
    assert plan.tip == pytest.approx(tip + 10, abs=0.1)
    assert plan.cut == pytest.approx(cut + 10, abs=1e-9)


def test_every_job_file_is_asked() -> None:
    tests = "".join(p.read_text(encoding="utf-8") for p in Path(__file__).parent.glob("test_*.py"))
    unused = [path.stem for path in JOBS.glob("*.toml") if f'"{path.stem}"' not in tests]
    assert unused == []
