"""No input through the page or the JSON interface turns a refused service into a cut length."""

from __future__ import annotations

import random
import re
from typing import Any

import pytest
from random_jobs import nested, random_line
from starlette.testclient import TestClient

from hoseselect.intake.job_code import encode_job
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import stops

HOSE = "C01-15.9"
TELLING = ({"features.place": "aircraft"}, {"features.end_fitting": "crimped"},
           {"fluids": "lpg"}, {"service": "brake hose"})  # fmt: skip
LENGTHS = {"cut", "cut_least", "cut_most", "other_cuts", "cut_mm", "tip_mm", "range_mm"}


def lengths(value: Any) -> list[str]:
    """Return the names of all lengths to cut that an answer tells."""
    if isinstance(value, list):
        return [name for item in value for name in lengths(item)]
    if not isinstance(value, dict):
        return []
    own = [key for key, item in value.items() if key in LENGTHS and item not in (None, [])]
    return own + [name for item in value.values() for name in lengths(item)]


def never_cut(client: TestClient, job: dict[str, Any]) -> None:
    """Say that no way through the page gives a length for a job."""
    for path, more in (
        ("pick", {"shelf": [HOSE]}),
        ("pick", {"prefer": "stock", "units": "in"}),
        ("check", {"hose": HOSE}),
        ("cut", {"hose": HOSE}),
        ("cut", {"radius": "0 mm", "outside_diameter": "20 mm"}),
    ):
        told = client.post(f"/api/{path}", json={"job": job, "top": None, **more})
        if told.status_code == 200:
            answer = {name: part for name, part in told.json().items() if name != "job"}
            assert answer["stop"], (path, job)
            assert lengths(answer) == [], (path, job)
            assert answer.get("hoses", []) == []
        else:
            assert told.status_code == 422
    code = encode_job(job)
    for address in (
        {"code": code},
        {"code": code, "hose": HOSE},
        {"code": code, "units": "in", "features.place": "road-vehicle"},
        {"code": code, "service": "heater hose"},
    ):
        for path in ("/counter", "/counter/answer", "/answer", "/bench"):
            text = client.get(path, params={**address, "length": "400 mm"}).text
            assert "<dt>cut</dt>" not in text, (path, address, job)
            assert not re.search(r"<span>\[[+~]\] USE", text), (path, address, job)
        shape = client.get("/bench/shape", params={**address, "length": "400 mm"})
        assert shape.status_code == 422


@pytest.mark.parametrize("part", range(4))
def test_no_name_of_a_stop_gets_a_length(client: TestClient, part: int) -> None:
    chance = random.Random(part)
    first = {row["stop"]: row["other_name"] for row in reversed(list(table("stop_names")))}
    for name in list(first.values())[part::4]:
        line = {**random_line(chance), "service": name}
        line.pop("name", None)
        never_cut(client, nested(line))
        sheet = f"service,nipple,measured\n{name},16 mm,400 mm\n"
        told = client.post("/sheet", data={"text": sheet, "do": "csv"})
        assert told.status_code == 422 or ",STOP," in told.text, name
        assert "400" not in told.text.replace(",400 mm,", "")
        rolls = client.post("/sheet", data={"text": sheet, "do": "rolls"})
        assert 'class="roll-piece"' not in rolls.text


def test_no_job_of_chance_that_is_stopped_gets_a_length(client: TestClient) -> None:
    chance, tried = random.Random(7), 0
    while tried < 25:
        line = {**random_line(chance), **chance.choice(TELLING)}
        job = nested(line)
        try:
            met = stops(read_job(job))
        except InputError:
            continue
        if met:
            never_cut(client, job)
            tried += 1
