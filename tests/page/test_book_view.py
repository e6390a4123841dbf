"""The job book on the page: found again, opened, noted, fitted, looked at again."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from hoseselect.book.job_book import JobBook

from .seen import seen

HEATER = {"service": "heater hose", "nipples": {"outside_diameter": "16 mm", "bead": "yes"}}


@pytest.fixture
def kept(client: TestClient) -> TestClient:
    for note, service in (("blue van", "heater hose"), ("red van", "PCV hose")):
        job = {**HEATER, "service": service}
        client.post("/api/pick", json={"job": job, "keep": True, "note": note, "top": 0})
    job = {"service": "brake hose"}
    client.post("/api/pick", json={"job": job, "keep": True, "top": 0})
    return client


def test_an_empty_book_is_no_fault(client: TestClient) -> None:
    assert "No such job" in seen(client.get("/book").text)


def test_a_book_that_is_switched_off_is_told(
    client: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOSESELECT_BOOK", "off")
    assert "No job book is kept" in seen(client.get("/book").text)
    assert client.get("/book/1").status_code == 422


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({}, ("blue van", "red van")),
        ({"note": "BLUE"}, ("blue van",)),
        ({"service": "coolant heater"}, ("blue van",)),
        ({"since": "2031-05-30", "until": "2031-05-30"}, ("blue van", "red van")),
        ({"since": "2031-05-31"}, ()),
        ({"note": "green"}, ()),
    ],
)
def test_jobs_are_found(kept: TestClient, asked: dict[str, str], found: tuple[str, ...]) -> None:
    words = seen(kept.get("/book", params=asked).text)
    assert tuple(van for van in ("blue van", "red van") if van in words) == found


def test_a_job_is_opened_as_it_was_asked(kept: TestClient) -> None:
    told = kept.get("/book/1/open")
    assert told.url.path == "/counter"
    assert "16 mm" in seen(told.text)


def test_a_hose_is_fitted_and_looked_at_again(kept: TestClient, book: Path) -> None:
    told = kept.post("/book/1/fitted", data={"answer": "yes", "hose": "", "on": "2031-05-01"})
    assert "2031-05-15" in seen(told.text)
    assert "To be looked at again" in seen(kept.get("/book").text)
    assert "2031-05-30" in seen(kept.post("/book/1/done").text)
    assert "To be looked at again" not in seen(kept.get("/book").text)
    other = kept.post("/book/2/fitted", data={"answer": "yes", "hose": "C01-15.9"})
    assert "It is not what was offered" in seen(other.text)
    assert kept.post("/book/2/fitted", data={"answer": "no"}).status_code == 200
    assert [JobBook(book).entry(n).fitted for n in (1, 2)] == ["yes", "no"]


def test_nothing_is_fitted_on_a_stopped_job(kept: TestClient, book: Path) -> None:
    assert "Was a hose fitted" not in seen(kept.get("/book/3").text)
    told = kept.post("/book/3/fitted", data={"answer": "yes", "hose": "C01-15.9"})
    assert told.status_code == 422
    assert JobBook(book).entry(3).fitted == ""


def test_a_note_is_written(kept: TestClient, book: Path) -> None:
    assert kept.post("/book/1/note", data={"text": " Smith's van "}).status_code == 200
    assert JobBook(book).entry(1).asked.note == "Smith's van"
    assert kept.post("/book/1/note", data={"text": "x" * 201}).status_code == 422


def test_the_book_is_exported(kept: TestClient) -> None:
    told = kept.get("/book/export.csv")
    assert told.headers["content-disposition"] == 'attachment; filename="job-book.csv"'
    assert len(told.text.splitlines()) == 4


@pytest.mark.parametrize("number", ["0", "99", "x", "-1", "9" * 30, "1.5"])
def test_a_number_that_is_none_is_told(kept: TestClient, number: str) -> None:
    assert kept.get(f"/book/{number}").status_code == 422
    assert kept.post(f"/book/{number}/done").status_code == 422


@pytest.mark.parametrize("day", ["tomorrow", "9999-12-31", "0001-01-01", "2031-13-01"])
def test_a_day_that_is_none_is_told(kept: TestClient, day: str) -> None:
    assert kept.post("/book/1/fitted", data={"answer": "yes", "on": day}).status_code == 422
    assert kept.get("/book", params={"since": day}).status_code == 422


@pytest.mark.parametrize("on", ["2031-05-31", "2041-01-01"])
def test_nothing_was_done_on_a_day_to_come(kept: TestClient, book: Path, on: str) -> None:
    fitted = kept.post("/book/1/fitted", data={"answer": "yes", "hose": "C01-15.9", "on": on})
    assert f"on: found {on}; expected today, 2031-05-30, or a day before" in seen(fitted.text)
    assert JobBook(book).entry(1).fitted == ""
    kept.post("/book/1/fitted", data={"answer": "yes", "hose": "C01-15.9", "on": "2031-05-20"})
    done = kept.post("/book/1/done", data={"on": on})
    assert f"on: found {on}" in seen(done.text)
    by_program = kept.post("/api/book/1/done", json={"on": on})
    assert by_program.status_code == 422


def test_no_hose_is_looked_at_again_before_it_is_fitted(kept: TestClient, book: Path) -> None:
    kept.post("/book/1/fitted", data={"answer": "yes", "hose": "C01-15.9", "on": "2031-05-20"})
    done = kept.post("/book/1/done", data={"on": "2031-05-19"})
    assert "expected a day from 2031-05-20, on which it was fitted" in seen(done.text)
    assert JobBook(book).entry(1).done_on == ""
    kept.post("/book/1/done", data={"on": "2031-05-20"})
    assert JobBook(book).entry(1).done_on == "2031-05-20"
