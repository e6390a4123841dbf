"""What no request gets past: hosts, keys, other sites' forms, sizes; and the headers of answers."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from starlette.testclient import TestClient

from hoseselect.interfaces.page import guard
from hoseselect.interfaces.page.access import COOKIE, Access, on_the_network

from .conftest import Made

CHANGING = ("/keep", "/open", "/sheet", "/shelf/cell", "/shelf/undo", "/book/1/fitted",
            "/book/1/done", "/book/1/note", "/api/pick", "/api/book/1/note")  # fmt: skip
SEEN = ("/", "/counter", "/bench", "/sheet", "/shelf", "/shelf/check", "/book", "/card.pdf",
        "/api/openapi.json", "/api/book", "/static/page.css")  # fmt: skip


@pytest.mark.parametrize(
    "host", ["evil.example", "localhost.evil.example", "127.0.0.1.evil.example", "", "[::1", "a b"]
)
def test_a_host_of_another_name_is_refused(client: TestClient, host: str) -> None:
    assert client.get("/counter", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", ["localhost", "LOCALHOST:8137", "127.0.0.1:1", "[::1]:8137"])
def test_its_own_hosts_are_answered(client: TestClient, host: str) -> None:
    assert client.get("/counter", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("path", CHANGING)
@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://localhost:9"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"sec-fetch-site": "cross-site", "origin": "http://localhost"},
    ],
    ids=str,
)
def test_a_form_of_another_site_changes_nothing(
    client: TestClient, path: str, headers: dict[str, str]
) -> None:
    assert client.post(path, headers=headers, data={"text": "x"}).status_code == 403


@pytest.mark.parametrize("headers", [{}, {"origin": "http://localhost"},
                                     {"sec-fetch-site": "same-origin"}])  # fmt: skip
def test_a_form_of_its_own_is_taken(client: TestClient, headers: dict[str, str]) -> None:
    assert client.post("/open", headers=headers, data={"job": "x"}).status_code == 422


def test_nothing_that_changes_something_is_a_link(client: TestClient) -> None:
    for path in CHANGING:
        assert client.get(path).status_code in {200, 404, 405, 422}, path
    assert client.get("/keep").status_code == 405


def test_on_the_network_nothing_is_seen_without_the_key(guarded: Made) -> None:
    client = guarded(on_the_network(("192.0.2.7",)), "http://192.0.2.7:8137")
    for path in SEEN:
        assert client.get(path).status_code == 403, path
    for path in CHANGING:
        assert client.post(path).status_code == 403, path
    assert client.get("/counter?key=wrong").status_code == 403
    assert client.get("/counter", headers={"cookie": f"{COOKIE}=wrong"}).status_code == 403
    assert client.get("/counter", headers={"authorization": b"Bearer \xe9"}).status_code == 403


def test_the_link_with_the_key_opens_and_keeps_it_out_of_sight(guarded: Made) -> None:
    access = on_the_network(("192.0.2.7",))
    client = guarded(access, "http://192.0.2.7:8137")
    first = client.get(f"/?key={access.key}", follow_redirects=False)
    assert first.status_code == 303
    assert "key" not in first.headers["location"]
    cookie = first.headers["set-cookie"].lower()
    assert "httponly" in cookie and "samesite=strict" in cookie
    assert client.get("/counter").status_code == 200
    assert access.key not in client.get("/counter").text


def test_a_program_shows_the_key_as_a_bearer(guarded: Made) -> None:
    access = Access(("localhost",), "s3cret")
    client = guarded(access)
    assert client.get("/api/catalogue").status_code == 403
    shown = client.get("/api/catalogue", headers={"authorization": "Bearer s3cret"})
    assert shown.status_code == 200


def test_keys_are_long_and_never_the_same() -> None:
    keys = {on_the_network(("192.0.2.7",)).key for _ in range(50)}
    assert len(keys) == 50 and min(map(len, keys)) >= 20


@pytest.mark.parametrize("path", ["/keep", "/open", "/book/1/note", "/api/pick", "/sheet"])
def test_what_is_too_large_is_refused_by_its_length(client: TestClient, path: str) -> None:
    most = guard.most_bytes(path)
    told = client.post(path, content=b"", headers={"content-length": str(most + 1)})
    assert told.status_code == 413
    assert f"{most:,}" in told.text
    assert client.post(path, headers={"content-length": "-1"}).status_code == 413
    assert client.post(path, headers={"content-length": "9" * 5000}).status_code == 413


def parts(size: int) -> Iterator[bytes]:
    """Yield a body whose length nobody tells before."""
    yield b"job="
    yield from (b"x" * 100_000 for _ in range(size // 100_000 + 1))


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/keep", "application/x-www-form-urlencoded"),
        ("/open", "application/x-www-form-urlencoded"),
        ("/api/pick", "application/json"),
        ("/sheet", "multipart/form-data; boundary=x"),
        ("/sheet", "application/x-www-form-urlencoded"),
    ],
)
def test_what_is_too_large_is_refused_though_no_length_was_told(
    client: TestClient, path: str, kind: str
) -> None:
    body = parts(guard.most_bytes(path))
    told = client.post(path, content=body, headers={"content-type": kind})
    assert told.status_code in ({413, 400} if "multipart" in kind else {413})


def test_an_address_beyond_measure_is_refused(client: TestClient) -> None:
    assert client.get("/counter?x=" + "y" * guard.MOST_ADDRESS).status_code == 414
    many = "&".join(f"k{n}=1" for n in range(500))
    assert client.get(f"/counter?{many}").status_code == 422


@pytest.mark.parametrize("path", [*SEEN, "/nothing", "/static/../words.toml", "/static/%2e%2e/x"])
def test_every_answer_has_the_safe_headers(client: TestClient, path: str) -> None:
    headers = client.get(path).headers
    assert "default-src 'none'" in headers["content-security-policy"]
    assert "'unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"
    assert "server" not in headers or "uvicorn" not in headers["server"]


@pytest.mark.parametrize("path", ["/static/../words.toml", "/static/%2e%2e/words.toml",
                                  "/static/..%2fwords.toml", "/static//etc/passwd"])  # fmt: skip
def test_no_file_but_the_static_ones_is_given_out(client: TestClient, path: str) -> None:
    assert client.get(path).status_code == 404


def test_what_nobody_foresaw_tells_nothing_of_the_inside(
    guarded: Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: Any, **__: Any) -> Any:
        raise RuntimeError("secret of the inside")

    monkeypatch.setattr("hoseselect.interfaces.page.json_shop.list_types", broken)
    client = guarded(Access())
    client = TestClient(client.app, base_url="http://localhost", raise_server_exceptions=False)
    told = client.get("/api/catalogue")
    assert told.status_code == 500
    assert "secret" not in told.text and "Traceback" not in told.text
