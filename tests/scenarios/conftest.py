"""Scenarios through the real engine: a job file, the shelf of the scenarios, the answer.

Judgement of the trade: common practice, no source; invented data.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.finding import Finding
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError

HERE = Path(__file__).parent
UNSET = "unset"


@dataclass(frozen=True)
class Told:
    """What the tool tells of one scenario."""

    job: Job
    answer: Answer
    catalogue: Catalogue

    def hose(self, name: str) -> HoseAnswer:
        """Return the answer for one hose."""
        return next(hose for hose in self.answer.hoses if hose.hose == name)

    def finding(self, name: str, code: str) -> Finding:
        """Return what one rule says of one hose."""
        return next(f for f in self.hose(name).findings if f.code == code)

    def refusals(self, name: str) -> set[str]:
        """Return the codes of the rules that refuse a hose."""
        return {f.code for f in self.hose(name).findings if f.verdict.word == "reject"}

    def conditions(self, name: str) -> set[str]:
        """Return the codes of the rules that make a hose conditional."""
        return {f.code for f in self.hose(name).findings if f.verdict.word == "conditional"}

    def accepts(self, name: str) -> None:
        """Assert a plain accept, with a cut."""
        odd = [(f.code, f.verdict.word, f.reason) for f in self.hose(name).findings if f.verdict]
        assert not odd
        assert self.hose(name).verdict.word == "accept"
        assert self.hose(name).cut is not None

    def conditional(self, name: str, *codes: str) -> None:
        """Assert that a hose suits on conditions, and on which."""
        odd = [(f.code, f.reason) for f in self.hose(name).findings if not f.verdict.suits]
        assert not odd
        assert self.hose(name).verdict.word == "conditional"
        assert self.conditions(name) >= set(codes)

    def rejects(self, name: str, *groups: str) -> None:
        """Assert a refusal, the group that decides it first, all groups refusing, and no cut."""
        hose = self.hose(name)
        refused = {code.split("-")[0] for code in self.refusals(name)}
        assert hose.verdict.word == "reject"
        assert hose.cut is None
        assert set(groups) <= refused
        assert hose.decided_by.split("-")[0] == groups[0]

    def not_offered(self, name: str) -> None:
        """Assert that a hose is not among those that may be offered."""
        assert not self.hose(name).verdict.suits
        assert self.hose(name).cut is None
        assert name not in {hose.hose for hose in self.answer.suits}

    def plan(self) -> CutPlan:
        """Return the cut plan of the route, without a hose."""
        return plan_cut(self.job)

    def stopped(self, *codes: str) -> None:
        """Assert a stop: no hose, no cut, exit code 1."""
        answer = self.answer
        assert answer.stops
        assert {stop.code for stop in answer.stops} >= set(codes)
        assert all(stop.reason and stop.who for stop in answer.stops)
        assert answer.hoses == () == answer.suits
        assert answer.exit_code == 1
        plain = json.loads(json.dumps(answer.as_json()))
        assert not {"cut", "cut_mm", "tip_mm", "bare_mm"} & set(keys(plain))
        with pytest.raises(InputError):
            plan_cut(self.job, self.catalogue)

    def asks(self, field: str) -> None:
        """Assert that the tool asks for an input; one asked of both nipples counts for each."""
        asked = {question.field for question in self.answer.ask_next}
        assert field in asked or re.sub("^nipple_[ab]", "nipples", field) in asked

    def says(self, *words: str) -> None:
        """Assert that the answer names each of some words, whatever the case."""
        plain = {key: item for key, item in self.answer.as_json().items() if key != "job"}
        text = json.dumps(plain, ensure_ascii=False).lower()
        assert [word for word in words if word.lower() not in text] == []

    def refers(self, *words: str) -> None:
        """Assert that the way out or the stop names what to see to instead."""
        said = [*self.answer.way_out, *(f"{s.reason} {s.who}" for s in self.answer.stops)]
        text = " ".join(said).lower()
        assert [word for word in words if word.lower() not in text] == []


def keys(value: Any) -> Iterator[str]:
    """Yield every key at any depth of plain values."""
    if isinstance(value, Mapping):
        for key, item in value.items():
            yield key
            yield from keys(item)
    elif isinstance(value, list):
        for item in value:
            yield from keys(item)


def changed(values: dict[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """Return a job's mapping with some inputs replaced, by dotted path; `UNSET` leaves one out."""
    for path, value in changes.items():
        *above, last = path.split(".")
        place = values
        for name in above:
            place = place.setdefault(name, {})
        if value == UNSET:
            del place[last]
        else:
            place[last] = value
    return values


@pytest.fixture(scope="session")
def shelf() -> Catalogue:
    """Return the shelf of the scenarios."""
    return read_catalogue(HERE / "shelf")


@pytest.fixture(scope="session")
def ask(shelf: Catalogue) -> Callable[..., Told]:
    """Return the question: a job file, hoses on the shelf, inputs that a flip changes."""

    def told(name: str, *hoses: str, change: Mapping[str, Any] | None = None) -> Told:
        values = tomllib.loads((HERE / "jobs" / f"{name}.toml").read_text(encoding="utf-8"))
        job = read_job(changed(values, change or {}), name)
        return Told(job, pick_hose(job, shelf, shelf=hoses), shelf)

    return told
