"""What each key of a job file means, from `job_keys.csv`."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

FILE = Path(__file__).with_name("job_keys.csv")


@cache
def job_keys() -> dict[str, dict[str, str]]:
    """Return the row of every key of a job file, by its place.

    A row has `key`, `meaning`, `example`, `kind`, `unit` and `beside`: what must stand beside the
    example in a job file.
    """
    with FILE.open(encoding="utf-8", newline="") as stream:
        return {row["key"]: row for row in csv.DictReader(stream)}
