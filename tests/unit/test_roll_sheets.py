"""Sheets of the rolls: orders in, cut list and labels out."""

from __future__ import annotations

import csv
import io
import json
import re
from pathlib import Path

import openpyxl
import pytest
import typst

from hoseselect.files.harmless import harmless
from hoseselect.files.write_files import write_files
from hoseselect.interfaces.paper.roll_labels import TEMPLATE, label_texts, labels_pdf
from hoseselect.interfaces.sheets.order_sheet import read_orders
from hoseselect.interfaces.sheets.roll_sheet import cut_list_text
from hoseselect.knowledge.errors import InputError, ManyFaultsError
from hoseselect.rolls.plan import (
    Order,
    RollOptions,
    RollPlan,
    StockRoll,
    plan_rolls,
)

A = "H01-15.9"
HEAD = "hose_size,length,count,job\n"


def read(folder: Path, text: str | bytes) -> list[Order]:
    path = folder / "orders.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_orders(path)


def plan_of(*orders: Order, length: float = 20000.0) -> RollPlan:
    stock = [StockRoll("R1", A, length, "bay 2")]
    return plan_rolls(orders, stock, RollOptions(saw_allowance=2.0, worth_keeping=300.0))


@pytest.mark.parametrize(
    "text",
    [
        HEAD + 'H01-15.9,350 mm,2,"heater, upper"\nH01-15.9,"13 3/4 in",1,\n',
        HEAD.replace(",", ";") + "H01-15.9;350,0;2;heater, upper\r\n\r\nH01-15.9;349,25 mm;1;\r\n",
        "Job\tCount\tLength\tHose size\nheater, upper\t2\t35 cm\tH01-15.9\n\t1\t349.25\tH01-15.9\n",
        "\ufeff" + HEAD + ',,,\n"H01-15.9", 350 ,2,"heater, upper"\nH01-15.9,349.25,1\n',
    ],
    ids=["commas", "semicolons", "tabs", "byte-order-mark"],
)
def test_orders_are_read(tmp_path: Path, text: str) -> None:
    assert read(tmp_path, text) == [Order(A, 350.0, 2, "heater, upper"), Order(A, 349.25, 1, "")]


def test_headings_alone_are_no_orders(tmp_path: Path) -> None:
    assert read(tmp_path, HEAD) == []


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("", "orders.csv:1:1"),
        ("\n\n", "orders.csv:1:1"),
        ("hose_size,length,job\nA,1,x\n", "orders.csv:1:1"),
        ("hose_size,length,count,colour\n", "orders.csv:1:4"),
        ("hose_size,length,count,length\n", "orders.csv:1:4"),
        (HEAD + ",350,1,x\n", "orders.csv:2:1"),
        (HEAD + "A,,1,x\n", "orders.csv:2:2"),
        (HEAD + "A,0,1,x\n", "orders.csv:2:2"),
        (HEAD + "A,-5 mm,1,x\n", "orders.csv:2:2"),
        (HEAD + "A,11/4,1,x\n", "orders.csv:2:2"),
        (HEAD + "A,3 bar,1,x\n", "orders.csv:2:2"),
        (HEAD + "A,unknown,1,x\n", "orders.csv:2:2"),
        (HEAD + "A,350,,x\n", "orders.csv:2:3"),
        (HEAD + "A,350,0,x\n", "orders.csv:2:3"),
        (HEAD + "A,350,-1,x\n", "orders.csv:2:3"),
        (HEAD + "A,350,1.5,x\n", "orders.csv:2:3"),
        (HEAD + "A,350,two,x\n", "orders.csv:2:3"),
        (HEAD + "A,350,²,x\n", "orders.csv:2:3"),
        (HEAD + "A,350,1,x,more\n", "orders.csv:2:5"),
        (HEAD + 'A,350,1,"two\nlines"\n\nA,350,x,\n', "orders.csv:5:3"),
        (HEAD + 'A,350,1,"open\n', "orders.csv:2"),
        (HEAD.encode() + b"A,350,1,\xff\xfe\n", "orders.csv:2"),
    ],
)
def test_broken_sheet_is_refused_by_file_line_and_column(
    tmp_path: Path, text: str | bytes, place: str
) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, text)
    assert caught.value.place == place
    assert str(caught.value).startswith(f"{place}: found ")


SIZES = ("C01-6.4", "C01-15.9", "K04-13", "k04-13")


def read_known(folder: Path, text: str) -> list[Order]:
    path = folder / "orders.csv"
    path.write_text(text, encoding="utf-8")
    return read_orders(path, SIZES)


@pytest.mark.parametrize("name", ["C01-15.9", "c01-15.9", " C01-15.9", "C01-\u200b15.9"])
def test_a_hose_size_is_known_in_any_case(tmp_path: Path, name: str) -> None:
    (order,) = read_known(tmp_path, f"{HEAD}{name},350,1,\n")
    assert order.hose_size == "C01-15.9"


def test_a_size_that_differs_from_another_in_case_alone_stands_as_it_is(tmp_path: Path) -> None:
    first, second = read_known(tmp_path, f"{HEAD}K04-13,350,1,\nk04-13,350,1,\n")
    assert (first.hose_size, second.hose_size) == ("K04-13", "k04-13")


def test_a_hose_size_that_the_catalogue_has_not_is_named_by_its_cell(tmp_path: Path) -> None:
    with pytest.raises(ManyFaultsError) as caught:
        read_known(tmp_path, f"job,{HEAD[:-5]}\nx,C01-15.9,1,1\ny,XX,350,1\nz,C01,x,1\n")
    said = str(caught.value).splitlines()
    expected = "expected a hose size of the catalogue, such as C01-6.4"
    assert said[:2] == [
        f"orders.csv:3:2: found 'XX'; {expected}",
        f"orders.csv:4:2: found 'C01'; {expected}",
    ]
    assert said[2].startswith("orders.csv:4:3: found 'x'")


@pytest.mark.parametrize("heading", ["length [in]", "Length (in)", 'length ["]'])
def test_a_heading_says_the_unit_of_bare_lengths(tmp_path: Path, heading: str) -> None:
    text = HEAD.replace("length", heading)
    orders = read(tmp_path, f"{text}{A},14,1,\n{A},350 mm,1,\n{A},13 3/4,1,\n")
    assert [order.length for order in orders] == [355.6, 350.0, 349.25]


@pytest.mark.parametrize(
    ("heading", "found"),
    [("length [bar]", "a unit 'bar' for length"), ("count [mm]", "a unit 'mm' for count")],
)
def test_a_unit_that_a_heading_cannot_have_is_refused(
    tmp_path: Path, heading: str, found: str
) -> None:
    text = HEAD.replace(heading.split(maxsplit=1)[0], heading)
    with pytest.raises(InputError) as caught:
        read(tmp_path, f"{text}{A},14,1,\n")
    assert caught.value.place == f"orders.csv:1:{2 if 'length' in heading else 3}"
    assert caught.value.found == found


def test_every_fault_of_a_sheet_is_named(tmp_path: Path) -> None:
    with pytest.raises(ManyFaultsError) as caught:
        read(tmp_path, HEAD + "A,350,1,fine\n,x,0,all wrong\nA,350,many,x\n")
    places = [fault.place for fault in caught.value.faults]
    assert places == ["orders.csv:3:1", "orders.csv:3:2", "orders.csv:3:3", "orders.csv:4:3"]
    assert len(str(caught.value).splitlines()) == 4


def test_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        read_orders(tmp_path / "none.csv")


def test_cut_list_names_cuts_remnant_and_shortage() -> None:
    plan = plan_of(Order(A, 450.0, 2, "heater"), Order(A, 900.0, 1, "long"), length=1300.0)
    rows = list(csv.DictReader(io.StringIO(cut_list_text(plan))))
    assert [(r["what"], r["length_mm"], r["starts_at_mm"], r["job"]) for r in rows] == [
        ("cut", "450", "0", "heater"),
        ("cut", "450", "452", "heater"),
        ("remnant", "396", "", ""),
        ("short", "900", "", "long"),
    ]
    assert rows[-1]["reason"] == "stock used up"
    assert {r["place"] for r in rows[:3]} == {"bay 2"}


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t=", " =", "\r=", "\n+", "＝"])
def test_cell_like_a_formula_is_not_run(start: str) -> None:
    assert harmless(f"{start}1+1") == f"'{start}1+1"
    plan = plan_of(Order(A, 450.0, 1, f"{start}1+1"))
    row = next(csv.DictReader(io.StringIO(cut_list_text(plan), newline="")))
    assert row["job"].startswith("'")


@pytest.mark.parametrize("text", ["", "heater", "H01-15.9", "3-way", "'quoted"])
def test_plain_text_is_left_alone(text: str) -> None:
    assert harmless(text) == text


def test_cut_list_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    path = tmp_path / "cuts.csv"
    text = cut_list_text(plan_of(Order(A, 450.0, 1, "müller")))
    write_files({path: text.encode("utf-8-sig")})
    assert path.read_bytes().startswith(b"\xef\xbb\xbfhose_size,roll,")
    assert "müller" in path.read_text("utf-8-sig")
    folder = tmp_path / "folder"
    folder.mkdir()
    with pytest.raises(InputError, match="found a folder"):
        write_files({path: "other", folder: text})
    assert "müller" in path.read_text("utf-8-sig")
    assert sorted(one.name for one in tmp_path.iterdir()) == ["cuts.csv", "folder"]


def pages_of(pdf: bytes) -> int:
    return len(re.findall(rb"/Type/Page\b(?!s)", pdf))


@pytest.mark.parametrize(("pieces", "pages"), [(1, 1), (24, 1), (25, 2), (48, 2)])
@pytest.mark.parametrize(("paper", "width", "height"), [("a4", 595.28, 841.89)])
def test_a4_sheet_has_24_labels(
    pieces: int, pages: int, paper: str, width: float, height: float
) -> None:
    pdf = labels_pdf(plan_of(Order(A, 350.0, pieces, "heater")), paper)  # type: ignore[arg-type]
    assert pages_of(pdf) == pages
    box = [float(n) for n in re.search(rb"/MediaBox\[([\d. ]+)\]", pdf)[1].split()]  # type: ignore[index]
    assert box == pytest.approx([0, 0, width, height], abs=0.01)


def test_letter_sheet_has_24_labels() -> None:
    assert pages_of(labels_pdf(plan_of(Order(A, 350.0, 24)), "letter")) == 1


def test_label_says_hose_length_roll_and_job() -> None:
    plan = plan_of(Order(A, 349.25, 1, "heater, upper"))
    (label,) = label_texts(plan)
    assert label["hose_size"] == A
    assert label["length"] == "349.25 mm"
    assert label["inches"].split() == ["about", "13", "3/4", "in"]
    assert (label["roll"], label["job"], label["step"]) == ("R1", "heater, upper", "cut 1 of 1")


@pytest.mark.parametrize(
    "job",
    ["W" * 400, "word " * 100, "#panic() *x* $x$ @y <z>", "a\nb\x00c", "خرطوم", "软管", "שלום 3"],
)
def test_no_job_name_breaks_a_label(job: str) -> None:
    pdf = labels_pdf(plan_of(Order(A, 350.0, 24, job)))
    assert pages_of(pdf) == 1


def test_length_is_drawn_on_the_page() -> None:
    pieces = label_texts(plan_of(Order(A, 350.0, 1, "heater")))
    inputs = {"paper": "a4", "pieces": json.dumps(pieces)}
    drawn = json.loads(typst.query(TEMPLATE.encode(), "strong", sys_inputs=inputs))
    texts = [one["body"]["text"] for one in drawn]
    assert sorted(set(texts)) == ["350 mm", A]


def test_no_piece_is_no_label() -> None:
    with pytest.raises(InputError, match="no piece to cut"):
        labels_pdf(plan_of())


def test_a_sheet_of_answers_is_a_list_of_lengths(tmp_path: Path) -> None:
    sheet = tmp_path / "answers.csv"
    sheet.write_text(
        "service,name,answer.verdict,answer.hose,answer.cut_length [mm]\n"
        "heater hose,van 7,accept,C01-15.9,755\n"
        "brake line,van 9,stop,,\n",
        encoding="utf-8",
    )
    assert [(o.hose_size, o.length, o.count, o.job) for o in read_orders(sheet)] == [
        ("C01-15.9", 755.0, 1, "van 7")
    ]


def test_orders_stand_in_a_workbook_too(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    for row in ([*HEAD.strip().split(",")], [A, 350, 2, "heater"], [A, 349.25, 1, None]):
        book.active.append(row)
    book.save(tmp_path / "orders.xlsx")
    found = read_orders(tmp_path / "orders.xlsx")
    assert found == [Order(A, 350.0, 2, "heater"), Order(A, 349.25, 1, "")]
    book.active["B3"].number_format = "# ?/?"
    book.save(tmp_path / "orders.xlsx")
    with pytest.raises(InputError, match=r"orders\.xlsx:3:2: found 349\.25 shown by"):
        read_orders(tmp_path / "orders.xlsx")
