"""What to find out next: only what changes a verdict, most decisive first."""

from __future__ import annotations

from typing import Any

import pytest

from hoseselect.knowledge.load import table

LEFT_OUT = "left out"
QUESTIONS = set(table("questions").column("input"))


def fields(answer: Any) -> list[str]:
    return [question.field for question in answer.ask_next]


def test_nothing_is_asked_where_all_is_known(bench: Any) -> None:
    assert bench.answer({}).ask_next == ()


def test_nothing_is_asked_of_a_stopped_job(bench: Any) -> None:
    assert bench.answer({}, changes={"service": "brake-hydraulics"}).ask_next == ()


@pytest.mark.parametrize(
    ("changes", "hose", "field"),
    [
        ({"duty.coldest_start": "unknown"}, {"temperature_cold_degc": -20}, "duty.coldest_start"),
        (
            {"duty.air_steady": "unknown", "duty.air_peak": "unknown"},
            {"temperature_continuous_degc": 60},
            "duty.air_steady",
        ),
        (
            {
                "service": "coolant-heater",
                "duty.pressure_max": "unknown",
                "duty.pressure_spike": "unknown",
            },
            {"working_pressure_clamped_kpa": 150},
            "duty.pressure_max",
        ),
        ({"service": "fuel-return", "fluids": []}, {"liner": "NBR", "marking": "j30-r7"}, "fluids"),
        ({"drips": "unknown"}, {"cover": "EPDM"}, "drips"),
        (
            {"nipples.outside_diameter": "unknown", "nipples.bead_diameter": LEFT_OUT},
            {},
            "nipples.outside_diameter",
        ),
        (
            {"nipple_b.outside_diameter": "unknown", "nipples.bead_diameter": LEFT_OUT},
            {},
            "nipple_b.outside_diameter",
        ),
        (
            {
                "service": "coolant-heater",
                "nipples.bead": "unknown",
                "nipples.bead_diameter": LEFT_OUT,
            },
            {},
            "nipples.bead",
        ),
        ({"nipples.bead_diameter": LEFT_OUT}, {}, "nipples.bead_diameter"),
        (
            {"nipples.usable_length": LEFT_OUT, "nipples.engagement": LEFT_OUT},
            {},
            "nipples.usable_length",
        ),
        ({"route.run": []}, {}, "route"),
        ({"route.run": [], "route.measured": 300}, {}, "route.tightest_radius"),
        ({"route.movement": "unknown"}, {}, "route.movement"),
        (
            {"service": "turbo-oil-drain", "route.fall": "unknown"},
            {"temperature_continuous_degc": 250, "temperature_short_time_degc": 250},
            "route.fall",
        ),
        ({"service": "crankcase-suction", "route.low_spot": "unknown"}, {}, "route.low_spot"),
        ({"service": "crankcase-suction", "features.insert": "unknown"}, {}, "features.insert"),
        (
            {"service": "fuel-return", "fluids": ["petrol-e10"], "features.submerged": "unknown"},
            {"liner": "FKM", "marking": "j30-r9"},
            "features.submerged",
        ),
    ],
)
def test_the_unknown_that_decides_is_asked(
    bench: Any, changes: dict[str, Any], hose: dict[str, Any], field: str
) -> None:
    answer = bench.answer(hose, changes=changes)
    assert field in fields(answer)
    question = next(q for q in answer.ask_next if q.field == field)
    assert question.question.endswith("?") or question.question.endswith(")")
    assert question.why
    assert question.decides == ("H1-1",)
    assert question.verdicts
    assert field.replace("nipples", "nipple_a") in QUESTIONS


def test_a_question_for_both_nipples_names_neither(bench: Any) -> None:
    changes = {"nipples.outside_diameter": "unknown", "nipples.bead_diameter": LEFT_OUT}
    question = bench.answer({}, changes=changes).ask_next[0]
    assert "each nipple" in question.question
    assert "nipple A" not in question.question
    assert "nipple_b.outside_diameter" not in fields(bench.answer({}, changes=changes))


@pytest.mark.parametrize(
    ("changes", "hose"),
    [
        ({"duty.coldest_start": "unknown"}, {"working_pressure_clamped_kpa": 50}),
        (
            {"drips": "unknown"},
            {
                "bore_mm": 14,
                "bore_min_mm": 13.8,
                "bore_max_mm": 14.2,
                "outside_diameter_mm": 22,
                "cover": "EPDM",
            },
        ),
        (
            {"route.movement": "unknown"},
            {"temperature_continuous_degc": 30, "temperature_short_time_degc": 30},
        ),
    ],
)
def test_nothing_is_asked_of_a_hose_that_is_refused_anyway(
    bench: Any, changes: dict[str, Any], hose: dict[str, Any]
) -> None:
    answer = bench.answer(hose, changes=changes)
    assert answer.hoses[0].verdict.word == "reject"
    assert answer.ask_next == ()


def test_nothing_is_asked_that_changes_nothing(bench: Any) -> None:
    """No turbocharger question on a heater hose; no low spot there either."""
    changes = {
        "service": "coolant-heater",
        "features.turbo": "unknown",
        "route.low_spot": "unknown",
    }
    assert not {"features.turbo", "route.low_spot"} & set(fields(bench.answer({}, changes=changes)))


def test_what_settles_most_hoses_comes_first(bench: Any) -> None:
    hoses = ({"cover": "EPDM"}, {"temperature_cold_degc": -20}, {"temperature_cold_degc": -21})
    changes = {"drips": "unknown", "duty.coldest_start": "unknown"}
    answer = bench.answer(*hoses, changes=changes)
    assert fields(answer)[:2] == ["duty.coldest_start", "drips"]
    assert set(answer.ask_next[0].decides) >= {"H2-1", "H3-1"}


def test_boost_is_asked_before_anything_is_passed(bench: Any) -> None:
    changes = {
        "service": "crankcase-suction",
        "features.turbo": "yes",
        "features.sees_boost": "unknown",
        "duty.pressure_max": "unknown",
        "duty.pressure_spike": "unknown",
        "duty.pressure_min": -50,
    }
    assert {"features.sees_boost", "duty.pressure_max"} & set(
        fields(bench.answer({}, changes=changes))
    )
