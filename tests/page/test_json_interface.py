"""The JSON interface: the plain values of the commands, on random jobs; faults as values."""

from __future__ import annotations

import json
import math
import random
from itertools import count
from pathlib import Path
from typing import Any

import pytest
import tomlkit
from jsonschema_rs import Draft202012Validator
from random_jobs import nested, random_line
from starlette.testclient import TestClient

from hoseselect.answer.line_answer import LineAnswer, of_answer
from hoseselect.application.answer_many import answer_many
from hoseselect.application.cut import cut_for_hose
from hoseselect.application.explain import explain_code
from hoseselect.application.pick import check_hose, pick_hose
from hoseselect.intake.job_code import encode_job
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.cli.main import run
from hoseselect.interfaces.page.shop import Shop
from hoseselect.interfaces.wording import cut_words
from hoseselect.knowledge.errors import InputError

from .seen import seen

JOBS, WHOLE, SEED = 200, 20, 20260115
SCHEMA = Path(__file__).parents[2] / "docs" / "answer.schema.json"
HEATER = {
    "service": "heater hose",
    "nipples": {"outside_diameter": "16 mm", "bead": "yes", "measured_on": "plain"},
    "route": {"measured": "400 mm", "tightest_radius": "120 mm", "movement": "0 mm"},
    "features": {"turbo": "no"},
}
STOPPED = {"service": "brake hose"}


def told(client: TestClient, path: str, **asked: Any) -> Any:
    answer = client.post(f"/api/{path}", json=asked)
    assert answer.status_code == 200, answer.text
    return answer.json()


def random_values() -> list[dict[str, Any]]:
    """Return jobs that can be read, and so many that cannot as come between them."""
    chance, found, usable = random.Random(SEED), [], 0
    while usable < JOBS:
        found.append(nested(random_line(chance)))
        try:
            read_job(found[-1])
        except InputError:
            continue
        usable += 1
    return found


def test_answers_are_those_of_the_sheet_and_the_page_on_200_random_jobs(
    client: TestClient, shop: Shop
) -> None:
    jobs, refused = [], 0
    for values in random_values():
        try:
            jobs.append((values, read_job(values)))
        except InputError as error:
            refused += 1
            answer = client.post("/api/pick", json={"job": values})
            assert (answer.status_code, answer.json()["error"]) == (422, str(error))
    assert len(jobs) == JOBS and refused
    lines = answer_many([job for _, job in jobs], shop.catalogue)
    words = set()
    for (values, job), line, number in zip(jobs, lines, count(), strict=False):
        answer = told(client, "pick", job=values, top=1)
        first, expected = answer["summary"], of_answer(line)
        words.add(first["word"])
        assert _short(first) == _of_line(expected), values
        assert [hose["hose"] for hose in answer["hoses"]] == _first_hose(line)
        beside = client.get("/counter/answer", params={"code": encode_job(values)})
        _same_words(beside.text, values, shop)
        if number % (JOBS // WHOLE) == 0:
            assert answer == _plain(pick_hose(job, shop.catalogue).as_json(1))
    assert words == {"USE", "USE IF", "NO", "NOT YET", "STOP"} - _never(words)


def _never(words: set[str]) -> set[str]:
    """Return verdicts that need not occur: few jobs of chance are told to the end."""
    return {"USE"} - words


def _short(first: dict[str, Any]) -> tuple[Any, ...]:
    lengths = (first.get(name) for name in ("cut", "cut_least", "cut_most"))
    return first["word"], first.get("hose") or "", *lengths


def _of_line(line: LineAnswer) -> tuple[Any, ...]:
    lengths = (line.cut, line.cut_least, line.cut_most)
    return line.verdict, line.hose, *(None if math.isnan(v) else round(v, 3) for v in lengths)


def _first_hose(line: Any) -> list[str]:
    return [] if line.lead is None or line.stops else [line.lead.hose]


def _same_words(text: str, values: dict[str, Any], shop: Shop) -> None:
    words = seen(text)
    summary = shop.picked(values, "mm", lambda: read_job(values)).summary
    assert f" {summary.word}" in words
    if summary.offers:
        assert summary.hose in words
        assert cut_words(summary, "mm") in words
    else:
        assert "<dt>cut</dt>" not in text
    if summary.word == "STOP":
        assert "No hose and no length." in words


def _plain(answer: dict[str, Any]) -> Any:
    return json.loads(json.dumps({"number": None, **answer}))


@pytest.mark.parametrize("job", [HEATER, STOPPED], ids=["heater hose", "brake hose"])
def test_the_whole_answer_is_that_of_the_command(
    client: TestClient,
    job: dict[str, Any],
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    file = tmp_path / "job.toml"
    file.write_text(tomlkit.dumps(job), encoding="utf-8")
    monkeypatch.setattr("sys.argv", ["hoseselect", "pick", str(file), "--json", "--no-book"])
    with pytest.raises(SystemExit):
        run()
    assert told(client, "pick", job=job, top=None) == json.loads(capsys.readouterr().out)


def test_check_and_cut_are_those_of_the_commands(client: TestClient, shop: Shop) -> None:
    job = read_job(HEATER)
    hose = pick_hose(job, shop.catalogue).lead
    assert hose is not None
    checked = check_hose(hose.hose, job, shop.catalogue).as_json()
    assert told(client, "check", job=HEATER, hose=hose.hose, top=None) == _plain(checked)
    cut = cut_for_hose(hose.hose, job, shop.catalogue).as_json()
    assert told(client, "cut", job=HEATER, hose=hose.hose) == _plain(cut)


def test_answers_keep_to_the_published_schema(client: TestClient) -> None:
    schema = Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8")))
    for path, more in (("pick", {}), ("check", {"hose": "C01-15.9"}), ("cut", {"radius": "80 mm"})):
        for job in (HEATER, STOPPED):
            schema.validate(told(client, path, job=job, **more))


def test_explain_is_that_of_the_command(client: TestClient) -> None:
    for code in ("", "bend-radius", "EPDM", "job"):
        found = client.get("/api/explain", params={"code": code}).json()
        assert found == json.loads(json.dumps(explain_code(code).as_json()))
    assert client.get("/api/explain", params={"code": "nothing such"}).status_code == 422


def test_as_many_hoses_are_told_as_are_asked_for(client: TestClient, shop: Shop) -> None:
    assert len(told(client, "pick", job=HEATER)["hoses"]) == 10
    assert told(client, "pick", job=HEATER, top=0)["hoses"] == []
    whole = told(client, "pick", job=HEATER, top=None)["hoses"]
    assert len(whole) == len(shop.catalogue.sizes)


def test_preference_and_shelf_count(client: TestClient, shop: Shop) -> None:
    found = told(client, "pick", job=HEATER, prefer="price", shelf=["C01", "C05"])
    wanted = pick_hose(
        read_job(HEATER),
        shop.catalogue,
        prefer="price",
        shelf=tuple(h for h in shop.catalogue.sizes.hose_size if h[:3] in {"C01", "C05"}),
    )
    assert [hose["hose"] for hose in found["hoses"]] == [h.hose for h in wanted.hoses[:10]]


@pytest.mark.parametrize(
    ("asked", "status", "words"),
    [
        ({"job": {}}, 422, "service: found nothing"),
        ({"job": {"service": "heater hose", "nipple": "16"}}, 422, "nipple"),
        ({"job": HEATER, "units": "feet"}, 422, "units"),
        ({"job": HEATER, "top": -1}, 422, "top"),
        ({"job": HEATER, "hose": "C01"}, 422, "hose"),
        ({"job": HEATER, "shelf": ["no such hose"]}, 422, "no such hose"),
        ({"job": "heater hose"}, 422, "job"),
        ([], 422, "body"),
    ],
)
def test_what_cannot_be_asked_is_told_in_one_form(
    client: TestClient, asked: Any, status: int, words: str
) -> None:
    answer = client.post("/api/pick", json=asked)
    assert answer.status_code == status
    assert set(answer.json()) == {"error", "keys"}
    assert words in answer.json()["error"]


def test_a_fault_names_the_keys_that_it_is_about(client: TestClient) -> None:
    job = {**HEATER, "nipples": {"outside_diameter": "thick"}}
    assert client.post("/api/pick", json={"job": job}).json()["keys"] == [
        "nipples.outside_diameter"
    ]


def test_a_job_is_kept_where_that_is_wanted(client: TestClient) -> None:
    assert told(client, "pick", job=HEATER)["number"] is None
    assert client.get("/api/book").json() == []
    number = told(client, "pick", job=HEATER, keep=True, note="blue van")["number"]
    (entry,) = client.get("/api/book", params={"words": "BLUE"}).json()
    assert (entry["number"], entry["job"], entry["command"]) == (number, HEATER, "pick")
    fitted = client.post(f"/api/book/{number}/fitted", json={"fitted": True}).json()
    assert (fitted["fitted_on"], fitted["recheck_on"]) == ("2031-05-30", "2031-06-13")
    assert client.get("/api/book/due").json() == []
    assert [e["number"] for e in client.get("/api/book/due?by=2031-07-01").json()] == [number]
    assert client.post(f"/api/book/{number}/done", json={}).json()["done_on"] == "2031-05-30"
    noted = client.post(f"/api/book/{number}/note", json={"note": "red van"})
    assert noted.json()["note"] == "red van"
    assert client.get(f"/api/book/{number}").json() == noted.json()


def test_no_hose_is_noted_as_fitted_on_a_stopped_job(client: TestClient) -> None:
    number = told(client, "pick", job=STOPPED, keep=True)["number"]
    answer = client.post(f"/api/book/{number}/fitted", json={"fitted": True, "hose": "C01-15.9"})
    assert answer.status_code == 422
    assert client.get(f"/api/book/{number}").json()["fitted"] == ""


def test_the_catalogue_is_told(client: TestClient, shop: Shop) -> None:
    types = client.get("/api/catalogue").json()
    assert [one["hose_type"] for one in types] == shop.catalogue.types.hose_type.tolist()
    sizes = client.get("/api/catalogue/sizes", params={"hose_type": "C01"}).json()
    own = shop.catalogue.sizes.hose_size[shop.catalogue.sizes.hose_type == "C01"]
    assert [one["hose_size"] for one in sizes] == own.tolist()
    hose = client.get("/api/catalogue/hose", params={"name": "c01-15.9"}).json()
    assert hose["hose_size"] == "C01-15.9"
    rolls = client.get("/api/catalogue/rolls").json()
    assert sum(one["length_m"] for one in rolls) == pytest.approx(
        shop.catalogue.rolls.length_m.sum()
    )
    assert client.get("/api/catalogue/check").json()["usable"] is True
    assert client.get("/api/catalogue/hose", params={"name": "none"}).status_code == 422


def test_the_interface_describes_itself(client: TestClient) -> None:
    told = client.get("/api/openapi.json").json()
    assert {"/api/pick", "/api/check", "/api/cut", "/api/explain", "/api/book"} <= set(
        told["paths"]
    )
    assert all(path.startswith("/api/") for path in told["paths"])
    pick = told["paths"]["/api/pick"]["post"]
    assert set(pick["responses"]) >= {"200", "400", "413", "422"}
    assert pick["responses"]["422"]["content"]["application/json"]["schema"]["$ref"].endswith(
        "Fault"
    )
