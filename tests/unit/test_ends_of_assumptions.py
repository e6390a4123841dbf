"""Both ends of what is assumed: which is the adverse one, where it begins, who may see to it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoseselect.judging.assume import Assumed, Filling, assume, duty_range
from hoseselect.judging.columns import NO, UNKNOWN, YES
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import limit

ALL = np.ones((1, 1), dtype=bool)


def ends(bench: Any, name: str, changes: dict[str, Any]) -> tuple[float, float]:
    """Return the adverse and the favourable end of a column of one job."""
    filled = assume(bench.columns(changes))
    return getattr(filled.adverse, name)[0, 0], getattr(filled.favourable, name)[0, 0]


def usual(service: str, name: str) -> tuple[float, float]:
    """Return the adverse and the favourable end of a duty of a service."""
    favourable, adverse = duty_range(name)
    place = service_columns().index[service]
    return float(adverse[place]), float(favourable[place])


@pytest.mark.parametrize(
    ("name", "key", "found"),
    [
        ("movement", "route.movement", (38, 0)),
        ("usable_a", "nipples.usable_length", (8, 35)),
        ("low_spot", "route.low_spot", (YES, NO)),
        ("fall", "route.fall", (NO, YES)),
        ("submerged", "features.submerged", (YES, NO)),
        ("has_bead_b", "nipples.bead", (NO, YES)),
    ],
)
def test_the_adverse_end_is_the_worse_one(
    bench: Any, name: str, key: str, found: tuple[float, float]
) -> None:
    changes = {key: "unknown", "nipples.engagement": "unknown", "nipples.fixed_to": "unknown"}
    if key == "nipples.bead":
        changes["nipples.bead_diameter"] = "left out"
    if key == "features.submerged":  # asked on lines of fuel alone
        changes["service"] = "fuel-return"
    assert ends(bench, name, changes) == found


def test_a_bead_of_which_nothing_is_told_may_be_there(bench: Any) -> None:
    changes = {"nipples.bead": "unknown", "nipples.bead_diameter": "left out"}
    most = 10 + limit("bead-over-nipple-max")
    assert ends(bench, "bead_a", changes) == (most, most)
    wanted = changes | {"service": "coolant-heater"}
    assert ends(bench, "bead_b", wanted) == (most, 10 + limit("bead-over-nipple-min"))


def test_a_stated_spike_is_the_highest_pressure_there_is(bench: Any) -> None:
    adverse, favourable = usual("washer", "pressure_max")
    assert adverse > favourable > 50
    changes: dict[str, Any] = {"duty.pressure_max": "unknown"}
    assert ends(bench, "pressure_max", changes | {"duty.pressure_spike": 900}) == (900, favourable)
    assert ends(bench, "pressure_max", changes | {"duty.pressure_spike": 50}) == (50, 50)


@pytest.mark.parametrize("what", ["fluid", "air"])
def test_a_peak_is_never_assumed_below_what_is_steady(bench: Any, what: str) -> None:
    adverse, favourable = usual("washer", f"{what}_peak")
    for steady in (favourable + 1, adverse + 20):
        changes = {f"duty.{what}_steady": steady, f"duty.{what}_peak": "unknown"}
        found = ends(bench, f"{what}_peak", changes)
        assert found == (max(adverse, steady), max(favourable, steady))


@pytest.mark.parametrize(("over", "open_ended"), [(-0.5, False), (0.0, True), (0.5, True)])
def test_a_line_as_hot_as_its_usual_peak_peaks_nobody_knows_where(
    bench: Any, over: float, open_ended: bool
) -> None:
    steady = usual("washer", "fluid_peak")[0] + over
    changes = {"duty.fluid_steady": steady, "duty.fluid_peak": "unknown"}
    assert assume(bench.columns(changes)).open_ended({"fluid_peak"})[0] == open_ended


def test_the_highest_pressure_is_not_assumed_below_the_lowest(bench: Any) -> None:
    favourable = usual("washer", "pressure_max")[1]
    lowest = favourable + 40
    changes = {"duty.pressure_min": lowest, "duty.pressure_max": "unknown"}
    changes["duty.pressure_spike"] = "unknown"
    assert min(ends(bench, "pressure_max", changes)) == lowest


def test_a_set_of_fluids_may_always_hold_others(bench: Any) -> None:
    filled = assume(bench.columns({"service": "fuel-return", "fluids": ["unknown"]}))
    assert filled.open_ended({"fluids"})[0]
    assert assume(bench.columns({"drips": ["unknown"]})).open_ended({"drips"})[0]


@pytest.mark.parametrize(
    ("columns", "hard"),
    [
        ({"movement"}, False),
        ({"fluid_steady"}, True),
        ({"movement", "fluid_steady"}, True),
        ({"bore"}, True),
        (set(), True),
    ],
)
def test_doubt_is_gentle_where_somebody_can_see_to_all_of_it(
    bench: Any, columns: set[str], hard: bool
) -> None:
    jobs = bench.columns()
    fillings = tuple(Filling(name, name, ALL, ~ALL) for name in ("movement", "fluid_steady"))
    made = Assumed(jobs, jobs, fillings)
    assert made.hard(columns)[0] == hard
    assert made.gentle(columns)[0] == ("movement" in columns)


def test_what_was_assumed_because_of_another_column_is_as_hard_as_that_one(bench: Any) -> None:
    jobs = bench.columns()
    made = Assumed(jobs, jobs, (Filling("nipple_a", "measured_on_a", ALL, ~ALL),))
    assert not made.hard({"nipple_a"})[0]
    assert assume(jobs.change(movement=jobs.movement * np.nan)).gentle({"movement"})[0]
    assert assume(jobs.change(fall=jobs.fall * 0 + UNKNOWN)).gentle({"fall"})[0]
