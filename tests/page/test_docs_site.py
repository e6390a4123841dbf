"""The site of the documentation, as it was built, in a browser and opened from its folder.

`HOSESELECT_SITE` names the folder; without it these tests are skipped and say so.
"""

from __future__ import annotations

import os
import runpy
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
SITE = os.environ.get("HOSESELECT_SITE", "")
playwright = pytest.importorskip("playwright.sync_api", reason="needs the extra `browser`")
axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="needs `browser`")
pytestmark = pytest.mark.skipif(not SITE, reason="needs the built site: HOSESELECT_SITE=FOLDER")

PAGES = ("index", "tutorials/bench", "reference/commands", "reference/rules", "how-to/page")
READ = ("index", "how-to/rolls")
"""Pages that are looked at for what somebody cannot read or reach."""


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    with playwright.sync_playwright() as started:
        opened = started.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.mark.parametrize("width", [320, 1366])
def test_a_page_fits_the_screen_and_asks_for_nothing(browser: Any, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 800})
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    beyond = {}
    for name in PAGES:
        page.goto((Path(SITE) / f"{name}.html").as_uri())
        beyond[name] = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert {name: pixels for name, pixels in beyond.items() if pixels > 0} == {}
    assert len(asked) > len(PAGES)
    assert [url for url in asked if not url.startswith(("file:", "data:", "about:"))] == []
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_page_can_be_read(browser: Any, scheme: str) -> None:
    page = browser.new_page(color_scheme=scheme)
    found = []
    for name in READ:
        page.goto((Path(SITE) / f"{name}.html").as_uri())
        seen = axe.Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa"]})
        found += [
            f"{name}: {rule['id']}: {node['html'][:200]}"
            for rule in seen.response["violations"]
            for node in rule["nodes"][:3]
        ]
    assert found == []
    page.close()


def test_the_search_works_from_a_folder(browser: Any) -> None:
    page = browser.new_page()
    page.goto((Path(SITE) / "index.html").as_uri())
    page.click("input.md-search__input")
    page.keyboard.type("kinks")
    playwright.expect(page.locator(".md-search-result__meta")).to_contain_text(
        "matching document", timeout=30_000
    )
    page.close()


@pytest.mark.parametrize(
    "planted",
    [
        '<script src="https://example.org/x.js"></script>',
        '<link rel="stylesheet" href="//example.org/x.css">',
        "<img alt='' src='https://example.org/x.png'>",
        "<style>@import 'https://example.org/x.css';</style>",
        "<style>p { background: url(https://example.org/x.png) }</style>",
    ],
)
def test_the_build_refuses_what_would_be_fetched_from_elsewhere(
    tmp_path: Path, planted: str
) -> None:
    hooks = runpy.run_path(str(ROOT / "docs" / "site" / "hooks.py"))
    page = tmp_path / "page.html"
    page.write_text('<a href="https://example.org">far</a><img src="near.png">', encoding="utf-8")
    hooks["on_post_build"]({"site_dir": str(tmp_path)})
    page.write_text(planted, encoding="utf-8")
    with pytest.raises(Exception, match="fetch from elsewhere"):
        hooks["on_post_build"]({"site_dir": str(tmp_path)})
