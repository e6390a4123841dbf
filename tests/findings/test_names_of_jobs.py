"""A name that speaks of a stopped line beside the service of another one is asked about."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from hoseselect.intake.name_gate import stop_in_name
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import HoseselectError

ROOT = Path(__file__).parents[2]
PLAIN: dict[str, Any] = {"service": "PCV hose", "nipples": {"outside_diameter": "13 mm"}}


@pytest.mark.parametrize(
    ("name", "stop"),
    [
        ("Brake hose front left", "brake-hydraulics"),
        ("van 7: brake line", "brake-hydraulics"),
        ("Clutch slave cylinder hose", "clutch-hydraulics"),
        ("A/C hose of the red van", "refrigerant"),
        ("power steering high pressure hose", "steering-pressure"),
        ("urea", "urea-line"),
        ("bra\u200dke ho\u200cse", "brake-hydraulics"),
    ],
)
def test_a_name_of_a_stopped_line_is_asked_about(name: str, stop: str) -> None:
    assert stop_in_name(name) == stop
    with pytest.raises(HoseselectError) as told:
        read_job({**PLAIN, "name": name})
    assert str(told.value).startswith("job: name, service: found the name ")
    assert len(str(told.value).splitlines()) == 1


@pytest.mark.parametrize(
    "name",
    [
        "",
        "customer Mr Brake",
        "PCV hose of Mr Brake",
        "Snapped PCV hose",
        "van 7, after the brake job",
        "Power steering return",
        "brake servo vacuum",
        "heater hose, clutch cable side",
        "+49 30 1234",
        "van of the \U0001f468\u200d\U0001f527",
        "می\u200cخواهم",
    ],
)
def test_another_name_is_free_text(name: str) -> None:
    assert stop_in_name(name) == ""
    assert read_job({**PLAIN, "name": name}).name == name


def test_no_name_lifts_a_stop() -> None:
    stopped = read_job({"service": "brake hose", "name": "PCV hose"})
    assert stopped.service == "brake-hydraulics"


def test_every_job_of_the_pages_has_a_name_of_its_own_line() -> None:
    files = sorted((ROOT / "docs" / "jobs").glob("*.toml"))
    assert files
    for file in files:
        assert read_job(tomllib.loads(file.read_text(encoding="utf-8")))
