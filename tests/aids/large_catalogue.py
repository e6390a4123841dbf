"""A large catalogue: the invented types over and over, each time with other names."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

NAMES = {
    "hose_types.csv": ("hose_type",),
    "hose_sizes.csv": ("hose_size", "hose_type"),
    "rolls.csv": ("roll", "hose_size"),
}
"""Columns that hold names of each file that is repeated."""


def repeat_catalogue(source: Path, folder: Path, times: int) -> Path:
    """Write a catalogue that holds the hoses of another one some times; return its folder."""
    shutil.copytree(source, folder)
    for name, named in NAMES.items():
        with (source / name).open(encoding="utf-8-sig", newline="") as stream:
            rows = list(csv.DictReader(stream))
        with (folder / name).open("w", encoding="utf-8", newline="") as stream:
            writer = csv.DictWriter(stream, list(rows[0]))
            writer.writeheader()
            for turn in range(times):
                mark = f"X{turn}-" if turn else ""
                writer.writerows({**row, **{key: mark + row[key] for key in named}} for row in rows)
    return folder
