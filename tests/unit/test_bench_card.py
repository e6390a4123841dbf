"""The bench card: what stands on it, on one page, and the template behind it in full size."""

from __future__ import annotations

import io
import json
import math
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
from pypdf import PageObject, PdfReader

from hoseselect.application.demo import demo_jobs
from hoseselect.application.pick import check_hose, pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.drawing.svg import element, page
from hoseselect.interfaces.paper.bench_card import BenchCard, full_size
from hoseselect.interfaces.paper.bench_card_cut import cut_words
from hoseselect.interfaces.paper.bench_card_reasons import short_source
from hoseselect.interfaces.paper.bench_card_text import (
    BY_CODE,
    CardFrame,
    card_text,
)
from hoseselect.interfaces.wording import ADVICE

A4, LETTER = (210.0, 297.0), (215.9, 279.4)
FRAME = CardFrame("ABCDE 12345", "2031-05-30", version="9.8.7")
POINTS_PER_MILLIMETRE = 72 / 25.4
"""A point of a PDF is 1/72 in (ISO 32000-1:2008, 8.3.2.3)."""
CARD = 3
"""Pages of a card with a route, before the template: front, back, reasons."""
LONG = "a reason that goes on and on about what was found on this hose and what it must stand "


def pages(pdf: bytes) -> list[PageObject]:
    """Return the pages."""
    return list(PdfReader(io.BytesIO(pdf)).pages)


def size_mm(page: PageObject) -> tuple[float, float]:
    """Return width and height [mm]."""
    box = page.mediabox
    return (
        float(box.width) / POINTS_PER_MILLIMETRE,
        float(box.height) / POINTS_PER_MILLIMETRE,
    )


def words(page: PageObject) -> str:
    """Return the text with one space between words."""
    return " ".join(page.extract_text().replace("\u200b", "").split())


def lines_mm(page: PageObject) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Yield both ends of every straight line as it lies on the paper [mm]."""
    matrix, kept = np.eye(3), []
    at = np.zeros(2)
    content = page.get_contents()
    assert content is not None
    for operands, operator in content.operations:  # type: ignore[attr-defined]
        if operator == b"q":
            kept.append(matrix)
        elif operator == b"Q":
            matrix = kept.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = (float(value) for value in operands)
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif operator in {b"m", b"l"}:
            x, y = (float(value) for value in operands)
            spot = (np.array([x, y, 1]) @ matrix)[:2] / POINTS_PER_MILLIMETRE
            if operator == b"l":
                yield at, spot
            at = spot


def level_lines(page: PageObject) -> list[tuple[float, float, float]]:
    """Return length, left end and height of every level line on the paper [mm]."""
    return [
        (math.dist(start, end), min(start[0], end[0]), float(start[1]))
        for start, end in lines_mm(page)
        if abs(start[1] - end[1]) < 1e-3
    ]


@cache
def catalogue() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


@cache
def card(
    demo: int, hose: str = "", name: str = "", units: str = "mm", paper: str = "a4"
) -> BenchCard:
    """Return the card of a demo job, without the fonts of this computer."""
    job = demo_jobs()[demo][1]
    job = replace(job, name=name) if name else job
    answer = pick_hose(job, catalogue(), units=units)
    chosen, told = None, answer.summary
    if not answer.stops:
        chosen = next(h for h in answer.hoses if h.hose == (hose or answer.hoses[0].hose))
    if hose:
        told = check_hose(hose, job, catalogue(), units=units).summary
    frame = replace(FRAME, units=units, paper=paper)
    return BenchCard(answer, told, chosen, frame, least_radius=75.0, system_fonts=False)


@cache
def printed(*arguments: Any, **named: Any) -> bytes:
    return card(*arguments, **named).pages()[0]


def texts(value: Any) -> list[str]:
    """Return all text of plain values."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        return [text for item in value for text in texts(item)]
    return [value] if isinstance(value, str) else []


def test_a_card_says_all_that_the_bench_needs() -> None:
    shown = card(0)
    front, back, reasons = (words(page) for page in pages(printed(0))[:3])
    assert shown.hose is not None
    plan = shown.hose.cut
    assert plan is not None
    wanted = [
        "Snapped PCV hose",
        "crankcase ventilation, suction side",
        "2031-05-30",
        "hoseselect 9.8.7",
        "465 mm",
        "18 5/16 in",
        "F06-12.7",
        "USE",
        "SAE 30R11",
        "rack 2, roll R037b",
        "413 mm",
        "+ 25 mm",
        "+ 0 mm",
        "+ 2 mm",
        "= 465 mm",
        "+ 4.5 mm, - 2.2 mm",
        "463 mm (18 1/4 in) to 498 mm (19 5/8 in)",
        "nipple A, outside, behind the bead",
        plan.clamps_a[0].clamp,
        plan.clamps_a[0].position,
        "R 110 mm (4 5/16 in); 171 mm from the cut end at A; the hose may be bent to R 75 mm",
        "Plane of the first bend",
        "MEASURE AGAIN BEFORE YOU CUT",
        "GOES BACK IN Valve arrow towards the intake manifold.",
        "Vehicle",
        "Name",
        "Date",
        "km or miles",
    ]
    assert [text for text in wanted if text not in front] == []
    work = [
        "Make safe, old hose off",
        "Look inside the old hose",
        "Cut",
        "Fit",
        "Clamp",
        "Cold check",
        "Before the engine starts",
        "Hot check",
        "After heat cycles",
        "Record",
    ]
    places = [back.index(f"{number} {step}") for number, step in enumerate(work, start=1)]
    assert places == sorted(places)
    assert (
        "Look again on" in back
        and "heat cycle 3" in back
        and "It went hard with heat and age" in back
    )
    for remark in (*shown.answer.cautions, *shown.answer.checklist):
        assert remark.text in back
    for text in ("Why F06-12.7", "Do not use instead", "Sources", "ABCDE 12345", BY_CODE, ADVICE):
        assert text in reasons
    for text in shown.summary.why.split("; "):
        assert text in reasons


@pytest.mark.parametrize(("paper", "edges"), [("a4", A4), ("letter", LETTER)])
def test_the_card_is_two_sheets_and_the_template_follows_in_full_size(
    paper: str, edges: tuple[float, float]
) -> None:
    found = pages(printed(0, paper=paper))
    assert len(found) > CARD
    for sheet in found:
        assert size_mm(sheet) == pytest.approx(edges, abs=0.01)
    assert "CUT" in words(found[0])
    for number, sheet in enumerate(found[:CARD], start=1):
        assert f"sheet {number} of {len(found)}" in words(sheet)
        assert "full size" not in words(sheet)
    for number, sheet in enumerate(found[CARD:], start=1):
        said = words(sheet)
        assert "full size (1:1)" in said
        assert f"sheet {number} of {len(found) - CARD}" in said
        assert "Snapped PCV hose; F06-12.7; cut 465 mm" in said
        assert "Cut it square at both lines CUT." in said
    told = " ".join(words(sheet) for sheet in found[CARD:])
    assert "CUT A" in told and "CUT B" in told


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_rulers_of_the_template_are_true_in_the_units_of_the_pdf(paper: str) -> None:
    for sheet in pages(printed(0, paper=paper))[CARD:]:
        lengths = [length for length, _, _ in level_lines(sheet)]
        for true in (100.0, 101.6):
            assert min(abs(length - true) for length in lengths) < 0.01


def test_every_place_of_a_full_size_sheet_lies_where_it_must() -> None:
    spots = [(10.0, 20.0, 130.0), (40.5, 200.25, 100.0), (0.5, 290.0, 209.0)]
    drawn = [
        element("line", x1=x, y1=y, x2=x + length, y2=y, stroke="black", stroke_width=0.2)
        for x, y, length in spots
    ]
    sheets = full_size([page(*A4, "Test", *drawn)])
    assert (sheets[0]["width"], sheets[0]["height"]) == A4
    shown = replace(card(2))
    shown.__dict__["_inputs"] = {**shown._inputs, "sheets": json.dumps(sheets)}
    found = level_lines(pages(shown.pages()[0])[1])
    for x, y, length in spots:
        near = min(
            max(abs(a - length), abs(left - x), abs((A4[1] - height) - y))
            for a, left, height in found
        )
        assert near < 0.1


def test_the_lines_reader_follows_scale_and_shift() -> None:
    sheet = pages(printed(2))[0]
    widths = [length for length, _, _ in level_lines(sheet)]
    assert max(abs(w) for w in widths) <= A4[0] + 0.01
    assert any(abs(w - 192.0) < 0.05 for w in widths), "the rule under the head, 9 mm off each edge"
    assert all(math.isfinite(v) for line in lines_mm(sheet) for end in line for v in end)


def test_a_stopped_job_gets_a_card_without_any_length() -> None:
    shown = card(2)
    found = pages(printed(2))
    said = words(found[0])
    assert len(found) == 1
    assert shown.exit_code == 1
    assert "STOP" in said
    stop = shown.answer.stops[0]
    assert stop.name in said and stop.reason in said and stop.who in said
    assert "No bulk hose on this line. No hose and no length are given." in said
    assert re.search(r"\d\s*(mm|in)\b", said.replace(stop.reason, "")) is None
    assert "CUT" not in said


def test_a_refused_hose_gets_a_card_that_says_so() -> None:
    shown = card(0, hose="K04-10")
    said = words(pages(printed(0, hose="K04-10"))[0])
    assert shown.exit_code == 1
    assert said.index("NO This does not suit the job. No length is given.") > 0
    assert "Why not K04-10" in said
    assert "stretched by 3 mm (30 %) on the nipple" in said
    assert "These suit the same job – F06-12.7" in said
    for gone in ("465", "CUT", "cut length 4", "tip to tip"):
        assert gone not in said


def unsuited(**job: Any) -> BenchCard:
    """Return the card of a job, whatever it says."""
    answer = pick_hose(read_job(job), catalogue())
    return BenchCard(answer, answer.summary, None, FRAME, system_fonts=False)


def test_where_nothing_suits_the_card_names_the_way_out() -> None:
    shown = unsuited(service="fuel in tank", nipples={"outside_diameter": "60 mm"})
    said = words(pages(shown.pages()[0])[0])
    assert shown.exit_code == 1
    assert shown.summary.word in said and "No length is given" in said
    assert " ".join(shown.answer.way_out[0].split()) in said
    assert "CUT" not in said


def test_a_job_of_which_too_little_is_told_gets_its_question_and_no_refusal() -> None:
    shown = unsuited(service="crankcase-suction")
    said = words(pages(shown.pages()[0])[0])
    assert (shown.summary.word, shown.exit_code) == ("NOT YET", 1)
    assert "NOT YET" in said and "FIND THIS OUT FIRST " + shown.summary.question in said
    assert all(choice in said for choice in shown.summary.choices)
    for gone in ("NOTHING", "REJECT", "CUT", "tip to tip"):
        assert gone not in said


def test_a_hose_without_a_known_length_gets_a_card_without_one() -> None:
    plain = card(0)
    assert plain.hose is not None
    told = replace(plain.summary, cut=math.nan, cost=math.nan)
    shown = replace(plain, summary=told)
    found = pages(shown.pages()[0])
    said = " ".join(words(page) for page in found)
    assert (len(found), shown.exit_code) == (CARD, 0)
    assert "NO LENGTH YET" in said and "F06-12.7" in said and "SAE 30R11" in said
    for gone in ("465", "tip to tip", "TIGHTEST BEND", "ALLOWED"):
        assert gone not in said
    told = replace(told, cut_least=640.0, cut_most=680.0, other_cuts=((660.0, "if it holds"),))
    said = words(pages(replace(plain, summary=told).pages()[0])[0])
    assert "640 mm (25 3/16 in) to 680 mm (26 3/4 in): measure first" in said
    assert "660 mm (26 in) if it holds" in said


@pytest.mark.parametrize(
    "name",
    [
        "#panic() $x^2$ *bold* _under_ [block] \\ \" ' ` @ref <label> // note /* */ ~ --- #let",
        "خرطوم التدفئة",
        "汽车暖风软管",
        "Шланг печки Ω ß Ł ő",
        "हीटर \u05e6\u05d9\u05e0\u05d5\u05e8 \U0001f527",
        "x" * 300,
        "Überlänge und kein Ende " * 30,
    ],
    ids=["markup", "arabic", "chinese", "cyrillic", "no-glyphs", "one-word", "endless"],
)
def test_no_name_breaks_the_card(name: str) -> None:
    found = pages(printed(0, name=name))
    assert len(found) == len(pages(printed(0)))
    said = words(found[0])
    assert "465 mm" in said and "Record" in words(found[1]) and "ABCDE 12345" in words(found[2])
    if name.startswith("#"):
        assert name in said
    if name.startswith(("x", "Ü")):
        assert "…" in said


def test_a_name_that_only_reads_like_a_command_stays_a_name() -> None:
    shown = card(0, name='#sys.inputs #read("a.typ")')
    assert (
        card_text(shown.answer, shown.summary, shown.hose, FRAME)["name"]
        == '#sys.inputs #read("a.typ")'
    )
    assert '#read("a.typ")' in words(pages(shown.pages()[0])[0])


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_card_with_far_too_many_words_loses_none(paper: str) -> None:
    plain = card(1)
    assert plain.hose is not None
    remarks = tuple(replace(r, text=f"{r.text} {LONG}") for r in plain.answer.checklist)
    hose = replace(plain.hose, description=LONG * 4, print_line="PRINT " * 12, hose="H" * 60)
    answer = replace(plain.answer)
    vars(answer).update(checklist=remarks, hoses=(hose, *plain.answer.hoses[1:]))
    told = replace(plain.summary, hose="H" * 60, checks=(LONG * 3,) * 3)
    frame = replace(FRAME, code="ABCDE " * 600, paper=paper)
    shown = BenchCard(answer, told, hose, frame, system_fonts=False)
    said = " ".join(words(page) for page in pages(shown.pages()[0]))
    for remark in remarks:
        assert remark.text.strip() in said
    assert "755 mm" in said and said.count(LONG.strip()) >= len(remarks)


def test_the_words_hold_no_control_characters() -> None:
    shown = card(0)
    assert shown.hose is not None
    hose = replace(shown.hose, description="a\x1b[31mb\u202ec\x00d")
    said = texts(card_text(shown.answer, shown.summary, hose, FRAME))
    assert "a [31mb c d" in said
    assert all(c.isprintable() or c in "\u00a0\u200b" for text in said for c in text)


def test_every_page_comes_as_svg_and_as_png() -> None:
    from struct import unpack

    shown = card(0)
    count = len(pages(printed(0)))
    svg, png = shown.pages("svg"), shown.pages("png")
    assert len(svg) == len(png) == count
    assert all(one.startswith(b"<svg") for one in svg)
    for one in png:
        assert one.startswith(b"\x89PNG")
        width, height = unpack(">II", io.BytesIO(one).getvalue()[16:24])
        assert (width, height) == pytest.approx((1240, 1754), abs=1)


def test_the_same_card_is_the_same_file() -> None:
    assert card(2).pages() == card(2).pages()


def test_inches_stand_first_where_they_are_asked_for() -> None:
    said = words(pages(printed(1, units="in"))[0])
    assert said.index("29 3/4 in") < said.index("756 mm")


@pytest.mark.parametrize(
    ("long", "short"),
    [
        ("A Body, Hoses (ISO 1307), 2006, cut (from memory)", "ISO 1307, 2006, cut (from memory)"),
        ("common practice, no source", "common practice, no source"),
        ("A Society, paper (3), 2004, table (read)", "A Society, paper (3), 2004, table (read)"),
    ],
)
def test_a_source_goes_by_its_number(long: str, short: str) -> None:
    assert short_source(long) == short


@pytest.mark.parametrize(
    ("window", "told"),
    [
        ((462.0, 498.0), "+ 4.5 mm, - 3 mm"),
        ((400.0, 467.0), "+ 2 mm, - 4.5 mm"),
        ((400.0, math.inf), "+/- 4.5 mm"),
        ((math.nan, math.nan), "+/- 4.5 mm"),
        ((465.0, 465.0), "+/- 0 mm"),
    ],
)
def test_the_allowance_never_leaves_the_window(window: tuple[float, float], told: str) -> None:
    shown = card(0)
    assert shown.hose is not None and shown.hose.cut is not None
    plan = replace(shown.hose.cut, window=window)
    assert cut_words(plan, "mm")["tolerance"].startswith(told)
