"""A supplier's sheet into a catalogue folder: what is read, what is refused, by which cell."""

from __future__ import annotations

import csv
import datetime
import re
import tempfile
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hoseselect.application.import_catalogue import CatalogueImport, import_catalogue
from hoseselect.application.new_catalogue import new_catalogue
from hoseselect.catalogue.read import examine, read_catalogue
from hoseselect.catalogue.supplier.mapping import LISTS, short_name
from hoseselect.catalogue.supplier.mapping_file import mapping_from
from hoseselect.catalogue.supplier.sheet import SupplierSheet, read_sheet
from hoseselect.catalogue.supplier.suggest import suggest_mapping
from hoseselect.catalogue.tables import HOSE_SIZES, TABLES
from hoseselect.knowledge.errors import InputError, ManyFaultsError

ROOT = Path(__file__).parents[2]
BUILT_IN = ROOT / "catalog"

COLUMNS = """
[constants]
reinforcement = "textile"

[columns]
hose_type = {heading = "Type"}
liner = {heading = "Liner"}
bore = {heading = "ID", unit = "mm"}
outside_diameter = {heading = "OD", unit = "mm"}
price_per_m = {heading = "Price"}
"""
SHEET = "Type,Liner,ID,OD,Price\nA1,EPDM,9.5,16.5,3\nA1,EPDM,12.7,20.5,4\n"

Bring = Callable[..., CatalogueImport]


@pytest.fixture
def bring(tmp_path: Path) -> Bring:
    """Import a sheet (text of a CSV, or rows of a workbook) by a mapping into tmp_path/shop."""

    def run(sheet: str | Path, mapping: str = COLUMNS, **options: Any) -> CatalogueImport:
        path = sheet if isinstance(sheet, Path) else tmp_path / "sheet.csv"
        if isinstance(sheet, str):
            path.write_text(sheet, encoding="utf-8")
        (tmp_path / "mapping.toml").write_text(mapping, encoding="utf-8")
        return import_catalogue(path, tmp_path / "mapping.toml", tmp_path / "shop", **options)

    return run


def workbook(path: Path, rows: list[list[Any]], shape: Callable[[Any], None] | None = None) -> Path:
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    for row in rows:
        sheet.append(row)
    if shape:
        shape(sheet)
    book.save(path)
    return path


def rows_of(folder: Path, file: str = "hose_sizes.csv") -> list[dict[str, str]]:
    with (folder / file).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def everything(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def errors(result: CatalogueImport) -> list[str]:
    return [complaint.sentence for complaint in result.errors]


def test_a_plain_sheet_makes_a_sound_folder(bring: Bring, tmp_path: Path) -> None:
    result = bring(SHEET)
    assert result.written
    assert result.made
    assert result.added["hose_types.csv"] == 1
    assert result.added["hose_sizes.csv"] == 2
    assert examine(tmp_path / "shop")[1] == []
    assert [row["hose_size"] for row in rows_of(tmp_path / "shop")] == ["A1-9.5", "A1-12.7"]
    assert rows_of(tmp_path / "shop", "hose_types.csv")[0]["description"] == "A1"
    assert {path.name for path in tmp_path.iterdir()} - {".shop.lock"} == {
        "sheet.csv",
        "mapping.toml",
        "shop",
    }


def test_reinforcement_that_no_column_states_is_told_of_every_type(bring: Bring) -> None:
    result = bring(SHEET, COLUMNS.replace('reinforcement = "textile"', ""))
    assert result.written
    assert [c.sentence for c in result.warnings] == [
        "sheet.csv:2: found an empty cell for reinforcement; expected none, textile, wire or"
        " textile-and-wire: hot lines under pressure need it"
    ]


# Round trip


def flat_rows(lists: str) -> list[dict[str, str]]:
    """The rows of the built-in catalogue as one flat sheet."""
    if lists != "hoses":
        return rows_of(BUILT_IN, LISTS[lists][0].file)
    types = {row["hose_type"]: row for row in rows_of(BUILT_IN, "hose_types.csv")}
    return [{**types[row["hose_type"]], **row} for row in rows_of(BUILT_IN)]


def own_mapping(lists: str) -> str:
    lines = [f'[sheet]\nlists = "{lists}"\n[columns]']
    for table in LISTS[lists]:
        for field in table.fields:
            unit = "" if field.unit in {"", "money", "Shore A"} else f', unit = "{field.unit}"'
            lines.append(f'{short_name(field)} = {{heading = "{field.name}"{unit}}}')
    return "\n".join(dict.fromkeys(lines))


def same(one: Any, other: Any) -> None:
    for field in fields(one):
        mine, theirs = getattr(one, field.name), getattr(other, field.name)
        if isinstance(mine, np.ndarray):
            np.testing.assert_array_equal(mine, theirs, err_msg=field.name)
        else:
            assert mine == theirs, field.name


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_the_built_in_catalogue_comes_back_as_it_was(
    bring: Bring, tmp_path: Path, kind: str
) -> None:
    for lists in LISTS:
        flat = flat_rows(lists)
        path = tmp_path / f"{lists}.{kind}"
        if kind == "csv":
            with path.open("w", encoding="utf-8", newline="") as stream:
                writer = csv.DictWriter(stream, list(flat[0]))
                writer.writeheader()
                writer.writerows(flat)
        else:
            cells = [[as_number(text) for text in row.values()] for row in flat]
            workbook(path, [list(flat[0]), *cells])
        result = bring(path, own_mapping(lists))
        assert result.written, errors(result)
    mine, theirs = read_catalogue(tmp_path / "shop"), read_catalogue(BUILT_IN)
    for table in ("types", "sizes", "clamps", "fittings", "rolls"):
        same(getattr(mine, table), getattr(theirs, table))


def as_number(text: str) -> float | str | None:
    try:
        return float(text) if text else None
    except ValueError:
        return text


# Units and figures


@pytest.mark.parametrize(
    ("unit", "cell", "bore"),
    [
        ("in", "3/8", "9.525"),
        ("in", "0.5", "12.7"),
        ("mm", '"9,5"', "9.5"),
        ("in", "12 mm", "12"),
        ("cm", "1.27", "12.7"),
        ("mm", "1/2 in", "12.7"),
    ],
)
def test_units_of_column_and_cell(
    bring: Bring, tmp_path: Path, unit: str, cell: str, bore: str
) -> None:
    mapping = COLUMNS.replace('heading = "ID", unit = "mm"', f'heading = "ID", unit = "{unit}"')
    result = bring(f"Type,Liner,ID,OD,Price\nA1,EPDM,{cell},25,3\n", mapping)
    assert result.written, errors(result)
    assert rows_of(tmp_path / "shop")[0]["bore_mm"] == bore


@pytest.mark.parametrize(
    ("column", "unit", "cell", "expected"),
    [
        ("working_pressure_clamped", "bar", "10", 1000.0),
        ("working_pressure_clamped", "psi", "50", 344.737865),  # 50 x 6.894757293 (NIST SP 811)
        ("suction_limit_cold", "inHg vacuum", "22", -74.50055),  # 22 x 3.386389 (NIST SP 811, B.8)
        ("suction_limit_cold", "bar", "-0.6", -60.0),
        ("suction_limit_cold", "bar vacuum", "-0.6", -60.0),
        ("roll_length", "ft", "50", 15.24),
        ("price_per_m", "ft", "3.048", 10.0),
        ("temperature_continuous", "degF", "257", 125.0),
    ],
)
def test_other_units(
    bring: Bring, tmp_path: Path, column: str, unit: str, cell: str, expected: float
) -> None:
    mapping = COLUMNS.replace('price_per_m = {heading = "Price"}', "")
    mapping += f'{column} = {{heading = "X", unit = "{unit}"}}\n'
    result = bring(f"Type,Liner,ID,OD,X\nA1,EPDM,9.5,16.5,{cell}\n", mapping)
    assert result.written, errors(result)
    files = {**rows_of(tmp_path / "shop")[0], **rows_of(tmp_path / "shop", "hose_types.csv")[0]}
    name = next(heading for heading in files if heading.startswith(column))
    assert float(files[name]) == pytest.approx(expected, rel=1e-7)


def test_a_comma_with_two_readings_is_asked_about_by_its_cell(bring: Bring) -> None:
    sheet = SHEET.replace(",3\n", ',"1,250"\n')
    result = bring(sheet)
    assert not result.written
    assert errors(result) == [
        "sheet.csv:2:5 (Price): found '1,250', where the comma may part thousands (1250) or"
        " decimals (1.25); expected the figure without a comma before three digits: 1250 or 1.25"
    ]


@pytest.mark.parametrize(("decimal", "price"), [("comma", "1.25"), ("point", "1250")])
def test_the_decimal_sign_can_be_settled(
    bring: Bring, tmp_path: Path, decimal: str, price: str
) -> None:
    mapping = f'[sheet]\ndecimal = "{decimal}"\n' + COLUMNS
    assert bring(SHEET.replace(",3\n", ',"1,250"\n'), mapping).written
    assert rows_of(tmp_path / "shop")[0]["price_per_m"] == price


def test_semicolons_and_decimal_commas(bring: Bring, tmp_path: Path) -> None:
    result = bring("Type;Liner;ID;OD;Price\nA1;EPDM;9,5;16,5;3,25\nA1;EPDM;12,7;20,5;4\n")
    assert result.written, errors(result)
    assert [row["bore_mm"] for row in rows_of(tmp_path / "shop")] == ["9.5", "12.7"]


def test_half_the_outside_diameter_is_added_to_an_inside_radius(
    bring: Bring, tmp_path: Path
) -> None:
    mapping = COLUMNS + 'least_bend_radius={heading="R", unit="mm", measured="inside"}\n'
    result = bring("Type,Liner,ID,OD,Price,R\nA1,EPDM,9.5,16.5,3,60\nA1,EPDM,8,,3,60\n", mapping)
    assert errors(result) == [
        "sheet.csv:3:6 (R): found '60' measured on the inside of the bend; expected an outside"
        " diameter, half of which is added"
    ]
    assert bring("Type,Liner,ID,OD,Price,R\nA1,EPDM,9.5,16.5,3,60\n", mapping).written
    assert rows_of(tmp_path / "shop")[0]["least_bend_radius_mm"] == "68.25"


def test_another_unit_in_the_heading_is_warned_of(bring: Bring) -> None:
    mapping = COLUMNS.replace('"ID"', '"ID (in)"')
    result = bring(SHEET.replace("ID", "ID (in)"), mapping)
    assert [c.sentence for c in result.warnings] == [
        "sheet.csv:1:3 (ID (in)): found the unit 'in' in the heading;"
        " expected 'mm', as the mapping says"
    ]
    assert bring(SHEET.replace("ID", "ID (mm)"), COLUMNS.replace('"ID"', '"ID (mm)"')).errors


def test_suction_without_a_sign_is_not_taken_for_suction(bring: Bring) -> None:
    mapping = COLUMNS + 'suction_limit_cold = {heading = "V", unit = "bar"}\n'
    result = bring("Type,Liner,ID,OD,Price,V\nA1,EPDM,9.5,16.5,3,0.6\n", mapping)
    assert len(result.errors) == 1
    assert "at most 0 kPa; suction is negative" in errors(result)[0]


def test_a_text_that_a_spreadsheet_would_run_is_refused(bring: Bring) -> None:
    mapping = COLUMNS + 'remark = {heading = "Note"}\n'
    result = bring("Type,Liner,ID,OD,Price,Note\nA1,EPDM,9.5,16.5,3,=1+1\n", mapping)
    assert [(c.line, c.column) for c in result.errors] == [(2, 6)]


# Faults


@pytest.mark.parametrize(
    ("cell", "column", "text", "words"),
    [
        ("9.5", 3, "nine", "a length"),
        ("9.5", 3, "9.5 psi", "a pressure"),
        ("9.5", 3, "9.3-9.7", "9.3-9.7"),
        ("9.5", 3, "9.5 +/- 0.3", "without a tolerance"),
        ("9.5", 3, "0", "more than 0 mm"),
        ("9.5", 3, "-9.5", "at least 0"),
        ("9.5", 3, "11/4", "11/4"),
        ("9.5", 3, "17", "less than the outside diameter 16.5 mm"),
        ("16.5", 4, "huge", "a length"),
        ("EPDM", 2, "EDPM", "perhaps EPDM"),
        ("EPDM", 2, "synthetic", "[words.liner]"),
        (",3\n", 5, ",USD 3\n", "USD 3"),
        (",3\n", 5, ",-3\n", "at least 0"),
        ("9.5", 3, "", "nominal bore"),
    ],
)
def test_a_cell_that_cannot_be_used_is_named_and_nothing_is_written(
    bring: Bring, tmp_path: Path, cell: str, column: int, text: str, words: str
) -> None:
    result = bring(SHEET.replace(cell, text, 1))
    assert not result.written
    assert result.exit_code == 2
    assert not (tmp_path / "shop").exists()
    found = [c for c in result.errors if (c.line, c.column) == (2, column)]
    assert any(words in c.sentence for c in found), errors(result)


def test_every_fault_is_told_at_once(bring: Bring) -> None:
    result = bring(
        "Type,Liner,ID,OD,Price\nA1,XX,9.5,6,3\nA1,EPDM,bad,20,x\n,EPDM,9.5,16.5,3\nA1,NBR,8,15,1\n"
    )
    places = {(c.line, c.column) for c in result.errors}
    assert {(2, 2), (3, 3), (3, 5), (4, 1), (5, 2)} - {(5, 2)} <= places


def test_types_that_contradict_themselves(bring: Bring) -> None:
    result = bring(SHEET.replace("A1,EPDM,12.7", "A1,NBR,12.7"))
    assert errors(result) == [
        "sheet.csv:3:2 (Liner): found 'NBR'; expected 'EPDM', as line 2 says of the hose type 'A1'"
    ]


def test_a_size_twice(bring: Bring) -> None:
    result = bring(SHEET.replace("12.7,20.5", "9.5,17"))
    assert len(result.errors) == 1
    assert "'A1-9.5' a second time for hose_size" in errors(result)[0]
    assert "first on line 2" in errors(result)[0]


def test_missing_doubled_and_unmapped_headings(bring: Bring) -> None:
    result = bring(SHEET.replace("Price", "Prise").replace("Liner,ID", "Liner,ID"))
    assert "no heading 'Price'" in errors(result)[0]
    assert "perhaps 'Prise'" in errors(result)[0]
    assert [c.sentence for c in result.warnings] == [
        "sheet.csv:1:5 (Prise): found the heading 'Prise'; expected a column in the mapping"
    ]
    result = bring("Type,Liner,ID,OD,ID,Price\nA1,EPDM,9.5,16.5,9,3\n")
    assert "sheet.csv:1:5 (ID): found the heading 'ID' a second time" in errors(result)[0]


def test_lines_with_errors_can_be_left_out(bring: Bring, tmp_path: Path) -> None:
    sheet = SHEET + "A1,EPDM,bad,20,3\nA1,EPDM,30,20,3\nA1,EPDM,16,24,5\n"
    assert not bring(sheet).written
    result = bring(sheet, leave_out=True)
    assert result.written
    assert result.left_out == (4, 5)
    assert {(c.line, c.column) for c in result.errors} == {(4, 3), (5, 3)}
    assert [row["bore_mm"] for row in rows_of(tmp_path / "shop")] == ["9.5", "12.7", "16"]


def test_a_missing_heading_cannot_be_left_out(bring: Bring, tmp_path: Path) -> None:
    assert not bring(SHEET.replace("OD", "Outer"), leave_out=True).written
    assert not (tmp_path / "shop").exists()


def test_when_every_line_is_left_out_nothing_is_written(bring: Bring, tmp_path: Path) -> None:
    assert not bring("Type,Liner,ID,OD,Price\nA1,EPDM,bad,20,3\n", leave_out=True).written
    assert not (tmp_path / "shop").exists()


# Into a folder that is there


def test_rows_are_added_and_the_rest_is_left_alone(bring: Bring, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    new_catalogue(shop, example=True)
    (shop / "notes.txt").write_text("ours")
    before = everything(shop)
    sizes = len(rows_of(shop))
    result = bring(SHEET)
    assert result.written
    assert not result.made
    after = everything(shop)
    assert {name for name in after if after[name] != before.get(name)} == {
        "hose_types.csv",
        "hose_sizes.csv",
    }
    assert after["hose_sizes.csv"].startswith(before["hose_sizes.csv"])
    assert len(rows_of(shop)) == sizes + 2


def test_what_is_there_is_replaced_only_when_asked(bring: Bring, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    assert bring(SHEET).written
    before = everything(shop)
    result = bring(SHEET.replace(",4\n", ",4.5\n"))
    assert not result.written
    assert all("holds already" in sentence for sentence in errors(result))
    assert everything(shop) == before
    prices = '[columns]\nhose_size = {heading = "No"}\nprice_per_m = {heading = "Price"}\n'
    result = bring("No,Price\nA1-12.7,4.5\n", prices, replace=True)
    assert result.written, errors(result)
    assert result.replaced["hose_sizes.csv"] == 1
    row = rows_of(shop)[1]
    assert (row["price_per_m"], row["outside_diameter_mm"]) == ("4.5", "20.5")


def test_a_type_that_agrees_takes_new_sizes_and_one_that_does_not_is_told(bring: Bring) -> None:
    assert bring(SHEET).written
    assert bring("Type,Liner,ID,OD,Price\nA1,EPDM,16,24,5\n").written
    result = bring("Type,Liner,ID,OD,Price\nA1,NBR,19,27,5\n")
    assert errors(result) == [
        "sheet.csv:2:2 (Liner): found 'NBR'; expected 'EPDM', as the catalogue says of the hose"
        " type 'A1', or --replace"
    ]


def test_a_folder_with_faults_is_not_added_to(bring: Bring, tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "hose_sizes.csv").write_text("nothing\n1\n")
    before = everything(tmp_path / "shop")
    with pytest.raises(ManyFaultsError):
        bring(SHEET)
    assert everything(tmp_path / "shop") == before


# Workbooks as spreadsheet programs write them


def test_merged_headings_empty_rows_and_a_title(bring: Bring, tmp_path: Path) -> None:
    def shape(sheet: Any) -> None:
        sheet.merge_cells("A1:F1")
        sheet.merge_cells("A3:A4")
        sheet.merge_cells("C3:E3")
        sheet.merge_cells("A5:A7")

    mapping = """
[columns]
hose_type = {heading = "Type"}
liner = {heading = "Liner"}
bore = {heading = "Bore mm nom", unit = "mm"}
bore_min = {heading = "Bore mm min", unit = "mm"}
bore_max = {heading = "max", unit = "mm"}
outside_diameter = {heading = "OD", unit = "mm"}
"""
    path = workbook(
        tmp_path / "book.xlsx",
        [
            ["Hoses of this year"],
            [],
            ["Type", "Liner", "Bore mm", None, None, "OD"],
            [None, None, "min", "nom", "max", None],
            ["A1", "EPDM", 9.2, 9.5, 9.8, 16.5],
            [None, None, None, None, None, None],
            [None, "EPDM", 12.3, 12.7, 13.1, "20,5"],
            ["B2", "NBR", 12.3, 12.7, 13.1, 20.5],
        ],
        shape,
    )
    result = bring(path, mapping)
    assert result.written, errors(result)
    found = [
        (r["hose_type"], r["bore_min_mm"], r["bore_max_mm"]) for r in rows_of(tmp_path / "shop")
    ]
    assert found == [("A1", "9.2", "9.8"), ("A1", "12.3", "13.1"), ("B2", "12.3", "13.1")]


def test_hidden_columns_and_lines_are_read_and_told(bring: Bring, tmp_path: Path) -> None:
    def shape(sheet: Any) -> None:
        sheet.column_dimensions["E"].hidden = True
        sheet.row_dimensions[3].hidden = True

    rows: list[list[Any]] = [
        ["Type", "Liner", "ID", "OD", "Price"],
        ["A1", "EPDM", 9.5, 16.5, 3],
        ["A1", "EPDM", 12.7, 20.5, 4],
    ]
    result = bring(workbook(tmp_path / "book.xlsx", rows, shape))
    assert result.written
    assert len(rows_of(tmp_path / "shop")) == 2
    assert [c.place for c in result.warnings] == ["book.xlsx:1:5 (E1 Price)", "book.xlsx:3"]
    assert ["hidden" in c.found for c in result.warnings] == [True, True]


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("=1+1", "a formula without a stored value"),
        (datetime.datetime(2025, 3, 8), "a spreadsheet makes dates of 3/8"),
        (datetime.time(9, 30), "09:30"),
        ("#N/A", "the error #N/A"),
        (True, "yes"),
        ("9.5 bar", "a pressure"),
    ],
)
def test_a_cell_of_a_workbook_is_refused_by_its_name(
    bring: Bring, tmp_path: Path, value: Any, words: str
) -> None:
    rows: list[list[Any]] = [["Type", "Liner", "ID", "OD", "Price"], ["A1", "EPDM", value, 16.5, 3]]
    result = bring(workbook(tmp_path / "book.xlsx", rows))
    assert not result.written
    told = [c for c in result.errors if c.place == "book.xlsx:2:3 (C2 ID)"]
    assert any(words in c.found + c.expected for c in told), errors(result)


def test_a_title_merged_over_a_row_is_no_hose(bring: Bring, tmp_path: Path) -> None:
    rows: list[list[Any]] = [
        ["Type", "Liner", "ID", "OD", "Price"],
        ["Coolant hose"],
        ["A1", "EPDM", 9.5, 16.5, 3],
    ]
    path = workbook(tmp_path / "book.xlsx", rows, lambda sheet: sheet.merge_cells("A2:E2"))
    result = bring(path)
    assert {c.line for c in result.errors} == {2}
    assert bring(path, "[sheet]\nskip_lines = [2]\n" + COLUMNS).written


def test_the_sheet_is_the_one_named_or_the_first_that_is_shown(
    bring: Bring, tmp_path: Path
) -> None:
    from openpyxl import Workbook

    book = Workbook()
    book.active.title = "Old"
    book.active.append(["nothing"])
    book.active.sheet_state = "hidden"
    for row in csv.reader(SHEET.splitlines()):
        book.create_sheet("Now") if "Now" not in book.sheetnames else None
        book["Now"].append(row)
    book.save(tmp_path / "book.xlsx")
    assert bring(tmp_path / "book.xlsx").written
    with pytest.raises(InputError, match="one of Old, Now"):
        bring(tmp_path / "book.xlsx", '[sheet]\nname = "Then"\n' + COLUMNS)


def test_numbers_lose_their_binary_dust(bring: Bring, tmp_path: Path) -> None:
    rows: list[list[Any]] = [
        ["Type", "Liner", "ID", "OD", "Price"],
        ["A1", "EPDM", 0.1 + 0.2 + 9.2, 16.5, 3],
    ]
    assert bring(workbook(tmp_path / "book.xlsx", rows)).written
    assert rows_of(tmp_path / "shop")[0]["hose_size"] == "A1-9.5"


# Files that are no sheet


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "an empty file"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1....", "an old or locked workbook"),
        (b"PK\x03\x04 and no more", "a workbook that cannot be read"),
        (b"Type,ID\nA1,\xbd in\n", "its encoding in the mapping"),
        (b'Type,ID\n"A1,9.5\n', "paired quotation marks"),
        (b"Type\0ID", "no text"),
    ],
)
def test_a_file_that_is_no_sheet(bring: Bring, tmp_path: Path, data: bytes, words: str) -> None:
    (tmp_path / "sheet.csv").write_bytes(data)
    with pytest.raises(InputError, match=words):
        bring(tmp_path / "sheet.csv")
    assert not (tmp_path / "shop").exists()


def test_other_encodings(bring: Bring, tmp_path: Path) -> None:
    sheet = SHEET.replace("9.5", "¼ in").replace("16.5", "14")
    path = tmp_path / "sheet.csv"
    path.write_bytes(sheet.encode("utf-16"))
    assert bring(path).written
    path.write_bytes(sheet.replace("A1", "B1").encode("cp1252"))
    assert bring(path, '[sheet]\nencoding = "cp1252"\n' + COLUMNS).written
    assert {row["bore_mm"] for row in rows_of(tmp_path / "shop")} == {"6.35", "12.7"}


# The mapping


def test_all_faults_of_a_mapping_are_told_at_once() -> None:
    entries = {
        "sheets": {},
        "sheet": {"decimal": "dot", "headings": "x", "skip_lines": "2", "colour": 1},
        "columns": {
            "boar": {"heading": "ID"},
            "bore": {"heading": "ID"},
            "outside_diameter": {"heading": "OD", "unit": "psi"},
            "liner": {"heading": "Liner", "unit": "mm"},
            "cover": 7,
        },
        "types": {"A1": {"bore": 3}},
        "words": {"liner": {"x": 3}},
    }
    with pytest.raises(ManyFaultsError) as caught:
        mapping_from(entries, "m.toml")
    places = {fault.place.removeprefix("m.toml: ") for fault in caught.value.faults}
    assert places == {
        "sheets", "sheet.decimal", "sheet.headings", "sheet.skip_lines", "sheet.colour",
        "columns.boar", "columns.bore", "columns.outside_diameter.unit", "columns.liner.unit",
        "columns.cover", "types.A1.bore", "words.liner",
    }  # fmt: skip
    assert "perhaps bore" in str(caught.value)


def test_a_mapping_that_is_not_there_or_no_toml(bring: Bring) -> None:
    with pytest.raises(InputError, match="a mapping in TOML"):
        bring(SHEET, "[columns\n")
    with pytest.raises(InputError, match=r"constants\.made_for_clamps"):
        bring(SHEET, COLUMNS.replace('reinforcement = "textile"', 'made_for_clamps = "perhaps"'))


def test_the_mapping_of_the_page_works(bring: Bring, tmp_path: Path) -> None:
    page = (ROOT / "docs" / "how-to" / "catalogue.md").read_text(encoding="utf-8")
    mapping = re.findall(r"```toml\n(.*?)```", page, flags=re.DOTALL)[0]
    sheet = (
        "Quality;Inside dia;Outside dia;Bend radius;WP;Vacuum;Carcass;Price\n"
        "a line that is skipped;;;;;;;\n"
        "EP-1;3/8;16,5;60;8;10;Polyester  braid;1\n"
        ";1/2;20;80;8;10;polyester braid;1,25\n"
    )
    result = bring(sheet, mapping)
    assert result.written, errors(result)
    first, second = rows_of(tmp_path / "shop")
    assert (first["hose_size"], second["hose_type"]) == ("EP-1-9.525", "EP-1")
    assert first["least_bend_radius_mm"] == "68.25"
    kind = rows_of(tmp_path / "shop", "hose_types.csv")[0]
    assert (kind["liner"], kind["reinforcement"], kind["made_for_clamps"]) == (
        "EPDM",
        "textile",
        "yes",
    )
    assert kind["temperature_continuous_degc"] == "125"


def test_a_draft_brings_in_a_sheet_with_plain_headings(bring: Bring, tmp_path: Path) -> None:
    sheet = (
        "Our price list\n\n"
        "Part No,Series,Tube,Cover,Inside Dia. (in),O.D. (in),Min. Bend Radius (in),"
        "Max WP (psi),Min Temp (°F),Max Temp (°F),Price/ft,Colour\n"
        "X-06,Line X,NBR,CR,3/8,0.65,4,50,-22,212,1.20,black\n"
        "X-08,Line X,NBR,CR,1/2,0.80,5,50,-22,212,1.50,black\n"
    )
    path = tmp_path / "list.csv"
    path.write_text(sheet, encoding="utf-8")
    draft = suggest_mapping(read_sheet(path))
    assert '# not mapped: "Colour"' in draft
    result = bring(path, draft)
    assert result.written, errors(result)
    row = rows_of(tmp_path / "shop")[0]
    assert (row["hose_size"], row["bore_mm"], row["price_per_m"]) == ("X-06", "9.525", "3.937008")
    assert row["least_bend_radius_mm"] == "101.6"
    kind = rows_of(tmp_path / "shop", "hose_types.csv")[0]
    assert (kind["liner"], kind["cover"]) == ("NBR", "CR")
    assert (kind["temperature_cold_degc"], kind["temperature_continuous_degc"]) == ("-30", "100")


def sheet_of(folder: Path, data: bytes, separator: str = "") -> SupplierSheet:
    """Return a sheet of these bytes."""
    path = folder / "s.csv"
    path.write_bytes(data)
    return read_sheet(path, separator=separator)


def test_a_draft_lists_words_to_be_told(tmp_path: Path) -> None:
    text = b"Type,Liner,Bore,OD,Braid\nA1,EPDM,9.5,16.5,aramid knit\nA1,EPDM,13,20,wire\n"
    draft = suggest_mapping(sheet_of(tmp_path, text))
    assert "[words.reinforcement]" in draft
    assert '"aramid knit" = ""' in draft
    assert '"wire"' not in draft
    assert draft.count("LOOK: the heading names no unit") == 2
    with pytest.raises(InputError, match="no heading that is known"):
        suggest_mapping(sheet_of(tmp_path, b"qqq;zzz\n1;2\n"))


# Any text


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=300), st.sampled_from(["", ";", "\t"]))
def test_any_bytes_are_a_sheet_or_an_input_error(data: bytes, separator: str) -> None:
    try:
        with tempfile.TemporaryDirectory() as folder:
            sheet = sheet_of(Path(folder), data, separator)
    except InputError:
        return
    assert len({len(row) for row in sheet.rows}) <= 1
    assert len(sheet.numbers) == len(sheet.rows)
    assert list(sheet.numbers) == sorted(set(sheet.numbers))


@settings(max_examples=60, deadline=None)
@given(cells=st.lists(st.text(max_size=12), min_size=5, max_size=5))
def test_any_cells_are_brought_in_sound_or_refused(
    tmp_path_factory: pytest.TempPathFactory, cells: list[str]
) -> None:
    home = tmp_path_factory.mktemp("any")
    with (home / "sheet.csv").open("w", encoding="utf-8", errors="replace", newline="") as stream:
        csv.writer(stream).writerows([["Type", "Liner", "ID", "OD", "Price"], cells])
    (home / "mapping.toml").write_text(COLUMNS, encoding="utf-8")
    try:
        result = import_catalogue(home / "sheet.csv", home / "mapping.toml", home / "shop")
    except InputError:
        return
    assert result.written == (home / "shop").exists() == (not result.errors)
    if result.written:
        assert read_catalogue(home / "shop")


def test_every_column_of_the_catalogue_can_be_mapped() -> None:
    for lists, tables in LISTS.items():
        for table in tables:
            for field in table.fields:
                unit = {"": {}, "money": {}, "Shore A": {}}.get(field.unit, {"unit": field.unit})
                entry = {short_name(field): {"heading": "X", **unit}}
                made = mapping_from({"sheet": {"lists": lists}, "columns": entry}, "m")
                assert list(made.columns) == [field.name]
    assert {table for tables in LISTS.values() for table in tables} == set(TABLES)
    assert short_name(HOSE_SIZES.field("bore_mm")) == "bore"
