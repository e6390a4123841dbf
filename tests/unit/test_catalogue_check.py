"""What the check says about malformed catalogues: one clear sentence a fault, at its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from hoseselect.catalogue.file_form import CatalogueFile
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.read import examine, read_catalogue
from hoseselect.catalogue.tables import CLAMPS, FITTINGS, HOSE_SIZES, HOSE_TYPES, ROLLS
from hoseselect.knowledge.errors import ManyFaultsError

GOOD: dict[CatalogueFile, list[list[str]]] = {
    HOSE_TYPES: [
        [
            "C1",
            "coolant hose",
            "EPDM",
            "textile",
            "EPDM",
            "j20-r3",
            "SAE J20 R3",
            "125",
            "150",
            "-40",
            "65",
            "coolant",
            "yes",
            "no",
            "",
        ],
        [
            "K1",
            "vapour hose",
            "ECO|AEM",
            "none",
            "",
            "",
            "",
            "150",
            "",
            "-40",
            "",
            "",
            "no",
            "",
            "",
        ],
    ],
    HOSE_SIZES: [
        [
            "C1-9.5",
            "C1",
            "9.5",
            "9.2",
            "9.8",
            "16.5",
            "57",
            "350",
            "500",
            "-60",
            "-40",
            "20",
            "3.5",
        ],
        ["C1-15.9", "C1", "15.9", "15.5", "16.3", "23.9", "95", "350", "", "", "", "20", "5"],
        ["K1-13", "K1", "13", "", "", "21", "80", "", "", "", "", "", ""],
    ],
    CLAMPS: [["worm-10-22", "worm", "10", "22", "7.9", "1"]],
    FITTINGS: [
        ["elbow-16", "elbow", "16", "16", "90", "20", "brass", "coolant;oil", "", "4"],
        ["reducer-16-13", "reducer", "16", "13", "0", "", "brass", "", "", "3"],
    ],
    ROLLS: [["R1", "C1-9.5", "12.5", "rack 2", "2025-02-28"]],
}


def write(folder: Path, table: CatalogueFile, rows: list[list[str]], headings: str = "") -> None:
    """Write a file, every cell in quotation marks."""
    usual = [field.name for field in table.fields if not field.optional]
    lines = [headings or ",".join(usual)]
    lines += [",".join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows]
    (folder / table.file).write_text("\n".join(lines) + "\n", encoding="utf-8")


def write_all(folder: Path) -> None:
    for table, rows in GOOD.items():
        write(folder, table, rows)


def changed(table: CatalogueFile, row: int, cells: dict[str, str]) -> list[list[str]]:
    """The good rows with some cells of one row changed."""
    rows = [list(cells) for cells in GOOD[table]]
    for heading, text in cells.items():
        usual = [field.name for field in table.fields if not field.optional]
        rows[row][usual.index(heading)] = text
    return rows


def sentences(folder: Path) -> list[tuple[str, str]]:
    return [
        (complaint.severity, complaint.sentence) for complaint in examine(folder, prints=True)[1]
    ]


def test_the_good_catalogue_has_no_complaint(tmp_path: Path) -> None:
    write_all(tmp_path)
    assert sentences(tmp_path) == []


T, S, C, F, R = HOSE_TYPES, HOSE_SIZES, CLAMPS, FITTINGS, ROLLS
Case = tuple[CatalogueFile, int, dict[str, str], str, str]
CELLS: list[Case] = [
    # numbers that are none
    (
        S,
        0,
        {"bore_mm": "9,5"},
        "error",
        "hose_sizes.csv:2:3 (bore_mm): found '9,5' with a decimal comma; expected 9.5",
    ),
    (
        S,
        0,
        {"roll_length_m": "1,000"},
        "error",
        "hose_sizes.csv:2:12 (roll_length_m): found '1,000' with a comma; expected a number in m "
        "with a decimal point and no mark for thousands",
    ),
    (
        S,
        0,
        {"bore_mm": "9.5 mm"},
        "error",
        "hose_sizes.csv:2:3 (bore_mm): found '9.5 mm' with words in the cell; expected the number "
        "alone in mm",
    ),
    (
        S,
        2,
        {"working_pressure_clamped_kpa": "3 bar"},
        "error",
        "hose_sizes.csv:4:8 (working_pressure_clamped_kpa): found '3 bar' with words in the cell; "
        "expected the number alone in kPa",
    ),
    (
        S,
        0,
        {"bore_mm": "3/8"},
        "error",
        "hose_sizes.csv:2:3 (bore_mm): found the fraction '3/8'; expected a decimal number in mm",
    ),
    (
        S,
        0,
        {"bore_min_mm": "NaN"},
        "error",
        "hose_sizes.csv:2:4 (bore_min_mm): found 'NaN'; expected a number in mm, or an empty cell "
        "for 'not stated'",
    ),
    (
        T,
        0,
        {"temperature_short_time_degc": "n/a"},
        "error",
        "hose_types.csv:2:9 (temperature_short_time_degc): found 'n/a'; expected a number in degC, "
        "or an empty cell for 'not stated'",
    ),
    (
        S,
        0,
        {"price_per_m": "inf"},
        "error",
        "hose_sizes.csv:2:13 (price_per_m): found 'inf'; expected a number in money, or an empty "
        "cell for 'not stated'",
    ),
    (
        S,
        0,
        {"price_per_m": "1e999"},
        "error",
        "hose_sizes.csv:2:13 (price_per_m): found 1e999 money; expected a number "
        "of at most 1000000",
    ),
    (
        T,
        0,
        {"temperature_cold_degc": "−40"},
        "error",
        "hose_types.csv:2:10 (temperature_cold_degc): found '−40' with a dash for a minus sign; "
        "expected -40",
    ),
    (
        S,
        0,
        {"bore_mm": "9_5"},
        "error",
        "hose_sizes.csv:2:3 (bore_mm): found '9_5', which is no number; expected a number in mm",
    ),
    (
        S,
        0,
        {"bore_mm": "٩"},
        "error",
        "hose_sizes.csv:2:3 (bore_mm): found '٩', which is no number; expected a number in mm",
    ),
    # numbers out of bounds
    (
        S,
        0,
        {"bore_mm": "0"},
        "error",
        "hose_sizes.csv:2:3 (bore_mm): found 0 mm; expected more than 0 mm",
    ),
    (
        S,
        0,
        {"suction_limit_cold_kpa": "60", "suction_limit_hot_kpa": ""},
        "error",
        "hose_sizes.csv:2:10 (suction_limit_cold_kpa): found 60 kPa; expected at most 0 kPa",
    ),
    (
        S,
        0,
        {"suction_limit_cold_kpa": "-600"},
        "error",
        "hose_sizes.csv:2:10 (suction_limit_cold_kpa): found -600 kPa; expected at least "
        "-101.325 kPa",
    ),
    (
        T,
        0,
        {"hardness_shore_a": "165"},
        "error",
        "hose_types.csv:2:11 (hardness_shore_a): found 165 Shore A; expected at most 100 Shore A",
    ),
    (
        S,
        0,
        {"price_per_m": "-2"},
        "error",
        "hose_sizes.csv:2:13 (price_per_m): found -2 money; expected at least 0 money",
    ),
    # empty cells that must not be
    (
        S,
        1,
        {"bore_mm": ""},
        "error",
        "hose_sizes.csv:3:3 (bore_mm): found an empty cell; expected nominal bore",
    ),
    (
        T,
        1,
        {"description": ""},
        "error",
        "hose_types.csv:3:2 (description): found an empty cell; expected what the hose is, in a "
        "few words",
    ),
    (
        R,
        0,
        {"length_m": ""},
        "error",
        "rolls.csv:2:3 (length_m): found an empty cell; expected length left on the roll",
    ),
    # names
    (
        S,
        1,
        {"hose_size": "C1-9.5"},
        "error",
        "hose_sizes.csv:3:1 (hose_size): found 'C1-9.5' a second time; expected every name once "
        "(first on line 2)",
    ),
    (
        S,
        1,
        {"hose_size": "C1 15.9"},
        "error",
        "hose_sizes.csv:3:1 (hose_size): found the name 'C1 15.9'; expected a name without blanks, "
        "commas, semicolons or bars that starts with a letter or figure",
    ),
    (
        S,
        2,
        {"hose_size": "=K1"},
        "error",
        "hose_sizes.csv:4:1 (hose_size): found the name '=K1'; expected a name without blanks, "
        "commas, semicolons or bars that starts with a letter or figure",
    ),
    (
        R,
        0,
        {"hose_size": "C1-9"},
        "error",
        "rolls.csv:2:2 (hose_size): found 'C1-9'; expected a name that is in hose_sizes.csv",
    ),
    # words
    (
        T,
        0,
        {"liner": "EDPM"},
        "error",
        "hose_types.csv:2:3 (liner): found 'EDPM'; expected a known symbol, perhaps EPDM",
    ),
    (
        T,
        0,
        {"cover": "epdm"},
        "error",
        "hose_types.csv:2:5 (cover): found 'epdm'; expected a known symbol, perhaps EPDM",
    ),
    (
        T,
        1,
        {"liner": "ECO|"},
        "error",
        "hose_types.csv:3:3 (liner): found nothing between two '|'; expected words parted by '|'",
    ),
    (
        T,
        0,
        {"marking": "j20r3"},
        "error",
        "hose_types.csv:2:6 (marking): found 'j20r3'; expected a known marking, perhaps j20-r3",
    ),
    (
        T,
        0,
        {"fluids_claimed": "coolant;beer"},
        "error",
        "hose_types.csv:2:12 (fluids_claimed): found 'beer'; expected a known fluid",
    ),
    (
        T,
        0,
        {"reinforcement": "steel"},
        "error",
        "hose_types.csv:2:4 (reinforcement): found 'steel'; expected none, textile, wire or "
        "textile-and-wire",
    ),
    (
        T,
        0,
        {"submersible": "maybe"},
        "error",
        "hose_types.csv:2:14 (submersible): found 'maybe'; expected yes or no",
    ),
    (
        C,
        0,
        {"family": "wrom"},
        "error",
        "clamps.csv:2:2 (family): found 'wrom'; expected a known family, perhaps worm",
    ),
    (
        F,
        0,
        {"kind": "bend"},
        "error",
        "fittings.csv:2:2 (kind): found 'bend'; expected reducer, elbow, joiner or tee",
    ),
    (
        F,
        0,
        {"suits": "coolants"},
        "error",
        "fittings.csv:2:8 (suits): found 'coolants'; expected a known group, perhaps coolant",
    ),
    (
        T,
        0,
        {"description": "coolant\nhose"},
        "error",
        "hose_types.csv:2:2 (description): found a line break or control character; expected words "
        "on one line",
    ),
    (
        T,
        0,
        {"print_line": "SAE \x1b[31mJ20"},
        "error",
        "hose_types.csv:2:7 (print_line): found a line break or control character; expected words "
        "on one line",
    ),
    (
        C,
        0,
        {"clamp": "A\u00adB1"},
        "error",
        "clamps.csv:2:1 (clamp): found the name 'A\\xadB1'; expected a name without blanks, "
        "commas, semicolons or bars that starts with a letter or figure",
    ),
    (
        R,
        0,
        {"date_made": "28.02.2025"},
        "error",
        "rolls.csv:2:5 (date_made): found '28.02.2025'; expected a date as year-month-day, "
        "or the quarter on its label as 2021-Q3",
    ),
    (
        R,
        0,
        {"date_made": "2025-02-30"},
        "error",
        "rolls.csv:2:5 (date_made): found '2025-02-30'; expected a date as year-month-day, "
        "or the quarter on its label as 2021-Q3",
    ),
    # cells that contradict each other
    (
        S,
        2,
        {"bore_mm": "21"},
        "error",
        "hose_sizes.csv:4:3 (bore_mm): found 21 mm; expected less than the outside diameter 21 mm",
    ),
    (
        S,
        0,
        {"bore_min_mm": "9.6"},
        "error",
        "hose_sizes.csv:2:4 (bore_min_mm): found 9.6 mm; expected at most the nominal bore 9.5 mm",
    ),
    (
        S,
        0,
        {"bore_max_mm": "9.4"},
        "error",
        "hose_sizes.csv:2:5 (bore_max_mm): found 9.4 mm; expected at least the nominal bore 9.5 mm",
    ),
    (
        S,
        0,
        {"bore_max_mm": "17"},
        "error",
        "hose_sizes.csv:2:5 (bore_max_mm): found 17 mm; expected less than the outside diameter "
        "16.5 mm",
    ),
    (
        S,
        0,
        {"working_pressure_clamped_kpa": "600"},
        "error",
        "hose_sizes.csv:2:8 (working_pressure_clamped_kpa): found 600 kPa; expected at most the "
        "working pressure with crimped ends 500 kPa",
    ),
    (
        S,
        0,
        {"suction_limit_hot_kpa": "-70"},
        "error",
        "hose_sizes.csv:2:11 (suction_limit_hot_kpa): found -70 kPa; expected no stronger suction "
        "than the cold limit -60 kPa",
    ),
    (
        T,
        0,
        {"temperature_continuous_degc": "160"},
        "error",
        "hose_types.csv:2:8 (temperature_continuous_degc): found 160 degC; expected at most the "
        "short-time limit 150 degC",
    ),
    (
        T,
        1,
        {"temperature_continuous_degc": "-40"},
        "error",
        "hose_types.csv:3:10 (temperature_cold_degc): found -40 degC; expected less than the "
        "continuous limit -40 degC",
    ),
    (
        C,
        0,
        {"range_max_mm": "10"},
        "error",
        "clamps.csv:2:3 (range_min_mm): found 10 mm; expected less than the end of the range 10 mm",
    ),
    # cells that look odd
    (
        S,
        1,
        {"least_bend_radius_mm": "56"},
        "warning",
        "hose_sizes.csv:3:7 (least_bend_radius_mm): found 56 mm; expected at least the 57 mm of "
        "the smaller bore 9.5 mm",
    ),
    (
        S,
        1,
        {"bore_mm": "9.5", "bore_min_mm": ""},
        "warning",
        "hose_sizes.csv:3:3 (bore_mm): found the bore 9.5 mm a second time in its type; expected "
        "one size a bore (also 'C1-9.5')",
    ),
    (
        S,
        2,
        {"least_bend_radius_mm": "15"},
        "warning",
        "hose_sizes.csv:4:7 (least_bend_radius_mm): found 15 mm; expected about 33 mm or more, "
        "where a plain tube of this bore and wall kinks",
    ),
    (
        S,
        0,
        {"bore_mm": "0.375", "bore_min_mm": "", "least_bend_radius_mm": ""},
        "warning",
        "hose_sizes.csv:2:3 (bore_mm): found 0.375 mm; expected a number in mm (inches?)",
    ),
    (
        S,
        0,
        {"working_pressure_clamped_kpa": "3.5"},
        "warning",
        "hose_sizes.csv:2:8 (working_pressure_clamped_kpa): found 3.5 kPa; expected a number in "
        "kPa (bar or MPa?)",
    ),
    (
        S,
        0,
        {"suction_limit_cold_kpa": "-0.6", "suction_limit_hot_kpa": ""},
        "warning",
        "hose_sizes.csv:2:10 (suction_limit_cold_kpa): found -0.6 kPa; expected a number in "
        "kPa (bar or MPa?)",
    ),
    (
        S,
        0,
        {"suction_limit_cold_kpa": ""},
        "warning",
        "hose_sizes.csv:2:10 (suction_limit_cold_kpa): found an empty cell beside a hot limit; "
        "expected the cold limit too",
    ),
    (
        S,
        2,
        {"working_pressure_clamped_kpa": "300"},
        "warning",
        "hose_sizes.csv:4:8 (working_pressure_clamped_kpa): found 300 kPa with clamps; expected an "
        "empty cell, as the type is not made for clamps",
    ),
    (
        T,
        0,
        {"temperature_cold_degc": "40"},
        "warning",
        "hose_types.csv:2:10 (temperature_cold_degc): found 40 degC; expected a cold limit (minus "
        "sign lost?)",
    ),
    (
        T,
        1,
        {"temperature_continuous_degc": "302"},
        "warning",
        "hose_types.csv:3:8 (temperature_continuous_degc): found 302 degC; expected a limit in "
        "degC (degrees Fahrenheit?)",
    ),
    (
        T,
        1,
        {"fluids_claimed": "engine-oil;petrol"},
        "warning",
        "hose_types.csv:3:12 (fluids_claimed): found a claim of engine-oil, petrol without a "
        "marking; expected a published marking or a family that backs the claim",
    ),
    (
        F,
        1,
        {"nipple_b_mm": "16"},
        "warning",
        "fittings.csv:3:4 (nipple_b_mm): found 16 mm at both ends; expected two different nipples "
        "on a reducer",
    ),
    (
        F,
        0,
        {"angle_deg": ""},
        "warning",
        "fittings.csv:2:5 (angle_deg): found an empty cell; expected the angle of the elbow",
    ),
    (
        R,
        0,
        {"length_m": "25"},
        "warning",
        "rolls.csv:2:3 (length_m): found 25 m; expected at most a full roll, 20 m",
    ),
]


def title(case: Case) -> str:
    return f"{case[0].file}-{'-'.join(f'{name}={text!r}' for name, text in case[2].items())}"


@pytest.mark.parametrize("case", CELLS, ids=title)
def test_one_bad_cell_gives_one_sentence(tmp_path: Path, case: Case) -> None:
    table, row, cells, severity, sentence = case
    write_all(tmp_path)
    write(tmp_path, table, changed(table, row, cells))
    ((found_severity, found_sentence),) = sentences(tmp_path)
    assert found_severity == severity
    assert found_sentence.startswith(sentence)
    if severity == "error":
        with pytest.raises(ManyFaultsError):
            read_catalogue(tmp_path)
    else:
        read_catalogue(tmp_path)


def test_an_unknown_type_is_named_at_the_size_that_asks_for_it(tmp_path: Path) -> None:
    write_all(tmp_path)
    write(tmp_path, S, changed(S, 2, {"hose_type": "K2"}))
    assert sentences(tmp_path) == [
        (
            "error",
            "hose_sizes.csv:4:2 (hose_type): found 'K2'; expected a name that is in hose_types.csv",
        ),
        (
            "warning",
            "hose_types.csv:3:1 (hose_type): found 'K1' without a size; expected at "
            "least one row in hose_sizes.csv",
        ),
    ]


HEADINGS = ",".join(HOSE_SIZES.headings)


@pytest.mark.parametrize(
    ("headings", "severity", "sentence"),
    [
        (
            HEADINGS.replace("bore_mm", "bore"),
            "error",
            "hose_sizes.csv:1:3 (bore): found the heading 'bore'; expected 'bore_mm' with numbers "
            "in mm",
        ),
        (
            HEADINGS.replace("bore_mm", "bore_in"),
            "error",
            "hose_sizes.csv:1:3 (bore_in): found the heading 'bore_in'; expected 'bore_mm' with "
            "numbers in mm",
        ),
        (
            HEADINGS.replace("clamped_kpa", "clamped_bar"),
            "error",
            "hose_sizes.csv:1:8 (working_pressure_clamped_bar): found the heading "
            "'working_pressure_clamped_bar'; expected 'working_pressure_clamped_kpa' with numbers "
            "in kPa",
        ),
        (
            HEADINGS.replace("hose_type", "Hose Type"),
            "error",
            "hose_sizes.csv:1:2 (Hose Type): found the heading 'Hose Type'; expected 'hose_type'",
        ),
        (
            HEADINGS + ",colour",
            "warning",
            "hose_sizes.csv:1:14 (colour): found the heading 'colour', which is not read; expected "
            "no such column",
        ),
        (
            HEADINGS + ",bore_mm",
            "error",
            "hose_sizes.csv:1:14 (bore_mm): found the heading 'bore_mm' a second time; expected "
            "every heading once",
        ),
    ],
)
def test_headings(tmp_path: Path, headings: str, severity: str, sentence: str) -> None:
    write_all(tmp_path)
    width = headings.count(",") + 1
    write(tmp_path, S, [row + ["1"] * (width - len(row)) for row in GOOD[S]], headings)
    assert (severity, sentence) in sentences(tmp_path)


def test_a_missing_column_is_one_complaint_however_many_rows(tmp_path: Path) -> None:
    write_all(tmp_path)
    write(tmp_path, S, [row[:2] + row[3:] for row in GOOD[S]], HEADINGS.replace("bore_mm,", ""))
    assert sentences(tmp_path) == [
        ("error", "hose_sizes.csv:1: found no column 'bore_mm'; expected a column 'bore_mm'")
    ]


def file_sentence(folder: Path, data: bytes) -> str:
    """The one error about hose_sizes.csv when it holds this; types without sizes left aside."""
    write_all(folder)
    (folder / "rolls.csv").unlink()
    (folder / "hose_sizes.csv").write_bytes(data)
    (sentence,) = [words for severity, words in sentences(folder) if severity == "error"]
    return sentence


GOOD_ROW = b"C1-9.5,C1,9.5,9.2,9.8,16.5,57,350,500,-60,-40,20,3.5\n"


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "hose_sizes.csv: found an empty file; expected a line of headings"),
        (b" \n\n", "hose_sizes.csv: found an empty file; expected a line of headings"),
        (
            HEADINGS.encode("utf-16"),
            "hose_sizes.csv: found a file saved as UTF-16; expected a file saved as UTF-8",
        ),
        (
            HEADINGS.encode() + b"\n" + GOOD_ROW + "Kühler".encode("latin-1"),
            "hose_sizes.csv:3: found byte 0xfc, which is not UTF-8; expected a file saved as UTF-8",
        ),
        (
            HEADINGS.replace(",", ";").encode() + b"\n",
            "hose_sizes.csv:1: found cells parted by semicolons; expected commas",
        ),
        (
            HEADINGS.encode() + b"\n" + GOOD_ROW + b"C1-12.7,C1,12,7,12.4\n",
            "hose_sizes.csv:3: found 5 cells; expected 13 cells, as many as headings",
        ),
        (
            HEADINGS.encode() + b"\n" + GOOD_ROW.replace(b",9.5,", b",9,5,"),
            "hose_sizes.csv:2: found 14 cells; expected 13 cells, as many as headings (a comma "
            "inside a cell, such as a decimal comma, parts it)",
        ),
        (
            HEADINGS.encode() + b"\n" + GOOD_ROW + b'C1-12.7,"C1,12.7\n',
            "hose_sizes.csv:3: found a quotation mark without its partner; expected cells with "
            "paired quotation marks",
        ),
        (
            HEADINGS.encode() + b"\n" + GOOD_ROW + b"C1-12.7,C1," + b"1" * 131_073 + b"\n",
            "hose_sizes.csv:3: found a cell of more than 131072 letters; expected a shorter one",
        ),
    ],
)
def test_files_that_cannot_be_cut_into_cells(tmp_path: Path, data: bytes, sentence: str) -> None:
    assert file_sentence(tmp_path, data) == sentence


@pytest.mark.parametrize("file", ["hose_types.csv", "hose_sizes.csv"])
def test_nothing_is_said_of_names_where_a_file_ends_early(tmp_path: Path, file: str) -> None:
    """Which names there are is not known then: one complaint, the cause."""
    write_all(tmp_path)
    first, *rows = (tmp_path / file).read_text(encoding="utf-8").splitlines(keepends=True)
    (tmp_path / file).write_text(f'{first}"{"".join(rows)}', encoding="utf-8")
    ((severity, sentence),) = sentences(tmp_path)
    assert severity == "error"
    assert sentence.startswith(f"{file}:2: found a quotation mark without its partner")


def test_a_row_of_sizes_that_could_not_be_read_may_be_the_only_one_of_its_type(
    tmp_path: Path,
) -> None:
    write_all(tmp_path)
    (tmp_path / "rolls.csv").unlink()
    (tmp_path / "hose_sizes.csv").write_text(f"{HEADINGS}\nC1-12.7,C1,12,7\n", encoding="utf-8")
    assert [severity for severity, _ in sentences(tmp_path)] == ["error"]


def test_a_needed_file_that_is_missing(tmp_path: Path) -> None:
    assert sentences(tmp_path) == [
        ("error", "hose_sizes.csv: found no such file; expected hose_sizes.csv in the folder"),
        ("error", "hose_types.csv: found no such file; expected hose_types.csv in the folder"),
    ]


def test_a_folder_in_place_of_a_file(tmp_path: Path) -> None:
    write_all(tmp_path)
    (tmp_path / "clamps.csv").unlink()
    (tmp_path / "clamps.csv").mkdir()
    ((severity, sentence),) = sentences(tmp_path)
    assert severity == "error"
    assert sentence.startswith("clamps.csv: found ")


def test_an_empty_row_is_passed_over_with_a_warning(tmp_path: Path) -> None:
    write_all(tmp_path)
    write(tmp_path, S, [*GOOD[S], [""] * 13])
    assert sentences(tmp_path) == [
        ("warning", "hose_sizes.csv:5: found a row of empty cells; expected no such row")
    ]


def test_a_row_left_out_does_not_bring_complaints_about_what_names_it(tmp_path: Path) -> None:
    write_all(tmp_path)
    write(tmp_path, T, [GOOD[T][0][:-1], GOOD[T][1]])
    assert sentences(tmp_path) == [
        ("error", "hose_types.csv:2: found 14 cells; expected 15 cells, as many as headings")
    ]


def test_lines_are_counted_in_the_file_not_in_rows(tmp_path: Path) -> None:
    write_all(tmp_path)
    rows = changed(T, 0, {"description": "coolant\nhose"})
    rows[1][2] = "XYZQ"
    write(tmp_path, T, rows)
    places = [complaint.place for complaint in examine(tmp_path, prints=True)[1]]
    assert places == ["hose_types.csv:2:2 (description)", "hose_types.csv:4:3 (liner)"]


def test_every_fault_is_told_at_once_in_order_of_place(tmp_path: Path) -> None:
    write_all(tmp_path)
    write(tmp_path, S, changed(S, 0, {"price_per_m": "3,5", "bore_mm": "?"}))
    write(tmp_path, T, changed(T, 1, {"liner": "XYZQ"}))
    write(tmp_path, C, changed(C, 0, {"family": ""}))
    places = [complaint.place for complaint in examine(tmp_path, prints=True)[1]]
    assert places == [
        "clamps.csv:2:2 (family)",
        "hose_sizes.csv:2:3 (bore_mm)",
        "hose_sizes.csv:2:13 (price_per_m)",
        "hose_types.csv:3:3 (liner)",
    ]


def test_a_print_that_bears_another_marking_is_an_error_of_the_check_alone(tmp_path: Path) -> None:
    """The claim is left out where hose is chosen, so that the rest of the catalogue serves."""
    write_all(tmp_path)
    write(tmp_path, T, changed(T, 0, {"print_line": "SAE J20 R4"}))
    assert sentences(tmp_path) == [
        (
            "error",
            "hose_types.csv:2:6 (marking): found j20-r3 beside the print 'SAE J20 R4'; expected "
            "the marking that is printed on the hose",
        )
    ]
    assert not hose_columns(read_catalogue(tmp_path)).types.marked.any()


def test_a_print_that_lacks_a_marking_is_a_warning(tmp_path: Path) -> None:
    write_all(tmp_path)
    write(tmp_path, T, changed(T, 0, {"print_line": "COOLANT HOSE"}))
    ((severity, sentence),) = sentences(tmp_path)
    assert severity == "warning"
    assert "expected the marking j20-r3 that the type claims" in sentence
