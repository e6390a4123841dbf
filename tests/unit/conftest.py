"""A bench for rules: invented hoses in tiny catalogue folders, and a mild job that asks little.

The made hose can more than the mild job asks and states every figure; each test changes only
what its rule speaks of.
"""

from __future__ import annotations

import copy
import csv
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.answer import Answer
from hoseselect.answer.looks import LOOKS
from hoseselect.answer.report import finding
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.domain.finding import Finding
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.judging.assume import assume
from hoseselect.judging.columns import HoseColumns, JobColumns
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import RuleResult, run_rule
from hoseselect.judging.job_columns import job_columns
from hoseselect.rules.manual import all_rules

MADE_TYPE = {
    "description": "invented hose of a test",
    "liner": "PTFE",
    "reinforcement": "textile",
    "cover": "FKM",
    "marking": "",
    "print_line": "",
    "temperature_continuous_degc": 200,
    "temperature_short_time_degc": 220,
    "temperature_cold_degc": -50,
    "hardness_shore_a": 70,
    "fluids_claimed": "washer-fluid",
    "made_for_clamps": "yes",
    "submersible": "no",
    "family": "washer;coolant;crankcase;oil-cooler;engine-oil;turbo-oil",
    "not_for": "",
    "only_for": "",
    "remark": "invented",
}
MADE_SIZE = {
    "bore_mm": 10,
    "bore_min_mm": 9.8,
    "bore_max_mm": 10.2,
    "outside_diameter_mm": 18,
    "least_bend_radius_mm": 60,
    "working_pressure_clamped_kpa": 2000,
    "working_pressure_crimped_kpa": 4000,
    "suction_limit_cold_kpa": -90,
    "suction_limit_hot_kpa": -80,
    "roll_length_m": 20,
    "price_per_m": 5,
}
MILD_JOB: dict[str, Any] = {
    "service": "washer",
    "fluids": [],
    "drips": [],
    "duty": {
        "fluid_steady": 40,
        "fluid_peak": 50,
        "air_steady": 40,
        "air_peak": 50,
        "coldest_start": -5,
        "pressure_min": 0,
        "pressure_max": 100,
        "pressure_spike": 100,
    },
    "nipples": {
        "outside_diameter": 10,
        "bead": "yes",
        "bead_diameter": 11,
        "measured_on": "plain",
        "usable_length": 30,
        "engagement": 25,
    },
    "route": {
        "run": [100, {"bend": 60, "radius": 200}, 100],
        "movement": 0,
        "supports": 300,
        "low_spot": "no",
        "fall": "yes",
    },
    "features": {"insert": "none", "turbo": "no", "sees_boost": "no", "submerged": "no"},
}
LEFT_OUT = "left out"


def change(values: dict[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """Return a copy of a job's mapping with some dotted paths replaced or left out."""
    changed = copy.deepcopy(values)
    for path, value in changes.items():
        *above, last = path.split(".")
        place = changed
        for name in above:
            place = place.setdefault(name, {})
        if isinstance(value, str) and value == LEFT_OUT:
            place.pop(last, None)
        else:
            place[last] = value
    return changed


UNIT_OF = {"pressure": "kPa", "fluid": "degC", "air": "degC", "coldest": "degC"}


def with_units(values: dict[str, Any]) -> dict[str, Any]:
    """Return a job whose duty is typed with its units: what is unusual is then believed."""
    duty = {
        name: f"{value!r} {UNIT_OF[name.partition('_')[0]]}"
        if isinstance(value, int | float) and name.partition("_")[0] in UNIT_OF
        else value
        for name, value in values.get("duty", {}).items()
    }
    return {**values, "duty": duty}


def write_csv(path: Path, rows: list[dict[str, Any]]) -> None:
    """Write rows of equal headings."""
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


@dataclass(frozen=True)
class Bench:
    """Made hoses, mild jobs, one rule or all of them."""

    folder: Path
    kept: dict[str, tuple[Catalogue, HoseColumns]] = field(default_factory=dict)

    def shop(
        self,
        *hoses: Mapping[str, Any],
        clamps: list[dict[str, Any]] | None = None,
        fittings: list[dict[str, Any]] | None = None,
        rolls: list[dict[str, Any]] | None = None,
    ) -> tuple[Catalogue, HoseColumns]:
        """Return a catalogue of hoses H1-1, H2-1 ..., each with the cells in which it differs."""
        key = json.dumps([hoses, clamps, fittings, rolls], sort_keys=True, default=str)
        if key not in self.kept:
            place = self.folder / f"shop{len(list(self.folder.iterdir()))}"
            place.mkdir()
            types, sizes = [], []
            for number, cells in enumerate(hoses or ({},), start=1):
                strange = set(cells) - set(MADE_TYPE) - set(MADE_SIZE)
                assert not strange, f"no such column: {strange}"
                name = {"hose_type": f"H{number}"}
                types.append({**name, **{k: cells.get(k, v) for k, v in MADE_TYPE.items()}})
                own = {k: cells.get(k, v) for k, v in MADE_SIZE.items()}
                sizes.append({"hose_size": f"H{number}-1", **name, **own})
            write_csv(place / "hose_types.csv", types)
            write_csv(place / "hose_sizes.csv", sizes)
            for file, rows in (("clamps", clamps), ("fittings", fittings), ("rolls", rolls)):
                if rows:
                    write_csv(place / f"{file}.csv", rows)
            catalogue = read_catalogue(place)
            self.kept[key] = (catalogue, hose_columns(catalogue))
        return self.kept[key]

    def values(self, changes: Mapping[str, Any] | None = None) -> dict[str, Any]:
        """Return the mild job as a mapping, with changes by dotted path."""
        return change(MILD_JOB, changes or {})

    def job(self, changes: Mapping[str, Any] | None = None) -> Job:
        """Return the mild job with changes by dotted path."""
        return read_job(with_units(self.values(changes)))

    def columns(self, changes: Mapping[str, Any] | None = None) -> JobColumns:
        """Return the job as columns, as the use case of picking makes them."""
        job = self.job(changes)
        return job_columns([job], job_lengths([job]))

    def result(
        self,
        code: str,
        hose: Mapping[str, Any] | None = None,
        changes: Mapping[str, Any] | None = None,
        **shop: Any,
    ) -> RuleResult:
        """Return the result of one rule on one job and one made hose."""
        rule = next(rule for rule in all_rules() if rule.code == code)
        _, columns = self.shop(hose or {}, **shop)
        return run_rule(rule, DistinctJobs(assume(self.columns(changes))), columns)

    def finding(
        self,
        code: str,
        hose: Mapping[str, Any] | None = None,
        changes: Mapping[str, Any] | None = None,
        **shop: Any,
    ) -> Finding:
        """Return what one rule says of one made hose for one job."""
        _, columns = self.shop(hose or {}, **shop)
        return finding(self.result(code, hose, changes, **shop), columns, 0, 0)

    def word(self, code: str, *arguments: Any, **shop: Any) -> str:
        """Return the verdict of one rule in one word."""
        return self.finding(code, *arguments, **shop).verdict.word

    def answer(
        self,
        *hoses: Mapping[str, Any],
        changes: Mapping[str, Any] | None = None,
        prefer: Any = "margin",
        **shop: Any,
    ) -> Answer:
        """Return the whole answer on made hoses."""
        catalogue, _ = self.shop(*hoses, **shop)
        return pick_hose(self.job(changes), catalogue, prefer=prefer)

    def limited(
        self,
        code: str,
        found: Finding,
        verdict: str,
        demand: float,
        limit: float,
        margin: float | None,
    ) -> None:
        """Assert the verdict and the figures of a finding, and that it says whence and what to do.

        Parameters
        ----------
        margin : relative; None where the rule has none
        """
        assert found.code == code
        assert found.verdict.word == verdict, found.reason
        assert found.demand == pytest.approx(demand)
        assert found.limit == pytest.approx(limit)
        assert found.unit == next(rule for rule in all_rules() if rule.code == code).row["unit"]
        if margin is None:
            assert np.isnan(found.margin)
        else:
            assert found.margin == pytest.approx(margin)
        self.worded(found)

    def worded(self, found: Finding) -> None:
        """Assert sentences without holes: reason and source always, remedy unless accepted.

        Where somebody can see to it, the check says what to do, and where, in place of a remedy.
        """
        assert found.reason
        assert found.source
        assert bool(found.remedy or found.check) == (found.verdict.word != "accept")
        assert not (found.remedy and found.check)
        assert found.check in found.reason
        assert bool(found.check) == (found.look in LOOKS)
        for text in (found.reason, found.remedy, found.check):
            for odd in ("{", "}", "nan", "inf ", "None", "-0 "):
                assert odd not in text, text


@pytest.fixture(scope="session")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    """Return the bench; its catalogues are kept through the run."""
    return Bench(tmp_path_factory.mktemp("bench"))


@pytest.fixture(scope="session")
def shelf() -> Catalogue:
    """Return the shelf of the scenarios; invented."""
    return read_catalogue(Path(__file__).parents[1] / "scenarios" / "shelf")


@pytest.fixture
def change_limit(monkeypatch: pytest.MonkeyPatch) -> Callable[[str, float], None]:
    """Return a way to put another value in the table of limits, for one test."""
    from hoseselect.knowledge.load import table

    def put(name: str, value: float) -> None:
        monkeypatch.setitem(table("limits").row(limit=name).cells, "value", str(value))

    return put
