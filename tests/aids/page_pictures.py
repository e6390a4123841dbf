"""Pictures of the page for the documentation, and the words on them.

`python tests/aids/page_pictures.py` takes them anew with Chromium and writes each into
`docs/pictures/`, with its words beside it; a test in a browser compares the words.
"""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PIL import Image

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "docs" / "pictures"
COLOURS = 96
HEATER = (
    "service=heater+hose&nipple_a.outside_diameter=16+mm&nipple_b.outside_diameter=16+mm"
    "&nipple_a.bead=yes"
)


@dataclass(frozen=True)
class Scene:
    """What a picture shows: an address, the screen that it is seen on [px], and how much of it."""

    name: str
    path: str
    width: int
    height: int
    whole: bool = False


SCENES = (
    Scene("page-counter", f"/counter?{HEATER}&route.measured=400+mm", 390, 1120),
    Scene(
        "page-bench",
        f"/bench?{HEATER}&nipple_a.fixed_to=engine&nipple_b.fixed_to=engine"
        "&nipple_a.engagement=25+mm&nipple_b.engagement=25+mm"
        "&route.free.offset=250+mm+forward,+120+mm+up"
        "&route.free.nipple_a_points=up&route.free.nipple_b_points=back",
        1100,
        900,
        whole=True,
    ),
)


def words(page: Any) -> str:
    """Return the words that stand on a page of a browser, one line each."""
    lines = (" ".join(line.split()) for line in page.inner_text("body").splitlines())
    return "\n".join(line for line in lines if line) + "\n"


def take(browser: Any, link: str) -> None:
    """Write every picture and its words."""
    for scene in SCENES:
        page = browser.new_page(viewport={"width": scene.width, "height": scene.height})
        page.goto(f"{link}{scene.path}", wait_until="networkidle")
        taken = io.BytesIO(page.screenshot(full_page=scene.whole))
        with Image.open(taken) as picture:
            picture.quantize(COLOURS).save(PICTURES / f"{scene.name}.png", optimize=True)
        (PICTURES / f"{scene.name}.txt").write_text(words(page), encoding="utf-8")
        page.close()


def main() -> None:
    """Serve the page and take its pictures."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as folder, sync_playwright() as started:
        environment = {
            **os.environ,
            "HOSESELECT_BOOK": str(Path(folder) / "jobs.sqlite"),
            "XDG_CONFIG_HOME": folder,
            "PYTHONPATH": str(ROOT),
        }
        served = [sys.executable, "-m", "hoseselect", "page", "--port", "0", "--workers", "1"]
        with subprocess.Popen(
            served, env=environment, stdout=subprocess.PIPE, text=True
        ) as process:
            assert process.stdout is not None
            link = re.sub(r"/$", "", process.stdout.readline().strip())
            chromium = shutil.which("chromium") or shutil.which("chromium-browser")
            browser = started.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
            take(browser, link)
            browser.close()
            process.terminate()


if __name__ == "__main__":
    main()
