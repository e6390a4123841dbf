"""Names of lines are read in a sheet as they are at the door."""

from __future__ import annotations

import csv
from pathlib import Path

from hoseselect.domain.job import Job
from hoseselect.files.sheet_line import SheetLine
from hoseselect.intake.job_headings import column_uses
from hoseselect.intake.names import known_service
from hoseselect.intake.sheet_reader import SheetReader
from hoseselect.knowledge.errors import InputError

NAMES = Path(__file__).with_name("line_names_expected.csv")


def test_a_sheet_reads_names_of_lines_as_the_door_does() -> None:
    with NAMES.open(encoding="utf-8", newline="") as stream:
        _, *rows = csv.reader(stream)
    reader = SheetReader(column_uses(["service"], [""], 1))
    read = 0
    for number, (name, *_) in enumerate(rows, start=2):
        found = reader.read(SheetLine(number, [name]))
        try:
            expected = known_service(name)
        except InputError as error:
            assert isinstance(found, tuple), name
            assert (found[0].found, found[0].expected) == (error.found, error.expected)
            assert found[0].cells == (f"A{number}",)
            continue
        assert isinstance(found, Job), name
        assert found.service == expected
        read += 1
    assert read > len(rows) / 3
