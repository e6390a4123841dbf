"""A sheet with semicolons has decimal commas: no point before three digits is read silently."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path

import pytest

from hoseselect.domain.job import Job
from hoseselect.files.open_sheet import open_sheet
from hoseselect.intake.job_sheet import job_sheet
from hoseselect.intake.sheet_reader import LineFault, SheetReader
from hoseselect.interfaces.sheets.order_sheet import read_orders
from hoseselect.knowledge.errors import HoseselectError

Line = Job | tuple[LineFault, ...] | None


def lines(folder: Path, separator: str, *rows: list[str]) -> Iterator[Line]:
    """Yield what the sheet of jobs says, read as the command reads it."""
    text = io.StringIO()
    csv.writer(text, delimiter=separator).writerows(rows)
    path = folder / "jobs.csv"
    path.write_text(text.getvalue(), encoding="utf-8")
    source = open_sheet(path)
    sheet = job_sheet(source.lines(), path.name, separator=source.separator)
    reader = SheetReader(sheet.uses, decimal=sheet.decimal)
    for line in sheet.lines:
        yield reader.read(line)


HEAD = ["service", "nipple", "measured", "duty.pressure_min"]


def read(folder: Path, separator: str, **cells: str) -> Line:
    usual = {"service": "heater hose", "nipple": "15,9", "measured": "500,5", "pressure": ""}
    if separator == ",":
        usual = {name: text.replace(",", ".") for name, text in usual.items()}
    (told,) = lines(folder, separator, HEAD, list({**usual, **cells}.values()))
    return told


@pytest.mark.parametrize("measured", ["1.250", "1.250 mm", "2.000", "0,5;1.250"])
def test_a_point_before_three_digits_is_asked_about(tmp_path: Path, measured: str) -> None:
    told = read(tmp_path, ";", measured=measured)
    assert isinstance(told, tuple)
    (fault,) = told
    assert fault.cells == ("C2",)
    assert fault.key == "route.measured"
    if ";" not in measured:
        assert "in a sheet with decimal commas" in fault.found
        whole = measured.removesuffix(" mm").replace(".", "")
        assert whole in fault.expected


@pytest.mark.parametrize(
    ("measured", "length"),
    [("1250", 1250), ("500,5", 500.5), ("1.250,5", 1250.5), ("0.525 m", 525), ("12.5 mm", 12.5),
     ("1.250 m", 1250), ("9.525 mm", None)],
)  # fmt: skip
def test_what_has_one_reading_is_read(tmp_path: Path, measured: str, length: float | None) -> None:
    """1.250 m is 1.25 m, as no hose is 1250 m long; 9.525 mm of length may be 9.5 m of it."""
    told = read(tmp_path, ";", measured=measured)
    if length is None:
        assert isinstance(told, tuple)
        return
    assert isinstance(told, Job)
    assert told.route.measured == pytest.approx(length)


def test_the_limits_of_a_field_settle_what_they_can(tmp_path: Path) -> None:
    """No nipple is 9525 mm wide, and no suction is 65325 kPa deep."""
    told = read(tmp_path, ";", nipple="9.525", pressure="-65.325")
    assert isinstance(told, Job)
    assert told.nipple_a.outside_diameter == 9.525
    assert told.duty.pressure_min == -65.325


def test_a_run_is_asked_about_as_well(tmp_path: Path) -> None:
    rows = (["service", "nipple", "route.run"], ["heater hose", "16", "1.250; 90 deg at 80; 200"])
    (told,) = lines(tmp_path, ";", *rows)
    assert isinstance(told, tuple)
    assert "in a sheet with decimal commas" in told[0].found


def test_a_sheet_with_commas_between_cells_has_decimal_points(tmp_path: Path) -> None:
    told = read(tmp_path, ",", measured="1.250 mm")
    assert isinstance(told, Job)
    assert told.route.measured == 1.25


def test_names_keep_their_points(tmp_path: Path) -> None:
    rows = (["name", *HEAD], ["order 1.250", "heater hose", "15,9", "500,5", ""])
    (told,) = lines(tmp_path, ";", *rows)
    assert isinstance(told, Job)
    assert told.name == "order 1.250"


def test_a_list_of_lengths_asks_too(tmp_path: Path) -> None:
    path = tmp_path / "orders.csv"
    path.write_text("hose_size;length;count\nC01-6.4;1.250;2\n", encoding="utf-8")
    with pytest.raises(HoseselectError, match="point may part thousands"):
        read_orders(path)
    path.write_text("hose_size;length;count\nC01-6.4;1250,5;2\n", encoding="utf-8")
    assert read_orders(path)[0].length == 1250.5
