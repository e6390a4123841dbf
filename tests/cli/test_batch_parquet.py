"""A sheet of jobs as a Parquet file: the answers of the same CSV file; faults in one sentence."""

from __future__ import annotations

import csv
import datetime
import random
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from random_jobs import random_line

from hoseselect.answer.line_answer import FIGURES
from hoseselect.files.parquet_sheet import ParquetSheet
from hoseselect.intake.sheet_keys import sheet_keys

arrow = pytest.importorskip("pyarrow")
parquet = pytest.importorskip("pyarrow.parquet")
Command = Callable[..., Any]


def written(path: Path, columns: dict[str, Any], **options: Any) -> Path:
    parquet.write_table(arrow.table(columns), path, **options)
    return path


def cells_of(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.reader(stream))


def test_parquet_in_and_out_is_csv_in_and_out(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hoseselect.interfaces.sheets.parquet_rows.GROUP", 20)
    monkeypatch.setattr("hoseselect.application.answer_many.AT_ONCE", 20)
    chance, keys = random.Random(31), list(sheet_keys())
    lines = [random_line(chance) for _ in range(50)]
    columns = {key: [line.get(key) for line in lines] for key in keys}
    given = written(tmp_path / "jobs.parquet", columns, row_group_size=30)
    with (tmp_path / "jobs.csv").open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream).writerows([keys, *[[line.get(k, "") for k in keys] for line in lines]])
    sheets = {"a.csv": "jobs.csv", "b.csv": given.name, "c.parquet": "jobs.csv"}
    for out, jobs in sheets.items():
        asked = (str(tmp_path / jobs), "-o", str(tmp_path / out), "--workers", "1")
        assert command("batch", *asked).code == 0
    assert (tmp_path / "a.csv").read_bytes() == (tmp_path / "b.csv").read_bytes()
    told = parquet.ParquetFile(tmp_path / "c.parquet")
    assert told.metadata.num_row_groups == 3
    head, *body = cells_of(tmp_path / "a.csv")
    for field in told.schema_arrow:
        own = field.name.partition(" [")[0].removeprefix("answer.")
        figure = field.name.startswith("answer.") and own in FIGURES
        assert field.type == (arrow.float64() if figure else arrow.string()), field
    for expected, row in zip(body, told.read().to_pylist(), strict=True):
        assert list(row) == head
        for text, value in zip(expected, row.values(), strict=True):
            plain = f"{value:.12g}" if isinstance(value, float) else value or ""
            assert text.removeprefix("'") == plain.removeprefix("'")


def test_numbers_are_bare_numbers(command: Command, tmp_path: Path) -> None:
    columns = {
        "no": [1, 2, 3],
        "service": ["heater hose"] * 3,
        "nipple [in]": arrow.array([0.625, None, 0.5], type=arrow.float32()),
        "measured": [500, 450, 400],
        "duty.fluid_steady": [90.5, None, float("nan")],
        "features.turbo": [True, False, None],
    }
    given = written(tmp_path / "jobs.parquet", columns)
    lines = [line.cells for line in ParquetSheet(given).lines()]
    assert lines[1:] == [
        ["1", "heater hose", "0.625", "500", "90.5", "yes"],
        ["2", "heater hose", "", "450", "", "no"],
        ["3", "heater hose", "0.5", "400", "", ""],
    ]
    out = tmp_path / "answers.csv"
    assert command("batch", str(given), "-o", str(out), "--keep", "no").code == 0
    head, *rows = cells_of(out)
    assert all(row[head.index("answer.error")] == "" for row in rows)


def test_what_is_no_cell_costs_its_line_alone(command: Command, tmp_path: Path) -> None:
    columns = {
        "service": ["heater hose"] * 2,
        "nipple": ["16 mm"] * 2,
        "measured": [["500 mm"], None],
        "duty.fluid_steady": [None, datetime.date(2024, 3, 8)],
    }
    given, out = written(tmp_path / "jobs.parquet", columns), tmp_path / "answers.parquet"
    assert command("batch", str(given), "-o", str(out)).code == 0
    first, second = parquet.read_table(out).to_pylist()
    assert "C2 route.measured: found a list, a table or bytes" in first["answer.error"]
    assert "D3 duty.fluid_steady: found the date 2024-03-08" in second["answer.error"]


def test_a_damaged_file_is_one_sentence(command: Command, tmp_path: Path) -> None:
    columns = {"service": ["heater hose"] * 50, "measured": [f"{n} mm" for n in range(50)]}
    whole = written(tmp_path / "jobs.parquet", columns).read_bytes()
    chance = random.Random(6)
    broken = [b"PAR1", b"PAR1" * 9, whole[:100], whole[:-1], whole[: len(whole) // 2] + b"PAR1"]
    for _ in range(60):
        bytes_of = bytearray(whole)
        for _ in range(chance.randint(1, 8)):
            bytes_of[chance.randrange(4, len(whole))] = chance.randrange(256)
        broken.append(bytes(bytes_of))
    out, sheet = tmp_path / "answers.csv", tmp_path / "broken.parquet"
    refused = 0
    for content in broken:
        sheet.write_bytes(content)
        told = command("batch", str(sheet), "-o", str(out), "--workers", "1")
        assert told.code in {0, 2}
        assert "Traceback" not in told.err
        if told.code == 2:
            refused += 1
            assert told.err.count("; expected ") == 1, told.err
            assert not out.exists()
        out.unlink(missing_ok=True)
    assert refused > 10


def test_a_file_beyond_measure_is_refused(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = written(tmp_path / "jobs.parquet", {"service": ["PCV hose"] * 9})
    asked = ("batch", str(given), "-o", str(tmp_path / "answers.csv"))
    for name, says in (("MOST_LINES", "9 lines"), ("MOST_OF_A_GROUP", "bytes in one group")):
        with monkeypatch.context() as patch:
            patch.setattr(f"hoseselect.files.parquet_sheet.{name}", 5)
            told = command(*asked)
        assert told.code == 2
        assert says in told.err
    assert [path.name for path in tmp_path.iterdir()] == ["jobs.parquet"]


@pytest.mark.parametrize("names", [("jobs.parquet", "o.csv"), ("jobs.csv", "o.parquet")])
def test_without_the_library_one_sentence_says_what_to_install(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, names: tuple[str, str]
) -> None:
    written(tmp_path / "jobs.parquet", {"service": ["PCV hose"]})
    (tmp_path / "jobs.csv").write_text("service\nPCV hose\n", encoding="utf-8")
    monkeypatch.setitem(sys.modules, "pyarrow.parquet", None)
    told = command("batch", str(tmp_path / names[0]), "-o", str(tmp_path / names[1]))
    assert told.code == 2
    assert "expected pip install 'hoseselect[parquet]'" in told.err
    assert not (tmp_path / names[1]).exists() or names[1] == "jobs.csv"


def test_headings_that_stand_there_twice_get_their_number(command: Command, tmp_path: Path) -> None:
    (tmp_path / "jobs.csv").write_text("notes,service,notes\na,PCV hose,b\n", encoding="utf-8")
    out = tmp_path / "answers.parquet"
    assert command("batch", str(tmp_path / "jobs.csv"), "-o", str(out)).code == 0
    (row,) = parquet.read_table(out).to_pylist()
    assert (row["notes"], row["notes (2)"]) == ("a", "b")
