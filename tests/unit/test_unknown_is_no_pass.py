"""What is not known is never a pass: every rule, every column that it reads, job and hose.

A rule may accept where a figure is not known only if it accepts whatever that figure is. A rule is
asked here by itself, with nothing assumed: what an assumption makes up for is not its merit.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from bench_parts import view

from hoseselect.domain.verdict import Verdict
from hoseselect.intake.read_job import read_job
from hoseselect.judging.columns import NO, UNKNOWN, YES, Array, HoseColumns, JobColumns
from hoseselect.judging.comparison import verdicts
from hoseselect.judging.job_columns import job_columns
from hoseselect.judging.registry import Rule
from hoseselect.judging.services import service_columns
from hoseselect.judging.view import ANSWERS
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

FIGURES = np.array([-200.0, -60.0, -1.0, 0.0, 1.0, 9.0, 10.0, 11.0, 60.0, 160.0, 1e4])
"""Tried in every column of figures, whatever its unit."""

NOT_JUDGED = {
    ("route-length", "piece"): "no piece is cut yet",
    ("route-excess", "piece"): "no piece is cut yet",
    ("marking-print", "piece"): "no piece is cut yet",
    ("stock-roll", "piece"): "no piece is cut yet",
    ("stock-roll", "cut_length"): "no length is cut before it is known",
    ("stock-age", "cut_length"): "no length is cut before it is known",
    ("flow-loss", "original_bore"): "a comparison that is asked for",
    ("flow-pressure", "flow"): "a comparison that is asked for",
    ("bend-lead", "lead"): "only straights and bends have a lead",
    ("bend-window", "window_needed"): "only a free route has a window",
    ("bend-window", "narrow_needed"): "only a short measured route has a narrow window",
    ("bend-window", "narrow_window"): "a free route has a window of its own",
    ("bend-second-shape", "other_radius"): "only a free route has other shapes",
    ("bend-weight", "weight_number"): "only a free route is weighed",
    ("bend-margin", "margin_wanted"): "only a free route has a margin",
    ("bend-measuring", "error_told"): "only a free route is drawn with errors",
    ("bend-set", "error_told"): "only a free route is drawn with errors",
    ("route-measuring", "error_told"): "only a free route is drawn with errors",
    ("heat-source", "heat_source_distance"): "asked for where the line is hot",
    ("heat-source", "heat_source_shielded"): "a word about a shield is what asks for the distance",
    ("heat-source", "fluid_peak"): "a line that runs hot by its service is asked for in any case",
    ("pressure-working", "pressure_max"): "a stated spike is the highest pressure there is",
    ("pressure-working", "pressure_spike"): "a spike is assumed where one is usual",
    ("marking-required", "pressure_max"): "the pressure of the line as it usually is",
    ("pressure-reinforcement", "sees_boost"): "the rule of boost passes nothing before it is told",
    ("pressure-check-valve", "sees_boost"): "the rule of boost passes nothing before it is told",
    ("fit-bead", "sees_boost"): "the rule of boost passes nothing before it is told",
    ("pressure-reinforcement", "pressure_max"): "boost by a stated pressure is told",
    ("pressure-reinforcement", "pressure_spike"): "a spike is assumed where one is usual",
    ("fit-bead", "bead_a"): "a bead of which the height is not known",
    ("fit-bead", "bead_b"): "a bead of which the height is not known",
    ("fit-bead", "nipple_a"): "a bead of which the height is not known",
    ("fit-bead", "nipple_b"): "a bead of which the height is not known",
}
"""Columns that hold a figure only where a rule has something to judge, and why."""

TOLD = {"boost_stated", "threaded", "keep_outs", "heat_aged", "sucked_flat", "attacked"}
"""Answers that stand in the job itself: nobody needs to know more."""

BASES: tuple[dict[str, Any], ...] = (
    {},
    {"features.turbo": "yes"},
    {"features.turbo": "yes", "features.sees_boost": "yes", "duty.pressure_max": 150,
     "duty.pressure_spike": 160},
    {"duty.pressure_min": -60, "duty.pressure_max": -5, "duty.pressure_spike": -5},
    {"duty.fluid_steady": 15, "duty.fluid_peak": 15, "duty.air_steady": 15, "duty.air_peak": 15,
     "duty.pressure_min": -85},
    {"route.heat_source": {"distance": 400}, "duty.fluid_peak": 60},
)  # fmt: skip
SOLVED = {
    "window_width": 12.0, "window_needed": 10.0, "other_radius": 80.0, "clearance_left": 5.0,
    "narrow_window": 3.0, "narrow_needed": 6.0,
    "weight_number": 1.0, "lead": 90.0, "original_bore": 10.0, "flow": 20.0, "piece": 500.0,
    "error_stood": 5.0, "error_clear": 5.0, "error_told": 5.0, "margin_wanted": 0.05,
    "set_any_side": 1.0, "bare_length": 450.0, "cut_length": 480.0, "longest_length": 520.0,
}  # fmt: skip
"""Of a line whose free route is solved, and of which a piece is cut already."""

HOSES: tuple[dict[str, Any], ...] = (
    {},
    {"reinforcement": "none", "least_bend_radius_mm": ""},
    {"reinforcement": "wire", "suction_limit_hot_kpa": "", "suction_limit_cold_kpa": ""},
    {"reinforcement": "", "submersible": "", "made_for_clamps": ""},
    {"marking": "j20-r4", "print_line": "SAE 20R4", "submersible": "yes", "family": ""},
)
CLAMPS = [
    {"clamp": "C1", "family": "constant-tension-spring", "range_min_mm": 16, "range_max_mm": 20,
     "band_width_mm": 9}
]  # fmt: skip


def codes(rule: Rule, jobs: JobColumns, hoses: HoseColumns) -> Array:
    """Return the verdicts of a rule by itself, shape (n, m)."""
    seen = view(jobs)
    found = rule.function(seen if rule.of is None else rule.of(seen), hoses)
    across = len(hoses.types.name) if rule.axis == "type" else len(hoses.sizes)
    return np.broadcast_to(verdicts(found), (len(jobs), across))


def services() -> list[str]:
    stopped = {"fuel-injection-feed"}
    return [name for name in service_columns().names if name not in stopped]


@pytest.fixture(scope="module")
def jobs(bench: Any) -> JobColumns:
    """Return every service with every base, nothing unknown."""
    made = [bench.columns(changes) for changes in BASES]
    solved = {name: np.full((1, 1), figure) for name, figure in SOLVED.items()}
    made.append(made[0].change(keep_outs=np.full((1, 1), YES), **solved))
    names = [service_columns().index[name] for name in services()]
    many = [
        one.take(np.zeros(len(names), dtype=int)).change(service=np.array(names)[:, None])
        for one in made
    ]
    return JobColumns(
        **{
            field.name: np.concatenate([getattr(one, field.name) for one in many])
            for field in fields(JobColumns)
        }
    )


@pytest.fixture(scope="module")
def hoses(bench: Any) -> HoseColumns:
    return bench.shop(*HOSES)[1]


def unknown_and_known(name: str, values: Array) -> tuple[Array, list[Array]]:
    """Return a column of which nothing is known, and the same with all that may be found."""
    if name in ANSWERS:
        return np.full_like(values, UNKNOWN), [np.full_like(values, v) for v in (YES, NO)]
    return np.full_like(values, np.nan), [np.full_like(values, value) for value in FIGURES]


@pytest.mark.parametrize("code", table("rules").column("code"))
def test_a_rule_passes_nothing_of_which_it_does_not_know_enough(
    code: str, jobs: JobColumns, hoses: HoseColumns
) -> None:
    rule = next(rule for rule in all_rules() if rule.code == code)
    seen = view(jobs)
    rule.function(seen if rule.of is None else rule.of(seen), hoses)
    failed = []
    for name in sorted(seen.read - {"service", "fluids", "drips"} - TOLD):
        if (code, name) in NOT_JUDGED:
            continue
        unknown, known = unknown_and_known(name, getattr(jobs, name))
        passed = codes(rule, jobs.change(**{name: unknown}), hoses) == Verdict.ACCEPT
        sure = np.all(
            [codes(rule, jobs.change(**{name: one}), hoses) == Verdict.ACCEPT for one in known],
            axis=0,
        )
        if (passed & ~sure).any():
            rows = np.flatnonzero((passed & ~sure).any(axis=1))
            failed.append((name, [services()[row % len(services())] for row in rows[:3]]))
    assert not failed


def test_an_answer_that_is_always_told_is_never_unknown(bench: Any) -> None:
    jobs = job_columns([read_job({"service": "crankcase-suction"})])
    for name in TOLD:
        assert getattr(jobs, name)[0, 0] in (YES, NO), name


def test_a_low_spot_or_fall_that_is_not_known_is_unknown(
    jobs: JobColumns, hoses: HoseColumns
) -> None:
    """By itself the rule says so; what is assumed of it makes it a condition."""
    drain = np.full_like(jobs.service, service_columns().index["turbo-oil-drain"])
    for code, name in (("route-low-spot", "low_spot"), ("route-fall", "fall")):
        rule = next(rule for rule in all_rules() if rule.code == code)
        unknown = jobs.change(**{name: np.full_like(drain, UNKNOWN), "service": drain})
        assert (codes(rule, unknown, hoses) == Verdict.UNKNOWN).all()


NO_STATEMENT = {
    ("pressure-suction", "collapse_most"): "a wall of which too little is known to doubt a limit",
    ("bend-radius", "least_bend_radius"): "a range is worked out in its place",
    ("bend-second-shape", "least_bend_radius"): "the sure end of a range is taken in its place",
    ("bend-margin", "least_bend_radius"): "the sure end of a range is taken in its place",
    ("stock-roll", "roll_length"): "sold by the piece",
    ("heat-life", "activation_energy"): "tells a gain of life, refuses nothing",
    ("marking-pressure", "marking_pressure"): "no marking states a pressure",
}
"""Statements of a catalogue in whose place a rule has another, or has nothing to judge, and why."""


@pytest.mark.parametrize("code", table("rules").column("code"))
def test_a_rule_passes_no_hose_that_states_too_little(
    code: str, jobs: JobColumns, hoses: HoseColumns
) -> None:
    rule = next(rule for rule in all_rules() if rule.code == code)
    failed = []
    for part in ("types", "sizes"):
        own = getattr(hoses, part)
        for field in fields(own):
            values = getattr(own, field.name)
            if not isinstance(values, np.ndarray) or values.dtype.kind != "f" or values.ndim != 1:
                continue
            if (code, field.name) in NO_STATEMENT:
                continue

            def found(value: float, part: str = part, name: str = field.name) -> Array:
                old = getattr(hoses, part)
                new = replace(old, **{name: np.full_like(getattr(old, name), value)})
                return codes(rule, jobs, replace(hoses, **{part: new})) == Verdict.ACCEPT

            with np.errstate(all="ignore"):
                passed = found(np.nan)
                sure = np.all([found(value) for value in FIGURES], axis=0)
            if (passed & ~sure).any():
                failed.append(field.name)
    assert not failed
