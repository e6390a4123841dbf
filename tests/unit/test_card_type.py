"""Cards and slips can be read at arm's length, and say what the summary says."""

from __future__ import annotations

import math
import random
import unicodedata
from dataclasses import replace
from functools import cache

import pypdfium2
import pytest
import typst
from pypdfium2 import raw

from hoseselect.application.answer_many import answer_many
from hoseselect.application.demo import demo_jobs
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.paper.bench_card import BenchCard
from hoseselect.interfaces.paper.bench_card_text import CardFrame
from hoseselect.quantities.shown import AT_LEAST, shown

BODY, DIMENSIONS = 10.5, 9.0
"""Least sizes of type [pt]."""
TOLERANCE = 0.06
FRAME = CardFrame("ABCDE 12345 " * 20, "2031-05-30", number=41)
FREE = {
    "name": "خرطوم التدفئة צינור חימום",
    "service": "crankcase-breather",
    "nipples": {"outside_diameter": "16 mm", "engagement": "25 mm", "fixed_to": "engine"},
    "route": {
        "free": {
            "offset": "240 mm forward, 60 mm left, 40 mm up",
            "nipple_a_points": "up and 35 deg forward",
            "nipple_b_points": "back",
        }
    },
}
JOBS: dict[str, dict[str, object]] = {
    "USE IF": FREE,
    "NOT YET": {"service": "crankcase-suction"},
    "STOP": {"service": "steering-pressure"},
}


@cache
def catalogue() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


def sizes(pdf: bytes) -> list[tuple[float, str]]:
    """Return the size of every letter as it lies on the paper, in points, and the letter."""
    found = []
    for page in pypdfium2.PdfDocument(pdf):
        text = page.get_textpage()
        for place in range(text.count_chars()):
            letter = text.get_text_range(place, 1)
            if letter.strip() and not unicodedata.category(letter[0]).startswith("C"):
                matrix = raw.FS_MATRIX()
                raw.FPDFText_GetMatrix(text, place, matrix)
                scale = math.hypot(matrix.c, matrix.d)
                found.append((raw.FPDFText_GetFontSize(text, place) * scale, letter))
    return found


def card(word: str, paper: str = "a4", units: str = "mm") -> BenchCard:
    job = read_job(JOBS[word]) if word in JOBS else demo_jobs()[0][1]
    answer = pick_hose(job, catalogue(), units=units)
    hose = next(iter(answer.suits), None)
    frame = replace(FRAME, paper=paper, units=units)
    return BenchCard(answer, answer.summary, hose, frame, 80.0, system_fonts=False)


@pytest.mark.parametrize(
    ("word", "paper", "units"),
    [
        ("USE", "a4", "mm"),
        ("USE IF", "letter", "in"),
        ("NOT YET", "a4", "in"),
        ("STOP", "a4", "mm"),
    ],
)
@pytest.mark.parametrize("slip", [False, True])
def test_the_type_of_cards_and_slips_is_large_enough(
    word: str, paper: str, units: str, slip: bool
) -> None:
    shown_card = card(word, paper, units)
    assert shown_card.summary.word == word
    found = sizes(shown_card.pages(slip=slip)[0])
    assert len(found) > 200
    small = [letter for size, letter in found if size < DIMENSIONS - TOLERANCE]
    assert "".join(small) == ""
    body = [size for size, _ in found if size >= BODY - TOLERANCE]
    assert len(body) > len(found) / 3


def test_sizes_are_measured_as_they_lie_on_the_paper() -> None:
    page = """#set page(width: 200pt, height: 200pt)
        #set text(size: 8pt, font: "Libertinus Serif")
        A #scale(50%)[#text(size: 10pt)[B]]"""
    made = typst.compile(page.encode(), ignore_system_fonts=True)
    assert isinstance(made, bytes)
    assert {letter: round(size, 1) for size, letter in sizes(made)} == {"A": 8.0, "B": 5.0}


def drawn_jobs(count: int) -> list[Job]:
    """Return jobs with more or less told, by chance that is always the same."""
    chance = random.Random(20310530)
    services = ["coolant-heater", "crankcase-suction", "crankcase-breather", "fuel-return",
                "vacuum-control", "steering-return", "brake-servo-vacuum", "steering-pressure",
                "washer", "turbo-oil-drain"]  # fmt: skip
    jobs = []
    for _ in range(count):
        told: dict[str, object] = {"service": chance.choice(services)}
        if chance.random() < 0.8:
            size = chance.choice(["4 mm", "8 mm", "10 mm", "13 mm", "16 mm", "19 mm"])
            told["nipples"] = {"outside_diameter": size, "bead": chance.choice(["yes", "no"])}
        if chance.random() < 0.7:
            told["route"] = {"measured": f"{chance.randrange(150, 900)} mm"}
        if chance.random() < 0.5:
            told["features"] = {
                "insert": chance.choice(["none", "restrictor", "check-valve"]),
                "turbo": chance.choice(["yes", "no"]),
            }
        jobs.append(read_job(told))
    return jobs


def plain(text: str) -> str:
    """Return text without what only breaks lines."""
    return "".join(c for c in text if not c.isspace() and c not in "\u200b\u00ad-\ufffe\u2010")


def test_card_and_slip_say_what_the_summary_says() -> None:
    words = set()
    for answer in answer_many(drawn_jobs(40), catalogue(), units="mm"):
        told = answer.summary
        words.add(told.word)
        hose = next(iter(answer.suits), None)
        own = BenchCard(answer, told, hose, replace(FRAME, code="ABCDE"), system_fonts=False)
        card_pages, slip_pages = own.pages()[0], own.pages(slip=True)[0]
        for pdf in (card_pages, slip_pages):
            document = pypdfium2.PdfDocument(pdf)
            said = plain("".join(page.get_textpage().get_text_range() for page in document))
            wanted = [told.word, told.service, told.hose, told.print_line, told.question]
            wanted += [*told.checks, *told.conditions, *told.tell[:-1], told.go_to]
            if told.cut == told.cut:
                wanted.append(shown(told.cut, "mm", "mm", AT_LEAST))
            missing = [text for text in wanted if plain(text) not in said]
            assert missing == [], (answer.job, told.word)
            assert (told.offers or hose is None) and own.exit_code == (0 if told.offers else 1)
            assert told.offers or "CUT" not in said.replace("CUTA", "")
    assert words >= {"USE IF", "NOT YET", "STOP"}
