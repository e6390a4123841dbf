"""Workbooks as spreadsheet programs write them: read right, or refused by name of the cell."""

from __future__ import annotations

import csv
import datetime
import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

openpyxl = pytest.importorskip("openpyxl")

Command = Callable[..., Any]
HEADS = ["service", "nipple", "measured", "duty.coldest_start", "features.turbo", "name"]
LINE = ["heater hose", "16 mm", "500 mm", "-25 degC", "no", "van 7"]


@pytest.fixture
def book() -> Any:
    """Return a workbook with headings and one line."""
    made = openpyxl.Workbook()
    made.active.append(HEADS)
    made.active.append(LINE)
    return made


@pytest.fixture
def ask(command: Command, tmp_path: Path) -> Callable[..., list[dict[str, str]]]:
    """Return the question: a workbook's answers, the prefix of their columns left out."""

    def told(book: Any, *options: str) -> list[dict[str, str]]:
        sheet, out = tmp_path / "jobs.xlsx", tmp_path / "answers.csv"
        if isinstance(book, Path):
            sheet = book
        else:
            book.save(sheet)
        found = command("batch", str(sheet), "-o", str(out), *options)
        assert found.code == 0, found.err
        with out.open(encoding="utf-8-sig", newline="") as stream:
            rows = list(csv.DictReader(stream))
        return [{k.removeprefix("answer."): v for k, v in row.items()} for row in rows]

    return told


Ask = Callable[..., list[dict[str, str]]]


def verdict_of(row: dict[str, str]) -> dict[str, str]:
    return {key: row[key] for key in ("verdict", "hose", "reason", "ask", "error")}


def test_numbers_words_and_empty_rows(book: Any, ask: Ask) -> None:
    sheet = book.active
    sheet.append([])
    sheet.append(["heater hose", 16, 500.0, -25, False, 7])
    first, blank, second = ask(book)
    assert set(blank.values()) == {""}
    assert verdict_of(first) == verdict_of(second)
    assert first["error"] == ""
    assert second["nipple"] == "16"


def test_numbers_have_the_unit_of_the_heading(book: Any, ask: Ask) -> None:
    sheet = book.active
    sheet["B1"], sheet["D1"] = "nipple [in]", "duty.coldest_start [degF]"
    sheet["B2"], sheet["D2"] = 0.5, -13
    (row,) = ask(book)
    sheet["B1"], sheet["D1"] = "nipple", "duty.coldest_start"
    sheet["B2"], sheet["D2"] = 12.7, -25
    (other,) = ask(book)
    assert verdict_of(row) == verdict_of(other)


def test_decimal_commas(book: Any, ask: Ask) -> None:
    sheet = book.active
    sheet.append([*LINE])
    sheet["B2"], sheet["B3"] = "15,9 mm", "15.9 mm"
    first, second = ask(book)
    assert verdict_of(first) == verdict_of(second)


@pytest.mark.parametrize(
    "value",
    [
        datetime.datetime(2024, 3, 8),
        datetime.date(2024, 3, 8),
        datetime.datetime(2024, 3, 8, 10, 13, 14, 317400),
    ],
)
def test_a_date_in_place_of_a_fraction_is_refused(book: Any, ask: Ask, value: Any) -> None:
    book.active["B2"] = value
    (row,) = ask(book)
    assert row["verdict"] == "ERROR"
    assert row["error"].startswith("B2 nipples.outside_diameter: found the date ")


@pytest.mark.parametrize("value", [datetime.time(3, 8), datetime.timedelta(hours=3)])
def test_a_clock_in_place_of_a_figure_is_refused(book: Any, ask: Ask, value: Any) -> None:
    book.active["B2"] = value
    (row,) = ask(book)
    assert row["error"].startswith("B2 nipples.outside_diameter: found ")


def test_a_date_beside_the_job_is_no_fault(book: Any, ask: Ask) -> None:
    book.active["F1"] = "note"
    book.active["F2"] = datetime.datetime(2024, 3, 8)
    (row,) = ask(book)
    assert row["error"] == ""
    assert row["note"] == "2024-03-08"


@pytest.mark.parametrize("value", ["#N/A", "#REF!", "#VALUE!", "#DIV/0!"])
def test_an_error_value_is_refused(book: Any, ask: Ask, value: str) -> None:
    book.active["C2"] = value
    (row,) = ask(book)
    assert row["error"].startswith(f"C2 route.measured: found the error {value}")


def test_a_formula_without_a_value_is_refused(book: Any, ask: Ask) -> None:
    book.active["C2"] = "=250*2"
    (row,) = ask(book)
    assert row["error"].startswith("C2 route.measured: found a formula without a stored value")


def test_a_formula_is_read_by_its_stored_value(book: Any, ask: Ask, tmp_path: Path) -> None:
    """A spreadsheet stores the value beside the formula; the library does not, so it is put in."""
    plain = verdict_of(ask(book)[0])
    book.active["C2"] = "=250*2"
    raw, stored = tmp_path / "raw.xlsx", tmp_path / "stored.xlsx"
    book.save(raw)
    with zipfile.ZipFile(raw) as source, zipfile.ZipFile(stored, "w") as target:
        for name in source.namelist():
            data = source.read(name)
            if name.endswith("sheet1.xml"):
                text, count = re.subn(
                    r"<f>250\*2</f><v\s*/?>(?:</v>)?", "<f>250*2</f><v>500</v>", data.decode()
                )
                assert count == 1
                data = text.encode()
            target.writestr(name, data)
    (row,) = ask(stored)
    assert row["measured"] == "500"
    assert verdict_of(row) == plain


@pytest.mark.parametrize(
    ("cell", "value", "form"),
    [
        ("C2", 26.5, "# ?/?"),
        ("C2", 26, '0" in"'),
        ("D2", -13, '0"°F"'),
        ("B2", 0.16, "0%"),
    ],
)
def test_a_figure_shown_otherwise_than_it_is_stored_is_asked_about(
    book: Any, ask: Ask, cell: str, value: float, form: str
) -> None:
    book.active[cell] = value
    book.active[cell].number_format = form
    (row,) = ask(book)
    assert row["verdict"] == "ERROR"
    assert row["error"].startswith(f"{cell} ")
    assert f"found {value:g} shown by the number format '{form}'" in row["error"]


def test_other_number_formats_and_names_are_no_fault(book: Any, ask: Ask) -> None:
    plain = verdict_of(ask(book)[0])
    book.active["C2"], book.active["F2"] = 500, 7
    book.active["C2"].number_format = "#,##0.00;[Red]-#,##0.00"
    book.active["F2"].number_format = '"van "0'
    (row,) = ask(book)
    assert verdict_of(row) == plain


def test_merged_headings_of_two_lines(ask: Ask) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Jobs of May", None, None, None, None])
    sheet.append(["service", "duty", None, "nipple_a", None])
    sheet.append([None, "fluid_steady [degF]", "air_steady", "outside_diameter", "bead"])
    sheet.append(["heater hose", "x", "y", "z", "w"])
    for area in ("A1:E1", "A2:A3", "B2:C2", "D2:E2"):
        sheet.merge_cells(area)
    (row,) = ask(book)
    told = [part.split(":")[0] for part in row["error"].split(" | ")]
    assert told == [
        "B4 duty.fluid_steady",
        "C4 duty.air_steady",
        "D4 nipple_a.outside_diameter",
        "E4 nipple_a.bead",
    ]


def test_cells_merged_downwards_repeat(book: Any, ask: Ask) -> None:
    sheet = book.active
    sheet.append([None, *LINE[1:]])
    sheet.append(["PCV hose", *LINE[1:]])
    sheet.merge_cells("A2:A3")
    first, second, third = ask(book)
    assert verdict_of(first) == verdict_of(second)
    assert verdict_of(third) != verdict_of(second)


def test_cells_merged_sideways_are_refused(book: Any, ask: Ask) -> None:
    sheet = book.active
    sheet.append([*LINE])
    sheet.merge_cells("B2:C2")
    merged, other = ask(book)
    assert other["error"] == ""
    assert merged["error"].startswith("B2 nipples.outside_diameter: found a cell merged")
    assert "C2 route.measured" in merged["error"]


def test_a_hidden_column_that_would_decide_is_refused(
    book: Any, command: Command, tmp_path: Path
) -> None:
    book.active.column_dimensions["D"].hidden = True
    book.save(tmp_path / "jobs.xlsx")
    out = tmp_path / "answers.xlsx"
    told = command("batch", str(tmp_path / "jobs.xlsx"), "-o", str(out))
    assert told.code == 2
    assert told.err.startswith("D1: found a hidden column 'duty.coldest_start'")
    assert not out.exists()


def test_a_hidden_column_of_notes_is_carried_over(book: Any, ask: Ask) -> None:
    book.active["F1"] = "notes"
    book.active.column_dimensions["F"].hidden = True
    (row,) = ask(book)
    assert row["notes"] == "van 7"


def test_a_hidden_row_is_a_line_as_any_other(book: Any, ask: Ask) -> None:
    book.active.append([*LINE])
    book.active.row_dimensions[2].hidden = True
    assert len(ask(book)) == 2


def test_the_first_sheet_that_is_shown(
    book: Any, ask: Ask, command: Command, tmp_path: Path
) -> None:
    other = book.create_sheet("other")
    other.append(["service"])
    other.append(["brake line"])
    book.worksheets[0].sheet_state = "hidden"
    book.active = 1
    assert ask(book)[0]["verdict"] == "STOP"
    name = book.worksheets[0].title
    assert ask(book, "--sheet", name)[0]["verdict"] != "STOP"
    told = command(
        "batch", str(tmp_path / "jobs.xlsx"), "-o", str(tmp_path / "a.csv"), "--sheet", "nowhere"
    )
    assert told.code == 2
    assert "'nowhere'" in told.err


def test_a_workbook_of_answers_reads_as_a_sheet_of_jobs(
    book: Any, command: Command, tmp_path: Path
) -> None:
    book.save(tmp_path / "jobs.xlsx")
    one, two = tmp_path / "one.xlsx", tmp_path / "two.xlsx"
    assert command("batch", str(tmp_path / "jobs.xlsx"), "-o", str(one)).code == 0
    assert command("batch", str(one), "-o", str(two)).code == 0
    rows = [
        list(openpyxl.load_workbook(path)["answers"].iter_rows(values_only=True))
        for path in (one, two)
    ]
    assert rows[0] == rows[1]


def test_far_cells_and_letters_of_any_script(book: Any, ask: Ask) -> None:
    book.active["F2"] = "خرطوم — шланг ⟨α⟩"
    book.active["AB2"] = "stray"
    (row,) = ask(book)
    assert row["name"] == "خرطوم — шланг ⟨α⟩"
    assert row["error"].startswith("AB2 (cell): found 'stray' below no heading")


def test_the_workbook_of_answers_has_one_row_a_line(
    book: Any, command: Command, tmp_path: Path
) -> None:
    for number in range(30):
        book.active.append([*LINE[:5], f"van {number}"])
    book.save(tmp_path / "jobs.xlsx")
    out = tmp_path / "answers.xlsx"
    assert command("batch", str(tmp_path / "jobs.xlsx"), "-o", str(out)).code == 0
    rows = list(openpyxl.load_workbook(out)["answers"].iter_rows(values_only=True))
    place = rows[0].index("name")
    assert [row[place] for row in rows[1:]] == ["van 7", *(f"van {n}" for n in range(30))]
