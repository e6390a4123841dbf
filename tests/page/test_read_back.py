"""A figure that is read back counts once it is answered for; until then nothing is judged."""

from __future__ import annotations

import html
import re
from itertools import product
from typing import Any

import pytest
from starlette.testclient import TestClient

from hoseselect.interfaces.page.address import address_of
from hoseselect.interfaces.page.counter_view import changed_reply

from .seen import pairs_of, seen

A, B = "nipple_a.outside_diameter", "nipple_b.outside_diameter"
USUAL = ("16 mm", "5/8 in", "50 mm round")
UNUSUAL = ("16 in", "3 in", "60 mm", "around 30 mm")
"""Beside a PCV hose; the last may be across a nipple or round it."""
ROUTE = {"way": "measured", "measured:route.measured": "400 mm"}
TOLD = [("service", "PCV hose"), (A, "16 mm"), (B, "16 in"), ("route.measured", "400 mm")]


def at_the_bench(client: TestClient, a: str, b: str, **more: str) -> Any:
    form = {"service": "PCV hose", A: a, B: b, **ROUTE, **more}
    return client.get("/bench", params=form)


def replies(page: Any) -> dict[str, str]:
    """Return what may be said to the question that the bench puts, and where it leads."""
    start = page.text.partition("</form>")[0]
    found = re.findall(r'<li><a class="button" href="(/bench\?[^"]*)">(.*?)</a>', start)
    return {html.unescape(label): html.unescape(link) for link, label in found}


def field(page: Any, name: str) -> str:
    """Return what stands in a field of the form."""
    found = re.findall(rf'<input id="[^"]*" name="{re.escape(name)}" value="([^"]*)"', page.text)
    return html.unescape(found[0])


@pytest.mark.parametrize(("a", "b"), list(product(USUAL + UNUSUAL, repeat=2)))
def test_no_figure_is_dropped_at_the_bench(client: TestClient, a: str, b: str) -> None:
    """Each is in the job that is judged, after a question for each unusual one."""
    page = at_the_bench(client, a, b)
    asked = 0
    while found := replies(page):
        assert 'class="verdict' not in page.text
        assert (field(page, A), field(page, B)) != ("", "")
        page = client.get(next(iter(found.values())))
        asked += 1
    once = a == b and a != "around 30 mm"  # a second nipple of a size that was answered for
    assert asked == sum(one in UNUSUAL for one in ({a} if once else (a, b)))
    assert 'class="verdict' in page.text
    job = address_of(pairs_of(page)).interviewing.job()
    across = {
        "16 mm": 16.0, "5/8 in": 15.875, "50 mm round": 15.915,
        "16 in": 406.4, "3 in": 76.2, "60 mm": 60.0, "around 30 mm": 30.0,
    }  # fmt: skip
    figures = [nipple.outside_diameter for nipple in (job.nipple_a, job.nipple_b)]
    assert figures == pytest.approx([across[a], across[b]], rel=1e-3)


def test_the_question_says_which_nipple_and_the_figure_stays_in_its_field(
    client: TestClient,
) -> None:
    page = at_the_bench(client, "16 mm", "16 in")
    told = seen(page.text)
    assert "Nipple B, where it is another: 406.4 mm across for this line" in told
    assert "The answer waits for the reply to this: 406.4 mm" in told
    assert (field(page, A), field(page, B)) == ("16 mm", "16 in")
    assert list(replies(page)) == ["yes, 406.4 mm across"]


@pytest.mark.parametrize("path", ["/card.pdf", "/slip.pdf", "/answer", "/bench/shape"])
def test_nothing_is_answered_or_printed_while_a_figure_waits(client: TestClient, path: str) -> None:
    page = client.get(path, params=TOLD)
    assert page.status_code in {400, 422}
    assert "USE" not in page.text


def test_nothing_is_written_down_while_a_figure_waits(client: TestClient) -> None:
    page = client.post("/keep", data=dict(TOLD))
    assert page.status_code in {400, 422}
    assert "406.4 mm across for this line" in seen(page.text)


def test_no_answer_stands_beside_the_question_at_the_counter(client: TestClient) -> None:
    told = seen(client.get("/counter", params=TOLD).text)
    assert "The answer waits for the reply to this: 406.4 mm across" in told
    assert "USE IF" not in told


def test_what_was_read_back_at_the_counter_stays_so_at_the_bench(client: TestClient) -> None:
    counter = [("service", "PCV hose"), (A, "60 mm"), ("confirm", "1"), (B, "same")]
    form = [("way", "measured"), ("service", "PCV hose"), (A, "60 mm"), (B, "60 mm")]
    page = client.get("/bench", params=[*counter, *form, ("measured:route.measured", "1 m")])
    assert 'class="verdict' in page.text
    assert not replies(page)
    kept = pairs_of(page)
    assert ("confirm", "1") in kept
    assert ("route.measured", "1 m") in kept


def test_another_figure_is_read_back_anew(client: TestClient) -> None:
    counter = [("service", "PCV hose"), (A, "60 mm"), ("confirm", "1"), (B, "same")]
    form = [("way", "measured"), ("service", "PCV hose"), (A, "61 mm"), (B, "60 mm")]
    page = client.get("/bench", params=[*counter, *form])
    assert "61 mm across" in seen(page.text) or "60 mm across" in seen(page.text)
    assert ("confirm", "1") not in pairs_of(page)
    assert 'class="verdict' not in page.text


def test_a_reply_that_is_changed_is_not_answered_for_by_the_one_before() -> None:
    pairs = [
        ("service", "PCV hose"),
        (A, "60 mm"),
        ("confirm", "1"),
        (B, "62 mm"),
        ("confirm", "1"),
    ]
    told = changed_reply(address_of(pairs), A, "61 mm", "1")
    assert told.pairs == (pairs[0], (A, "61 mm"), pairs[3], pairs[4])
    waiting = told.interviewing.unanswered
    assert waiting is not None
    assert waiting.question.startswith("61 mm across")
    assert told.saying("confirm", "1").interviewing.job().nipple_a.outside_diameter == 61.0


@pytest.mark.parametrize("line", ["oil hose", "fuel", "hose from block to airbox"])
def test_a_line_of_several_meanings_is_asked_about_at_the_bench(
    client: TestClient, line: str
) -> None:
    page = at_the_bench(client, "16 mm", "", service=line)
    assert "Which of these is it?" in seen(page.text)
    page = client.get(next(iter(replies(page).values())))
    assert 'class="verdict' in page.text
    kept = pairs_of(page)
    sizes = [(A, "16 mm"), (B, "16 mm"), ("way", "measured")]
    again = client.get("/bench", params=[*kept, ("service", field(page, "service")), *sizes])
    assert ("line.which", "1") in pairs_of(again)
    assert 'class="verdict' in again.text
    other = client.get("/bench", params=[*kept, ("service", "heater hose"), *sizes])
    assert "line.which" not in dict(pairs_of(other))
    assert 'class="verdict' in other.text


def test_who_cannot_name_the_line_is_shown_the_way_to_the_counter(client: TestClient) -> None:
    page = at_the_bench(client, "16 mm", "", service="dunno")
    assert "Find out at the counter which line it is" in seen(page.text)
    (link,) = re.findall(r'<p><a class="button" href="(/counter[^"]*)">Find out', page.text)
    told = seen(client.get(html.unescape(link)).text)
    assert "What is one end pushed on?" in told
