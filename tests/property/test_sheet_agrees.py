"""Sheet, summary and JSON say the same of random jobs: verdict, hose, length, checks and the rest.

`AGREEMENT_JOBS=2000 pytest tests/property/test_sheet_agrees.py` tries as many jobs as are wanted.
"""

from __future__ import annotations

import math
import os
import random
from collections import Counter
from datetime import date
from typing import Any

import pytest
from random_jobs import random_line

from hoseselect.answer.answer import Answer
from hoseselect.answer.line_answer import BETWEEN, LineAnswer, cells, headings
from hoseselect.answer.summary import USE, Summary
from hoseselect.application.pick import pick_hose
from hoseselect.application.run_batch import Batch
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job
from hoseselect.files.sheet_line import SheetLine
from hoseselect.intake.job_headings import column_uses
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.interfaces.cli.first_screen import LINES, first_screen
from hoseselect.interfaces.paper.bench_card_text import CardFrame, slip_text
from hoseselect.interfaces.wording import cut_words

TODAY = date(2026, 1, 15)
JOBS = int(os.environ.get("AGREEMENT_JOBS", "100"))
SEED = 41
FREE = {
    "service": "PCV hose",
    "nipples.outside_diameter": "13 mm",
    "nipples.bead": "yes",
    "nipples.fixed_to": "engine",
    "duty.pressure_min": "-60 kPa",
    "features.turbo": "no",
    "route.free.offset": "forward 220 mm; up 60 mm",
    "route.free.nipple_a_points": "forward and 40 deg up",
    "route.free.nipple_b_points": "back and 20 deg up",
}


def random_lines(count: int) -> list[dict[str, str]]:
    """Return lines of which some tell enough for a hose to be offered."""
    chance = random.Random(SEED)
    return [random_line(chance) for _ in range(count)]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}), TODAY)


def alike(first: float, second: Any) -> bool:
    """Return whether a figure is that of JSON, where an unknown one is null."""
    return math.isnan(first) if second is None else math.isclose(round(first, 3), second)


NOTHING = Summary(USE, "").as_json()
"""What is told of no hose."""


def on_screen_and_slip(answer: Answer, units: str) -> dict[str, bool]:
    """Return what screen and slip tell as the summary does."""
    told, screen = answer.summary, first_screen(answer.summary, units)
    text = " ".join(" ".join(screen).split())
    slip = slip_text(answer, told, CardFrame("", "2031-05-30", units))
    checks = [" ".join(check.split()) for check in told.checks]
    return {
        "screen word": sum(row.startswith(f"{told.word} ") for row in screen) == 1,
        "screen hose": f"{told.word} {told.hose}".strip() in text,
        "screen cut": not told.offers or cut_words(told, units) in text,
        "screen checks": all(check in text for check in checks),
        "screen height": len(screen) <= LINES,
        "slip word": slip["word"] == told.word,
        "slip hose": slip["offered"] == told.hose,
        "slip checks": slip["checks"] == [*told.checks, *told.conditions],
    }


def told_otherwise(line: LineAnswer, job: Job, catalogue: Catalogue, units: str) -> list[str]:
    """Return the fields in which sheet, summary and JSON differ."""
    answer = pick_hose(job, catalogue, units=units)
    told: dict[str, Any] = NOTHING | answer.summary.as_json()
    pairs = {
        "word": line.verdict == told["word"],
        "hose": line.hose == told["hose"],
        "print": line.print_line == told["print_line"],
        "cut": alike(line.cut, told["cut"]),
        "least": alike(line.cut_least, told["cut_least"]),
        "most": alike(line.cut_most, told["cut_most"]),
        "others": len(told["other_cuts"]) == bool(line.other_cuts),
        "measure": all(words in line.ask for words in told["measure"]),
        "clamps": line.clamps == BETWEEN.join(told["clamps"]),
        "checks": line.checks == BETWEEN.join(told["checks"]),
        "conditions": all(words in line.conditions for words in told["conditions"]),
        "no more conditions": bool(line.conditions) == bool(told["conditions"]),
        "cost": alike(line.price, told["cost"]),
        "roll": all(words in line.roll for words in (told["place"], told["roll"])),
        "injury": line.caution == told["injury"],
        "also": line.others.startswith("; ".join(told["also"])),
        **on_screen_and_slip(answer, units),
    }
    if answer.suiting:
        first = answer.suits[0].as_json()
        cut = first["cut"] or {"cut_mm": None, "range_mm": [None, None]}
        pairs |= {
            "json hose": first["hose"] == line.hose,
            "json cut": alike(line.cut, cut["cut_mm"]),
            "json range": not line.cut_most > 0
            or [round(line.cut_least, 3), round(line.cut_most, 3)] == cut["range_mm"],
            "json print": first["print_line"] == line.print_line,
        }
    return [name for name, same in pairs.items() if not same]


@pytest.mark.parametrize("units", ["mm", "in"])
def test_sheet_summary_and_json_agree(catalogue: Catalogue, units: str) -> None:
    lines = [*random_lines(JOBS)[:: 1 if units == "mm" else 4], FREE]
    keys = list(sheet_keys())
    batch = Batch(column_uses(keys, [""] * len(keys), 1), catalogue, units)
    sheet = [SheetLine(n, [line.get(k, "") for k in keys]) for n, line in enumerate(lines, 2)]
    seen: Counter[str] = Counter()
    for row, line in zip(sheet, batch.answers(sheet), strict=True):
        assert line is not None
        seen[line.verdict] += 1
        assert len(cells(line, units)) == len(headings(units))
        job = batch.reader.read(row)
        if isinstance(job, Job):
            assert told_otherwise(line, job, catalogue, units) == [], row
        else:
            assert line.verdict == "ERROR"
    assert {"USE IF", "NO"} <= set(seen)
