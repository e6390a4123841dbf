"""Readers of the page: bodies of the JSON interface, and addresses."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from .reader import Reader
from .text_readers import small_shop

PATHS = ("/api/pick", "/api/check", "/api/cut", "/api/book/1/note", "/api/book/1/fitted")
VIEWS = ("/counter", "/bench", "/answer", "/counter/answer", "/api/explain", "/api/book")
KIND = {"content-type": "application/json"}


@cache
def _client() -> Any:
    from starlette.testclient import TestClient

    from hoseselect.interfaces.page.application import page_application
    from hoseselect.interfaces.page.shop import Shop

    shop = Shop(str(small_shop()))
    return TestClient(page_application(shop), base_url="http://localhost")


def body(data: bytes, folder: Path) -> None:
    """Send a body to the JSON interface; the first line names the path."""
    first, _, content = data.partition(b"\n")
    path = first.decode("latin-1")
    told = _client().post(path if path in PATHS else PATHS[0], content=content, headers=KIND)
    assert told.status_code < 500, told.text
    told.json()


def address(data: bytes, folder: Path) -> None:
    """Ask for a view with an address; the first line names it, the others are its pairs."""
    first, *rest = data.decode("utf-8", "replace").split("\n")
    pairs = [tuple(line.partition("=")[::2]) for line in rest]
    told = _client().get(first if first in VIEWS else VIEWS[0], params=pairs)
    assert told.status_code < 500, told.text


BODIES = (
    b'/api/pick\n{"job": {"service": "heater hose", "nipples": {"outside_diameter": "16 mm"},'
    b' "route": {"run": ["60 mm", {"bend": "90 deg", "radius": "110 mm"}, 180]}}, "top": 1}',
    b'/api/check\n{"hose": "C01-15.9", "job": {"service": "heater hose", "drips": ["nothing"]}}',
    b'/api/cut\n{"radius": "50 mm", "outside_diameter": "20 mm", "units": "in", "job": {"service":'
    b' "heater hose", "route": {"measured": "650 mm"}}}',
    b'/api/book/1/note\n{"note": "van 7"}',
    b'/api/book/1/fitted\n{"fitted": true, "hose": "C01-15.9", "on": "2031-05-30"}',
)
ADDRESSES = (
    b"/counter\nservice=heater hose\nnipples=16\nroute=run\nroute.run=60; 90 deg at 110; 180",
    b"/answer\nservice=heater hose\nnipples.outside_diameter=16 mm\nunits=in",
    b"/bench\nservice=PCV hose\nroute.free.offset=forward 120 mm\nroute.free.nipple_a_points=up",
    b"/counter/answer\nfield=service\nreply=fuel",
    b"/api/explain\ncode=bend-radius",
    b"/api/book\nwords=van\nsince=2031-05-30\nmost=5",
)
PAGE_READERS = (
    Reader("json", body, lambda: BODIES, (b"null", b"{", b"[", b'": ', b"1e400"), share=0.06),
    Reader("address", address, lambda: ADDRESSES, (b"\nroute.", b"=", b"unknown"), share=0.1),
)
