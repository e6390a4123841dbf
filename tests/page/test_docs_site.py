"""The site of the documentation, as it was built, in a browser and opened from its folder.

`HOSESELECT_SITE` names the folder; without it these tests are skipped and say so.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

SITE = os.environ.get("HOSESELECT_SITE", "")
playwright = pytest.importorskip("playwright.sync_api", reason="needs the extra `browser`")
axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="needs `browser`")
pytestmark = pytest.mark.skipif(not SITE, reason="needs the built site: HOSESELECT_SITE=FOLDER")

PAGES = ("index", "tutorials/bench", "reference/commands", "reference/rules", "how-to/page")
WIDTHS = (320, 1366)
IGNORED = {"scrollable-region-focusable"}
"""Blocks of code take the focus once their script has run, tables of the theme never do."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    with playwright.sync_playwright() as started:
        opened = started.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", WIDTHS)
def test_a_page_fits_the_screen_can_be_read_and_asks_for_nothing(
    browser: Any, width: int, scheme: str
) -> None:
    view = {"width": width, "height": 800}
    page = browser.new_page(viewport=view, color_scheme=scheme)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    found = []
    for name in PAGES:
        page.goto((Path(SITE) / f"{name}.html").as_uri())
        beyond = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        found += [f"{name}: {beyond} px too wide"] if beyond > 0 else []
        seen = axe.Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa"]})
        rules = {rule["id"] for rule in seen.response["violations"]} - IGNORED
        found += [f"{name}: {rule}" for rule in sorted(rules)]
    assert found == []
    assert [url for url in asked if not url.startswith(("file:", "data:", "about:"))] == []
    page.close()


def test_the_search_works_from_a_folder(browser: Any) -> None:
    page = browser.new_page()
    page.goto((Path(SITE) / "index.html").as_uri())
    page.fill("input.md-search__input", "bend-radius")
    page.wait_for_selector(".md-search-result__item a[href*='rules.html']", timeout=20_000)
    page.close()
