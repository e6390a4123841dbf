"""The counter on the page: questions, replies, the answer beside them, papers."""

from __future__ import annotations

import pytest
from starlette.testclient import TestClient

from hoseselect.application.pick import pick_hose
from hoseselect.book.job_book import JobBook
from hoseselect.interfaces.page.address import address_of
from hoseselect.interfaces.page.shop import Shop

from .seen import pairs_of, seen

PCV = (
    ("service", "PCV hose"),
    ("nipple_a.outside_diameter", "16 mm"),
    ("nipple_b.outside_diameter", "same"),
    ("features.turbo", "no"),
    ("nipple_a.bead", "yes"),
    ("route", "400 mm"),
)
STOPPED = (("service", "brake hose"),)
ASKED = '<input type="hidden" name="field" value="'


def test_the_first_page_asks_what_the_line_does(client: TestClient) -> None:
    told = client.get("/")
    assert told.url.path == "/counter"
    assert "What is the line called" in seen(told.text)
    assert "Don't know" in seen(told.text)
    assert '<html lang="en">' in told.text


def test_a_reply_leads_to_an_address_that_holds_the_job(client: TestClient) -> None:
    told = client.get("/counter", params=[*PCV[:1], ("field", PCV[1][0]), ("reply", "16 mm")])
    assert told.history[0].status_code == 303
    pairs = pairs_of(told)
    assert pairs == [("units", "mm"), *PCV[:2]]
    assert "nipple at the other end" in seen(told.text)


def test_the_answer_is_that_of_the_terminal(client: TestClient, shop: Shop) -> None:
    job = address_of(PCV).interviewing.job()
    told = pick_hose(job, shop.catalogue).summary
    words = seen(client.get("/counter", params=PCV).text)
    for text in (told.word, told.hose, told.print_line, *told.checks, *told.clamps, told.why):
        assert " ".join(text.split()) in words


def test_every_question_takes_dont_know(client: TestClient) -> None:
    pairs: list[tuple[str, str]] = list(PCV[:1])
    for _ in range(12):
        page = client.get("/counter", params=pairs).text
        if ASKED not in page:
            break
        field = page.split(ASKED)[1].split('"')[0]
        told = client.get("/counter", params=[*pairs, ("field", field), ("reply", "dunno")])
        assert told.status_code == 200
        pairs = [pair for pair in pairs_of(told) if pair[0] != "units"]
    words = seen(client.get("/counter", params=pairs).text)
    assert "[?] NOT YET" in words
    assert "outside diameter of each nipple" in words
    assert " mm" not in words.split("Nothing more to ask")[1].split("[?]")[1]


def test_a_reply_that_is_not_understood_is_said_beside_the_question(client: TestClient) -> None:
    told = client.get("/counter", params=[*PCV[:1], ("field", PCV[1][0]), ("reply", "wide")])
    assert told.status_code == 200
    assert "Not understood" in seen(told.text)
    assert 'value="wide"' in told.text


def test_a_reply_changed_later_keeps_the_others(client: TestClient) -> None:
    told = client.get(
        "/counter",
        params=[*PCV, ("field", "nipple_a.outside_diameter"), ("reply", "19 mm"), ("changed", "1")],
    )
    pairs = dict(pairs_of(told))
    assert pairs["nipple_a.outside_diameter"] == "19 mm"
    assert pairs["route"] == "400 mm"
    assert "19 mm" in seen(told.text)


def test_a_stop_gives_no_length_and_who_helps(client: TestClient) -> None:
    for path in ("/counter", "/counter/answer", "/answer", "/bench"):
        words = seen(client.get(path, params=[*STOPPED, *PCV[1:2], *PCV[5:]]).text)
        assert "[!] STOP" in words
        assert "No hose and no length." in words
        assert "brake technician" in words
        assert "cut" not in words.split("STOP")[1].split("The tool advises")[0].casefold()


def test_a_line_without_a_name_is_found_by_its_ends(client: TestClient) -> None:
    pairs = [("service", "dunno"), ("line.end_a", "1"), ("line.end_b", "3"), ("line.residue", "1")]
    assert "Which of these" in seen(client.get("/counter", params=pairs).text)
    assert "<svg" in client.get("/counter", params=pairs[:1]).text
    told = client.get("/counter", params=[*pairs, ("field", "line.which"), ("reply", "1")])
    assert "crankcase" in seen(told.text)


def test_the_live_answer_is_the_one_of_the_reply_being_typed(client: TestClient) -> None:
    typed = [*PCV[:5], ("field", "route"), ("reply", "400 mm")]
    beside = client.get("/counter/answer", params=typed)
    whole = client.get("/counter", params=PCV)
    assert seen(beside.text) in seen(whole.text)
    half = client.get("/counter/answer", params=[*PCV[:5], ("field", "route"), ("reply", "40 q")])
    assert "Not understood" in seen(half.text)


def test_a_job_is_kept_and_opened_again(client: TestClient, shop: Shop) -> None:
    told = client.post("/keep", data={**dict(PCV), "note": "blue van"})
    assert "Job 1, in the book" in seen(told.text) or "job 1" in seen(told.text).casefold()
    entry = JobBook(shop.book).entry(1) if shop.book else None
    assert entry is not None
    assert (entry.asked.note, entry.asked.service) == ("blue van", "crankcase-suction")
    again = client.post("/open", data={"job": "#1"})
    assert entry.asked.hose in seen(again.text)
    assert client.post("/open", data={"job": "7"}).status_code == 422
    assert client.post("/open", data={"job": "no code"}).status_code == 422


@pytest.mark.parametrize("pairs", [PCV, STOPPED])
@pytest.mark.parametrize("path", ["/card.pdf", "/slip.pdf"])
def test_the_papers_are_pdf(client: TestClient, path: str, pairs: tuple[tuple[str, str]]) -> None:
    told = client.get(path, params=pairs)
    assert told.headers["content-type"] == "application/pdf"
    assert told.content.startswith(b"%PDF")


def test_every_rule_and_every_hose_can_be_seen(client: TestClient, shop: Shop) -> None:
    words = seen(client.get("/answer", params=PCV).text)
    assert "fluid-liner" in words
    assert all(hose in words for hose in shop.catalogue.sizes.hose_size[:20])


def test_another_hose_is_looked_at(client: TestClient) -> None:
    words = seen(client.get("/counter", params=[*PCV, ("hose", "C01-15.9")]).text)
    assert "[x] NO" in words
    assert "back to the best hose" in words


def test_inches_come_first_where_inches_are_wanted(client: TestClient) -> None:
    words = seen(client.get("/counter", params=[*PCV, ("units", "in")]).text)
    assert "0.63 in (16 mm)" in words


def test_nothing_to_ask_shows_what_was_said_and_a_way_back(client: TestClient) -> None:
    told = client.get("/counter", params=STOPPED)
    assert 'href="/counter?units=mm"' in told.text
    assert "Nothing more to ask" in seen(told.text)
