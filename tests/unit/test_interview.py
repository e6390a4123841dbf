"""The interview at the counter: few questions, in the deciding order, "don't know" allowed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest

from hoseselect.application.ask import MOST_QUESTIONS, Asked, interview, nested
from hoseselect.knowledge.errors import InputError


class Counter:
    """Answers from a table, and remembers what was asked."""

    def __init__(self, replies: Mapping[str, str]) -> None:
        self.replies = replies
        self.asked: list[Asked] = []

    def __call__(self, question: Asked, trial: Callable[[str], None]) -> str:
        self.asked.append(question)
        reply = self.replies.get(question.field, "")
        trial(reply)
        return reply

    @property
    def fields(self) -> list[str]:
        return [question.field for question in self.asked]


def test_the_service_is_asked_first(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    counter = Counter({"service": "washer hose"})
    said, job = interview(counter, catalogue)
    assert counter.fields[0] == "service"
    assert said["service"] == "washer hose"
    assert job.service == "washer"


@pytest.mark.parametrize("second", ["2", "coolant by-pass", "coolant-bypass"])
def test_an_ambiguous_name_is_settled_by_one_question(bench: Any, second: str) -> None:
    catalogue, _ = bench.shop({})
    put: list[Asked] = []

    def counter(question: Asked, trial: Callable[[str], None]) -> str:
        put.append(question)
        reply = {1: "thermostat hose", 2: second}.get(len(put), "")
        trial(reply)
        return reply

    _, job = interview(counter, catalogue)
    assert job.service == "coolant-bypass"
    assert [question.field for question in put].count("service") == 2
    assert put[1].question.startswith("'thermostat hose' is one of: 1 coolant-heater (")


def test_a_number_that_is_not_offered_is_no_answer(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    replies = iter(["thermostat hose", "7"])

    def counter(question: Asked, trial: Callable[[str], None]) -> str:
        reply = next(replies)
        trial(reply)
        return reply

    with pytest.raises(InputError, match="found '7'"):
        interview(counter, catalogue)


def test_what_is_told_before_is_held_against_the_gates(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    told = {"duty": {"pressure_max": "60"}}
    with pytest.raises(InputError, match="without a unit"):
        interview(Counter({"service": "heater hose"}), catalogue, told, "in")
    interview(Counter({"service": "heater hose"}), catalogue, told)


def test_a_stop_ends_the_interview(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    for reply in ("brake hose", "don't know", ""):
        counter = Counter({"service": reply})
        _, job = interview(counter, catalogue)
        assert counter.fields == ["service"]
        assert job.service in {"brake-hydraulics", "unknown-service"}


def test_the_pressure_that_lifts_a_stop_is_asked_for(bench: Any, shelf: Any) -> None:
    counter = Counter({"service": "injection hose", "duty.pressure_max": "400 kPa"})
    _, job = interview(counter, shelf)
    assert counter.fields[:2] == ["service", "duty.pressure_max"]
    assert len(counter.fields) > 2
    assert job.duty.pressure_max == 400
    silent = Counter({"service": "injection hose"})
    interview(silent, shelf)
    assert silent.fields == ["service", "duty.pressure_max"]


@pytest.mark.parametrize("service", ["pcv hose", "fuel return"])
def test_not_more_than_eight_questions_and_none_twice(bench: Any, shelf: Any, service: str) -> None:
    counter = Counter({"service": service})
    _, job = interview(counter, shelf)
    assert len(counter.fields) <= MOST_QUESTIONS + 2  # what is asked of nipple B counts with A
    assert len(set(counter.fields)) == len(counter.fields)
    assert all(question.question for question in counter.asked)
    assert job.nipple_a.outside_diameter != job.nipple_a.outside_diameter  # not known


def test_a_known_nipple_is_asked_of_b_too_and_empty_means_alike(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    replies = {"service": "heater hose", "nipple_a.outside_diameter": "10 mm"}
    counter = Counter(replies)
    _, job = interview(counter, catalogue)
    assert "nipple_b.outside_diameter" in counter.fields
    assert job.nipple_a.outside_diameter == job.nipple_b.outside_diameter == 10
    assert job.nipple_a.measured_on == job.nipple_b.measured_on == "plain"
    counter = Counter({**replies, "nipple_b.outside_diameter": "16 mm"})
    _, job = interview(counter, catalogue)
    assert (job.nipple_a.outside_diameter, job.nipple_b.outside_diameter) == (10, 16)


def test_an_unknown_nipple_is_not_asked_again_at_the_other_end(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    counter = Counter({"service": "heater hose"})
    interview(counter, catalogue)
    assert "nipple_b.outside_diameter" not in counter.fields


def test_the_route_fills_the_measured_length(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    replies = {
        "service": "heater hose",
        "nipple_a.outside_diameter": "10",
        "nipple_a.bead": "yes",
        "route": "400 mm",
    }
    said, job = interview(Counter(replies), catalogue)
    assert said["route"]["measured"] == "400 mm"
    assert (job.route.kind, job.route.measured) == ("measured", 400)


def test_a_reply_that_cannot_be_used_is_told_to_who_asks(bench: Any) -> None:
    catalogue, _ = bench.shop({})
    with pytest.raises(InputError):
        interview(Counter({"service": "flux hose"}), catalogue)
    with pytest.raises(InputError):
        interview(
            Counter({"service": "heater hose", "nipple_a.outside_diameter": "wide"}), catalogue
        )


def test_nothing_more_is_asked_once_nothing_changes_a_verdict(bench: Any) -> None:
    """All hoses of this shop are refused whatever is told: fuel line, no marking."""
    catalogue, _ = bench.shop({"liner": "NR", "cover": "NR"})
    counter = Counter({"service": "fuel return"})
    interview(counter, catalogue)
    assert counter.fields == ["service"]


def test_dotted_fields_become_a_job_file() -> None:
    said = {"service": "a", "duty.fluid_steady": "b", "duty.air_steady": "c", "route.measured": "d"}
    assert nested(said) == {
        "service": "a",
        "duty": {"fluid_steady": "b", "air_steady": "c"},
        "route": {"measured": "d"},
    }
