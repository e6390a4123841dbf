"""The sheet on the page: headings, answers, files, rolls; and what is too much for it."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from starlette.testclient import TestClient

from hoseselect.application.run_batch import run_batch
from hoseselect.files.open_sheet import open_sheet
from hoseselect.intake.job_sheet import job_sheet
from hoseselect.interfaces.page import upload
from hoseselect.interfaces.page.shop import Shop
from hoseselect.interfaces.sheets.answer_sheet import answer_sheet
from hoseselect.knowledge.errors import InputError

from .seen import seen

JOBS = """service,name,nipple,bead,measured_on,measured,tightest_radius,fluid_steady [degF],turbo
heater hose,van 7,5/8 in,yes,plain,26 in,4 in,203,no
PCV hose,van 8,13 mm,yes,plain,300 mm,110 mm,230,no
brake line,van 9,4.75 mm,no,plain,300 mm,,,
heater hose,van 10,thick,yes,plain,26 in,4 in,203,no
"""
OWN = "Line,Stub,Customer,run\nheater hose,16,Miller,400 mm\n"
CHOSEN = {"map.0": "service", "map.1": "nipples.outside_diameter", "unit.1": "mm",
          "map.2": "keep", "map.3": "route.measured"}  # fmt: skip
LENGTHS = "hose_size,length,count,job\nC01-6.4,400 mm,20,van 3\nC01-6.4,1.2 m,9,\n"
CSV = {"text": JOBS}


def sent(client: TestClient, **told: Any) -> Any:
    return client.post("/sheet", data=told)


def workbook(rows: list[list[Any]]) -> bytes:
    book, made = openpyxl.Workbook(), io.BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(made)
    return made.getvalue()


def test_a_sheet_of_jobs_is_answered_line_by_line(client: TestClient) -> None:
    words = seen(sent(client, text=JOBS, do="look").text)
    for text in ("van 7", "K04-13", "ERROR 1", "STOP 1", "USE IF 2", "C5 nipples.outside_diameter"):
        assert text in words


@pytest.mark.parametrize("kind", ["csv", "xlsx"])
def test_the_file_of_answers_is_that_of_the_command(
    client: TestClient, shop: Shop, tmp_path: Path, kind: str
) -> None:
    source, target = tmp_path / "jobs.csv", tmp_path / f"answers.{kind}"
    source.write_text(JOBS, encoding="utf-8")
    sheet = open_sheet(source)
    with answer_sheet(target) as writer:
        run_batch(job_sheet(sheet.lines(), "jobs.csv"), shop.catalogue, writer.write)
    told = sent(client, text=JOBS, do=kind)
    assert told.headers["content-disposition"] == f'attachment; filename="answers.{kind}"'
    assert _cells(told.content, kind) == _cells(target.read_bytes(), kind)


def _cells(content: bytes, kind: str) -> list[Any]:
    if kind == "csv":
        return list(csv.reader(io.StringIO(content.decode("utf-8-sig"))))
    return list(openpyxl.load_workbook(io.BytesIO(content)).active.values)


def test_a_workbook_is_read_like_a_text(client: TestClient) -> None:
    rows = [line.split(",") for line in JOBS.splitlines()]
    told = client.post("/sheet", files={"file": ("x.xlsx", workbook(rows))}, data={"do": "csv"})
    assert _cells(told.content, "csv") == _cells(sent(client, text=JOBS, do="csv").content, "csv")


def test_a_guess_decides_nothing_until_somebody_has_looked(client: TestClient) -> None:
    told = sent(client, text=OWN, do="look")
    assert told.text.count('class="look"') == 3
    assert 'class="counts"' not in told.text
    picked = re.findall(r'<option value="([^"]*)" selected>', told.text.partition("</table>")[0])
    assert picked == ["service", "nipples.outside_diameter", "keep", "route.run"]
    assert "Miller" in seen(sent(client, text=OWN, do="answer", **CHOSEN).text)


def test_the_sheet_travels_in_the_form(client: TestClient) -> None:
    first = sent(client, text=OWN, do="look").text
    (content,) = set(re.findall(r'name="content" value="([^"]*)"', first))
    told = sent(client, content=content, do="csv", **CHOSEN)
    assert _cells(told.content, "csv")[1][2] == "Miller"


def test_another_choice_is_another_answer(client: TestClient) -> None:
    told = sent(client, text=OWN, do="csv", **{**CHOSEN, "unit.1": "cm"})
    assert "C01" not in told.text
    assert "C01" in sent(client, text=OWN, do="csv", **CHOSEN).text
    told = sent(client, text=OWN, do="answer", **{**CHOSEN, "map.3": "nipples.outside_diameter"})
    assert told.status_code == 422
    assert "again" in seen(told.text)
    assert sent(client, text=OWN, do="answer", **{**CHOSEN, "map.3": "no.such"}).status_code == 422


def test_lengths_are_cut_from_the_rolls_with_a_picture_of_each(client: TestClient) -> None:
    told = sent(client, text=LENGTHS, do="look")
    words = seen(told.text)
    assert "R001" in words and "van 3" in words and "Missing" in words
    assert told.text.count("<svg") == 1
    pieces = sum(map(int, re.findall(r"cut (\d+) × ", words)))
    assert told.text.count('class="roll-piece"') == pieces > 20
    rows = _cells(sent(client, text=LENGTHS, do="cuts").content, "csv")
    assert sum(row[5] == "cut" for row in rows) == pieces


def test_the_answers_of_a_sheet_go_straight_to_the_rolls(client: TestClient) -> None:
    words = seen(sent(client, text=JOBS, do="rolls").text)
    assert "van 8 (at most, measure first)" in words
    assert "van 9" not in words


def test_waste_is_hatched(client: TestClient) -> None:
    whole = "hose_size,length,count\nC01-6.4,13.8 m,1\n"
    assert sent(client, text=whole, do="look", keep="1 m").text.count('class="hatch"') > 0


@pytest.mark.parametrize(
    "text",
    ["", " ", "one", "a,b\n1,2", "hose_size,length,count\nnone,1 m,1", JOBS + "\x00",
     "hose_size,length,count\nC01-6.4,1 mm,999999", "hose_size,length,count\n"],
)  # fmt: skip
def test_what_is_no_sheet_is_told(client: TestClient, text: str) -> None:
    told = sent(client, text=text, do="answer")
    assert told.status_code == 422
    assert "expected" in seen(told.text)


def test_what_no_form_of_ours_has_kept_is_refused(client: TestClient) -> None:
    assert sent(client, content="%%%").status_code == 422


def packed(**parts: bytes) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(f"xl/{name}.xml", content)
    return made.getvalue()


def with_sheet(markup: str) -> bytes:
    """Return a workbook of which one sheet holds this markup."""
    plain, made = workbook([["service", "name"], ["heater hose", "x"]]), io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(plain)) as source,
        zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as target,
    ):
        for part in source.infolist():
            content = source.read(part)
            if part.filename == "xl/worksheets/sheet1.xml":
                content = markup.encode()
            target.writestr(part.filename, content)
    return made.getvalue()


NAMES = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
HEAD = '<row r="1"><c r="A1" t="inlineStr"><is><t>service</t></is></c></row>'
BOMBS = {
    "a zip bomb": packed(bomb=b"\0" * (upload.MOST_UNPACKED + 1)),
    "many parts": packed(**{f"n{n}": b"\0" * 1_000_000 for n in range(21)}),
    "no workbook": packed(a=b"<x/>"),
    "a damaged zip": b"PK\x03\x04" + b"\xff" * 500,
    "an old workbook": b"\xd0\xcf\x11\xe0" + b"\0" * 500,
    "bytes": bytes(range(256)) * 10,
    "a row far below": with_sheet(
        f'<worksheet {NAMES}><sheetData>{HEAD}<row r="1048576"><c r="A1048576"><v>1</v></c></row>'
        "</sheetData></worksheet>"
    ),
    "a column far out": with_sheet(
        f'<worksheet {NAMES}><sheetData>{HEAD}<row r="2"><c r="XFD2"><v>1</v></c></row>'
        "</sheetData></worksheet>"
    ),
    "entities in one another": with_sheet(
        '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
        '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;">'
        '<!ENTITY e "&d;&d;&d;&d;&d;&d;&d;&d;"><!ENTITY f "&e;&e;&e;&e;&e;&e;&e;&e;">]>'
        f"<worksheet {NAMES}><sheetData><row><c t='inlineStr'><is><t>&f;&f;&f;</t></is></c></row>"
        "</sheetData></worksheet>"
    ),
    "a file of the machine": with_sheet(
        '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>'
        f"<worksheet {NAMES}><sheetData><row><c t='inlineStr'><is><t>&a;</t></is></c></row>"
        "</sheetData></worksheet>"
    ),
    "a merged area of all cells": with_sheet(
        f'<worksheet {NAMES}><sheetData>{HEAD}</sheetData><mergeCells count="1">'
        '<mergeCell ref="A1:XFD1048576"/></mergeCells></worksheet>'
    ),
    "a million columns": b"service" + b"," * 1_000_000 + b"\nheater hose\n",
    "too many columns": b"service" + b",note 1" * upload.MOST_COLUMNS + b"\nx\n",
    "too many lines": b"service\n" + b"heater hose\n" * (upload.MOST_LINES + 1),
    "empty lines without end": b"service,name\nx,y\n" + b"\n" * 100_000 + b"x,y\n",
    "too many bytes": b"service,name\n" + b"x" * upload.MOST_BYTES,
    "one line": b"x" * (upload.MOST_BYTES - 1),
    "quotation marks": b'"' * 100_001,
}


@pytest.mark.parametrize("kind", BOMBS)
def test_what_goes_beyond_measure_is_refused(client: TestClient, kind: str) -> None:
    assert len(BOMBS[kind]) < upload.MOST_BYTES + 1000
    told = client.post("/sheet", files={"file": ("jobs", BOMBS[kind])}, data={"do": "answer"})
    assert told.status_code == 422, seen(told.text)[:300]
    assert "root:" not in told.text


def test_a_bomb_is_refused_before_it_is_unpacked() -> None:
    with pytest.raises(InputError, match="unpacks to"):
        upload.refuse_beyond_limits(BOMBS["a zip bomb"])


def test_more_parts_of_a_form_than_ours_has_are_refused(client: TestClient) -> None:
    files = [("file", (f"{n}.csv", JOBS)) for n in range(3)]
    assert client.post("/sheet", files=files).status_code == 400
    many = {f"x{n}": "1" for n in range(5000)}
    assert client.post("/sheet", data=many).status_code in {400, 422}


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "/tmp/x.csv", "a\\b.csv", "\u202ex", "con", ""]
)
def test_what_the_sender_calls_a_file_is_never_used(
    client: TestClient, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    used = []
    real = upload.open_sheet
    monkeypatch.setattr(
        upload, "open_sheet", lambda path, **more: used.append(path.name) or real(path, **more)
    )
    told = client.post("/sheet", files={"file": (name or "x", JOBS)}, data={"do": "look"})
    assert told.status_code == 200
    assert set(used) == {"sheet.csv"}


def test_free_routes_without_end_are_refused(client: TestClient) -> None:
    text = "service,nipple,route.free.offset\n" + "heater hose,16 mm,forward 200 mm\n" * 21
    told = sent(client, text=text, do="answer")
    assert told.status_code == 422
    assert "free routes" in seen(told.text)


def test_the_limits_are_stated(client: TestClient) -> None:
    words = seen(client.get("/sheet").text)
    for limit in (upload.MOST_BYTES, upload.MOST_LINES, upload.MOST_COLUMNS):
        assert f"{limit:,}" in words


def test_a_file_beside_pasted_lines_is_asked_about(client: TestClient) -> None:
    """Neither of the two is passed over."""
    lines = "service,nipple\nbrake line,16 mm\n"
    file = {"file": ("jobs.csv", b"service,nipple\nheater hose,16 mm\n", "text/csv")}
    told = client.post("/sheet", data={"text": lines, "do": "look"}, files=file)
    assert "a file beside lines that are pasted; expected one of the two" in seen(told.text)


def test_headings_that_are_read_as_one_are_asked_about(client: TestClient) -> None:
    lines = "service,Stub,STUB,measured\nheater hose,16 mm,19 mm,400 mm\n"
    told = client.post("/sheet", data={"text": lines, "do": "answer"})
    assert "the headings 'Stub' and 'STUB', which are read as one" in seen(told.text)
