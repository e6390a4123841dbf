"""The worked bench jobs of the page on natural bend: answers and drawings are those shown."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

DOCS = Path(__file__).parents[2] / "docs"
JOBS = {"breather": "K05-16", "coolant-loop": "C01-7.9", "rocking-crankcase": "K02-19.1"}
CURVES = ("breather-curve",)


@pytest.mark.parametrize(("job", "hose"), JOBS.items())
def test_the_drawing_is_that_of_the_page(command: Any, tmp_path: Path, job: str, hose: str) -> None:
    drawn, curve = tmp_path / "drawn.svg", tmp_path / "curve.svg"
    asked = ("--hose", hose, "--draw", str(drawn), "--curve", str(curve))
    told = command("cut", str(DOCS / "jobs" / f"{job}.toml"), *asked)
    assert told.code == 0
    for file, name in ((drawn, job), (curve, f"{job}-curve")):
        shown = DOCS / "pictures" / f"{name}.svg"
        if name == job or name in CURVES:
            assert file.read_text(encoding="utf-8") == shown.read_text(encoding="utf-8")


def test_every_job_and_picture_is_on_the_page() -> None:
    page = (DOCS / "explanation" / "natural-bend.md").read_text(encoding="utf-8")
    for job in (DOCS / "jobs").glob("*.toml"):
        assert f"jobs/{job.name}" in page
        assert f"pictures/{job.stem}.svg" in page
        assert job.stem in JOBS
