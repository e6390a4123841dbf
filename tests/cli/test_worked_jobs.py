"""The worked bench jobs of the page on natural bend: answers and drawings are those shown."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

DOCS = Path(__file__).parents[2] / "docs"
JOBS = {"breather": "K05-16", "coolant-loop": "C01-7.9", "rocking-crankcase": "K02-19.1"}


@pytest.mark.parametrize(("job", "hose"), JOBS.items())
def test_the_drawing_is_that_of_the_page(command: Any, tmp_path: Path, job: str, hose: str) -> None:
    drawn = tmp_path / "drawn.svg"
    told = command("cut", str(DOCS / "jobs" / f"{job}.toml"), "--hose", hose, "--draw", str(drawn))
    assert told.code == 0
    shown = (DOCS / "pictures" / f"{job}.svg").read_text(encoding="utf-8")
    assert drawn.read_text(encoding="utf-8") == shown


def test_every_job_and_picture_is_on_the_page() -> None:
    page = (DOCS / "natural-bend.md").read_text(encoding="utf-8")
    for job in (DOCS / "jobs").glob("*.toml"):
        assert f"jobs/{job.name}" in page
        assert f"pictures/{job.stem}.svg" in page
        assert job.stem in JOBS
