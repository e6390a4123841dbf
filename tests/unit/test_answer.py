"""The answer is a plain value; one job and many go the same way."""

from __future__ import annotations

import math
import pickle
from dataclasses import replace
from typing import Any

import pytest

from hoseselect.answer.answer import Answer
from hoseselect.answer.line_answer import of_answer
from hoseselect.application import answer_many as use_case
from hoseselect.application.answer_many import answer_many
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.knowledge.errors import InputError
from hoseselect.rules.stop import stop_of

HOSES: tuple[dict[str, Any], ...] = (
    {},
    {"working_pressure_clamped_kpa": 50},
    {"cover": "EPDM"},
    {"liner": "EPDM", "price_per_m": ""},
)
JOBS: tuple[dict[str, Any], ...] = (
    {},
    {"name": "van", "drips": "unknown", "duty.coldest_start": "unknown"},
    {"duty.pressure_max": 3000, "duty.pressure_spike": 3000},
    {"service": "brake-hydraulics"},
    {"route.run": [], "features.insert": "unknown", "nipples.usable_length": "unknown"},
    {"service": "fuel-return", "fluids": ["unknown"], "piece": 300},
)


@pytest.fixture(scope="module")
def catalogue(bench: Any) -> Catalogue:
    return bench.shop(*HOSES)[0]  # type: ignore[no-any-return]


@pytest.fixture(scope="module")
def answers(bench: Any, catalogue: Catalogue) -> list[Answer]:
    return answer_many([bench.job(changes) for changes in JOBS], catalogue)


def test_many_jobs_get_the_answers_of_each_alone(
    bench: Any, catalogue: Catalogue, answers: list[Answer]
) -> None:
    for changes, answer in zip(JOBS, answers, strict=True):
        alone = pick_hose(bench.job(changes), catalogue)
        assert answer == alone
        assert hash(answer) == hash(alone)
        assert repr(of_answer(answer)) == repr(of_answer(alone))
        assert answer.as_json() == alone.as_json()
        assert answer.hoses == alone.hoses


def test_the_lead_is_the_first_of_all_hoses(answers: list[Answer]) -> None:
    for answer in answers:
        assert answer.suiting == tuple(hose.hose for hose in answer.suits)
        if answer.lead is None:
            assert answer.hoses == ()
            continue
        first = answer.hoses[0]
        assert answer.lead.hose == first.hose
        assert answer.lead.verdict is first.verdict
        assert answer.lead.decided_by == first.decided_by
        assert answer.lead.reason == first.deciding.reason
        cut = math.nan if first.cut is None else first.cut.cut
        assert answer.lead.cut == pytest.approx(cut, nan_ok=True)
        conditional = [
            (f.code, f.reason) for f in first.findings if f.verdict.word == "conditional"
        ]
        told = [(one.code, one.reason) for one in answer.lead.conditions]
        assert told == (conditional if first.verdict.suits else [])
        assert answer.lead.looks == first.looks
        assert answer.lead.least == pytest.approx(first.least_length, nan_ok=True)
        assert answer.lead.believed == (first.cut is not None and first.cut.believed)


def test_another_answer_is_not_equal(bench: Any, catalogue: Catalogue) -> None:
    plain = pick_hose(bench.job({}), catalogue)
    assert plain != pick_hose(bench.job({"duty.fluid_steady": 41}), catalogue)
    assert plain != pick_hose(bench.job({}), bench.shop(*HOSES, {})[0])
    assert plain != pick_hose(bench.job({}), catalogue, units="in")
    assert plain.hoses[0] != plain.hoses[1]
    assert plain != "plain"
    assert plain.hoses[0] != "plain"


def test_an_answer_survives_pickling_and_is_worked_out_again(answers: list[Answer]) -> None:
    for answer in answers:
        whole = answer.as_json()
        again = pickle.loads(pickle.dumps(answer))
        assert again == answer
        assert again.hoses == answer.hoses
        assert again.as_json() == whole
        for hose in answer.hoses:
            assert pickle.loads(pickle.dumps(hose)) == hose


def test_few_hoses_are_told_as_among_all_without_work_for_the_others(
    answers: list[Answer],
) -> None:
    for answer in answers:
        whole = answer.as_json()
        assert whole["hoses_in_all"] == len(whole["hoses"])
        for most in range(4):
            again = pickle.loads(pickle.dumps(answer))
            assert again.as_json(most) == {**whole, "hoses": whole["hoses"][:most]}
            assert "hoses" not in vars(again)
            assert again.best(most + 1) == answer.hoses[: most + 1]


def test_what_was_worked_out_is_not_pickled(bench: Any, catalogue: Catalogue) -> None:
    answer = pick_hose(bench.job({}), catalogue)
    before = pickle.dumps(answer)
    answer.as_json()
    assert pickle.dumps(answer) == before
    assert set(answer.__getstate__()) == set(Answer.__dataclass_fields__)


def test_an_answer_of_a_sheet_makes_no_hoses_until_asked(answers: list[Answer], bench: Any) -> None:
    answer = answer_many([bench.job({}), bench.job({"duty.fluid_steady": 41})], bench.shop()[0])[0]
    of_answer(answer)
    str(answer)
    assert not {"hoses", "judged"} & set(vars(answer))
    assert len(answer.hoses) == 1
    assert "judged" in vars(answer)


def test_an_answer_prints_itself_in_a_line(answers: list[Answer]) -> None:
    assert str(answers[0]) == "washer: H3-1, accept, cut 460 mm, 2 more suit"
    assert str(answers[1]).startswith("van: H")
    assert (
        str(answers[2]) == "washer: no hose suits; the nearest is H1-1, reject by pressure-working"
    )
    assert str(answers[3]) == "brake-hydraulics: stop, brake-hydraulics"
    assert all("\n" not in str(answer) for answer in answers)
    assert str(answers[0].hoses[0]) == "H3-1: accept"


def test_an_answer_is_a_table_too(answers: list[Answer]) -> None:
    frame = answers[0].to_frame()
    assert frame["hose"].tolist() == [hose.hose for hose in answers[0].hoses]
    assert frame["verdict"].tolist() == [hose.verdict.word for hose in answers[0].hoses]
    first = answers[0].hoses[0].cut
    assert first is not None
    assert frame["cut_mm"][0] == first.cut
    assert frame["cut_mm"].isna().tolist() == [not h.verdict.suits for h in answers[0].hoses]
    assert len(answers[3].to_frame()) == 0


def test_findings_are_asked_of_the_answer(answers: list[Answer]) -> None:
    answer = answers[0]
    hose = answer.hoses[1]
    assert answer.findings(hose) == answer.findings(hose.hose) == hose.findings
    assert answer.deciding(hose) == hose.deciding
    assert answer.cut(hose.hose) == hose.cut
    assert answer.geometry(hose) is hose.geometry
    with pytest.raises(InputError):
        answer.findings("no such hose")


def test_a_shelf_names_what_is_looked_at(bench: Any, catalogue: Catalogue) -> None:
    answer = pick_hose(bench.job({}), catalogue, shelf=("H2",))
    assert [hose.hose for hose in answer.hoses] == ["H2-1"]
    assert (answer.suiting, answer.exit_code) == ((), 1)
    with pytest.raises(InputError):
        pick_hose(bench.job({}), catalogue, shelf=("H9",))


def test_a_stop_that_is_added_is_met_by_one_job_and_by_many(
    bench: Any, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The stop is planted where both ask for it; there is no other place."""
    real = use_case.stops
    planted = stop_of("crimped-ends")
    monkeypatch.setattr(
        use_case, "stops", lambda job: (planted,) if job.name == "planted" else real(job)
    )
    jobs = [bench.job({"name": "planted"}), bench.job({})]
    many = answer_many(jobs, catalogue)
    assert [answer.stops for answer in many] == [(planted,), ()]
    assert [pick_hose(job, catalogue) for job in jobs] == many
    assert of_answer(many[0]).verdict == "STOP"
    assert math.isnan(of_answer(many[0]).cut)


def test_no_job_is_no_answer_and_an_empty_catalogue_suits_nobody(bench: Any) -> None:
    catalogue = bench.shop()[0]
    assert answer_many([], catalogue) == []
    few = {name: column[:0] for name, column in vars(catalogue.sizes).items()}
    empty = replace(catalogue, sizes=replace(catalogue.sizes, **few))
    plain, stopped = answer_many([bench.job({}), bench.job(JOBS[3])], empty)
    assert (plain.hoses, plain.suits, plain.exit_code) == ((), (), 1)
    assert of_answer(plain).reason == "the catalogue holds no hose"
    assert str(plain) == "washer: no hose in the catalogue"
    assert of_answer(stopped).verdict == "STOP"
