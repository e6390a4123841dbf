"""The written pages are equal to what the code says of itself."""

from __future__ import annotations

import tomllib
from dataclasses import fields, is_dataclass
from pathlib import Path

import pytest

from hoseselect.application.job_file_page import job_file_page, keys, words
from hoseselect.application.read_job import read_job
from hoseselect.application.rule_pages import rules_page
from hoseselect.domain import cut, finding, job
from hoseselect.domain.verdict import Verdict
from hoseselect.rules.registry import rules

DOCS = Path(__file__).parents[2] / "docs"


def test_the_page_of_rules_is_what_the_rules_say() -> None:
    written = (DOCS / "rules.md").read_text(encoding="utf-8")
    assert written == rules_page(), "python -m hoseselect.application.rule_pages > docs/rules.md"


def test_the_page_of_rules_has_every_rule_once() -> None:
    headings = [line[4:] for line in rules_page().splitlines() if line.startswith("### ")]
    assert headings == [rule.code for rule in rules()]


def test_the_page_of_the_job_file_is_what_the_form_says() -> None:
    written = (DOCS / "job-file.md").read_text(encoding="utf-8")
    expected = job_file_page()
    assert written == expected, "python -m hoseselect.application.job_file_page > docs/job-file.md"


def test_every_key_of_a_job_file_has_a_meaning() -> None:
    assert [key.place for key in keys()] == list(words())


@pytest.mark.parametrize("place", list(words()))
def test_every_example_of_a_key_can_be_read(place: str) -> None:
    text = f"{place} = {words()[place]['example']}\n"
    if place != "service":
        text += 'service = "PCV hose"\n'
    read_job(tomllib.loads(text))


@pytest.mark.parametrize("place", [key.place for key in keys() if key.unit])
def test_every_figure_of_a_job_file_is_refused_as_a_word(place: str) -> None:
    from hoseselect.knowledge.errors import InputError

    with pytest.raises(InputError, match=place.rpartition(".")[2]):
        read_job(tomllib.loads(f'service = "PCV hose"\n{place} = "quite a lot"\n'))


def nomenclature() -> str:
    return (DOCS / "nomenclature.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "name",
    sorted(
        {
            part.name
            for module in (job, cut, finding)
            for kind in vars(module).values()
            if is_dataclass(kind) and kind.__module__ == module.__name__
            for part in fields(kind)
        }
    ),
)
def test_the_nomenclature_has_every_word_of_the_domain(name: str) -> None:
    assert f"`{name}`" in nomenclature()


@pytest.mark.parametrize("verdict", list(Verdict))
def test_the_nomenclature_has_every_verdict_with_its_mark(verdict: Verdict) -> None:
    assert f"| {verdict.word} | `{verdict.mark}` |" in nomenclature()
