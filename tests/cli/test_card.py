"""`hoseselect card` and the codes of jobs on the command line."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from hoseselect.application.demo import FOLDER

COUNTER, BENCH, STOPPED = (
    str(FOLDER / name) for name in ("counter.toml", "bench.toml", "stopped.toml")
)


def words(path: Path, page: int = 0) -> str:
    """Return the text of a page with one space between words."""
    text = PdfReader(io.BytesIO(path.read_bytes())).pages[page].extract_text()
    return " ".join(text.replace("\u200b", "").split())


def test_the_card_of_a_job_is_written_and_named(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    card = tmp_path / "card.pdf"
    told = command("card", COUNTER, "-o", str(card), "--date", "2031-05-30", "--svg", "--png")
    count = len(PdfReader(io.BytesIO(card.read_bytes())).pages)
    names = [f"card-{k}{kind}" for kind in (".svg", ".png") for k in range(1, count + 1)]
    assert (told.code, told.err) == (0, "")
    assert told.out.split() == [str(tmp_path / name) for name in ("card.pdf", *names)]
    assert {path.name for path in tmp_path.glob("[!.]*.*")} == {"card.pdf", *names}
    said = words(card)
    assert "2031-05-30" in said and "465 mm" in said and "F06-12.7" in said


def test_the_code_on_the_card_gives_the_same_answer(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    card, again = tmp_path / "card.pdf", tmp_path / "again.pdf"
    day = ("--date", "2031-05-30")
    first = command("card", COUNTER, "-o", str(card), "--json", *day)
    code = json.loads(first.out)["code"]
    assert code in words(card, 2)
    by_file = command("pick", COUNTER, "--json")
    by_code = command("pick", "--code", code, "--json")
    told = [json.loads(out) for out in (by_code.out, by_file.out)]
    assert [one.pop("number", None) for one in told] == [None, None]
    assert told[0] == told[1] == json.loads(first.out)["answer"]
    assert command("card", "--code", code, "-o", str(again), *day).code == 0
    assert again.read_bytes() == card.read_bytes()


def test_options_are_part_of_the_code_and_win_over_it(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    options = ("-s", "PCV hose", "-n", "13 mm", "--measured", "300 mm", "--set", "name=Mein Auto")
    told = command("card", *options, "-o", str(tmp_path / "a.pdf"), "--json")
    code = json.loads(told.out)["code"]
    job = json.loads(command("pick", "--code", code, "--json").out)["job"]
    assert (job["name"], job["route"]["measured"]) == ("Mein Auto", 300.0)
    job = json.loads(command("pick", "--code", code, "--measured", "1 m", "--json").out)["job"]
    assert (job["name"], job["route"]["measured"]) == ("Mein Auto", 1000.0)


def test_a_stopped_job_gets_its_card_and_exit_code_1(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    card = tmp_path / "card.pdf"
    assert command("card", STOPPED, "-o", str(card)).code == 1
    said = words(card)
    assert "STOP" in said and "CUT" not in said
    assert date.today().isoformat()[:7] in said


def test_a_named_hose_has_its_own_card(command: Callable[..., Any], tmp_path: Path) -> None:
    card = tmp_path / "card.pdf"
    arguments = ("card", COUNTER, "-o", str(card), "--paper", "letter", "--units", "in")
    assert command(*arguments, "--hose", "F04-12.7").code == 0
    assert "F04-12.7" in words(card) and "CUT" in words(card)
    assert command(*arguments, "--hose", "K04-10").code == 1
    said = words(card)
    assert "NO This does not suit" in said and "Why not K04-10" in said and "CUT" not in said


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (("--paper", "a3"), "--paper: found 'a3'; expected a4 or letter"),
        (("--date", "30.5.2031"), "--date: found '30.5.2031'; expected a date"),
        (("--hose", "nothing"), "--hose: found 'nothing'; expected a hose type or size"),
        (("--units", "cm"), "--units: found 'cm'"),
        (("--code", "ABC"), "--code: found a code beside the job counter.toml"),
        (("-o", "card.png"), "--output: found 'card.png'; expected a name that ends in .pdf"),
        (
            ("-o", "no/such/folder/card.pdf"),
            "found no folder 'no/such/folder'; expected a file in a folder",
        ),
    ],
)
def test_what_cannot_be_used_gives_one_sentence_and_no_file(
    command: Callable[..., Any],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    arguments: tuple[str, ...],
    sentence: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    output = () if "-o" in arguments else ("-o", "card.pdf")
    told = command("card", COUNTER, *output, *arguments)
    assert told.code == 2
    assert sentence in told.err
    assert "Traceback" not in told.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["pick", "card"])
@pytest.mark.parametrize("code", ["", "ABC", "H873P 8818C AD6E2", "汽车"])
def test_a_damaged_code_gives_one_sentence(
    command: Callable[..., Any], tmp_path: Path, name: str, code: str
) -> None:
    output = ("-o", str(tmp_path / "card.pdf")) if name == "card" else ()
    told = command(name, "--code", code, *output)
    assert told.code == 2
    assert told.err.startswith("--code: found ") and len(told.err.splitlines()) == 1
    assert list(tmp_path.glob("*.pdf")) == []


def test_an_older_card_stays_where_a_page_cannot_be_written(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    card = tmp_path / "card.pdf"
    card.write_bytes(b"an older card")
    (tmp_path / "card-1.svg").mkdir()
    told = command("card", STOPPED, "-o", str(card), "--svg")
    assert told.code == 2
    assert "card-1.svg" in told.err
    assert card.read_bytes() == b"an older card"
    assert {path.name for path in tmp_path.glob("*.*")} == {"card.pdf", "card-1.svg"}
    assert [path.name for path in tmp_path.glob(".*") if path.is_file()] == []


def test_no_page_of_another_card_stays_beside_a_card(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    """A bend template of another job beside a card that says STOP would be cut by somebody."""
    card, own = tmp_path / "card.pdf", tmp_path / "card-9.svg"
    own.write_text("<svg>a drawing of the shop</svg>", encoding="utf-8")
    assert command("card", COUNTER, "-o", str(card), "--svg", "--png").code == 0
    pages = {path.name for path in tmp_path.glob("card-[1-8].*")}
    assert len(pages) >= 6
    told = command("card", STOPPED, "-o", str(card), "--svg")
    assert told.code == 1
    left = {path.name for path in tmp_path.glob("[!.]*")}
    assert left == {"card.pdf", "card-1.svg", "card-9.svg"}
    gone = sorted(pages - {"card-1.svg"})
    assert told.err.splitlines() == [
        f"{tmp_path / name}: removed, a page of another card" for name in gone
    ]
    assert "STOP" in words(card)
    assert command("card", STOPPED, "-o", str(card)).code == 1
    assert {path.name for path in tmp_path.glob("[!.]*")} == {"card.pdf", "card-9.svg"}


def test_a_page_with_its_mark_is_a_picture(command: Callable[..., Any], tmp_path: Path) -> None:
    from xml.etree import ElementTree

    from PIL import Image

    command("card", STOPPED, "-o", str(tmp_path / "card.pdf"), "--svg", "--png")
    assert ElementTree.parse(tmp_path / "card-1.svg").getroot().tag.endswith("svg")
    with Image.open(tmp_path / "card-1.png") as image:
        image.load()
        assert image.info["Comment"] == "hoseselect: a page of a card"


def test_a_free_route_has_a_card_with_a_drawing_and_a_template(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    card = tmp_path / "card.pdf"
    job = tmp_path / "job.toml"
    text = Path(COUNTER).read_text(encoding="utf-8")
    head, _, tail = text.partition("[route]")
    tail = tail.partition("[features]")[2]
    free = (
        '[route]\nlow_spot = "no"\n[route.free]\noffset = "forward 260 mm; left 60 mm; up 60 mm"\n'
        'nipple_a_points = "up"\nnipple_b_points = "up"\n'
        '[[route.free.keep_out]]\nname = "منفذ $x$ <b> 阀"\nball = "forward 130 mm"\n'
        'diameter = "40 mm"\n[features]'
    )
    job.write_text(head + free + tail, encoding="utf-8")
    told = command("card", str(job), "-o", str(card))
    assert (told.code, told.err) == (0, "")
    said = words(card)
    drawn = [page for page in (said, words(card, 2)) if page.count("view, seen from") == 2]
    assert len(drawn) == 1
    assert "least radius" in words(card, 3)
    assert "full size (1:1)" in words(card, 4)


def test_the_slip_is_one_page_of_the_paper_that_is_asked_for(
    command: Callable[..., Any], tmp_path: Path
) -> None:
    slip = tmp_path / "slip.pdf"
    told = command("card", STOPPED, "-o", str(slip), "--slip", "--paper", "letter")
    (page,) = PdfReader(io.BytesIO(slip.read_bytes())).pages
    said = words(slip)
    assert told.code == 1
    assert (float(page.mediabox.width), float(page.mediabox.height)) == (612, 792)
    assert "STOP" in said and "GO TO, OR ORDER a hose shop: they make a crimped" in said
    assert "Take the old hose with both its ends along." in said
