"""A sheet of jobs in, a sheet of answers out: the same answers as `pick`, line by line."""

from __future__ import annotations

import csv
import datetime
import json
import random
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest
from random_jobs import random_line

from hoseselect.answer.line_answer import LineAnswer, headings, of_answer
from hoseselect.application.pick import pick_hose
from hoseselect.application.run_batch import Batch
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job
from hoseselect.intake.job_headings import column_uses
from hoseselect.intake.job_sheet import SheetLine
from hoseselect.intake.read_job import read_job
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.intake.sheet_reader import SheetReader
from hoseselect.interfaces.cli.job_input import put
from hoseselect.interfaces.pages.batch_page import batch_page
from hoseselect.interfaces.sheets.batch_schema import schema
from hoseselect.knowledge.errors import InputError, ManyFaultsError, SolveError

Command = Callable[..., Any]
TODAY = datetime.date(2026, 1, 15)
JOBS = 1000
SEED = 20


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}), TODAY)


def job_of(line: dict[str, str], units: str = "mm") -> Job:
    """Return the job of a line as a job file would give it."""
    values: dict[str, Any] = {}
    for key, text in line.items():
        put(values, key, text)
    return read_job(values, "job", units)


def written(path: Path, rows: Sequence[Sequence[str]], separator: str = ",") -> Path:
    with path.open("w", encoding="utf-8", newline="") as stream:
        csv.writer(stream, delimiter=separator).writerows(rows)
    return path


def answers(path: Path, separator: str = ",") -> list[dict[str, str]]:
    """Return the rows of a sheet of answers, the prefix of their columns left out."""
    with path.open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream, delimiter=separator))
    return [{k.removeprefix("answer."): v for k, v in row.items()} for row in rows]


def batch_of(lines: Sequence[dict[str, str]], catalogue: Catalogue, units: str) -> list[Any]:
    keys = list(sheet_keys())
    batch = Batch(column_uses(keys, [""] * len(keys), 1), catalogue, units)
    sheet = [SheetLine(n, [line.get(k, "") for k in keys]) for n, line in enumerate(lines, 2)]
    return batch.answers(sheet)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_batch_is_pick_line_by_line(catalogue: Catalogue, units: str) -> None:
    """Every column of every answer, of 1,000 jobs in all."""
    chance = random.Random(f"{SEED} {units}")
    lines = [random_line(chance) for _ in range(JOBS // 2)]
    told = batch_of(lines, catalogue, units)
    seen: set[str] = set()
    for line, answer in zip(lines, told, strict=True):
        try:
            expected = of_answer(pick_hose(job_of(line, units), catalogue, units=units))
        except InputError:
            assert answer.verdict == "ERROR", line
            assert answer.error
            seen.add("ERROR")
            continue
        assert repr(answer) == repr(expected), line
        seen.add(answer.verdict)
    assert seen == {"USE", "USE IF", "NOT YET", "NO", "STOP", "ERROR"} - ABSENT


ABSENT = {"USE"}  # no line of this sheet tells enough for a plain accept


def test_a_full_line_is_accepted(catalogue: Catalogue) -> None:
    (answer,) = batch_of([ACCEPTED], catalogue, "mm")
    assert repr(answer) == repr(of_answer(pick_hose(job_of(ACCEPTED), catalogue)))
    assert answer.verdict == "USE"
    assert answer.cut > 0
    assert answer.decided_by == ""


ACCEPTED = {
    "service": "heater hose",
    "drips": "nothing",
    "fluids": "coolant",
    "duty.fluid_steady": "95 degC",
    "duty.fluid_peak": "110 degC",
    "duty.air_steady": "60 degC",
    "duty.air_peak": "70 degC",
    "duty.coldest_start": "-10 degC",
    "duty.pressure_min": "0",
    "duty.pressure_max": "150 kPa",
    "duty.pressure_spike": "150 kPa",
    "nipples.outside_diameter": "16 mm",
    "nipples.bead": "yes",
    "nipples.bead_diameter": "17.5 mm",
    "nipples.measured_on": "plain",
    "nipples.usable_length": "30 mm",
    "nipples.material": "metal",
    "route.measured": "400 mm",
    "route.tightest_radius": "200 mm",
    "route.movement": "0",
    "route.supports": "200 mm",
    "route.low_spot": "no",
    "route.fall": "yes",
    "features.insert": "none",
    "features.turbo": "no",
    "features.submerged": "no",
    "features.end_fitting": "plain",
}


@pytest.mark.parametrize("seed", range(5))
def test_a_line_is_the_job_of_a_job_file(seed: int) -> None:
    """What is read once and shared between lines gives what `read_job` gives for each."""
    chance = random.Random(seed)
    lines = [random_line(chance) for _ in range(240)]
    keys = list(sheet_keys())
    reader = SheetReader(column_uses(keys, [""] * len(keys), 1))
    plain = 0
    for row, line in enumerate([*lines, *lines], start=2):
        found = reader.read(SheetLine(row, [line.get(key, "") for key in keys]))
        try:
            job = job_of(line)
        except InputError as error:
            assert isinstance(found, tuple), line
            faults = error.faults if isinstance(error, ManyFaultsError) else (error,)
            told = {(fault.found, fault.expected) for fault in faults}
            assert {(fault.found, fault.expected) for fault in found} == told
            continue
        assert repr(found) == repr(job), line
        plain += 1
    assert plain > 300


def test_order_blank_lines_and_own_columns(command: Command, tmp_path: Path) -> None:
    rows = [
        ["notes", "service", "customer", "nipple", "measured"],
        ["first", "PCV hose", "A", "13 mm", "300 mm"],
        ["", "", "", "", ""],
        ["second", "frobnicate", "B", "", ""],
        ["third", "brake line", "C", "", ""],
        ["fourth", "heater hose", "D", "16 mm", "500 mm"],
    ]
    sheet = written(tmp_path / "jobs.csv", rows)
    out = tmp_path / "answers.csv"
    told = command("batch", str(sheet), "-o", str(out), "--keep", "customer", "--json")
    assert told.code == 0, told.err
    found = answers(out)
    assert [row["notes"] for row in found] == ["first", "", "second", "third", "fourth"]
    assert [row["customer"] for row in found] == ["A", "", "B", "C", "D"]
    assert [row["verdict"] for row in found] == [
        found[0]["verdict"],
        "",
        "ERROR",
        "STOP",
        found[4]["verdict"],
    ]
    assert "B4 service" in found[2]["error"]
    assert found[3]["decided_by"] == "brake-hydraulics"
    assert found[3]["cut_length [mm]"] == ""
    summary = json.loads(told.out)
    assert summary["lines"] == 4
    assert summary["verdicts"]["ERROR"] == 1
    assert summary["verdicts"]["STOP"] == 1


def test_the_answer_of_an_answer_is_the_same(command: Command, tmp_path: Path) -> None:
    chance = random.Random(4)
    keys = [key for key in sheet_keys() if key != "name"]
    lines = [random_line(chance) for _ in range(40)]
    rows = [keys, *[[line.get(key, "") for key in keys] for line in lines]]
    sheet = written(tmp_path / "jobs.csv", rows)
    first, second = tmp_path / "first.csv", tmp_path / "second.csv"
    assert command("batch", str(sheet), "-o", str(first)).code == 0
    assert command("batch", str(first), "-o", str(second)).code == 0
    assert first.read_bytes() == second.read_bytes()


FORMULAS = ["=1+1", "+49 30 1234", "-65 kPa", "@SUM(A1)", "\t=1+1", " =1+1", "=cmd|'/c calc'!A0"]


@pytest.mark.parametrize("text", FORMULAS)
@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_looks_like_a_formula_is_not_run(
    command: Command, tmp_path: Path, text: str, form: str
) -> None:
    sheet = written(tmp_path / "jobs.csv", [["note", "service"], [text, "PCV hose"]])
    out = tmp_path / f"answers.{form}"
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    if form == "csv":
        with out.open(encoding="utf-8-sig", newline="") as stream:
            cell = list(csv.reader(stream))[1][0]
        assert cell.startswith("'")
        assert cell.removeprefix("'").strip() == text.strip()
        return
    openpyxl = pytest.importorskip("openpyxl")
    cell = openpyxl.load_workbook(out)["answers"]["A2"]
    assert cell.data_type == "s"
    assert cell.value.strip() == text.strip()


@pytest.mark.parametrize("text", ["-65", "+3.5", "-1e3", "12 mm", "a=b"])
def test_numbers_and_words_stay_as_they_are(command: Command, tmp_path: Path, text: str) -> None:
    sheet = written(tmp_path / "jobs.csv", [["note", "service"], [text, "PCV hose"]])
    out = tmp_path / "answers.csv"
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    assert answers(out)[0]["note"] == text


def test_figures_are_numbers(command: Command, tmp_path: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    rows = [list(ACCEPTED), list(ACCEPTED.values())]
    sheet = written(tmp_path / "jobs.csv", rows)
    out = tmp_path / "answers.xlsx"
    assert command("batch", str(sheet), "-o", str(out), "--units", "in").code == 0
    found = list(openpyxl.load_workbook(out)["answers"].iter_rows(values_only=True))
    row = dict(zip(found[0], found[1], strict=True))
    cut = row["answer.cut_length [in]"]
    assert isinstance(cut, float | int)
    assert cut * 4 == int(cut * 4)  # the workshop step of 1/4 in
    assert isinstance(row["answer.bore [in]"], float)


def test_units_in_cells_and_headings(catalogue: Catalogue) -> None:
    heads = ["service", "nipple [in]", "duty.pressure_min (inHg vacuum)", "fluid steady [degF]"]
    batch = Batch(column_uses(heads, [""] * 4, 1), catalogue)
    plain = Batch(
        column_uses(["service", "nipple", "duty.pressure_min", "duty.fluid_steady"], [""] * 4, 1),
        catalogue,
    )
    cells = ["PCV hose", "0.5", "10", "230"]
    same = ["PCV hose", "12.7 mm", "10 inHg vacuum", "110 degC"]
    first = batch.answers([SheetLine(2, cells), SheetLine(3, same)])
    second = plain.answers([SheetLine(2, same)])
    assert repr(first) == repr([second[0], second[0]])
    negative = batch.answers([SheetLine(2, ["PCV hose", "0.5", "-10", "230"])])
    assert repr(negative[0]) == repr(second[0])


HEADS = {
    "a typing mistake": (["service", "duty.fluid_stedy"], ("B1", "duty.fluid_steady")),
    "no service": (["name", "nipple"], ("service",)),
    "a key twice": (["service", "nipple", "nipples.outside_diameter"], ("C1", "B1")),
    "a service twice": (["service", "service"], ("B1", "A1")),
    "a strange unit": (["service", "nipple [stone]"], ("B1", "stone", "length")),
    "a unit of another kind": (["service", "duty.fluid_steady [mm]"], ("B1", "mm")),
    "a unit where there is none": (["service", "turbo [mm]"], ("B1", "turbo")),
    "a word of two keys": (["service", "outside_diameter"], ("B1", "outside_diameter")),
    "a column of the user": (["service", "customer"], ("B1", "--keep")),
    "a hint taken for a key": (["service", "length"], ("B1", "length")),
}


@pytest.mark.parametrize("case", HEADS)
def test_headings_that_cannot_be_used(command: Command, tmp_path: Path, case: str) -> None:
    heads, says = HEADS[case]
    sheet = written(tmp_path / "jobs.csv", [heads, ["PCV hose", "13 mm", "13 mm"][: len(heads)]])
    refused(command, tmp_path, sheet, says)


def refused(command: Command, folder: Path, sheet: Path, says: Sequence[str]) -> None:
    """A sheet that cannot be used gives sentences, exit code 2 and no file of answers."""
    out = folder / "answers.csv"
    before = sorted(folder.iterdir())
    told = command("batch", str(sheet), "-o", str(out))
    assert told.code == 2, told.out
    assert "Traceback" not in told.err
    assert all("; expected " in line for line in told.err.splitlines())
    for words in says:
        assert words in told.err
    assert sorted(folder.iterdir()) == before


FILES = {
    "empty": (b"", "an empty sheet"),
    "blank lines only": (b"\n\n,,\n", "an empty sheet"),
    "no headings": (b"1,2\n3,4\n", "no heading 'service'"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00\x00\x00", "no text"),
    "an old workbook": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "an old or locked workbook"),
    "a broken workbook": (b"PK\x03\x04broken", "cannot be read"),
    "another encoding": (
        "service,name\nheater hose,K\u00fchler\n".encode("cp1252"),
        "jobs.csv:2: found byte 0xfc, which is not UTF-8; expected a file saved as UTF-8, or"
        " --encoding with its own, such as cp1252",
    ),
    "more columns than a spreadsheet": (
        b"service" + b"," * 20_000 + b"\nheater hose\n",
        "row 1: found 20001 cells; expected at most 16384",
    ),
}


@pytest.mark.parametrize("case", FILES)
def test_files_that_cannot_be_used(command: Command, tmp_path: Path, case: str) -> None:
    content, says = FILES[case]
    sheet = tmp_path / "jobs.csv"
    sheet.write_bytes(content)
    refused(command, tmp_path, sheet, (says,))


GOOD = {"service": "heater hose", "nipple": "16 mm", "measured": "500 mm"}
BROKEN: dict[str, tuple[dict[str, str], tuple[str, ...]]] = {
    "no service": ({"service": ""}, ("service", "nothing")),
    "a service nobody knows": ({"service": "frobnicator"}, ("service", "frobnicator")),
    "a number for a service": ({"service": "12"}, ("service", "12")),
    "words for a figure": ({"nipple": "thick"}, ("nipples.outside_diameter", "thick")),
    "a formula": ({"nipple": "=B2*2"}, ("nipples.outside_diameter", "=B2*2")),
    "a unit of another kind": ({"nipple": "13 bar"}, ("nipples.outside_diameter", "13 bar")),
    "a fraction of a metric unit": ({"nipple": "3/8 mm"}, ("nipples.outside_diameter", "3/8 mm")),
    "an ambiguous comma": ({"measured": "1,234"}, ("route.measured", "1,234")),
    "a date": ({"nipple": "2024-03-08"}, ("nipples.outside_diameter", "date")),
    "a date and a clock": ({"nipple": "2024-03-08 00:00:00"}, ("date",)),
    "a negative length": ({"measured": "-5 mm"}, ("route.measured", "-5")),
    "a length beyond reason": ({"measured": "900 km"}, ("route.measured",)),
    "a nipple of nothing": ({"nipple": "0 mm"}, ("nipples", "0 mm")),
    "a wide nipple": ({"nipple": "3000 mm"}, ("nipples.outside_diameter",)),
    "too hot": ({"duty.fluid_steady": "5000 degC"}, ("duty.fluid_steady",)),
    "colder than cold": ({"duty.coldest_start": "-300 degC"}, ("duty.coldest_start",)),
    "deeper than vacuum": ({"duty.pressure_min": "-200 kPa"}, ("duty.pressure_min",)),
    "mercury without a word": ({"duty.pressure_min": "20 inHg"}, ("duty.pressure_min",)),
    "absolute pressure": ({"duty.pressure_max": "5 bar abs"}, ("duty.pressure_max",)),
    "suction without a sign": (
        {"service": "PCV hose", "duty.pressure_min": "50 kPa"},
        ("duty.pressure_min", "suction"),
    ),
    "steady above peak": (
        {"duty.fluid_steady": "120 degC", "duty.fluid_peak": "100 degC"},
        ("fluid_steady", "fluid_peak"),
    ),
    "air steady above peak": (
        {"duty.air_steady": "120 degC", "duty.air_peak": "100 degC"},
        ("air_steady", "air_peak"),
    ),
    "lowest above highest": (
        {"duty.pressure_min": "0 kPa", "duty.pressure_max": "-10 kPa"},
        ("pressure_min", "pressure_max"),
    ),
    "highest above spike": (
        {"duty.pressure_max": "300 kPa", "duty.pressure_spike": "100 kPa"},
        ("pressure_max", "pressure_spike"),
    ),
    "bead below nipple": ({"nipples.bead_diameter": "15 mm"}, ("bead_diameter",)),
    "bead and no bead": (
        {"nipples.bead": "no", "nipples.bead_diameter": "18 mm"},
        ("bead = no",),
    ),
    "own bead below the shared nipple": (
        {"nipple_a.bead_diameter": "15 mm"},
        ("nipple_a", "bead_diameter"),
    ),
    "engagement above length": (
        {"nipples.usable_length": "10 mm", "nipples.engagement": "20 mm"},
        ("engagement", "usable_length"),
    ),
    "maybe for an answer": ({"nipples.bead": "perhaps"}, ("nipples.bead", "perhaps")),
    "a word of another list": ({"nipples.material": "wood"}, ("nipples.material", "wood")),
    "an insert nobody knows": ({"features.insert": "spider"}, ("features.insert", "spider")),
    "a place nobody knows": ({"features.place": "moon"}, ("features.place", "moon")),
    "a fluid nobody knows": ({"fluids": "lemonade"}, ("fluids", "lemonade")),
    "one fluid of two unknown": ({"fluids": "coolant; lemonade"}, ("fluids", "lemonade")),
    "nothing and something": ({"drips": "nothing, coolant"}, ("drips",)),
    "two routes": (
        {"route.run": "60 mm; 90 deg at 110 mm; 180 mm"},
        ("route", "run", "measured"),
    ),
    "a run with a gap": (
        {"measured": "", "route.run": "60 mm;; 180 mm"},
        ("route.run", "between semicolons"),
    ),
    "a bend without an angle": (
        {"measured": "", "route.run": "60 mm; x at 110 mm"},
        ("route.run", "x"),
    ),
    "a bend without a radius": (
        {"measured": "", "route.run": "60 mm; 90 deg at unknown"},
        ("route.run",),
    ),
    "a bend of more than a turn": (
        {"measured": "", "route.run": "60 mm; 400 deg at 100 mm"},
        ("route.run", "400"),
    ),
    "a bore above the outside": (
        {"old_hose.bore": "20 mm", "old_hose.outside_diameter": "10 mm"},
        ("old_hose", "bore"),
    ),
    "measured on a bead that is not there": (
        {"nipples.measured_on": "bead", "nipples.bead": "no"},
        ("measured_on",),
    ),
    "a control character": ({"nipple": "13\x07 mm"}, ("nipples.outside_diameter", "control")),
    "a cell below no heading": ({"": "stray"}, ("stray", "no heading")),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_broken_line_names_its_cells_and_stops_no_other(
    command: Command, tmp_path: Path, case: str
) -> None:
    change, says = BROKEN[case]
    heads = list(dict.fromkeys([*GOOD, *change]))
    lines = [GOOD, {**GOOD, **change}, GOOD]
    rows = [heads, *[[line.get(head, "") for head in heads] for line in lines]]
    sheet = tmp_path / "jobs.csv"
    text = "\n".join(",".join(f'"{cell}"' if cell else "" for cell in row) for row in rows)
    sheet.write_bytes(text.encode("utf-8", errors="surrogateescape"))
    out = tmp_path / "answers.csv"
    told = command("batch", str(sheet), "-o", str(out))
    assert told.code == 0, told.err
    first, broken, last = answers(out)
    assert first["error"] == last["error"] == ""
    assert first["verdict"] == last["verdict"] != "ERROR"
    assert broken["verdict"] == "ERROR"
    assert broken["hose"] == broken["cut_length [mm]"] == ""
    for words in says:
        assert words in broken["error"]
    places = [f"{chr(ord('A') + heads.index(key))}3" for key in change]
    assert any(place in broken["error"] for place in places)
    assert "; expected " in broken["error"]


def test_there_are_enough_broken_sheets() -> None:
    assert len(BROKEN) + len(HEADS) + len(FILES) >= 40


def test_every_fault_of_a_line_is_told(catalogue: Catalogue) -> None:
    keys = ["service", "nipple", "measured", "turbo"]
    batch = Batch(column_uses(keys, [""] * 4, 1), catalogue)
    (answer,) = batch.answers([SheetLine(9, ["frob", "x", "y", "z"])])
    assert isinstance(answer, LineAnswer)
    assert [part.split()[0] for part in answer.error.split(" | ")] == ["A9", "B9", "C9", "D9"]


@pytest.mark.parametrize("number", [1, 3])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_a_quotation_mark_never_closed_costs_one_line(
    command: Command, tmp_path: Path, number: int, ending: str
) -> None:
    lines = ["service,nipple,measured"] + ["heater hose,16 mm,500 mm"] * 40
    lines[number] = 'heater hose,"16 mm,500 mm'
    sheet = tmp_path / "jobs.csv"
    sheet.write_bytes(ending.join(lines).encode())
    out = tmp_path / "answers.csv"
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    found = [row["verdict"] for row in answers(out)]
    assert len(found) == 40
    assert [n for n, verdict in enumerate(found, 1) if verdict == "ERROR"] == [number]


def test_a_quotation_mark_closed_by_that_of_another_line(command: Command, tmp_path: Path) -> None:
    text = """service,nipple,measured,name
heater hose,16 mm,500 mm,one
heater hose,"16 mm,500 mm,two
heater hose,16 mm,500 mm,"three, quoted"
heater hose,16 mm,500 mm,four
"""
    sheet = tmp_path / "jobs.csv"
    sheet.write_text(text, encoding="utf-8")
    out = tmp_path / "answers.csv"
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    found = answers(out)
    assert [row["verdict"] == "ERROR" for row in found] == [False, True, False, False]
    assert [row["name"] for row in found] == ["one", "", "three, quoted", "four"]


def test_a_quotation_mark_never_closed_in_the_last_line(command: Command, tmp_path: Path) -> None:
    lines = ["service,nipple,measured", "heater hose,16 mm,500 mm", 'heater hose,"16 mm,500 mm']
    sheet = tmp_path / "jobs.csv"
    sheet.write_text("\n".join(lines), encoding="utf-8")
    out = tmp_path / "answers.csv"
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    first, last = answers(out)
    assert first["verdict"] != "ERROR"
    assert "never closed" in last["error"]


def test_lines_that_say_the_same_are_answered_as_if_each_stood_alone(catalogue: Catalogue) -> None:
    """Names, rows of faults and order are each line's own; a name that speaks is looked at."""
    heads = ["name", "service", "nipple", "duty.fluid_steady", "measured"]
    body = [
        ["first", "heater hose", "16 mm", "90 degC", "300 mm"],
        ["LPG conversion", "heater hose", "16 mm", "90 degC", "300 mm"],
        ["brake hose", "heater hose", "16 mm", "90 degC", "300 mm"],
        ["a/c hose", "heater hose", "16 mm", "90 degC", "300 mm"],
        ["\u200bBr\u200bake hose", "heater hose", "16 mm", "90 degC", "300 mm"],
        ["", "heater hose", "16 mm", "90 degC", "300 mm"],
        ["bell\u0007", "heater hose", "16 mm", "90 degC", "300 mm"],
        ["no. 1", "heater hose", "thick", "90 degC", "300 mm"],
        ["no. 2", "heater hose", "thick", "90 degC", "300 mm"],
        ["second", "heater hose", "16 mm", "90 degC", "300 mm"],
    ]
    lines = [SheetLine(row, cells) for row, cells in enumerate([*body, *body], start=2)]
    uses = column_uses(heads, [""] * len(heads), 1)
    kept = Batch(uses, catalogue)
    together = [*kept.answers(lines[:12]), *kept.answers(lines[12:])]
    alone = [Batch(uses, catalogue).answers([line])[0] for line in lines]
    assert repr(together) == repr(alone)
    verdicts = [answer.verdict for answer in together if answer][: len(body)]
    assert verdicts[0] == verdicts[5] == verdicts[9]
    assert verdicts[1] == "STOP"
    assert {*verdicts[2:5], *verdicts[6:9]} == {"ERROR"}
    assert "C9" in together[7].error
    assert "C10" in together[8].error


def test_inches_as_typed_and_cells_of_two_lines(command: Command, tmp_path: Path) -> None:
    sheet = tmp_path / "jobs.csv"
    sheet.write_text(
        'service,nipple,measured,name\nheater hose,5/8",500 mm,"two\nlines"\n'
        "heater hose,15.875 mm,500 mm,two lines\n",
        encoding="utf-8",
    )
    out = tmp_path / "answers.csv"
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    first, second = answers(out)
    assert first.pop("nipple") == '5/8"'
    assert second.pop("nipple") == "15.875 mm"
    assert first.pop("name").split() == second.pop("name").split()
    assert first == second


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_encodings(command: Command, tmp_path: Path, encoding: str) -> None:
    text = "service,nipple,fluid_steady\nheater hose,16 mm,90 °C\n"
    sheet = tmp_path / "jobs.csv"
    sheet.write_bytes(text.encode(encoding))
    out = tmp_path / "answers.csv"
    extra = ["--encoding", encoding] if encoding == "cp1252" else []
    assert command("batch", str(sheet), "-o", str(out), *extra).code == 0
    assert answers(out)[0]["error"] == ""
    if extra:
        told = command("batch", str(sheet), "-o", str(out))
        assert told.code == 2
        assert "jobs.csv:2: found byte 0xb0" in told.err


def test_semicolons_and_decimal_commas(command: Command, tmp_path: Path) -> None:
    rows = [["service", "nipple", "measured"], ["heater hose", "15,9 mm", "500,5"]]
    sheet = written(tmp_path / "jobs.csv", rows, ";")
    out = tmp_path / "answers.csv"
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    (row,) = answers(out, ";")
    assert row["error"] == ""
    rows[1][1:] = ["15.9 mm", "500.5"]
    sheet = written(tmp_path / "points.csv", rows)
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    (other,) = answers(out)
    for key in ("verdict", "hose", "decided_by", "reason", "ask"):
        assert row[key] == other[key]


def test_titles_and_headings_of_two_lines(command: Command, tmp_path: Path) -> None:
    rows = [
        ["Jobs of May", "", "", ""],
        ["", "duty", "", "nipple_a"],
        ["service", "fluid_steady [degF]", "air_steady", "outside_diameter"],
        ["heater hose", "x", "60", "16 mm"],
    ]
    sheet = written(tmp_path / "jobs.csv", rows)
    out = tmp_path / "answers.csv"
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    (row,) = answers(out)
    assert "B4 duty.fluid_steady: found 'x'" in row["error"]
    assert " | " not in row["error"]


def test_written_whole_or_not_at_all(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = [["service"], *[["PCV hose"]] * 50]
    sheet = written(tmp_path / "jobs.csv", rows)
    out = tmp_path / "answers.csv"
    out.write_text("what stood there before", encoding="utf-8")
    monkeypatch.setattr("hoseselect.application.answer_many.AT_ONCE", 10)
    done = []

    def fail_later(*arguments: Any, **options: Any) -> Any:
        done.append(1)
        if len(done) > 2:
            raise InputError("disk", "full", "room")
        return real(*arguments, **options)

    from hoseselect.application import run_batch

    real = run_batch.answer_many
    monkeypatch.setattr(run_batch, "answer_many", fail_later)
    told = command("batch", str(sheet), "-o", str(out), "--workers", "1")
    assert told.code == 2
    assert len(done) > 2
    assert out.read_text(encoding="utf-8") == "what stood there before"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["answers.csv", "jobs.csv"]


def test_blocks_give_what_one_block_gives(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    chance = random.Random(8)
    keys = list(sheet_keys())
    lines = [random_line(chance) for _ in range(60)]
    rows = [keys, *[[line.get(key, "") for key in keys] for line in lines]]
    sheet = written(tmp_path / "jobs.csv", rows)
    whole, parts = tmp_path / "whole.csv", tmp_path / "parts.csv"
    assert command("batch", str(sheet), "-o", str(whole)).code == 0
    monkeypatch.setattr("hoseselect.application.answer_many.AT_ONCE", 7)
    assert command("batch", str(sheet), "-o", str(parts), "--workers", "1").code == 0
    assert whole.read_bytes() == parts.read_bytes()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "--template"),
        (["jobs.csv"], "--output"),
        (["jobs.csv", "-o", "answers.txt"], ".csv, .xlsx or .parquet"),
        (["jobs.csv", "-o", "nowhere/answers.csv"], "folder"),
        (["jobs.csv", "-o", "jobs.csv"], "a file that was read for it"),
        (["missing.csv", "-o", "answers.csv"], "no such file"),
        (["jobs.csv", "-o", "answers.csv", "--encoding", "klingon"], "klingon"),
        *(
            (["jobs.csv", "-o", "answers.csv", "--encoding", name], name)
            for name in ("punycode", "undefined", "base64", "zlib")
        ),
        (["jobs.csv", "-o", "answers.csv", "--units", "ell"], "--units"),
        (["--template", "jobs.csv"], "which is there"),
    ],
)
def test_options_that_cannot_be_used(
    command: Command,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    arguments: list[str],
    says: str,
) -> None:
    written(tmp_path / "jobs.csv", [["service"], ["PCV hose"]])
    monkeypatch.chdir(tmp_path)
    told = command("batch", *arguments)
    assert told.code == 2
    assert says in told.err
    assert [path.name for path in tmp_path.iterdir()] == ["jobs.csv"]


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_the_template_is_a_sheet_of_jobs(command: Command, tmp_path: Path, form: str) -> None:
    if form == "xlsx":
        pytest.importorskip("openpyxl")
    sheet, out = tmp_path / f"jobs.{form}", tmp_path / "answers.csv"
    assert command("batch", "--template", str(sheet)).code == 0
    assert command("batch", str(sheet), "-o", str(out)).code == 0
    found = answers(out)
    assert len(found) == 2
    assert all(row["verdict"] in {"USE", "USE IF"} for row in found)
    assert all(
        row["hose"] and row["clamps"] and row["checks" if k else "print_line"]
        for k, row in enumerate(found)
    )
    assert float(found[0]["cut_length [mm]"]) > 0
    assert float(found[1]["cut_least [mm]"]) < float(found[1]["cut_most [mm]"])


DOCS = Path(__file__).parents[2] / "docs"


def test_the_page_of_the_sheet_is_what_its_columns_say() -> None:
    written_page = (DOCS / "reference" / "batch.md").read_text(encoding="utf-8")
    command = "python -m hoseselect.interfaces.pages.batch_page > docs/reference/batch.md"
    assert written_page == batch_page(), command


def test_the_schema_is_published(command: Command) -> None:
    told = command("batch", "--schema")
    published = (DOCS / "batch.schema.json").read_text(encoding="utf-8")
    assert told.out == published, "hoseselect batch --schema > docs/batch.schema.json"
    fields = json.loads(published)["fields"]
    assert [field["name"] for field in fields] == list(sheet_keys())
    assert all(field["description"] and field["example"] for field in fields)


@pytest.mark.parametrize("key", list(sheet_keys()))
def test_every_example_of_a_column_can_be_used(key: str) -> None:
    """A wrong example would be refused: the cell is read as any other."""
    fields = {field["name"]: field["example"] for field in schema()["fields"]}
    free = key.startswith("route.free.")
    needed = dict.fromkeys(("service", key, *(FREE_ENDS.get(key, ENDS) if free else ())))
    keys = list(needed)
    reader = SheetReader(column_uses(keys, [""] * len(keys), 1))
    assert isinstance(reader.read(SheetLine(2, [fields[name] for name in keys])), Job)


ENDS = ("route.free.offset", "route.free.nipple_a_points", "route.free.nipple_b_points")
FLAT = ("route.free.flat.distance", "route.free.flat.angle_a", "route.free.flat.angle_b")
WIRE = ("route.free.wire", "route.free.nipple_a_points")
FREE_ENDS: dict[str, tuple[str, ...]] = {
    "route.free.wire": (),
    "route.free.wire_bends": WIRE,
    **dict.fromkeys(FLAT, FLAT),
}


def test_columns_of_answers_are_those_of_the_schema() -> None:
    assert [f["name"] for f in schema()["answers"]["fields"]] == list(headings("mm"))


def test_a_free_route_without_a_shape_costs_its_own_line_alone(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from hoseselect.application import run_batch

    solve = run_batch.answer_many

    def hopeless(jobs: Sequence[Any], *rest: Any, **named: Any) -> list[Any]:
        if any(job.nipple_a.outside_diameter == 12 for job in jobs):
            raise SolveError("route.free", "no shape", "another route")
        return list(solve(jobs, *rest, **named))

    monkeypatch.setattr(run_batch, "answer_many", hopeless)
    sheet, output = tmp_path / "jobs.csv", tmp_path / "answers.csv"
    free = ("route.free.offset", "route.free.nipple_a_points", "route.free.nipple_b_points")
    bent = ("forward 220 mm; up 60 mm", "forward and 40 deg up", "back and 20 deg up")
    lines = (
        ("name", "service", "nipples.outside_diameter", *free),
        ("bent", "PCV hose", "13 mm", *bent),
        ("hopeless", "PCV hose", "12 mm", *bent),
        ("plain", "heater hose", "16 mm", "", "", ""),
    )
    sheet.write_text("\n".join(map(",".join, lines)), encoding="utf-8")
    told = command("batch", str(sheet), "-o", str(output))
    assert told.code == 0, told.err
    verdicts = [row["verdict"] for row in answers(output)]
    assert verdicts[1] == "ERROR"
    assert "ERROR" not in {verdicts[0], verdicts[2]}
    assert "no shape" in answers(output)[1]["error"]
