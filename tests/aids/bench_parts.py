"""Parts of the bench of the unit tests: jobs as rules see them, a clamp of a made shop."""

from __future__ import annotations

from typing import Any

from hoseselect.judging.columns import JobColumns
from hoseselect.judging.view import JobView


def view(jobs: JobColumns) -> JobView:
    """Return jobs as rules see them."""
    return JobView(lambda name: getattr(jobs, name), len(jobs))


def clamp(
    name: str, family: str, low: float = 16, high: float = 20, band: float = 9
) -> dict[str, Any]:
    """Return the row of a clamp; range and band width [mm]."""
    return {
        "clamp": name,
        "family": family,
        "range_min_mm": low,
        "range_max_mm": high,
        "band_width_mm": band,
        "price": 1,
    }
