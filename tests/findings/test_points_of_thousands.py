"""A point or comma before three digits that may part thousands is asked about, not chosen."""

from __future__ import annotations

from typing import Any

import pytest

from hoseselect.domain.job import Job
from hoseselect.intake.counter_question import counter_question
from hoseselect.intake.interview_answers import answered
from hoseselect.intake.interview_state import State
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import HoseselectError


def told(**values: Any) -> Job | str:
    """Return the job, or what is asked about it."""
    try:
        return read_job({"service": "heater hose", **values}, "")
    except HoseselectError as error:
        return str(error)


def measured(text: str) -> Job | str:
    return told(route={"measured": text})


@pytest.mark.parametrize(
    ("text", "readings"),
    [("1.250 mm", "1250 mm or 1.25 mm"), ("2.000mm", "2000 mm or 2 mm"),
     ("1.525 MM", "1525 MM or 1.525 MM")],
)  # fmt: skip
def test_a_length_of_a_millimetre_or_a_metre_is_asked_about(text: str, readings: str) -> None:
    said = measured(text)
    assert isinstance(said, str)
    assert said.startswith(f"route.measured: found '{text}', where the point may part thousands")
    assert said.endswith(f"expected the figure without a point before three digits: {readings}")


@pytest.mark.parametrize(
    ("text", "length"),
    [("1.250 m", 1250), ("12.500 cm", 125), ("12.700 in", 322.58), ("0.250 m", 250),
     ("150.500 mm", 150.5), ("1.25 mm", 1.25), ("1.2500 mm", 1.25), ("9.525 mm", 9.525),
     ("1250 mm", 1250), ("1.250,5 mm", 1250.5)],
)  # fmt: skip
def test_a_length_of_one_usual_reading_is_read(text: str, length: float) -> None:
    """9.525 mm is 3/8 in of hose; 9525 mm of it are on no vehicle."""
    job = measured(text)
    assert isinstance(job, Job)
    assert job.route.measured == pytest.approx(length)


@pytest.mark.parametrize("text", ["9.525 mm", "12.700 mm", "15.875 mm", "15,875 mm", "0.625 in"])
def test_an_inch_size_in_millimetres_is_one_reading(text: str) -> None:
    job = told(nipples={"outside_diameter": text})
    assert isinstance(job, Job)
    assert 9 < job.nipple_a.outside_diameter < 16


@pytest.mark.parametrize("text", ["1,600", "1.600"])
def test_a_bare_nipple_of_either_sign_is_read_back(text: str) -> None:
    said = told(nipples={"outside_diameter": text})
    assert isinstance(said, str)
    assert f"'{text}' without a unit, read as 1.6 mm, which is not usual here" in said


def test_other_lengths_are_asked_about_as_well() -> None:
    for route in (
        {"run": ["1.250 mm", {"bend": "90 deg", "radius": "110 mm"}, "180 mm"]},
        {"run": ["180", {"bend": "90 deg", "radius": "110 mm"}, "1.250"]},
        {"measured": "400 mm", "tightest_radius": "1.100 mm"},
    ):
        said = told(route=route)
        assert isinstance(said, str), route
        assert "the point may part thousands" in said
    said = told(old_hose={"length": "1.250 mm"})
    assert isinstance(said, str)
    assert said.startswith("old_hose.length")


def test_a_stop_comes_before_the_question() -> None:
    job = read_job({"service": "brake hose", "route": {"measured": "1.250 mm"}})
    assert job.service == "brake-hydraulics"


def test_the_counter_asks_too() -> None:
    asked = counter_question("route")
    with pytest.raises(HoseselectError, match="point may part thousands"):
        answered(State({"service": "coolant-heater"}), asked, "1.250 mm")
