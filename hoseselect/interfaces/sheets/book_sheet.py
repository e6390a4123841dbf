"""The job book as a CSV sheet that a spreadsheet opens without running anything."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from typing import Any

from hoseselect.book.entry import Entry
from hoseselect.files.harmless import harmless

COLUMNS = (
    *("number", "asked_at", "command", "note", "name", "service", "verdict", "hose", "cut_mm"),
    *("units", "altered_from", "fitted", "fitted_hose", "fitted_on", "recheck_on", "done_on"),
    *("options", "job"),
)


def book_text(entries: Sequence[Entry]) -> str:
    """Return lines of the book as CSV text with one line of headings; oldest first."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    for entry in sorted(entries, key=lambda one: one.number):
        row = entry.as_json()
        writer.writerow([_cell(row[name]) for name in COLUMNS])
    return text.getvalue()


def _cell(value: Any) -> Any:
    if isinstance(value, dict):
        value = json.dumps(value, ensure_ascii=False, sort_keys=True)
    return harmless(value) if isinstance(value, str) else value
