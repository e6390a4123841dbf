"""The catalogue on the page: lists, what is wrong, cells corrected with undo, no overwriting."""

from __future__ import annotations

import html
import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from hoseselect.application.correct_catalogue import Spot, correct_cell
from hoseselect.application.new_catalogue import new_catalogue
from hoseselect.catalogue.one_cell import row_at, row_with, with_row
from hoseselect.catalogue.read import read_catalogue
from hoseselect.interfaces.in_use import now
from hoseselect.interfaces.page.application import page_application
from hoseselect.interfaces.page.shop import Shop
from hoseselect.knowledge.errors import CatalogueError

from .seen import seen

ROW = "/shelf/row?file=rolls.csv&line=2"
LENGTH = {"file": "rolls.csv", "line": "2", "column": "3", "key": "R001", "old": "14"}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "ours"
    new_catalogue(place, example=True)
    return place


@pytest.fixture
def own(folder: Path, book: Path) -> TestClient:
    return TestClient(page_application(Shop(str(folder))), base_url="http://localhost")


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.glob("*.csv")}


def hidden(text: str, action: str) -> dict[str, str]:
    """Return the hidden fields of the first form with an action."""
    form = re.search(rf'<form action="{action}".*?</form>', text, re.DOTALL)
    assert form is not None, action
    pairs = re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', form[0])
    return {name: html.unescape(value) for name, value in pairs}


def test_rolls_are_listed_and_searched(own: TestClient) -> None:
    words = seen(own.get("/shelf").text)
    assert "Rolls in stock: 5, 56.8 m" in words
    assert "R004" in words
    found = seen(own.get("/shelf", params={"q": "RACK r001"}).text)
    assert "R001" in found and "R004" not in found
    assert "C01-25.4" in seen(own.get("/shelf", params={"list": "hose_sizes", "q": "c01"}).text)


def test_a_cell_is_corrected_and_taken_back_letter_for_letter(
    own: TestClient, folder: Path
) -> None:
    before = files(folder)
    form = hidden(own.get(ROW).text.replace('id="c1"', ""), "/shelf/cell")
    assert {name: form[name] for name in ("file", "line", "key")} == {
        name: LENGTH[name] for name in ("file", "line", "key")
    }
    told = own.post("/shelf/cell", data={**LENGTH, "new": "7.5"})
    assert "Saved." in seen(told.text)
    after = files(folder)
    assert after["rolls.csv"] == before["rolls.csv"].replace(b"C01-6.4,14,", b"C01-6.4,7.5,")
    assert {n: c for n, c in after.items() if n != "rolls.csv"} == {
        n: c for n, c in before.items() if n != "rolls.csv"
    }
    assert read_catalogue(folder).rolls.length_m[0] == 7.5
    assert "7.5" in seen(own.get("/shelf").text)
    undo = hidden(own.get("/shelf").text, "/shelf/undo")
    assert own.post("/shelf/undo", data=undo).status_code == 200
    assert files(folder) == before
    assert "Take back" not in seen(own.get("/shelf").text)
    assert own.post("/shelf/undo", data=undo).status_code == 422


def test_the_answer_changes_with_the_catalogue(own: TestClient) -> None:
    assert own.get("/api/catalogue/rolls").json()[0]["length_m"] == 14
    own.post("/shelf/cell", data={**LENGTH, "new": "3"})
    assert own.get("/api/catalogue/rolls").json()[0]["length_m"] == 3


def test_nobody_overwrites_what_somebody_else_has_changed(own: TestClient, folder: Path) -> None:
    own.post("/shelf/cell", data={**LENGTH, "new": "7.5"})
    after = files(folder)
    told = own.post("/shelf/cell", data={**LENGTH, "new": "2"})
    assert told.status_code == 422
    assert "somebody changed it meanwhile" in seen(told.text)
    assert files(folder) == after
    moved = own.post("/shelf/cell", data={**LENGTH, "line": "3", "new": "2"})
    assert moved.status_code == 422
    assert files(folder) == after


def test_of_many_at_once_one_is_taken_and_the_others_are_told(folder: Path) -> None:
    spot = Spot("rolls.csv", 2, 3, "R001", "14")

    def tried(metres: int) -> str:
        try:
            return correct_cell(folder, spot, f"{metres}", now()).correction.new
        except CatalogueError:
            return ""

    with ThreadPoolExecutor(8) as pool:
        written = [new for new in pool.map(tried, range(1, 9)) if new]
    assert len(written) == 1
    assert read_catalogue(folder).rolls.length_m[0] == float(written[0])


@pytest.mark.parametrize(
    ("column", "old", "new", "words"),
    [
        ("3", "14", "-3", "more than 0"),
        ("3", "14", "fourteen", "fourteen"),
        ("3", "14", "nan", "nan"),
        ("2", "C01-6.4", "no such size", "no such size"),
        ("1", "R001", "R002", "R002"),
        ("1", "R001", "", "empty cell"),
        ("4", "rack 2", "=1+1", "spreadsheet would run"),
        ("4", "rack 2", "a\x07b", "control characters"),
        ("4", "rack 2", "x" * 501, "at most 500"),
        ("9", "", "x", "no such cell"),
        ("0", "", "x", "no such cell"),
    ],
)
def test_what_makes_the_catalogue_unusable_is_refused(
    own: TestClient, folder: Path, column: str, old: str, new: str, words: str
) -> None:
    before = files(folder)
    told = own.post("/shelf/cell", data={**LENGTH, "column": column, "old": old, "new": new})
    assert told.status_code == 422
    assert words in seen(told.text)
    assert files(folder) == before


def test_what_is_merely_odd_is_saved_and_told(own: TestClient) -> None:
    told = own.post("/shelf/cell", data={**LENGTH, "column": "5", "old": "2025-02-08",
                                         "new": "2099-01-01"})  # fmt: skip
    assert told.status_code == 200
    assert "Saved, but look" in seen(told.text)
    check = own.get("/shelf/check").text
    assert 'href="/shelf/row?file=rolls.csv&amp;line=2#c5"' in check


def test_a_broken_catalogue_is_shown_and_can_be_mended(own: TestClient, folder: Path) -> None:
    rolls = folder / "rolls.csv"
    rolls.write_text(rolls.read_text("utf-8").replace("C01-6.4,14,", "C01-6.4,much,"), "utf-8")
    assert own.get("/counter?service=heater+hose").status_code == 422
    assert "It cannot be used" in seen(own.get("/shelf/check").text)
    assert "much" in seen(own.get("/shelf").text)
    assert own.post("/shelf/cell", data={**LENGTH, "old": "much", "new": "14"}).status_code == 200
    assert own.get("/counter?service=heater+hose").status_code == 200


def test_a_correction_that_was_overtaken_by_other_means_is_not_taken_back(
    own: TestClient, folder: Path
) -> None:
    own.post("/shelf/cell", data={**LENGTH, "new": "7.5"})
    undo = hidden(own.get("/shelf").text, "/shelf/undo")
    rolls = folder / "rolls.csv"
    rolls.write_text(rolls.read_text("utf-8").replace(",7.5,", ",6.5,"), "utf-8")
    before = files(folder)
    assert own.post("/shelf/undo", data=undo).status_code == 422
    assert files(folder) == before


def test_the_built_in_catalogue_stays_as_it_is(client: TestClient, shop: Shop) -> None:
    before = files(shop.folder)
    words = seen(client.get("/shelf").text)
    assert "stays as it is" in words
    told = client.post("/shelf/cell", data={**LENGTH, "new": "1"})
    assert told.status_code == 422
    assert files(shop.folder) == before
    assert not (shop.folder / ".corrections.json").exists()


@pytest.mark.parametrize("file", ["../../etc/passwd", "/etc/passwd", "datapackage.json", ""])
def test_no_other_file_is_shown_or_changed(own: TestClient, folder: Path, file: str) -> None:
    assert own.get("/shelf/row", params={"file": file, "line": "1"}).status_code == 422
    assert own.post("/shelf/cell", data={**LENGTH, "file": file, "new": "1"}).status_code == 422


def test_every_other_letter_of_a_file_stays() -> None:
    text = '\ufeffa,b,c\r\n"x\ny",2,"3,4"\r\n\r\nq , "5",\n'
    row = row_at(text, 2)
    assert row is not None and row.cells == ("x\ny", "2", "3,4")
    new = with_row(text, row, row_with(row, 2, '9 "z"'))
    assert new == '\ufeffa,b,c\r\n"x\ny","9 ""z""","3,4"\r\n\r\nq , "5",\n'
    changed = row_at(new, 2)
    assert changed is not None
    assert with_row(new, changed, row.raw) == text
    assert row_at(text, 3) is None and row_at(text, 6) is None and row_at(text, 0) is None
