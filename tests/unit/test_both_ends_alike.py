"""Nipple B counts as much as nipple A: a line told from its other end gets the same verdicts."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoseselect.judging.assume import assume
from hoseselect.judging.columns import NO, UNKNOWN, YES, JobColumns
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import run_rule
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

JOBS = 600
ENDS = ("nipple", "has_bead", "bead", "measured_on", "usable")
SERVICES = (
    "washer",
    "coolant-heater",
    "engine-oil-cooler",
    "crankcase-suction",
    "injector-leak-off",
)
HOSES: tuple[dict[str, Any], ...] = (
    {},
    {"reinforcement": "none"},
    {"reinforcement": "wire"},
    {"cover": "VMQ", "bore_mm": 10.5, "bore_min_mm": 10.3, "bore_max_mm": ""},
)
CLAMPS = [
    {"clamp": f"C{band}", "family": "worm", "range_min_mm": low, "range_max_mm": high,
     "band_width_mm": band, "price": ""}
    for low, high, band in ((17, 18.4, 9), (18.4, 19, 12))
]  # fmt: skip


def unequal(bench: Any) -> JobColumns:
    """Return jobs whose ends differ, or of which one is not known."""
    random = np.random.default_rng(20)
    one = bench.columns({"features.turbo": "yes", "features.sees_boost": "no"})
    made = one.take(np.zeros(JOBS, dtype=int))

    def figures(*values: float) -> Any:
        return random.choice([*values, np.nan], (JOBS, 1))

    def answers(*values: int) -> Any:
        return random.choice([*values, UNKNOWN], (JOBS, 1))

    places = [service_columns().index[name] for name in SERVICES]
    columns = {"service": random.choice(places, (JOBS, 1))}
    for end in "ab":
        nipple = figures(9.5, 9.8, 10.0, 10.2, 10.4, 10.8)
        has_bead = answers(YES, YES, NO)
        bead = nipple + random.choice([0.2, 1.0, 2.0, 3.0, np.nan], (JOBS, 1))
        columns |= {
            f"nipple_{end}": nipple,
            f"has_bead_{end}": has_bead,
            f"bead_{end}": np.where(has_bead == YES, bead, np.nan),
            f"measured_on_{end}": answers(YES, YES, NO),
            f"usable_{end}": figures(8, 11, 14, 18, 30),
        }
    return made.change(**columns)


def turned(jobs: JobColumns) -> JobColumns:
    """Return the same lines told from their other ends."""
    return jobs.change(
        **{f"{name}_{one}": getattr(jobs, f"{name}_{other}") for name in ENDS for one, other in
           (("a", "b"), ("b", "a"))}
    )  # fmt: skip


@pytest.mark.parametrize(
    "code", [row["code"] for row in table("rules") if row["group"] in {"fit", "stock", "bend"}]
)
def test_a_line_told_from_its_other_end_gets_the_same_verdicts(bench: Any, code: str) -> None:
    rule = next(rule for rule in all_rules() if rule.code == code)
    _, hoses = bench.shop(*HOSES, clamps=CLAMPS)
    jobs = unequal(bench)
    told = []
    for one in (jobs, turned(jobs)):
        found = run_rule(rule, DistinctJobs(assume(one)), hoses)
        told.append(found.codes[found.kind])
    np.testing.assert_array_equal(*told)


def test_the_ends_of_these_lines_matter(bench: Any) -> None:
    """The verdicts differ from job to job in every rule of the fit: the test above can fail."""
    _, hoses = bench.shop(*HOSES, clamps=CLAMPS)
    distinct = DistinctJobs(assume(unequal(bench)))
    for rule in all_rules():
        if rule.code in {"fit-stretch", "fit-loose", "fit-bead-stretch", "fit-bead", "fit-measured",
                         "fit-engagement", "fit-largest-bore", "stock-clamp"}:  # fmt: skip
            found = run_rule(rule, distinct, hoses)
            assert len(np.unique(found.codes[found.kind])) > 1, rule.code
