"""Made hoses and mild jobs, so that one property of a publication decides through the real engine.

A made hose can more than any job asks and states every figure; a mild job asks almost nothing.
Each test changes only what its publication speaks of. The hoses are invented.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.finding import Finding
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.load import table
from hoseselect.quantities.read import read_quantity

STRONG_TYPE = {
    "description": "invented hose of a check",
    "liner": "PTFE",
    "reinforcement": "textile",  # a wire helix would not stretch over a bead
    "cover": "FKM",
    "marking": "",
    "print_line": "",
    "temperature_continuous_degc": 260,
    "temperature_short_time_degc": 260,
    "temperature_cold_degc": -60,
    "hardness_shore_a": 70,
    "fluids_claimed": "",
    "made_for_clamps": "yes",
    "submersible": "",
    "family": ";".join(table("families").column("family")),  # none refuses where no marking tells
    "not_for": "",
    "only_for": "",
    "remark": "invented",
}
STRONG_SIZE = {
    "bore_mm": 9.5,
    "bore_min_mm": 9.3,
    "bore_max_mm": 9.7,
    "outside_diameter_mm": 17.5,
    "least_bend_radius_mm": 60,
    "working_pressure_clamped_kpa": 2500,
    "working_pressure_crimped_kpa": 5000,
    "suction_limit_cold_kpa": -101,
    "suction_limit_hot_kpa": -101,
    "roll_length_m": 20,
    "price_per_m": 1,
}
BEAD_OVER = 1.0  # bead over the plain part, on diameter [mm]


@dataclass(frozen=True)
class Judged:
    """What the tool says of one hose.

    Parameters
    ----------
    answer : the whole answer
    hose : the part that speaks of the hose
    """

    answer: Answer
    hose: HoseAnswer

    @property
    def word(self) -> str:
        """The verdict of the hose."""
        return self.hose.verdict.word

    @property
    def refused_by(self) -> set[str]:
        """Codes of the rules that refuse it."""
        return {f.code for f in self.hose.findings if f.verdict.word == "reject"}

    @property
    def limited_by(self) -> set[str]:
        """Codes of the rules that do not accept it."""
        return {f.code for f in self.hose.findings if f.verdict.word != "accept"}

    def finding(self, code: str) -> Finding:
        """What one rule says of it."""
        return next(f for f in self.hose.findings if f.code == code)


INJECTION_PRESSURE = 300
"""What an injection feed is mild at: below what such a feed has, the job is stopped [kPa]."""


def mild_job(service: str, **inputs: Any) -> dict[str, Any]:
    """A job as written in a file, all inputs known; duties and other inputs by their own names."""
    duty = {
        "fluid_steady": 20,
        "fluid_peak": 20,
        "air_steady": 20,
        "air_peak": 20,
        "coldest_start": 0,
        "pressure_min": 0,
        "pressure_max": 0,
        "pressure_spike": 0,
    }
    if service == "fuel-injection-feed":
        duty["pressure_max"] = INJECTION_PRESSURE
    duty.update({name: inputs.pop(name) for name in list(inputs) if name in duty})
    for low, high in (
        ("fluid_steady", "fluid_peak"),
        ("air_steady", "air_peak"),
        ("pressure_max", "pressure_spike"),
    ):
        if isinstance(duty[low], int | float) and duty[high] in {0, 20}:
            duty[high] = max(duty[low], duty[high])
    units = {"pressure": "kPa", "fluid": "degC", "air": "degC", "coldest": "degC"}
    duty = {
        name: f"{value!r} {units[name.partition('_')[0]]}"
        if isinstance(value, int | float)
        else value
        for name, value in duty.items()
    }
    nipple = {
        "outside_diameter": inputs.pop("nipple", 9.5),
        "bead": inputs.pop("bead", "yes"),
        "measured_on": "plain",
        "usable_length": 30,
        "engagement": 25,
    }
    if nipple["bead"] == "yes":
        plain = nipple["outside_diameter"]
        nipple["bead_diameter"] = BEAD_OVER + read_quantity(plain, "length", "")
    return {
        "service": service,
        "fluids": inputs.pop("fluids", []),
        "drips": inputs.pop("drips", []),
        "duty": duty,
        "nipples": nipple,
        "route": {
            "run": [100, {"bend": 60, "radius": 400}, 100],
            "movement": 5,
            "supports": 300,
            "low_spot": "no",
            "fall": "yes",
            "heat_source": {"distance": "200 mm"},
        },
        "features": {"insert": "none", "turbo": "no", "submerged": "no", **inputs},
    }


def write_csv(path: Path, rows: list[dict[str, Any]]) -> None:
    """Write rows of equal headings."""
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


@pytest.fixture
def shop_of(tmp_path: Path) -> Callable[[Mapping[str, Mapping[str, Any]]], Catalogue]:
    """Return a maker of catalogue folders: name of each hose, and the cells in which it differs."""
    folders = count()

    def make(hoses: Mapping[str, Mapping[str, Any]]) -> Catalogue:
        folder = tmp_path / f"shop{next(folders)}"
        folder.mkdir()
        types, sizes = [], []
        for name, cells in hoses.items():
            strange = set(cells) - set(STRONG_TYPE) - set(STRONG_SIZE)
            assert not strange, f"no such column: {strange}"
            own_type = {k: cells.get(k, v) for k, v in STRONG_TYPE.items()}
            own_size = {k: cells.get(k, v) for k, v in STRONG_SIZE.items()}
            types.append({"hose_type": name, **own_type})
            sizes.append({"hose_size": f"{name}-1", "hose_type": name, **own_size})
        write_csv(folder / "hose_types.csv", types)
        write_csv(folder / "hose_sizes.csv", sizes)
        return read_catalogue(folder)

    return make


@pytest.fixture
def judge(shop_of: Callable[..., Catalogue]) -> Callable[..., Judged]:
    """Return the question: cells of one made hose, a service, inputs that differ from the mild."""

    def ask(hose: Mapping[str, Any], service: str, **inputs: Any) -> Judged:
        answer = pick_hose(read_job(mild_job(service, **inputs)), shop_of({"M": hose}))
        assert not answer.stops, [stop.code for stop in answer.stops]
        return Judged(answer, answer.hoses[0])

    return ask


@pytest.fixture
def stops_of(catalogue: Catalogue) -> Callable[..., set[str]]:
    """Return the question whether a job is stopped; no hose and no cut may then be given."""

    def ask(service: str, **inputs: Any) -> set[str]:
        answer = pick_hose(read_job(mild_job(service, **inputs)), catalogue)
        if answer.stops:
            assert answer.hoses == ()
        return {stop.code for stop in answer.stops}

    return ask


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    """Return the catalogue that comes with the tool; invented."""
    return read_catalogue(Path(__file__).parents[2] / "catalog")


@pytest.fixture
def judge_stock(catalogue: Catalogue) -> Callable[..., Judged]:
    """Return the question for one hose size of the catalogue that comes with the tool."""

    def ask(hose: str, service: str, **inputs: Any) -> Judged:
        bore = float(catalogue.sizes.bore[catalogue.sizes.index_of(hose)])
        job = read_job(mild_job(service, nipple=inputs.pop("nipple", bore), **inputs))
        answer = pick_hose(job, catalogue, shelf=(hose,))
        assert not answer.stops, [stop.code for stop in answer.stops]
        return Judged(answer, answer.hoses[0])

    return ask
