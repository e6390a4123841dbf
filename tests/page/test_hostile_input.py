"""Hostile input in every field of every form and of the JSON interface: told, never run, no fault.

The forms are read off the pages as a browser would, so that a new field is tried without a word
here. Each field is sent by itself with the others as they stand.
"""

from __future__ import annotations

import html
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from hoseselect.application.new_catalogue import new_catalogue
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.interfaces.page.application import page_application
from hoseselect.interfaces.page.shop import Shop

MARKUP = "<script>alert(1)</script>\"'><img src=x onerror=alert(2)>{{1234*5678}}{% raw %}${7}"
CONTROL = "a\x00b\x1b[31m\r\nX-Evil: 1\u202ecod\u200b\ufeff\x85\u2028"
QUERY = "'; DROP TABLE jobs; --\" OR 1=1 ../../etc/passwd %00%0d%0a =cmd|'/C calc'!A0"
LONG = "x" * 10_000
FIGURES = "9" * 400 + "e999"
HOSTILE = {"markup": MARKUP, "control": CONTROL, "query": QUERY, "long": LONG, "figures": FIGURES}
COUNTER = "/counter?service=heater+hose&nipple_a.outside_diameter=16+mm"
PAGES = (
    "/counter",
    COUNTER,
    "/counter?service=breather",
    f"{COUNTER}&nipple_b.outside_diameter=same&route=400+mm",
    "/bench",
    f"/bench?{COUNTER.partition('?')[2]}&route.run=60+mm%3B+90+deg+at+110+mm%3B+180+mm",
    "/sheet",
    "/shelf",
    "/shelf/row?file=rolls.csv&line=2",
    "/book",
    "/book/1",
)


@dataclass(frozen=True)
class Sent:
    """A form as a browser reads it."""

    method: str
    action: str
    fields: tuple[tuple[str, str], ...]


def forms(text: str) -> Iterator[Sent]:
    """Yield the forms of a page."""
    for head, body in re.findall(r"<form\b([^>]*)>(.*?)</form>", text, re.DOTALL):
        told = dict(re.findall(r'(\w+)="([^"]*)"', head))
        fields = {}
        for tag in re.findall(r"<(?:input|select|textarea|button)\b[^>]*>", body):
            own = {k: html.unescape(v) for k, v in re.findall(r'(\w+)="([^"]*)"', tag)}
            if "name" in own and own.get("type") != "file":
                fields.setdefault(own["name"], own.get("value", ""))
        yield Sent(told.get("method", "get"), told["action"], tuple(fields.items()))


def send(client: TestClient, form: Sent, fields: dict[str, str]) -> Any:
    if form.method == "get":
        return client.get(form.action, params=fields)
    return client.post(form.action, data=fields)


def harmless(told: Any) -> None:
    """Say that an answer is no fault of ours, and runs nothing of what was sent."""
    assert told.status_code < 500, told.text[:400]
    assert "x-evil" not in told.headers
    assert "default-src 'none'" in told.headers["content-security-policy"]
    if "html" in told.headers["content-type"]:
        for piece in ("<script>alert", "<img src=x", "onerror=alert(2)>", "7006652"):
            assert piece not in told.text
        assert "\x00" not in told.text and "\u202e" not in told.text
    assert "Traceback" not in told.text
    assert "root:x:" not in told.text


@pytest.fixture
def own(tmp_path: Path, book: Path) -> TestClient:
    """The page of a shop with a catalogue that can be changed, and a job in its book."""
    place = tmp_path / "ours"
    new_catalogue(place, example=True)
    client = TestClient(page_application(Shop(str(place))), base_url="http://localhost")
    client.post("/api/pick", json={"job": {"service": "heater hose"}, "keep": True, "top": 0})
    return client


def every_form(client: TestClient) -> list[Sent]:
    found: dict[tuple[str, str, frozenset[str]], Sent] = {}
    for page in PAGES:
        told = client.get(page)
        assert told.status_code == 200, page
        for form in forms(told.text):
            names = frozenset(name for name, _ in form.fields)
            found.setdefault((form.method, form.action, names), form)
    return list(found.values())


@pytest.mark.parametrize("kind", HOSTILE)
def test_every_field_of_every_form(own: TestClient, kind: str) -> None:
    tried = 0
    for form in every_form(own):
        for name, _ in form.fields:
            harmless(send(own, form, {**dict(form.fields), name: HOSTILE[kind]}))
            tried += 1
    assert tried > 60
    for page in PAGES:  # what was kept is shown harmlessly as well
        harmless(own.get(page))
    harmless(own.get("/book/export.csv"))
    assert own.get("/book/1").status_code == 200


def test_names_of_fields_that_nobody_asked_for(own: TestClient) -> None:
    for name in (*HOSTILE.values(), "service.service", "__class__", "nipple_a", "route", "code"):
        for path in ("/counter", "/bench", "/answer", "/card.pdf", "/counter/answer"):
            harmless(own.get(path, params={"service": "heater hose", name[:4000]: "1"}))


def test_the_way_to_a_page(own: TestClient) -> None:
    for path in (
        "/%00",
        "/..%2f..%2fetc%2fpasswd",
        "/book/%3Cscript%3E",
        "/shelf/%0d%0aX-Evil:1",
        "/api/book/%00",
        "/api/%ff",
        "/static/%00",
        "//evil.example/",
        "/" + "x" * 9000,
    ):
        harmless(own.get(path))


@pytest.mark.parametrize("kind", HOSTILE)
def test_every_key_of_a_job(client: TestClient, kind: str) -> None:
    for key in sheet_keys():
        *tables, last = key.split(".")
        job: dict[str, Any] = {"service": "heater hose"}
        inner = job
        for table in tables:
            inner = inner.setdefault(table, {})
        inner[last] = HOSTILE[kind]
        told = client.post("/api/pick", json={"job": job, "top": 0})
        harmless(told)
        assert told.status_code == 422 or key in FREE_TEXT or "route.free" in key, key


FREE_TEXT = {"name"}
"""Keys in which any text that can be shown is right."""

ODD: tuple[Any, ...] = (
    *(None, True, [], {}, 0, -1, 10**400, 1.5e308, [[]], {"": {"": ""}}, ["x"] * 5000),
    *({"a": {"b": {"c": {"d": 1}}}}, "\ud800", [None], {"service": {}}),
)


@pytest.mark.parametrize("key", ["service", "nipples", "route", "duty", "fluids", "features"])
def test_values_of_every_other_kind(client: TestClient, key: str) -> None:
    for odd in ODD:
        body = json.dumps({"job": {"service": "heater hose", key: odd}, "top": 0})
        kind = {"content-type": "application/json"}
        harmless(client.post("/api/pick", content=body, headers=kind))


@pytest.mark.parametrize(
    "body",
    ['{"job": {"service": NaN}}', '{"job": {"duty": {"flow": Infinity}}}', "{", "", "null", "[1]",
     '{"job":' + '{"a":' * 900 + "1" + "}" * 901, '{"job":' + "[" * 100_000, '"\\ud800"',
     '{"job": {"service": "heater hose", "service": "brake hose"}}',
     '{"job": {"service": "x", "route": ' + "9" * 5000 + "}}", "\ufeff{}", "\x00"],
)  # fmt: skip
def test_bodies_that_are_no_request(client: TestClient, body: str) -> None:
    for path in ("/api/pick", "/api/check", "/api/cut", "/api/book/1/note"):
        told = client.post(
            path, content=body.encode("utf-8"), headers={"content-type": "application/json"}
        )
        harmless(told)
        assert set(told.json()) == {"error", "keys"} or told.json()["stop"]


def test_every_field_beside_the_job(client: TestClient) -> None:
    job = {"service": "heater hose"}
    for path, fields in (
        ("pick", ("units", "prefer", "note", "shelf")),
        ("check", ("hose", "note", "units")),
        ("cut", ("hose", "radius", "outside_diameter", "note")),
    ):
        for name in fields:
            for text in HOSTILE.values():
                value: Any = [text] if name == "shelf" else text
                body = {"job": job, "hose": "C01-15.9", "keep": True, "top": 0}
                if path == "pick":
                    del body["hose"]
                harmless(client.post(f"/api/{path}", json={**body, name: value}))
    for path in ("explain?code=", "catalogue/hose?name=", "catalogue/sizes?hose_type=",
                 "book?words=", "book?service=", "book?since=", "book?most=", "book/"):  # fmt: skip
        for text in HOSTILE.values():
            start, mark, name = path.partition("?")
            if mark:
                harmless(client.get(f"/api/{start}", params={name[:-1]: text}))
            else:
                harmless(client.get(f"/api/{path}{text[:50].encode().hex()}"))
    assert client.get("/api/book").status_code == 200
