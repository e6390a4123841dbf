"""Sheets that are damaged, or beyond measure: one sentence each, soon and in little memory."""

from __future__ import annotations

import csv
import os
import random
import re
import sys
import time
import zipfile
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from hoseselect.files import workbook_sheet
from hoseselect.files.number_format import shows_otherwise
from hoseselect.files.open_file import read_bytes
from hoseselect.files.open_sheet import open_sheet
from hoseselect.files.sheet_line import MOST_COLUMNS
from hoseselect.knowledge.errors import InputError

SHEET = "xl/worksheets/sheet1.xml"
Change = Callable[[str], str]


def workbook() -> bytes:
    made, data = Workbook(), BytesIO()
    made.active.append(["service", "nipple", "measured"])
    made.active.append(["heater hose", 16, "=250*2"])
    made.save(data)
    return data.getvalue()


def changed(path: Path, change: Change) -> Path:
    """Write a workbook whose sheet is changed as text."""
    with (
        zipfile.ZipFile(BytesIO(workbook())) as old,
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            data = old.read(name)
            new.writestr(name, change(data.decode()) if name == SHEET else data)
    return path


def put(before: str, text: str) -> Change:
    def change(sheet: str) -> str:
        assert before in sheet
        return sheet.replace(before, text + before, 1)

    return change


def named(old: str, new: str) -> Change:
    def change(sheet: str) -> str:
        assert old in sheet
        return sheet.replace(old, new)

    return change


DAMAGED: dict[str, tuple[Change, str]] = {
    "torn": (lambda sheet: sheet[: len(sheet) // 2], "a workbook that cannot be read"),
    "no cell of that name": (named('r="B2"', 'r="ZZZZZZZ2"'), "a workbook that cannot be read"),
    "a column too many": (named('r="C2"', 'r="XFE2"'), "16385 columns"),
    "an entity": (
        lambda sheet: '<!DOCTYPE x [<!ENTITY a "b">]>' + sheet.replace("<v>16", "<v>&b;16"),
        "a workbook that cannot be read",
    ),
    "a row beyond the last": (named('<row r="2"', '<row r="2000000000"'), "row 2000000000"),
    "a row that is none": (named('<row r="2"', '<row r="two"'), "a workbook that cannot be read"),
    "too many cells": (put('<c r="A2"', "<c/>" * 20_000), "20003 columns"),
    "a merge of no columns": (
        put("<pageMargins", '<mergeCells><mergeCell ref="A2:ZZZZZZ2"/></mergeCells>'),
        "a workbook that cannot be read",
    ),
    "no number": (named("<v>16</v>", "<v>sixteen</v>"), "a workbook that cannot be read"),
    "no shared text": (named('<c r="B2"', '<c t="s" r="B2"'), "a workbook that cannot be read"),
    "blanks": (put("<sheetData", " " * 30_000_000), "a part that unpacks to 30 MB out of 0.0 MB"),
}


@pytest.mark.parametrize("case", DAMAGED)
def test_a_damaged_workbook_gives_one_sentence(tmp_path: Path, case: str) -> None:
    change, words = DAMAGED[case]
    path = changed(tmp_path / "book.xlsx", change)
    with pytest.raises(InputError) as caught:
        list(open_sheet(path).lines())
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def random_letters(number: int) -> str:
    """Return letters that do not pack well."""
    return random.Random(1).randbytes(number // 2).hex()


NEVER_ENDING = {
    "a cell": lambda: random_letters(10_000_000),
    "cells": lambda: "</v></c>" + "<c/>" * 2_500_000 + "<c><v>",
    "blanks": lambda: "</v></c></row>" + " " * 9_000_000 + "<row><c><v>",
}


@pytest.mark.parametrize("case", NEVER_ENDING)
def test_a_row_that_does_not_end_is_left_before_it_fills_the_memory(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, case: str
) -> None:
    monkeypatch.setattr(workbook_sheet, "HARMLESS", 30_000_000)
    text = NEVER_ENDING[case]()
    path = changed(tmp_path / "book.xlsx", lambda sheet: sheet.replace("<v>16", f"<v>{text}16"))
    start = time.process_time()
    with pytest.raises(InputError, match="more than 8 MB without the end of a row"):
        open_sheet(path)
    assert time.process_time() - start < 10


def test_what_the_library_keeps_as_a_whole_has_a_limit_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = changed(tmp_path / "book.xlsx", lambda sheet: sheet)
    monkeypatch.setattr(workbook_sheet, "HARMLESS", 500)
    monkeypatch.setattr(workbook_sheet, "MOST_AT_ONCE", 600)
    with pytest.raises(InputError, match="a part that unpacks to"):
        open_sheet(path)
    monkeypatch.setattr(workbook_sheet, "MOST_AT_ONCE", 100_000)
    assert len(list(open_sheet(path).lines())) == 2


def test_what_is_no_damage_is_read(tmp_path: Path) -> None:
    first, second = open_sheet(changed(tmp_path / "book.xlsx", lambda sheet: sheet)).lines()
    assert first.cells == ["service", "nipple", "measured"]
    assert second.cells == ["heater hose", "16", ""]
    assert second.faults[2].found == "a formula without a stored value"


def test_hidden_and_merged_spans_end_with_the_sheet(tmp_path: Path) -> None:
    """They may be written for more columns than there are; no list of them is made."""
    path = changed(
        tmp_path / "book.xlsx",
        lambda sheet: put(
            "<pageMargins", '<mergeCells><mergeCell ref="A2:XFD1048576"/></mergeCells>'
        )(put("<sheetData", '<cols><col min="100" max="2000000000" hidden="1"/></cols>')(sheet)),
    )
    sheet = open_sheet(path)
    assert sheet.hidden_columns == frozenset(range(99, MOST_COLUMNS))
    _, line = sheet.lines()
    assert line.cells == ["heater hose"] * 3
    assert line.merged == {0: 0, 1: 0, 2: 0}


def test_merged_areas_that_lie_over_one_another_are_no_workbook(tmp_path: Path) -> None:
    areas = "".join(f'<mergeCell ref="A2:B{n}"/>' for n in range(3, 20_000))
    path = changed(tmp_path / "book.xlsx", put("<pageMargins", f"<mergeCells>{areas}</mergeCells>"))
    with pytest.raises(InputError, match="merged areas one over the other"):
        list(open_sheet(path).lines())


@settings(max_examples=60, deadline=None)
@given(
    part=st.sampled_from([SHEET, "xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml"]),
    place=st.floats(0, 1),
    text=st.one_of(
        st.text(max_size=5),
        st.sampled_from(["<", ">", "&", '"', "</row>", "<c>", "<row>", "<mergeCell/>", "-1", "\0"]),
    ),
    length=st.integers(0, 60),
)
def test_any_damage_is_read_or_told(
    tmp_path_factory: pytest.TempPathFactory, part: str, place: float, text: str, length: int
) -> None:
    path = tmp_path_factory.mktemp("damaged") / "book.xlsx"
    with zipfile.ZipFile(BytesIO(workbook())) as old, zipfile.ZipFile(path, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == part:
                start = int(place * len(data))
                data = data[:start] + text.encode() + data[start + length :]
            new.writestr(name, data)
    try:
        list(open_sheet(path).lines())
    except InputError as error:
        assert "; expected " in str(error)


@settings(max_examples=40, deadline=None)
@given(place=st.floats(0, 1), noise=st.binary(max_size=8))
def test_any_damage_of_the_archive_is_read_or_told(
    tmp_path_factory: pytest.TempPathFactory, place: float, noise: bytes
) -> None:
    data = workbook()
    start = 4 + int(place * (len(data) - 4))
    path = tmp_path_factory.mktemp("damaged") / "book.xlsx"
    path.write_bytes(data[:start] + noise + data[start + len(noise) :])
    try:
        list(open_sheet(path).lines())
    except InputError as error:
        assert "; expected " in str(error)


# Texts


def sheet_of(path: Path, data: bytes, **options: object) -> list[list[str]]:
    path.write_bytes(data)
    return [line.cells for line in open_sheet(path, **options).lines()]  # type: ignore[arg-type]


@pytest.fixture(params=[131_072, 100_000_000])
def csv_limit(request: pytest.FixtureRequest) -> Iterator[None]:
    """The limit of the csv module, its own and one that another library has set for all."""
    before = csv.field_size_limit(request.param)
    yield
    csv.field_size_limit(before)


@pytest.mark.usefixtures("csv_limit")
def test_a_cell_as_long_as_it_may_be(tmp_path: Path) -> None:
    path = tmp_path / "sheet.csv"
    assert sheet_of(path, b"a,b\n" + b"x" * 131_072 + b",c\n")[1][1] == "c"
    path.write_bytes(b"a,b\n" + b"x" * 131_073 + b",c\nd,e\n")
    _, long, last = open_sheet(path).lines()
    assert long.fault is not None
    assert re.fullmatch("a cell of more than 131072 letters, 'x+ ...'", long.fault.found)
    assert last.cells == ["d", "e"]
    with pytest.raises(InputError, match=r"sheet\.csv:2: found a cell of more than 131072 letters"):
        list(open_sheet(path, strict=True).lines())


def test_a_line_without_end(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="a line of more than 10000000 letters"):
        sheet_of(tmp_path / "sheet.csv", b"a,b\n" + b"," * 11_000_000)


def test_a_byte_that_is_no_text_is_told_before_any_line(tmp_path: Path) -> None:
    data = (b"a" * 99 + b"\n") * 12_000 + "ü\n".encode("cp1252")
    told = r"^sheet\.csv:12001: found byte 0xfc, which is not UTF-8"
    with pytest.raises(InputError, match=told):
        sheet_of(tmp_path / "sheet.csv", data)
    assert sheet_of(tmp_path / "sheet.csv", data, encoding="cp1252")[-1] == ["ü"]


def test_the_line_of_the_file_and_the_row_of_the_sheet(tmp_path: Path) -> None:
    path = tmp_path / "sheet.csv"
    path.write_bytes(b'a,"two\nlines"\n\nb,"open\nc,d\n')
    found = [(line.number, line.line, bool(line.fault)) for line in open_sheet(path).lines()]
    assert found == [(1, 1, False), (2, 3, False), (3, 4, True), (4, 5, False)]


@pytest.mark.skipif(sys.platform == "win32", reason="no such files")
def test_devices_and_pipes_are_no_files(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (Path("/dev/zero"), Path("/dev/urandom"), tmp_path / "pipe"):
        with pytest.raises(InputError, match="a device or a pipe"):
            open_sheet(path)
        with pytest.raises(InputError, match="a device or a pipe"):
            read_bytes(path, "a file")


def test_a_file_beyond_measure(tmp_path: Path) -> None:
    path = tmp_path / "file"
    with path.open("wb") as stream:
        stream.truncate(2_000_001)
    with pytest.raises(InputError, match="more than 2 MB"):
        read_bytes(path, "a file", 2_000_000)
    assert len(read_bytes(path, "a file", 2_000_001)) == 2_000_001


@pytest.mark.parametrize(
    ("form", "told"),
    [
        ("General", False),
        ("0", False),
        ("0.00", False),
        ("#,##0", False),
        ("#,##0.00;[Red]-#,##0.00", False),
        ("@", False),
        ("0.00E+00", False),
        ('_-* #,##0.00_-;-* #,##0.00_-;_-* "-"??_-;_-@_-', False),
        ("# ?/?", True),
        ("# ??/16", True),
        ('0" in"', True),
        ('0.0"mm"', True),
        ("0\\°", True),
        ('0"°F"', True),
        ("0%", True),
        ("#,##0,", True),
        ('0.0,"k"', True),
        ("[$€-407] 0.00", True),
        ('0.0;[Red]0.0" bar"', True),
    ],
)
def test_number_formats_that_tell_more_than_the_figure(form: str, told: bool) -> None:
    assert shows_otherwise(form) is told
