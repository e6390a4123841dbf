"""What the house promises of services and stops: each can be served, none of the stops can.

The examples are invented; their duty is the adverse end of the plausible range of each service,
where the table beside this file does not say otherwise. It names the rules on whose condition
the hose suits, too: a check valve to prove, the wire of a helix to draw back from the end.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from hoseselect.answer.answer import Answer
from hoseselect.application.pick import check_hose, pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.load import table

with (Path(__file__).parent / "service_examples.csv").open(encoding="utf-8") as stream:
    EXAMPLES = {row["service"]: row for row in csv.DictReader(stream)}
FEATURES = {
    "boat": {"place": "boat"},
    "aircraft": {"place": "aircraft"},
    "quick-connect-tube": {"end_fitting": "quick-connect"},
    "crimped-ends": {"end_fitting": "crimped"},
}


@cache
def built_in() -> Catalogue:
    """Return the built-in catalogue."""
    return read_catalogue(find_catalogue(None, {}))


def example(service: str) -> dict[str, Any]:
    """Return the example job of a service, as a user writes it."""
    row = EXAMPLES[service]
    nipple = float(row["nipple_mm"])
    duty = table("service_duty").where(service=service)
    return {
        "service": service,
        "fluids": row["fluids"].split(";") if row["fluids"] else [],
        "drips": [],
        "original_bore": f"{nipple} mm",
        "duty": {r["field"]: f"{r[row['duty']]} {r['unit']}" for r in duty},
        "nipples": {
            "outside_diameter": f"{nipple} mm",
            "bead_diameter": f"{nipple + 0.6} mm",
            "usable_length": "30 mm",
            "material": "metal",
            "fixed_to": "engine",
        },
        "route": {
            "measured": "400 mm",
            "tightest_radius": "200 mm",
            "supports": "200 mm",
            "low_spot": "no",
            "fall": "yes",
            "movement": "0 mm",
            "heat_source": {"distance": "200 mm"},
        },
        "features": {
            "insert": "none",
            "turbo": "no",
            "sees_boost": "no",
            "submerged": "yes" if service == "fuel-in-tank" else "no",
            "end_fitting": "plain",
        },
    }


def without_example(services: list[str]) -> list[str]:
    """Return the services that have no example."""
    return [service for service in services if service not in EXAMPLES]


def given_away(answer: Answer) -> list[str]:
    """Return what a stopped job must not contain: a missing stop, a hose, a success."""
    written = str(answer.as_json())
    faults = [] if answer.stops else ["no stop"]
    faults += ["a hose"] if answer.hoses or "cut_mm" in written else []
    faults += [] if answer.exit_code == 1 else [f"exit code {answer.exit_code}"]
    faults += [] if answer.way_out else ["no way out"]
    return faults


def test_every_service_has_an_example() -> None:
    assert without_example(table("services").column("service")) == []


def test_the_example_guard_sees_a_planted_service() -> None:
    assert without_example(["crankcase-suction", "planted-service"]) == ["planted-service"]


@pytest.mark.parametrize("service", list(EXAMPLES))
def test_a_hose_of_the_built_in_catalogue_serves(service: str) -> None:
    row = EXAMPLES[service]
    answer = check_hose(row["hose"], read_job(example(service)), built_in())
    found = answer.hoses[0]
    odd = {f.code: f.reason for f in found.findings if f.verdict}
    assert ";".join(odd) == row["conditions"], odd
    assert found.verdict is (Verdict.CONDITIONAL if odd else Verdict.ACCEPT)
    assert found.cut is not None


@pytest.mark.parametrize("service", list(EXAMPLES))
def test_the_same_hose_is_refused_where_it_is_harsher_than_any_hose_stands(service: str) -> None:
    job = example(service)
    job["duty"] |= {"air_steady": "400 degC", "air_peak": "400 degC"}
    answer = check_hose(EXAMPLES[service]["hose"], read_job(job), built_in())
    assert answer.hoses[0].verdict is Verdict.REJECT


@pytest.mark.parametrize("stop", table("stops").column("stop"))
@pytest.mark.parametrize("service", ["crankcase-suction", "coolant-heater", "fuel-return"])
def test_every_stop_refuses_the_best_of_jobs(stop: str, service: str) -> None:
    job = example(service)
    if stop in FEATURES:
        job["features"] |= FEATURES[stop]
    else:
        job["service"] = stop
    answer = pick_hose(read_job(job), built_in())
    assert given_away(answer) == []
    assert stop in {met.code for met in answer.stops}


def test_the_stop_guard_sees_a_planted_hose() -> None:
    served = pick_hose(read_job(example("crankcase-suction")), built_in())
    assert given_away(served) == ["no stop", "a hose", "exit code 0", "no way out"]
    stopped = pick_hose(read_job({"service": "brake-hydraulics"}), built_in())
    leaking = replace(served, stops=stopped.stops)
    assert given_away(leaking) == ["a hose", "no way out"]
