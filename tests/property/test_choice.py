"""The first choice depends neither on units that are shown nor on the order of a catalogue."""

from __future__ import annotations

import csv
import random
import shutil
import tomllib
from datetime import date
from itertools import islice
from pathlib import Path
from typing import Any

import pytest
from random_jobs import random_jobs

from hoseselect.answer.answer import Answer
from hoseselect.application.answer_many import answer_many
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job

TODAY = date(2026, 1, 15)
JOBS = 250
FREE = ("breather", "coolant-loop", "rocking-crankcase")
ROUTES = Path(__file__).parents[2] / "docs" / "jobs"


def free_jobs() -> list[Job]:
    texts = [(ROUTES / f"{name}.toml").read_text(encoding="utf-8") for name in FREE]
    return [read_job(tomllib.loads(text)) for text in texts]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}), TODAY)


@pytest.fixture(scope="module")
def jobs() -> list[Job]:
    return [*islice(random_jobs(7), JOBS), *free_jobs()]


@pytest.fixture(scope="module")
def answers(jobs: list[Job], catalogue: Catalogue) -> list[Answer]:
    return answer_many(jobs, catalogue)


def chosen(answer: Answer) -> Any:
    lead = answer.lead
    hose = None if lead is None else (lead.hose, lead.verdict, lead.decided_by)
    return hose, answer.suiting, answer.stops


def test_the_choice_does_not_depend_on_the_units_shown(
    jobs: list[Job], catalogue: Catalogue, answers: list[Answer]
) -> None:
    inches = answer_many(jobs, catalogue, units="in")
    for one, other in zip(answers, inches, strict=True):
        assert chosen(one) == chosen(other)
        assert one.verdicts == other.verdicts
    assert sum(answer.exit_code == 0 for answer in answers) > JOBS // 20


def shuffled(folder: Path, seed: int) -> Path:
    """Shuffle the rows of every file of a catalogue."""
    chance = random.Random(seed)
    for path in folder.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as stream:
            head, *rows = csv.reader(stream)
        chance.shuffle(rows)
        with path.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream).writerows([head, *rows])
    return folder


@pytest.fixture(scope="module")
def other(catalogue: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    """Return the same catalogue in another order."""
    copied = tmp_path_factory.mktemp("shuffled") / "catalogue"
    shutil.copytree(catalogue.folder, copied)
    found = read_catalogue(shuffled(copied, 5), TODAY)
    assert found.sizes.hose_size.tolist() != catalogue.sizes.hose_size.tolist()
    return found


def test_the_choice_does_not_depend_on_the_order_of_the_catalogue(
    jobs: list[Job], answers: list[Answer], other: Catalogue
) -> None:
    for one, two in zip(answers, answer_many(jobs, other), strict=True):
        assert chosen(one) == chosen(two)
        assert one.way_out == two.way_out
        assert one.ask_next == two.ask_next


@pytest.mark.parametrize("prefer", ["price", "stock"])
def test_the_order_that_is_asked_for_does_not_depend_on_the_catalogue(
    answers: list[Answer], catalogue: Catalogue, other: Catalogue, prefer: Any
) -> None:
    some = [answer.job for answer in answers[:-3] if len(answer.suiting) > 1]
    first, second = (answer_many(some, shop, prefer=prefer) for shop in (catalogue, other))
    for one, two in zip(first, second, strict=True):
        assert chosen(one) == chosen(two)


def test_the_whole_answer_does_not_depend_on_the_order_of_the_catalogue(
    answers: list[Answer], other: Catalogue
) -> None:
    some = [one for one in answers if one.exit_code == 0][:8] + answers[-1:]
    for one, two in zip(some, answer_many([one.job for one in some], other), strict=True):
        summaries = [{**each.summary.as_json(), "catalogue": ""} for each in (one, two)]
        assert summaries[0] == summaries[1]  # but for the name of the catalogue
        assert one.suits[0].as_json() == two.suits[0].as_json()
