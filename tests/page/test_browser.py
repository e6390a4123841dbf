"""The page in a real browser: the stories of its users, by thumb, mouse and keyboard alone.

Needs Chromium and the extra `browser`; without them these tests are skipped and say so.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import page_pictures
import pytest

NEEDED = os.environ.get("HOSESELECT_BROWSER") == "needed"
"""Whether a machine without a browser is a fault rather than a reason to skip."""
WHY = "needs the extra `browser`: pip install 'hoseselect[browser]'"
playwright = pytest.importorskip("playwright.sync_api", reason=WHY)
axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason=WHY)
expect = playwright.expect
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
pytestmark = pytest.mark.skipif(
    CHROMIUM is None and not NEEDED, reason="needs Chromium on this machine"
)

ROOT = Path(__file__).parents[2]
PHONE: dict[str, Any] = {"viewport": {"width": 360, "height": 740}, "has_touch": True}
DESKTOP: dict[str, Any] = {"viewport": {"width": 1366, "height": 768}}
SCREENS = pytest.mark.parametrize("screen", [PHONE, DESKTOP], ids=["phone", "desktop"])
PHOTO = ROOT / "docs" / "pictures" / "old_hose.jpg"
TAPS = ROOT / "docs" / "pictures" / "old_hose_taps.csv"
CANVAS = ".photo-canvas >> nth=0"
HEATER = "service=heater+hose&nipple_a.outside_diameter=16+mm&nipple_b.outside_diameter=16+mm"
FREE = (
    f"{HEATER}&nipple_a.bead=yes&nipple_a.fixed_to=engine&nipple_b.fixed_to=engine"
    "&route.free.offset=250+mm+forward,+120+mm+up"
    "&route.free.nipple_a_points=up&route.free.nipple_b_points=back"
)
VIEWS = (
    "/counter",
    "/counter?service=dunno",
    f"/counter?{HEATER}&field=x",
    f"/counter?{HEATER}&nipple_a.bead=yes",
    "/counter?service=PCV+hose&ask=nipple_a.bead",
    "/counter?service=brake+hose",
    "/counter?service=PCV+hose&nipple_a.outside_diameter=16+mm&hose=C01-15.9",
    f"/answer?{HEATER}",
    "/answer?service=brake+hose",
    "/bench",
    f"/bench?{FREE}",
    "/photo",
    "/sheet",
    "/shelf",
    "/book",
    "/counter?code=nonsense",
)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Return the link of a page that is served as the command serves it."""
    folder = tmp_path_factory.mktemp("page")
    environment = {
        **os.environ,
        "HOSESELECT_BOOK": str(folder / "jobs.sqlite"),
        "XDG_CONFIG_HOME": str(folder / "configuration"),
        "PYTHONPATH": os.pathsep.join([str(ROOT), os.environ.get("PYTHONPATH", "")]),
    }
    words = [sys.executable, "-m", "hoseselect", "page", "--port", "0", "--workers", "1"]
    with subprocess.Popen(words, env=environment, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        yield process.stdout.readline().strip().rstrip("/")
        process.terminate()


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    with playwright.sync_playwright() as started:
        opened = started.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield opened
        opened.close()


@dataclass
class Seen:
    """A page of the browser, and what went wrong on it."""

    page: Any
    link: str
    faults: list[str] = field(default_factory=list)

    def go(self, path: str) -> None:
        """Open a path, once the server answers."""
        self.page.goto(f"{self.link}{path}", wait_until="load")

    def reply(self, text: str) -> None:
        """Type a reply and press Enter, as somebody with both hands on the keys does."""
        self.page.fill("#reply", text)
        with self.page.expect_navigation():
            self.page.press("#reply", "Enter")

    def choose(self, label: str) -> None:
        """Press the choice with a label."""
        self.press(f".choices button:has-text('{label}')")

    def press(self, selector: str) -> None:
        """Press something that leads to another page."""
        with self.page.expect_navigation():
            self.page.locator(selector).first.click()


@pytest.fixture
def opened(browser: Any, served: str) -> Iterator[Any]:
    """Return a function that opens a page; a fault in it, or a request elsewhere, fails."""
    made: list[tuple[Any, Seen]] = []

    def open_page(screen: dict[str, Any], **more: Any) -> Seen:
        context = browser.new_context(**screen, **more)
        context.set_default_timeout(20_000)
        page = context.new_page()
        seen = Seen(page, served)
        page.on("console", lambda told: seen.faults.append(told.text))
        page.on("pageerror", lambda error: seen.faults.append(str(error)))
        page.on("request", lambda asked: _elsewhere(seen, asked.url))
        made.append((context, seen))
        return seen

    yield open_page
    for context, seen in made:
        context.close()
        assert seen.faults == []


def _elsewhere(seen: Seen, url: str) -> None:
    if not url.startswith((seen.link, "data:", "blob:")):
        seen.faults.append(f"a request to {url}")


def in_view(seen: Seen, selector: str) -> bool:
    """Return whether something can be seen without scrolling."""
    box = seen.page.locator(selector).first.bounding_box()
    size = seen.page.viewport_size
    return box is not None and box["y"] >= 0 and box["y"] + box["height"] <= size["height"]


def pdf(seen: Seen, label: str) -> bytes:
    """Return the paper behind a link."""
    path = seen.page.locator("a", has_text=label).first.get_attribute("href")
    found = seen.page.request.get(f"{seen.link}{path}")
    assert found.headers["content-type"] == "application/pdf"
    body: bytes = found.body()
    return body


@SCREENS
@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no-scripts"])
def test_from_the_first_question_to_the_card(
    opened: Any, screen: dict[str, Any], scripts: bool
) -> None:
    seen = opened(screen, java_script_enabled=scripts)
    seen.go("/")
    seen.reply("PCV hose")
    seen.reply("dunno")
    seen.press("a:has-text('Back')")
    seen.choose("no")
    seen.reply("16 mm")
    seen.reply("same")
    seen.reply("400 mm")
    seen.choose("yes")
    seen.choose("nearly straight")
    for _ in range(6):
        if seen.page.locator("button", has_text="Don't know").count() == 0:
            break
        seen.press('button:has-text("Don\'t know")')
    assert "the answer stands" in seen.page.inner_text("h1")
    assert "USE IF" in seen.page.inner_text(".verdict")
    assert in_view(seen, ".verdict")
    seen.page.locator(".checks input").first.check()
    assert pdf(seen, "Bench card").startswith(b"%PDF")
    seen.press("button:has-text('Keep in the job book')")
    assert "in the book" in seen.page.inner_text(".number")


def test_by_the_keyboard_alone(opened: Any) -> None:
    seen = opened(DESKTOP)
    keys = seen.page.keyboard
    seen.go("/counter")
    for typed in ("PCV hose", 2, "16 mm", "same", "400 mm", 1, 8):
        if isinstance(typed, int):  # a choice, by its number
            with seen.page.expect_navigation():
                keys.press(str(typed))
        else:
            seen.page.wait_for_selector("#reply:focus")
            keys.type(typed)
            with seen.page.expect_navigation():
                keys.press("Enter")
    assert "USE IF" in seen.page.inner_text(".verdict")
    href = ""
    for _ in range(80):
        keys.press("Tab")
        href = seen.page.evaluate("document.activeElement.getAttribute('href') || ''")
        if href.startswith("/answer?"):
            break
    assert href.startswith("/answer?")
    with seen.page.expect_navigation():
        keys.press("Enter")
    assert "rule by rule" in seen.page.inner_text("h1")


def test_the_answer_changes_while_somebody_types(opened: Any) -> None:
    seen = opened(DESKTOP)
    seen.go(f"/counter?{HEATER}&nipple_a.bead=yes&ask=route")
    before = seen.page.inner_text("#answer")
    assert "no length yet" in before
    seen.page.locator("#reply").press_sequentially("400 mm", delay=30)
    expect(seen.page.locator("#answer")).not_to_contain_text("no length")
    assert seen.page.url.endswith("ask=route")


@SCREENS
@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no-scripts"])
def test_a_stop_cannot_be_missed(opened: Any, screen: dict[str, Any], scripts: bool) -> None:
    seen = opened(screen, java_script_enabled=scripts)
    seen.go("/counter")
    seen.reply("brake hose front left")
    assert "STOP" in seen.page.inner_text(".verdict.stop")
    assert in_view(seen, ".verdict.stop")
    assert in_view(seen, ".stopped")
    told = seen.page.inner_text("main").casefold()
    assert " mm" not in told
    assert "cut" not in told


@SCREENS
def test_at_the_bench(opened: Any, screen: dict[str, Any]) -> None:
    seen = opened(screen)
    seen.go("/bench")
    for place, text in {
        "#service": "heater hose",
        "#nipple-a": "16 mm",
        "#free-1": "250 mm forward, 120 mm up",
        "#free-2": "up",
        "#free-3": "back",
    }.items():
        seen.page.fill(place, text)
    seen.page.select_option("#bead", "yes")
    seen.page.select_option("#fixed", "both_engine")
    seen.press("button:has-text('Show the route')")
    assert "USE" in seen.page.inner_text(".verdict")
    expect(seen.page.locator("#tightest")).to_contain_text("mm")
    before = seen.page.inner_text("#tightest"), _dots(seen)
    assert before[1] > 0
    seen.page.locator("#length").focus()
    for _ in range(15):
        seen.page.keyboard.press("ArrowRight")
    expect(seen.page.locator("#tightest")).not_to_have_text(before[0])
    seen.page.locator("#space").focus()
    drawn = _picture(seen)
    seen.page.keyboard.press("ArrowLeft")
    assert _picture(seen) != drawn
    assert pdf(seen, "Bench card").startswith(b"%PDF")


@SCREENS
def test_no_answer_stands_at_the_bench_beside_another_route(
    opened: Any, screen: dict[str, Any]
) -> None:
    """Whatever is changed in the form takes the answer away; put back, the answer is back."""
    seen = opened(screen)
    seen.go(f"/bench?{FREE}")
    answered = [seen.page.locator(one).first for one in (".verdict", "#sheet", "#slider-form")]

    def shown(expected: bool) -> None:
        for one in answered:
            expect(one).to_be_visible(visible=expected)
        expect(seen.page.locator(".sent-before")).to_be_visible(visible=not expected)

    shown(True)
    before = seen.page.input_value("#free-1")
    seen.page.fill("#free-1", "150 mm forward, 120 mm up")
    shown(False)
    seen.page.fill("#free-1", before)
    shown(True)
    seen.page.select_option("#bead", "no")
    shown(False)
    seen.page.select_option("#bead", "yes")
    shown(True)
    seen.page.locator("input[name=way][value=run]").check()
    shown(False)
    seen.page.locator("input[name=way][value=free]").check()
    shown(True)
    seen.page.locator("#length").focus()
    seen.page.keyboard.press("ArrowRight")
    shown(True)
    seen.page.fill("#nipple-b", "16 in")
    shown(False)
    seen.press("button:has-text('Show the route')")
    assert "16 in" in seen.page.input_value("#nipple-b")
    expect(seen.page.locator(".sent-before")).to_be_hidden()


@SCREENS
def test_a_photo_is_measured(opened: Any, screen: dict[str, Any]) -> None:
    seen = opened(screen)
    _photo(seen)
    box = seen.page.locator(CANVAS).bounding_box()
    taps = [line.split(",") for line in TAPS.read_text(encoding="utf-8").splitlines()[1:]]
    for _, x, y in [tap for tap in taps if tap[0] == "corner"]:
        seen.page.locator(CANVAS).click(position=_on_screen(box, float(x), float(y)))
    expect(seen.page.locator(".tap-next >> nth=0")).to_contain_text("4 / 4")
    _points_as_text(seen)
    seen.page.locator("button.go").click()
    expect(seen.page.locator("#told")).to_contain_text("Length 363")
    seen.page.locator(CANVAS).focus()
    seen.page.keyboard.press("ArrowRight")
    seen.page.keyboard.press("Enter")
    expect(seen.page.locator(".tap-next >> nth=0")).to_contain_text(f"{len(taps) - 4 + 1}")
    seen.page.keyboard.press("Backspace")
    seen.page.locator(".propose >> nth=0").click()
    seen.page.locator(".take >> nth=0").click()
    seen.page.locator("button.go").click()
    expect(seen.page.locator("#told")).to_contain_text("Length 36")
    seen.press("#to-bench")
    assert "route.run" in seen.page.url
    assert seen.page.locator("#sheet svg").count() + seen.page.locator(".verdict.no").count() > 0


@pytest.mark.parametrize("change", ["point", "text", "diameter", "sheet", "photo"])
def test_no_measurement_stands_beside_other_taps(opened: Any, change: str) -> None:
    """What a photo measured, and its way to the bench, go as soon as what was measured changes."""
    seen = opened(DESKTOP)
    _measured(seen)
    _change(seen, change)
    expect(seen.page.locator("#to-bench")).to_be_hidden()
    expect(seen.page.locator("#told")).to_be_empty()


def test_taps_go_with_the_photo_that_they_were_made_on(opened: Any) -> None:
    seen = opened(DESKTOP)
    _measured(seen)
    before = seen.page.input_value("#points")
    seen.page.set_input_files("#photo-file", [])
    seen.page.set_input_files("#photo-file", str(PHOTO))
    seen.page.wait_for_timeout(300)
    assert seen.page.input_value("#points") == before
    _change(seen, "photo")
    expect(seen.page.locator(".tap-next >> nth=0")).to_contain_text("0 / 4, 0")
    assert seen.page.input_value("#points") == ""


def test_nothing_stands_beside_a_length_whose_shape_is_not_known(opened: Any) -> None:
    seen = opened(DESKTOP)
    seen.go(f"/bench?{FREE}")
    expect(seen.page.locator("#tightest")).to_contain_text("mm")
    seen.page.route("**/bench/shape*", lambda route: route.abort())
    seen.page.locator("#length").focus()
    seen.page.keyboard.press("ArrowRight")
    for name in ("#length-words", "#tightest", "#room", "#works"):
        expect(seen.page.locator(name)).to_have_text("?")
    assert _dots(seen) == 0
    seen.faults.clear()  # the browser tells the lost request


def test_no_reply_is_pressed_beside_a_form_that_says_more(opened: Any) -> None:
    """What was typed since would be lost with it."""
    seen = opened(DESKTOP)
    seen.go(
        "/bench?service=PCV+hose&nipple_a.outside_diameter=16+mm&nipple_b.outside_diameter=60+mm"
    )
    reply = seen.page.locator(".choices a").first
    expect(reply).to_be_visible()
    seen.page.fill("#usable", "12 mm")
    expect(reply).to_be_hidden()
    seen.page.fill("#usable", "")
    expect(reply).to_be_visible()


def test_what_is_chosen_for_the_next_tap_changes_no_measurement(opened: Any) -> None:
    seen = opened(DESKTOP)
    _measured(seen)
    seen.page.locator("input[name=tapped][value=edge]").check()
    expect(seen.page.locator("#told")).to_contain_text("Length 363")
    expect(seen.page.locator("#to-bench")).to_be_visible()


def test_nothing_is_taken_to_the_bench_while_it_is_measured_again(opened: Any) -> None:
    """Neither the figures before stand meanwhile, nor those of taps that changed under way."""
    seen = opened(DESKTOP)
    _measured(seen)
    held: list[Any] = []

    def hold(route: Any) -> None:
        held.append(route)

    seen.page.route("**/photo/measure", hold)
    with seen.page.expect_request("**/photo/measure"):
        seen.page.locator("button.go").click()
    expect(seen.page.locator("#to-bench")).to_be_hidden()
    _change(seen, "point")
    with seen.page.expect_response("**/photo/measure"):
        held.pop().continue_()
    seen.page.unroute("**/photo/measure")
    seen.page.wait_for_timeout(200)
    expect(seen.page.locator("#to-bench")).to_be_hidden()
    expect(seen.page.locator("#told")).to_be_empty()
    seen.page.locator("button.go").click()
    expect(seen.page.locator("#told")).to_contain_text("Length 36")
    expect(seen.page.locator("#to-bench")).to_be_visible()


@pytest.mark.parametrize("button", ["button.go", ".propose >> nth=0"])
def test_a_photo_that_reaches_nobody_says_so(opened: Any, button: str) -> None:
    seen = opened(DESKTOP)
    _measured(seen)
    seen.page.route("**/photo/*", lambda route: route.abort())
    seen.page.locator(button).click()
    expect(seen.page.locator("#photo-note")).to_contain_text("No answer")
    seen.faults.clear()  # the browser tells the lost request


def _photo(seen: Seen) -> None:
    """Open the page of photos with the photo and the size of the hose."""
    seen.go("/photo?service=PCV+hose&nipple_a.outside_diameter=16+mm")
    seen.page.set_input_files("#photo-file", str(PHOTO))
    seen.page.locator(CANVAS).wait_for(state="visible")
    seen.page.fill("#diameter", "22 mm")


def _points_as_text(seen: Seen) -> None:
    """Write all points of the photo as text."""
    rows = TAPS.read_text(encoding="utf-8").splitlines()[1:]
    seen.page.locator(".as-text summary >> nth=0").click()
    seen.page.fill("#points", "\n".join(row.replace(",", " ") for row in rows))


def _measured(seen: Seen) -> None:
    """Measure the photo."""
    _photo(seen)
    _points_as_text(seen)
    seen.page.locator("button.go").click()
    expect(seen.page.locator("#told")).to_contain_text("Length 363")
    expect(seen.page.locator("#to-bench")).to_be_visible()


def _change(seen: Seen, what: str) -> None:
    """Change something that a measurement was made of."""
    if what == "point":
        seen.page.locator(".undo >> nth=0").click()
    elif what == "text":
        seen.page.fill("#points", f"{seen.page.input_value('#points')}\nhose 10 10")
    elif what == "diameter":
        seen.page.fill("#diameter", "20 mm")
    elif what == "sheet":
        seen.page.select_option("#sheet", "letter")
    else:
        other = {"name": "other.jpg", "mimeType": "image/jpeg", "buffer": PHOTO.read_bytes()}
        seen.page.set_input_files("#photo-file", other)


def _on_screen(box: Any, x: float, y: float) -> dict[str, float]:
    """Return a place of the picture as it is shown."""
    from PIL import Image

    with Image.open(PHOTO) as picture:
        wide = box["width"] / picture.width
    return {"x": x * wide, "y": y * wide}


def _dots(seen: Seen) -> int:
    """Return how many dots of the turned view are not white."""
    found: int = seen.page.evaluate(
        "() => { const c = document.getElementById('space');"
        " const d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data;"
        " let n = 0; for (let k = 0; k < d.length; k += 4) n += d[k] < 200; return n; }"
    )
    return found


def _picture(seen: Seen) -> str:
    found: str = seen.page.evaluate("document.getElementById('space').toDataURL()")
    return found


@SCREENS
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_keeps_anybody_out(opened: Any, screen: dict[str, Any], scheme: str) -> None:
    """No finding of axe-core on any view, by the rules of WCAG 2.2 A and AA."""
    seen = opened(screen, color_scheme=scheme)
    rules = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
    for path in VIEWS:
        seen.go(path)
        found = axe.Axe().run(seen.page, options=rules)
        assert found.violations_count == 0, f"{path}: {found.generate_report()}"
    seen.faults.clear()  # a page of a fault is meant to be one


@pytest.mark.parametrize("width", [320, 683, 3840])
def test_nothing_is_cut_off_when_enlarged(opened: Any, width: int) -> None:
    """Reflow at 400 % of 1280 (320), at 200 % of 1366 (683), and on a screen of 4K."""
    seen = opened({"viewport": {"width": width, "height": 800}})
    for path in VIEWS:
        seen.go(path)
        wide = seen.page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width, path
    seen.faults.clear()


def test_on_paper_stands_the_answer_alone(opened: Any) -> None:
    seen = opened(PHONE)
    seen.go(f"/counter?{HEATER}&nipple_a.bead=yes")
    seen.page.emulate_media(media="print")
    hidden = (".top", ".bar", ".ask", ".papers")
    assert not any(seen.page.locator(name).first.is_visible() for name in hidden)
    assert seen.page.locator(".verdict").is_visible()
    assert seen.page.locator(".checks").is_visible()


@pytest.mark.parametrize("scene", page_pictures.SCENES, ids=lambda scene: scene.name)
def test_the_pictures_of_the_documentation_show_the_page_as_it_is(
    served: str, browser: Any, scene: page_pictures.Scene
) -> None:
    """Its words are those beside it; `python tests/aids/page_pictures.py` takes it anew."""
    page = browser.new_page(viewport={"width": scene.width, "height": scene.height})
    page.goto(f"{served}{scene.path}", wait_until="networkidle")
    published = page_pictures.PICTURES / f"{scene.name}.txt"
    assert page_pictures.words(page) == published.read_text(encoding="utf-8")
    page.close()
