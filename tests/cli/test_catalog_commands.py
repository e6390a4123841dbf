"""`hoseselect catalog new, check, import, list`: words, JSON and exit codes."""

from __future__ import annotations

import csv
import importlib.util
import json
import os
import time
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from hoseselect.application.check_catalogue import check_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.interfaces.cli.catalog import LISTS
from hoseselect.interfaces.cli.table import table_lines

ROOT = Path(__file__).parents[2]
Command = Callable[..., Any]

MAPPING = """
[columns]
hose_type = {heading = "Type"}
bore = {heading = "ID", unit = "mm"}
outside_diameter = {heading = "OD", unit = "mm"}
[constants]
liner = "EPDM"
"""


def benchmark() -> ModuleType:
    """The invented sheet of the benchmark."""
    path = ROOT / "tests" / "benchmarks" / "bench_catalogue.py"
    spec = importlib.util.spec_from_file_location("bench_catalogue", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def mapping(tmp_path: Path) -> Path:
    path = tmp_path / "mapping.toml"
    path.write_text(MAPPING, encoding="utf-8")
    return path


def sheet(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "sheet.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_new_then_check(command: Command, tmp_path: Path) -> None:
    told = command("catalog", "new", str(tmp_path / "shop"), "--example")
    assert told.code == 0
    assert "hose_sizes.csv" in told.out
    told = command("catalog", "check", str(tmp_path / "shop"))
    assert told.code == 0
    assert "0 errors, 0 warnings" in told.out
    assert "coolant-heater" in told.out
    assert "Services without a hose" in told.out


def test_new_refuses_what_is_there(command: Command, tmp_path: Path) -> None:
    assert command("catalog", "new", str(tmp_path / "shop")).code == 0
    told = command("catalog", "new", str(tmp_path / "shop"))
    assert told.code == 2
    assert "not empty" in told.err
    assert told.out == ""


def test_new_as_json(command: Command, tmp_path: Path) -> None:
    told = command("catalog", "new", str(tmp_path / "shop"), "--json")
    assert json.loads(told.out)["rows"]["clamps.csv"] == 0


def test_check_tells_errors_by_place_and_gives_2(command: Command, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    command("catalog", "new", str(shop), "--example")
    text = (shop / "hose_types.csv").read_text(encoding="utf-8")
    (shop / "hose_types.csv").write_text(text.replace("EPDM", "EDPM", 2), encoding="utf-8")
    told = command("catalog", "check", str(shop))
    assert told.code == 2
    assert "hose_types.csv:2:3 (liner): found 'EDPM'; expected a known symbol" in told.out
    found = json.loads(command("catalog", "check", str(shop), "--json").out)
    assert found["usable"] is False
    assert found["complaints"][0]["line"] == 2
    assert found["coverage"] == []


def test_check_with_warnings_alone_gives_0(command: Command, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    command("catalog", "new", str(shop), "--example")
    with (shop / "hose_types.csv").open("a", encoding="utf-8") as stream:
        stream.write("Z9,hose without sizes,EPDM,textile" + "," * 14 + "\n")
    told = command("catalog", "check", str(shop))
    assert told.code == 0
    assert "1 warning" in told.out


def test_check_json_is_what_python_says(command: Command, tmp_path: Path) -> None:
    command("catalog", "new", str(tmp_path / "shop"), "--example")
    told = command("catalog", "check", str(tmp_path / "shop"), "--json")
    assert json.loads(told.out) == check_catalogue(tmp_path / "shop").as_json()


def test_check_without_a_folder_looks_at_the_catalogue_in_use(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    command("catalog", "new", str(tmp_path / "shop"))
    monkeypatch.setenv("HOSESELECT_CATALOG", str(tmp_path / "shop"))
    assert "0 hose sizes" in command("catalog", "check").out
    monkeypatch.delenv("HOSESELECT_CATALOG")
    told = command("catalog", "check", "--catalog", str(tmp_path / "shop"))
    assert "0 hose sizes" in told.out
    assert command("catalog", "check", str(tmp_path / "nowhere")).code == 2


def test_import_and_pick(command: Command, tmp_path: Path, mapping: Path) -> None:
    path = sheet(tmp_path, "Type,ID,OD,Shade\nA1,16,24,black\nA1,19,27,black\n")
    told = command(
        "catalog", "import", str(path), "-m", str(mapping), "--into", str(tmp_path / "s")
    )
    assert told.code == 0
    assert "hose_sizes.csv: 2 rows added" in told.out
    assert "warning: sheet.csv:1:4 (Shade)" in told.err
    told = command("catalog", "list", "A1", "--catalog", str(tmp_path / "s"), "--json")
    assert [row["hose_size"] for row in json.loads(told.out)] == ["A1-16", "A1-19"]


def test_an_import_with_faults_writes_nothing_and_gives_2(
    command: Command, tmp_path: Path, mapping: Path
) -> None:
    path = sheet(tmp_path, "Type,ID,OD\nA1,sixteen,24\nA1,19,9\n")
    given = ("catalog", "import", str(path), "-m", str(mapping), "--into", str(tmp_path / "shop"))
    told = command(*given)
    assert told.code == 2
    assert told.out == ""
    assert "error: sheet.csv:2:2 (ID): found 'sixteen'" in told.err
    assert "error: sheet.csv:3:2 (ID): found 19 mm" in told.err
    assert "nothing was written, 2 errors" in told.err
    assert not (tmp_path / "shop").exists()
    told = command(*given, "--json")
    assert told.code == 2
    found = json.loads(told.out)
    assert (found["written"], found["errors"]) == (False, 2)


def test_suggest_writes_a_draft_and_nothing_else(command: Command, tmp_path: Path) -> None:
    path = sheet(tmp_path, "Type,ID (mm),OD (mm)\nA1,16,24\n")
    told = command("catalog", "import", str(path), "--suggest")
    assert told.code == 0
    (tmp_path / "draft.toml").write_text(told.out, encoding="utf-8")
    told = command(
        "catalog", "import", str(path), "-m", str(tmp_path / "draft.toml"), "--into",
        str(tmp_path / "shop"),
    )  # fmt: skip
    assert told.code == 0, told.err
    assert len(read_catalogue(tmp_path / "shop").sizes) == 1


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ((), "--suggest writes a draft"),
        (("--mapping", "m.toml"), "--into"),
        (("--suggest", "--mapping", "m.toml"), "one of the two"),
        (("--suggest", "--lists", "tools"), ", ".join(LISTS)),
    ],
)
def test_an_import_that_lacks_something(
    command: Command, tmp_path: Path, given: tuple[str, ...], words: str
) -> None:
    told = command("catalog", "import", str(sheet(tmp_path, "Type,ID\nA,1\n")), *given)
    assert told.code == 2
    assert words in told.err
    assert told.out == ""


def test_five_thousand_sizes_are_imported_checked_and_picked_from(
    command: Command, tmp_path: Path
) -> None:
    bench = benchmark()
    (tmp_path / "mapping.toml").write_text(bench.MAPPING, encoding="utf-8")
    bench.write_csv(tmp_path / "sheet.csv", bench.supplier_rows())
    bench.write_xlsx(tmp_path / "sheet.xlsx", bench.supplier_rows())
    start = time.perf_counter()
    for kind in ("csv", "xlsx"):
        told = command(
            "catalog", "import", str(tmp_path / f"sheet.{kind}"), "-m",
            str(tmp_path / "mapping.toml"), "--into", str(tmp_path / kind), "--json",
        )  # fmt: skip
        assert told.code == 0, told.err
        assert json.loads(told.out)["added"]["hose_sizes.csv"] == 5000
    for file in ("hose_types.csv", "hose_sizes.csv"):
        assert (tmp_path / "csv" / file).read_bytes() == (tmp_path / "xlsx" / file).read_bytes()
    told = command("catalog", "check", str(tmp_path / "csv"), "--json")
    assert told.code == 0
    found = json.loads(told.out)
    assert found["errors"] == 0
    covered = {service["service"] for service in found["coverage"] if service["covered"]}
    assert "coolant-heater" in covered
    assert "brake-servo-vacuum" not in covered  # no hose of the sheet claims a marking
    given = (
        "pick", "-s", "heater hose", "-n", "16 mm", "--bead", "yes", "--set",
        "nipples.measured_on=plain", "--run", "220; 60 deg at 200 mm; 300", "--movement", "0",
        "--catalog", str(tmp_path / "csv"),
    )  # fmt: skip
    told = command(*given)
    assert told.code == 0, told.err
    assert "Line-" in told.out
    told = command(*given, "--shelf", "Line-1", "--json")
    verdicts = {hose["bore_mm"]: hose["verdict"] for hose in json.loads(told.out)["hoses"]}
    assert len(verdicts) == 50
    assert verdicts[16.0] in {"accept", "conditional"}
    assert verdicts[9.5] == verdicts[25.5] == "reject"
    assert time.perf_counter() - start < 120  # a guard against a runaway, no promise


def test_a_table_never_cuts_a_word() -> None:
    rows: list[dict[str, Any]] = [
        {"hose_type": "a-very-long-name-of-a-hose-type-indeed", "marking": "j20-r3;j20-class-d1",
         "figure": 1.5, "remark": "some words that have to be wrapped to fit in the line"},
        {"hose_type": "B", "marking": None, "figure": None, "remark": ""},
    ]  # fmt: skip
    lines = table_lines(rows, 60)
    words = " ".join(lines).split()
    for word in ("a-very-long-name-of-a-hose-type-indeed", "j20-r3;", "j20-class-d1", "wrapped"):
        assert word in words
    assert lines[0].split()[:2] == ["hose", "type"]
    assert all(line == line.rstrip() for line in lines)
    assert table_lines([], 80) == []


@pytest.mark.parametrize("given", [(), ("C01",)])
def test_the_built_in_list_fits_eighty_columns(command: Command, given: tuple[str, ...]) -> None:
    told = command("catalog", "list", *given)
    assert told.code == 0
    assert max(map(len, told.out.splitlines())) <= 80
    with (ROOT / "catalog" / "hose_types.csv").open(encoding="utf-8") as stream:
        first = next(iter(csv.DictReader(stream)))
    assert first["hose_type"] in told.out.replace(os.linesep, "\n")
