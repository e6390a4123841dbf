"""Every stop, asked by the first name that people call it, stops every command that answers a job.

What else the job says is the best that can be said: without the stop each command gives a length.
"""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from hoseselect.knowledge.load import table

Command = Callable[..., Any]
HOSE = "F06-12.7"
BEST = {
    "duty.fluid_steady": "110 degC",
    "duty.fluid_peak": "110 degC",
    "duty.air_steady": "115 degC",
    "duty.air_peak": "115 degC",
    "duty.coldest_start": "-25 degC",
    "duty.pressure_min": "20 inHg vacuum",
    "duty.pressure_max": "0 kPa",
    "nipples.outside_diameter": "13 mm",
    "nipples.bead_diameter": "14 mm",
    "nipples.engagement": "25 mm",
    "nipples.fixed_to": "engine",
    "route.measured": "400 mm",
    "route.tightest_radius": "200 mm",
    "route.low_spot": "no",
    "features.turbo": "no",
    "features.insert": "none",
}
SERVED = "PCV hose"
UNTOLD = {"injection-pressure-unknown": "injection hose"}
"""Stops that a service is where the job does not say the pressure, with a name of the service."""
COMMANDS = ("pick", "check", "cut", "cut --radius", "card", "batch")


def first_names() -> dict[str, str]:
    """Return every stop with the first name by which it is asked for."""
    names = table("stop_names")
    return {
        stop: UNTOLD.get(stop) or next(iter(names.where(stop=stop)))["other_name"]
        for stop in table("stops").column("stop")
    }


def best(service: str) -> dict[str, str]:
    """Return the best that can be said beside a service; no pressure where that is the stop."""
    left_out = "duty.pressure" if service in UNTOLD.values() else "-"
    return {key: value for key, value in BEST.items() if not key.startswith(left_out)}


def asked(command: Command, name: str, service: str, folder: Path) -> list[str]:
    """Ask a command about a service and return what a stopped job must not show.

    Parameters
    ----------
    command : calls the command line
    name : of the command, with the way it is asked
    service : as people call it
    folder : for what is written
    """
    if name == "batch":
        return asked_in_a_sheet(command, service, folder)
    values = {"service": service, **best(service)}
    lines = [f"{key} = {json.dumps(value)}" for key, value in values.items()]
    job = folder / "job.toml"
    job.write_text("\n".join(["drips = []", *lines]), encoding="utf-8")
    words = {
        "pick": ["pick"],
        "check": ["check", HOSE],
        "cut": ["cut", "--hose", HOSE],
        "cut --radius": ["cut", "--radius", "50 mm"],
        "card": ["card", "-o", str(folder / "card.pdf"), "--hose", HOSE],
    }[name]
    told = command(*words, str(job), "--json")
    if told.code not in {0, 1}:
        return [told.err]
    answer = json.loads(told.out)
    faults = [] if told.code == 1 else ["exit code 0"]
    faults += [] if answer.get("answer", answer)["stop"] else ["no stop"]
    faults += ["a length"] if any(given(answer)) else []
    if name == "card":
        text = "".join(page.extract_text() for page in PdfReader(folder / "card.pdf").pages)
        faults += ["a length on paper"] if "CUT" in text else []
    return faults


def given(value: Any, key: str = "") -> list[float]:
    """Return the cut lengths in a JSON answer, wherever they stand."""
    if isinstance(value, dict):
        return [length for k, part in value.items() for length in given(part, k)]
    if isinstance(value, list):
        return [length for part in value for length in given(part, key)]
    return [value] if key == "cut_mm" and value is not None else []


def asked_in_a_sheet(command: Command, service: str, folder: Path) -> list[str]:
    """Ask in a sheet of one line; the exit code tells there that the sheet was answered."""
    with (folder / "jobs.csv").open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(["service", *best(service)])
        writer.writerow([service, *best(service).values()])
    output = folder / "answers.csv"
    told = command("batch", str(folder / "jobs.csv"), "-o", str(output))
    if told.code != 0:
        return [told.err]
    with output.open(encoding="utf-8-sig", newline="") as stream:
        (row,) = csv.DictReader(stream)
    verdict, cut = row["answer.verdict"], row["answer.cut_length [mm]"]
    assert not cut or math.isfinite(float(cut))
    faults = [] if verdict == "STOP" else ["exit code 0", "no stop"]
    return faults + (["a length"] if cut or row["answer.hose"] else [])


def test_every_stop_has_a_name() -> None:
    assert len(first_names()) == len(table("stops").column("stop"))


@pytest.mark.parametrize("stop", list(first_names()))
def test_a_stop_stops_every_command(stop: str, command: Command, tmp_path: Path) -> None:
    name = first_names()[stop]
    odd = {by: asked(command, by, name, tmp_path) for by in COMMANDS}
    assert {by: faults for by, faults in odd.items() if faults} == {}


@pytest.mark.parametrize("by", COMMANDS)
def test_the_guard_of_stops_sees_a_job_that_is_served(
    by: str, command: Command, tmp_path: Path
) -> None:
    faults = asked(command, by, SERVED, tmp_path)
    paper = ["a length on paper"] if by == "card" else []
    assert faults == ["exit code 0", "no stop", "a length", *paper]
