"""Dates that a spreadsheet made of fractions are refused by their cell, and nothing else is."""

from __future__ import annotations

import pytest

from hoseselect.intake.cell_dates import is_date
from hoseselect.intake.sheet_cells import Column
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.knowledge.errors import InputError

DATES = (
    "3-Aug", "03-Aug", "Aug-03", "3. Aug", "08. Mrz", "08.Mrz", "8-mars", "3 août", "8/mar",
    "2024-03-08", "2024-03-08 00:00:00", "08.03.2024", "3/8/2024", "8.3.24", "3-8-24",
    "8-Mar-24", "8 March 2024", "12-05-2024 10:13",
)  # fmt: skip
FIGURES = (
    "3/8", "1 3/8", "1-3/8", "3/8 in", "10 3/8\"", "13", "13 mm", "13,5", "12.7", "-65", "-40 degC",
    "1,250", "1.250.000", "2000", "5/16", "30 mm around", "20 inHg vacuum", "1 bar", "dec", "may",
)  # fmt: skip


@pytest.mark.parametrize("text", DATES)
def test_a_date_is_no_figure(text: str) -> None:
    assert is_date(text)
    for key in ("nipples.outside_diameter", "duty.pressure_max", "duty.fluid_steady"):
        with pytest.raises(InputError, match="spreadsheets make dates of 3/8"):
            Column(sheet_keys()[key], "mm").typed(text)


@pytest.mark.parametrize("text", FIGURES)
def test_a_figure_is_no_date(text: str) -> None:
    assert not is_date(text)


def test_a_date_in_a_column_of_words_is_left_alone() -> None:
    assert Column(sheet_keys()["name"]).typed("3-Aug") == "3-Aug"
