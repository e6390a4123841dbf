"""Jobs on which nothing but the hose is in question, and the bench for rules."""

from __future__ import annotations

import sys
from collections.abc import Callable
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any

import pytest

from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job

NAME = "bench_for_rules"
_spec = spec_from_file_location(NAME, Path(__file__).parents[1] / "unit" / "conftest.py")
assert _spec is not None
assert _spec.loader is not None
_module = module_from_spec(_spec)
sys.modules[NAME] = _module
_spec.loader.exec_module(_module)
bench = _module.bench
with_units = _module.with_units

ROUTE = {"measured": 300, "tightest_radius": 250, "movement": 0, "low_spot": "no", "fall": "yes",
         "heat_source": {"distance": 300}}  # fmt: skip
NO_INSERT = {"insert": "none", "turbo": "no", "sees_boost": "no", "submerged": "no"}


def made_job(values: dict[str, Any], nipple: float) -> Job:
    """Return a job with everything stated; what is not given is mild."""
    duty = {"fluid_steady": 60, "fluid_peak": 70, "air_steady": 60, "air_peak": 70,
            "coldest_start": -10, "pressure_min": 0, "pressure_max": 0,
            "pressure_spike": values.get("duty", {}).get("pressure_max", 0)}  # fmt: skip
    whole = {
        "drips": [],
        "nipples": {"outside_diameter": nipple, "bead": "yes", "bead_diameter": nipple + 1,
                    "measured_on": "plain", "usable_length": 40, "fixed_to": "engine"},
        "route": ROUTE,
        "features": NO_INSERT,
        **values,
        "duty": {**duty, **values.get("duty", {})},
    }  # fmt: skip
    return read_job(with_units(whole))


@pytest.fixture
def job() -> Callable[[dict[str, Any], float], Job]:
    """Return what makes a job of the given values and nipple diameter [mm]."""
    return made_job
