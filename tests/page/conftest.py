from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

pytest.importorskip("fastapi", reason="the page is an extra: pip install 'hoseselect[page]'")

from starlette.testclient import TestClient

from hoseselect.interfaces.page.access import Access
from hoseselect.interfaces.page.application import page_application
from hoseselect.interfaces.page.shop import Shop

Made = Callable[..., TestClient]


@pytest.fixture(scope="session")
def shop() -> Shop:
    return Shop()


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    file = tmp_path / "book" / "jobs.sqlite"
    monkeypatch.setenv("HOSESELECT_BOOK", str(file))
    monkeypatch.setenv("HOSESELECT_TODAY", "2031-05-30")
    return file


@pytest.fixture(scope="session")
def whole_page(shop: Shop) -> Iterator[TestClient]:
    with TestClient(page_application(shop), base_url="http://localhost") as client:
        yield client


@pytest.fixture
def client(whole_page: TestClient, book: Path) -> TestClient:
    """The page of the built-in catalogue, with a job book of its own."""
    whole_page.cookies.clear()
    return whole_page


@pytest.fixture
def guarded(shop: Shop, book: Path) -> Made:
    """Return the page as others on a network see it."""

    def made(access: Access, host: str = "http://localhost") -> TestClient:
        return TestClient(page_application(shop, access), base_url=host)

    return made
