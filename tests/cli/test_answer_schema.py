"""The JSON answers have the published form, and the form refuses what it should."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema_rs import Draft202012Validator, ValidationError, meta

ROOT = Path(__file__).parents[2]
SCHEMA = json.loads((ROOT / "docs" / "answer.schema.json").read_text(encoding="utf-8"))
DEMO = ROOT / "hoseselect" / "application" / "demo"
BENCH, COUNTER, STOPPED = (str(DEMO / f"{name}.toml") for name in ("bench", "counter", "stopped"))
BARE = ("-s", "PCV hose")
RUN = (*BARE, "-n", "13", "--run", "60; 90 deg at 110 mm; 180", "--set", "nipples.engagement=25")

SHELF = ("--shelf", "F06", "--shelf", "C01", "--shelf", "C05")
"""A few types: one that suits at the counter, one at the bench, one that is refused."""
ENDS = ("--offset", "forward 250 mm; up 60 mm", "--points-a", "forward", "--points-b", "up")
FREE = (*BARE, "-n", "13", *ENDS, "--set", "nipples.engagement=25")


def validator(name: str) -> Draft202012Validator:
    """Return the validator of one kind of answer."""
    return Draft202012Validator({"$ref": f"#/$defs/{name}", "$defs": SCHEMA["$defs"]})


def test_the_schema_is_a_schema() -> None:
    meta.validate(SCHEMA)


@pytest.mark.parametrize(
    ("kind", "arguments", "code"),
    [
        ("demo", ("demo",), 0),
        ("answer", ("pick", COUNTER, *SHELF), 0),
        ("answer", ("pick", BENCH, "--prefer", "price", *SHELF), 0),
        ("answer", ("pick", STOPPED), 1),
        ("answer", ("pick", *BARE, *SHELF), 1),
        ("answer", ("pick", BENCH, "--top", "1"), 0),
        ("answer", ("check", "C01-12.7", COUNTER), 1),
        ("cut_result", ("cut", COUNTER, "--hose", "F06-12.7"), 0),
        ("cut_result", ("cut", COUNTER, "--hose", "C01-12.7"), 1),
        ("cut_result", ("cut", STOPPED), 1),
        ("cut_result", ("cut", *RUN, "--radius", "80 mm"), 0),
        ("cut_result", ("cut", *FREE, "--radius", "60 mm"), 0),
        ("answer", ("pick", *FREE, "--shelf", "F06-12.7"), 1),
    ],
)
def test_an_answer_has_the_published_form(
    kind: str, arguments: tuple[str, ...], code: int, command: Callable[..., Any]
) -> None:
    told = command(*arguments, "--json")
    assert told.code == code
    answer = json.loads(told.out, parse_constant=_no_constant)
    each = once(answer, set())
    validator(kind).validate(each)
    Draft202012Validator(SCHEMA).validate(each)


def once(value: Any, seen: set[str]) -> Any:
    """Return an answer without the findings that stand in it a second time, of other hoses.

    The form says the same of every finding of every hose: one of those that are alike proves it.
    """
    if isinstance(value, dict):
        return {key: once(item, seen) for key, item in value.items()}
    if not isinstance(value, list):
        return value
    kept = []
    for item in value:
        text = json.dumps(item) if isinstance(item, dict) and "check" in item else ""
        if not text or text not in seen:
            kept.append(once(item, seen))
        seen.add(text)
    return kept


def test_a_fault_in_any_finding_is_seen() -> None:
    """What is left out as alike is alike to the letter."""
    fine, bad = {"check": "", "limit": 1.0}, {"check": "", "limit": "high"}
    hoses = [{"findings": [fine, fine]}, {"findings": [fine, bad]}]
    assert once(hoses, set()) == [{"findings": [fine]}, {"findings": [bad]}]


def _no_constant(name: str) -> None:
    raise AssertionError(f"{name} is no JSON")


def test_a_refused_hose_and_a_stopped_job_have_no_cut(command: Callable[..., Any]) -> None:
    answer = json.loads(command("pick", COUNTER, "--json").out)
    cut = {hose["hose"]: hose["cut"] for hose in answer["hoses"]}
    suits = {h["hose"] for h in answer["hoses"] if h["verdict"] in {"accept", "conditional"}}
    assert suits
    assert {name for name, plan in cut.items() if plan is not None} == suits
    assert "cut_mm" not in command("pick", STOPPED, "--json").out


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("hoses", 0, "verdict"), "maybe"),
        (("hoses", 0, "bore_mm"), "13"),
        (("hoses", 0, "findings", 0, "limit"), "high"),
        (("hoses", 0, "cut", "range_mm"), None),
        (("stop",), None),
        (("surprise",), 1),
        (("job", "duty", "fluid_steady"), "hot"),
    ],
)
def test_the_form_refuses_a_planted_fault(
    place: tuple[str | int, ...], value: object, command: Callable[..., Any]
) -> None:
    answer = json.loads(command("pick", COUNTER, *SHELF, "--json").out)
    validator("answer").validate(answer)
    spoiled = copy.deepcopy(answer)
    inner: Any = spoiled
    for step in place[:-1]:
        inner = inner[step]
    inner[place[-1]] = value
    with pytest.raises(ValidationError):
        validator("answer").validate(spoiled)
