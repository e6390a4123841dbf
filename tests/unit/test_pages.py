"""The written pages are equal to what the code says of itself."""

from __future__ import annotations

import tomllib
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import pytest

from hoseselect.domain import cut, finding, free_route, job
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.job_keys import job_keys
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.cli.job_input import put
from hoseselect.interfaces.pages.job_file_page import job_file_page, keys
from hoseselect.interfaces.pages.natural_bend_pictures import PICTURES
from hoseselect.interfaces.pages.rules_page import rules_page
from hoseselect.knowledge.errors import InputError
from hoseselect.rules.manual import all_rules

DOCS = Path(__file__).parents[2] / "docs"


def test_the_page_of_rules_is_what_the_rules_say() -> None:
    written = (DOCS / "reference" / "rules.md").read_text(encoding="utf-8")
    assert written == rules_page(), (
        "python -m hoseselect.interfaces.pages.rules_page > docs/reference/rules.md"
    )


def test_the_page_of_rules_has_every_rule_once() -> None:
    headings = [line[4:] for line in rules_page().splitlines() if line.startswith("### ")]
    assert headings == [rule.code for rule in all_rules()]


def test_the_page_of_the_job_file_is_what_the_form_says() -> None:
    written = (DOCS / "reference" / "job-file.md").read_text(encoding="utf-8")
    expected = job_file_page()
    assert written == expected, (
        "python -m hoseselect.interfaces.pages.job_file_page > docs/reference/job-file.md"
    )


@pytest.mark.parametrize("name", PICTURES)
def test_the_pictures_of_the_natural_bend_are_what_the_code_draws(name: str) -> None:
    written = (DOCS / "pictures" / f"{name}.svg").read_text(encoding="utf-8")
    assert written == PICTURES[name](), (
        f"python -m hoseselect.interfaces.pages.natural_bend_pictures {name}"
        f" > docs/pictures/{name}.svg"
    )
    page = (DOCS / "how-to" / "free-route.md").read_text(encoding="utf-8")
    assert f"](../pictures/{name}.svg)" in page


def test_every_key_of_a_job_file_has_a_meaning() -> None:
    assert {key.place for key in keys()} == set(job_keys())


def test_every_key_of_a_job_file_has_a_kind() -> None:
    assert [key.place for key in keys() if not (key.kind or job_keys()[key.place]["kind"])] == []


ENDS = {"offset": {"forward": "120 mm"}, "nipple_a_points": "up", "nipple_b_points": "up"}
SIZE = {"forward": "40 mm", "left": "40 mm", "up": "20 mm"}
BODIES: dict[str, dict[str, Any]] = {
    "ball": {"name": "pump", "ball": {"down": "80 mm"}, "diameter": "50 mm"},
    "rod": {"name": "pipe", "rod": [{"down": "80 mm"}, {"down": "90 mm"}], "diameter": "50 mm"},
    "box": {"name": "tray", "box": {"down": "80 mm"}, "size": SIZE},
    "clip": {"at": {"up": "60 mm"}},
}


def job_with(place: str, value: Any) -> dict[str, Any]:
    """Return a job with a value at one place and beside it what must stand there."""
    beside = job_keys()[place]["beside"]
    table, _, name = place.rpartition(".")
    if beside in BODIES:
        body = {**BODIES[beside], name: value}
        return {
            "service": "PCV hose",
            "route": {"free": {**ENDS, table.rpartition(".")[2]: [body]}},
        }
    made = {"service": "PCV hose"}
    for line in filter(None, beside.split("|")):
        other, _, text = line.partition(" = ")
        put(made, other, tomllib.loads(f"value = {text}")["value"])
    put(made, place, value)
    return made


@pytest.mark.parametrize("place", list(job_keys()))
def test_every_example_of_a_key_can_be_read(place: str) -> None:
    example = tomllib.loads(f"value = {job_keys()[place]['example']}")["value"]
    read_job(job_with(place, example))


@pytest.mark.parametrize(
    "place", [k.place for k in keys() if k.unit or job_keys()[k.place]["unit"]]
)
def test_every_figure_of_a_job_file_is_refused_as_a_word(place: str) -> None:
    with pytest.raises(InputError, match=place.rpartition(".")[2]):
        read_job(job_with(place, "quite a lot"))


def nomenclature() -> str:
    return (DOCS / "reference" / "nomenclature.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "name",
    sorted(
        {
            part.name
            for module in (job, cut, finding, free_route)
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
