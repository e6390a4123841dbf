"""Reading a catalogue folder into columns, and finding the folder."""

from __future__ import annotations

import csv
import io
import pickle
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from hoseselect.catalogue import cells, locate
from hoseselect.catalogue.complaint import Complaint, unusable
from hoseselect.catalogue.descriptor import descriptor
from hoseselect.catalogue.locate import VARIABLE, find_catalogue
from hoseselect.catalogue.read import examine, read_catalogue
from hoseselect.catalogue.tables import HOSE_SIZES, HOSE_TYPES, TABLES
from hoseselect.knowledge.errors import CatalogueError, InputError, ManyFaultsError

TYPES = (
    ",".join(f.name for f in HOSE_TYPES.fields if not f.optional) + "\n"
    "C1,coolant hose,EPDM,textile,EPDM,j20-r3,SAE J20 R3,125,150,-40,65,coolant;hot-water,yes,no,\n"
    'K1,"oil, vapour",ECO|AEM,,,,,150,,-40,,,,,\n'
)
SIZES = (
    ",".join(HOSE_SIZES.headings) + "\n"
    "C1-9.5,C1,9.5,9.2,9.8,16.5,57,350,500,-60,-40,20,3.5\n"
    "K1-13,K1,13,,,21,80,,,,,,\n"
    "C1-15.9,C1,15.9,15.5,16.3,23.9,95,350,,,,20,5\n"
)
ROLLS = "roll,hose_size,length_m,place,date_made\nR1,C1-15.9,12.5,rack 2,2025-02-28\nR2,K1-13,3,,\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "hose_types.csv").write_text(TYPES, encoding="utf-8")
    (tmp_path / "hose_sizes.csv").write_text(SIZES, encoding="utf-8")
    (tmp_path / "rolls.csv").write_text(ROLLS, encoding="utf-8")
    return tmp_path


def test_types_become_columns(folder: Path) -> None:
    types = read_catalogue(folder).types
    assert len(types) == 2
    assert types.hose_type.tolist() == ["C1", "K1"]
    assert types.description == ("coolant hose", "oil, vapour")
    assert types.liner == (("EPDM",), ("ECO", "AEM"))
    assert types.marking == (("j20-r3",), ())
    assert types.fluids_claimed == (("coolant", "hot-water"), ())
    assert types.temperature_continuous.tolist() == [125.0, 150.0]
    assert types.temperature_cold.dtype == np.float64


def test_what_is_not_stated_is_unknown(folder: Path) -> None:
    types = read_catalogue(folder).types
    assert types.cover == (("EPDM",), ("unknown",))
    assert types.reinforcement.tolist() == ["textile", "unknown"]
    assert types.made_for_clamps.tolist() == ["yes", "unknown"]
    assert types.submersible.tolist() == ["no", "unknown"]
    assert np.isnan(types.temperature_short_time[1])
    assert np.isnan(types.hardness_shore_a[1])


def test_sizes_know_their_type(folder: Path) -> None:
    catalogue = read_catalogue(folder)
    sizes = catalogue.sizes
    assert sizes.type_index.tolist() == [0, 1, 0]
    assert catalogue.types.hose_type[sizes.type_index].tolist() == sizes.hose_type.tolist()
    assert sizes.bore.tolist() == [9.5, 13.0, 15.9]
    assert sizes.suction_limit_hot[0] == -40.0
    assert np.isnan(sizes.bore_min[1])
    assert np.isnan(sizes.working_pressure_clamped[1])
    assert sizes.wall == pytest.approx([3.5, 4.0, 4.0])


def test_rolls_know_their_size(folder: Path) -> None:
    rolls = read_catalogue(folder).rolls
    assert rolls.size_index.tolist() == [2, 1]
    assert rolls.length_m.tolist() == [12.5, 3.0]
    assert rolls.date_made == ("2025-02-28", "")


def test_optional_files_may_be_missing(folder: Path) -> None:
    (folder / "rolls.csv").unlink()
    catalogue = read_catalogue(folder)
    assert (len(catalogue.clamps), len(catalogue.fittings), len(catalogue.rolls)) == (0, 0, 0)
    assert examine(folder)[1] == []


def test_a_name_is_found_or_refused(folder: Path) -> None:
    catalogue = read_catalogue(folder)
    assert catalogue.sizes.index_of("C1-15.9") == 2
    assert catalogue.types.index_of("K1") == 1
    with pytest.raises(InputError, match="hose size: found 'C1-16'"):
        catalogue.sizes.index_of("C1-16")


def test_order_of_columns_and_saving_habits_do_not_matter(folder: Path) -> None:
    expected = read_catalogue(folder)
    rows = [line.split(",") for line in SIZES.splitlines()]
    turned = "\r\n".join(",".join(f' "{cell}"'.strip() for cell in row[::-1]) for row in rows)
    (folder / "hose_sizes.csv").write_bytes(b"\xef\xbb\xbf" + turned.encode() + b"\r\n\r\n")
    found = read_catalogue(folder)
    assert found.sizes.hose_size.tolist() == expected.sizes.hose_size.tolist()
    np.testing.assert_array_equal(found.sizes.bore_max, expected.sizes.bore_max)
    np.testing.assert_array_equal(found.sizes.type_index, expected.sizes.type_index)


def test_a_catalogue_with_faults_is_refused_with_all_of_them(folder: Path) -> None:
    text = SIZES.replace(",9.5,9.2,", ",9.5 mm,9.2,").replace("K1-13,K1", "K1-13,K2")
    (folder / "hose_sizes.csv").write_text(text, encoding="utf-8")
    with pytest.raises(ManyFaultsError) as caught:
        read_catalogue(folder)
    places = [fault.place for fault in caught.value.faults]
    assert places == ["hose_sizes.csv:2:3 (bore_mm)", "hose_sizes.csv:3:2 (hose_type)"]
    lines = str(caught.value).splitlines()
    assert lines[0] == f"{folder}: the catalogue cannot be used, 2 faults"
    assert lines[2] == (
        "hose_sizes.csv:3:2 (hose_type): found 'K2'; expected a name that is in hose_types.csv"
    )


def test_a_warning_does_not_stop_the_reading(folder: Path) -> None:
    (folder / "hose_sizes.csv").write_text(SIZES.replace(",95,350", ",56,350"), encoding="utf-8")
    assert [complaint.severity for complaint in examine(folder)[1]] == ["warning"]
    assert read_catalogue(folder).sizes.least_bend_radius[2] == 56.0


def test_an_error_writes_twenty_complaints_and_counts_the_rest() -> None:
    complaints = [Complaint("error", "a.csv", n, 1, "x", "this", "that") for n in range(1, 24)]
    error = unusable("shop", complaints)
    lines = str(error).splitlines()
    assert len(lines) == 1 + 20 + 1
    assert lines[-1] == "... and 3 more"
    assert pickle.loads(pickle.dumps(error)) == error
    assert [fault.found for fault in error.faults] == ["this"] * 23


def test_the_reader_is_light() -> None:
    code = (
        "import sys; import hoseselect.catalogue.read, hoseselect.catalogue.locate;"
        "print([m for m in ('pandas', 'pydantic', 'pint', 'scipy', 'rich', 'platformdirs',"
        " 'tomllib', 'difflib') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(locate, "settings_file", lambda: tmp_path / "set" / "config.toml")
    (tmp_path / "set").mkdir()
    for name in ("option", "variable", "set/configured", "built-in"):
        (tmp_path / name).mkdir()
    monkeypatch.setattr(locate, "BUILT_IN", (tmp_path / "nowhere", tmp_path / "built-in"))
    return tmp_path


def test_the_option_wins_then_variable_then_configuration_then_built_in(home: Path) -> None:
    (home / "set" / "config.toml").write_text('catalog = "configured"\n', encoding="utf-8")
    environment = {VARIABLE: str(home / "variable")}
    assert find_catalogue(str(home / "option"), environment) == home / "option"
    assert find_catalogue(None, environment) == home / "variable"
    assert find_catalogue(None, {VARIABLE: ""}) == home / "set" / "configured"
    (home / "set" / "config.toml").unlink()
    assert find_catalogue(None, {}) == home / "built-in"


def test_a_named_folder_that_is_not_there_is_never_passed_over(home: Path) -> None:
    with pytest.raises(CatalogueError, match="--catalog: found 'no-such-folder', which is not"):
        find_catalogue("no-such-folder", {VARIABLE: str(home / "variable")})
    with pytest.raises(CatalogueError, match=f"{VARIABLE}: found"):
        find_catalogue(None, {VARIABLE: str(home / "absent")})
    (home / "file").write_text("", encoding="utf-8")
    with pytest.raises(CatalogueError, match="a file; expected a folder"):
        find_catalogue(str(home / "file"), {})


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("catalog = shop\n", "expected a TOML file"),
        ("catalog = 3\n", "catalog: found 3; expected the name of a folder in quotes"),
        ('catalog = "absent"\n', "which is not there; expected a folder"),
    ],
)
def test_a_bad_configuration_is_named(home: Path, text: str, message: str) -> None:
    (home / "set" / "config.toml").write_text(text, encoding="utf-8")
    with pytest.raises(CatalogueError, match=message):
        find_catalogue("", {})


def test_a_missing_built_in_catalogue_is_named(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(locate, "BUILT_IN", (home / "nowhere",))
    with pytest.raises(CatalogueError, match="built-in catalogue"):
        find_catalogue(None, {})


def test_the_descriptor_names_every_column_with_its_unit() -> None:
    made = descriptor("shop", "Shop", "A shop's catalogue.", {"name": "CC0-1.0"})
    resources = made["resources"]
    assert isinstance(resources, list)
    assert [entry["path"] for entry in resources] == [table.file for table in TABLES]
    for entry, table in zip(resources, TABLES, strict=True):
        names = [field["name"] for field in entry["schema"]["fields"]]
        assert names == list(table.headings)
        assert entry["schema"]["primaryKey"] == [table.key]
        for field in entry["schema"]["fields"]:
            ending = {"mm": "_mm", "kPa": "_kpa", "degC": "_degc", "deg": "_deg", "m": "_m"}
            if field.get("unit") in ending:
                assert field["name"].endswith(ending[field["unit"]])
    keys = resources[1]["schema"]["foreignKeys"]
    assert keys == [
        {"fields": ["hose_type"], "reference": {"resource": "hose_types", "fields": ["hose_type"]}}
    ]


FORMS = ("{0}X,Y", "X{0},Y", "X,{0}Y", "X,Y{0}", '"X{0}",Y', 'X,"{0}Y"')


@pytest.mark.parametrize(
    ("blank", "form"),
    [
        *(
            (blank, form)
            for blank in (" ", "\t", "\x0b", "\x1f", "\xa0", "\u3000")
            for form in FORMS
        ),
        *((blank, form) for blank in ("\n", "\r\n") for form in FORMS[4:]),
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n", ""])
def test_no_blank_round_a_cell_is_kept(blank: str, form: str, end: str) -> None:
    text = "A,B\n" + form.format(blank) + end
    columns = [tuple(cell) for cell in zip(*csv.reader(io.StringIO(text, newline="")), strict=True)]
    bare = [tuple(cell.strip() for cell in column) for column in columns]
    assert bare == [("A", "X"), ("B", "Y")]
    assert cells._may_hold_blanks(text)
    assert [cells._without_blanks(column) for column in columns] == bare


def test_a_file_without_blanks_round_its_cells_is_taken_as_it_is() -> None:
    assert not cells._may_hold_blanks("A,B\nX Y,a b\nZ,\n")
