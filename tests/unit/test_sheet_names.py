"""Names of lines are read in a sheet as they are at the door."""

from __future__ import annotations

import csv
from pathlib import Path

from hoseselect.domain.job import Job
from hoseselect.files.sheet_line import SheetLine
from hoseselect.intake.job_headings import column_uses
from hoseselect.intake.name_gate import speaks_of_a_line, stop_in_name
from hoseselect.intake.names import known_service
from hoseselect.intake.sheet_reader import SheetReader
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.rules.name_words import known_words, names_gas_fuel

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


def test_a_name_that_is_passed_over_speaks_of_no_line() -> None:
    """The quick look at a name never passes over one that the full look would see."""
    words = [" ".join(run) for run in known_words()]
    words += [row["other_name"] for name in ("stop_names", "service_names") for row in table(name)]
    forms = ("{0}", "job 7 {0}s left", "{0}/12", "HOSE.{0}", "no. {0}-3", "l.{0}")
    telling = 0
    for text in (form.format(word) for word in words for form in forms):
        full = names_gas_fuel(text) or bool(stop_in_name(text))
        assert speaks_of_a_line(text) == full, text
        telling += full
    assert 100 < telling < len(words) * len(forms) / 2
    assert not speaks_of_a_line("line 123456")
