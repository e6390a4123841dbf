"""Every key of a job file changes something in the answer: what nobody reads is not asked."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest

from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.intake.job_form import FeaturesForm, JobForm
from hoseselect.intake.job_keys import job_keys
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.cli.job_input import put
from hoseselect.interfaces.wording import job_title


def near(base: dict[str, Any], **beside: Any) -> dict[str, Any]:
    """Return a job with more keys; two underscores part table and key."""
    made = copy.deepcopy(base)
    for key, value in beside.items():
        put(made, key.replace("__", "."), value)
    return made


BASE: dict[str, Any] = {
    "service": "PCV hose",
    "duty": {"pressure_min": "-40 kPa", "coldest_start": "-20 degC"},
    "nipples": {"outside_diameter": "9.5 mm"},
    "route": {"measured": "300 mm"},
}
SUITED: dict[str, Any] = {
    "service": "PCV hose",
    "drips": [],
    "duty": {
        "fluid_steady": "110 degC",
        "fluid_peak": "110 degC",
        "air_steady": "115 degC",
        "air_peak": "115 degC",
        "coldest_start": "-25 degC",
        "pressure_min": "-65 kPa",
        "pressure_max": "0 kPa",
    },
    "nipples": {
        "outside_diameter": "13.0 mm",
        "bead_diameter": "14 mm",
        "engagement": "25 mm",
        "fixed_to": "engine",
    },
    "route": {"run": ["60 mm", {"bend": "90 deg", "radius": "110 mm"}, "180 mm"], "low_spot": "no"},
    "features": {"turbo": "no", "insert": "none"},
}
NIPPLE_B = {"offset": "forward 220 mm; up 60 mm", "nipple_b_points": "back and 20 deg up"}
BENT: dict[str, Any] = {
    **SUITED,
    "route": {"low_spot": "no", "free": {"nipple_a_points": "forward and 40 deg up", **NIPPLE_B}},
}
"""A free route that suits a hose: nothing has to be looked for that would help."""
APART = near(BENT, nipples__fixed_to="unknown")
"""The same between two parts that may move."""
FLAT: dict[str, Any] = {
    **SUITED,
    "route": {"free": {"flat": {"distance": "200 mm", "angle_a": "20 deg", "angle_b": "20 deg"}}},
}
WIRE = ["80 mm", {"bend": "60 deg", "radius": "110 mm"}, "80 mm"]
WIRED: dict[str, Any] = {
    **SUITED,
    "route": {
        "free": {
            "wire": WIRE,
            "nipple_a_points": "forward",
            "wire_bends": "up",
            "keep_out": [{"name": "pump", "ball": "forward 90 mm; up 60 mm", "diameter": "20 mm"}],
        }
    },
}
ROD = {"name": "pipe", "rod": ["down 40 mm", "forward 90 mm; down 40 mm"], "diameter": "20 mm"}
BALL = {"name": "pump", "ball": "forward 80 mm; down 30 mm", "diameter": "20 mm"}
BOX = {
    "name": "tray",
    "box": "forward 80 mm; down 40 mm",
    "size": "forward 30 mm; left 9 mm; up 20 mm",
}
HELD = {"at": "forward 187 mm; up 105 mm", "along": "forward and 17 deg up"}
LONG_BEND: dict[str, Any] = near(
    BENT,
    route__free__offset="forward 400 mm; up 120 mm",
    route__free__nipple_b_points="back and 7 deg up",
    route__free__tape_error="2 mm",
    route__free__angle_error="1 deg",
)
"""Long enough for a clip in the middle."""


def with_body(**body: Any) -> dict[str, Any]:
    """Return a free route with something beside it."""
    return near(BENT, route__free__keep_out=[body])


def with_clip(**other: Any) -> dict[str, Any]:
    """Return a free route with a clip."""
    return near(LONG_BEND, route__free__clip=[{**HELD, **other}])


def other_body(body: dict[str, Any], key: str, value: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return two jobs that differ in one key of what is beside a free route."""
    return with_body(**body), with_body(**{**body, key: value})


def other(base: dict[str, Any], key: str, value: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return two jobs that differ in one key."""
    changed = copy.deepcopy(base)
    put(changed, key, value)
    return base, changed


FUEL = {**BASE, "service": "fuel-return"}
DRAIN = {**BASE, "service": "turbo-oil-drain"}
BEADED = near(BASE, nipples__bead="yes")
LONG = near(BASE, duty__pressure_min="-80 kPa", route__measured="900 mm", route__supports="300 mm")
RUN = near({**BASE, "route": {}}, route__supports="300 mm")
CASES: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "duty.flow": other({**BASE, "service": "crankcase-breather"}, "duty.flow", "400 L/min"),
    "service": other(BASE, "service", "heater hose"),
    "duty.pressure_min": other(BASE, "duty.pressure_min", "-80 kPa"),
    "duty.coldest_start": other(BASE, "duty.coldest_start", "-39 degC"),
    "nipples.outside_diameter": other(BASE, "nipples.outside_diameter", "13 mm"),
    "nipples.bead_diameter": other(BASE, "nipples.bead_diameter", "11 mm"),
    "nipples.measured_on": other(BEADED, "nipples.measured_on", "bead"),
    "nipples.material": other(SUITED, "nipples.material", "plastic"),
    "fluids": other(FUEL, "fluids", ["petrol-e85"]),
    "features.submerged": other(FUEL, "features.submerged", "yes"),
    "route.fall": other(DRAIN, "route.fall", "no"),
    "route.supports": other(LONG, "route.supports", "800 mm"),
    "route.run": other(RUN, "route.run", ["60 mm"]),
    "route.measured": other(BASE, "route.measured", "400 mm"),
    "route.heat_source.shielded": other(
        near(BASE, route__heat_source__distance="90 mm"), "route.heat_source.shielded", "yes"
    ),
    "features.end_fitting": other(BASE, "features.end_fitting", "threaded"),
    "features.print_lost": other(BASE, "features.print_lost", "yes"),
    "features.place": other(BASE, "features.place", "boat"),
    "old_hose.reuse": other(BASE, "old_hose.reuse", "yes"),
    "route.free.offset": other(BENT, "route.free.offset", "forward 225 mm; up 60 mm"),
    "route.free.nipple_a_points": other(
        BENT, "route.free.nipple_a_points", "forward and 45 deg up"
    ),
    "route.free.nipple_b_points": other(BENT, "route.free.nipple_b_points", "back and 25 deg up"),
    "route.free.flat.distance": other(FLAT, "route.free.flat.distance", "220 mm"),
    "route.free.flat.angle_a": other(FLAT, "route.free.flat.angle_a", "40 deg"),
    "route.free.flat.angle_b": other(FLAT, "route.free.flat.angle_b", "40 deg"),
    "route.free.wire": other(
        {**SUITED, "route": {"free": {"wire": WIRE}}}, "route.free.wire", [*WIRE, "20 mm"]
    ),
    "route.free.wire_bends": other(WIRED, "route.free.wire_bends", "down"),
    "route.free.movement": other(
        near(APART, route__free__movement="up 2 mm"), "route.free.movement", "up 4 mm"
    ),
    "route.free.rocking": other(
        near(APART, route__free__rocking="rocks sideways, 1 mm at B"),
        "route.free.rocking",
        "rocks sideways, 20 mm at B",
    ),
    "route.free.lead": other(BENT, "route.free.lead", "30 mm"),
    "route.free.tape_error": other(BENT, "route.free.tape_error", "9 mm"),
    "route.free.angle_error": other(BENT, "route.free.angle_error", "12 deg"),
    "route.free.keep_out.ball": other_body(BALL, "ball", "forward 80 mm; down 20 mm"),
    "route.free.keep_out.rod": other_body(ROD, "rod", ["down 50 mm", "forward 90 mm; down 50 mm"]),
    "route.free.keep_out.box": other_body(BOX, "box", "forward 80 mm; down 30 mm"),
    "route.free.keep_out.diameter": other_body(ROD, "diameter", "30 mm"),
    "route.free.keep_out.size": other_body(BOX, "size", "forward 30 mm; left 9 mm; up 40 mm"),
    "route.free.keep_out.clearance": other_body(ROD, "clearance", "3 mm"),
    "route.free.keep_out.growth": other_body(ROD, "growth", "4 mm"),
    "route.free.keep_out.shake": other_body(ROD, "shake", "4 mm"),
    "route.free.keep_out.hot": other_body(ROD, "hot", True),
    "route.free.keep_out.fixed_to": tuple(
        near(
            with_body(**ROD, fixed_to=part),
            nipples__fixed_to="unknown",
            route__free__movement="up 2 mm",
        )
        for part in ("A", "B")
    ),
    "route.free.clip.fixed_to": tuple(
        near(with_clip(fixed_to=part), nipples__fixed_to="unknown", route__free__movement="up 2 mm")
        for part in ("A", "B")
    ),
    "route.free.clip.at": (with_clip(), with_clip(at="forward 187 mm; up 107 mm")),
    "route.free.clip.along": (with_clip(), with_clip(along="forward and 18 deg up")),
}
"""Pairs of jobs that differ in one key, where leaving the key out is no other job."""

DRAWN = "route.free.keep_out.name"
TITLE = "name"
"""The one key that is only shown: the job is called so."""


def pair(key: str) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return two jobs that differ in one key: without it, and with the example of the page."""
    if key in CASES:
        return CASES[key]
    example = tomllib.loads(f"value = {job_keys()[key]['example']}")["value"]
    return other(BASE, key, example)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


def told(values: dict[str, Any], catalogue: Catalogue) -> dict[str, Any]:
    """Return the answer as JSON, without the job that it repeats; each job is asked once."""
    text = repr(values)
    if text not in TOLD:
        shelf = ONE if "free" in values.get("route", {}) else SHELF
        answer = pick_hose(read_job(values), catalogue, shelf=shelf)
        TOLD[text] = answer.as_json()
        del TOLD[text]["job"]
    return TOLD[text]


TOLD: dict[str, dict[str, Any]] = {}
SHELF = ("O02", "K04-13", "C01")
ONE = ("F06-12.7",)
"""What a natural bend is solved for."""


KEYS = [key for key in job_keys() if key not in {TITLE, DRAWN}]


@pytest.mark.parametrize("key", KEYS)
def test_a_key_changes_the_answer(catalogue: Catalogue, key: str) -> None:
    first, second = (told(values, catalogue) for values in pair(key))
    assert first != second


def test_the_name_is_shown() -> None:
    assert "van 7" in job_title(read_job({**BASE, "name": "van 7"}))


def test_the_name_of_a_keep_out_is_drawn(catalogue: Catalogue) -> None:
    job = copy.deepcopy(BENT)
    far = {"ball": "forward 80 mm; down 300 mm", "diameter": "20 mm", "clearance": "5 mm"}
    job["route"]["free"]["keep_out"] = [{"name": "manifold", **far}]
    answer = pick_hose(read_job(job), catalogue, shelf=("K04-13",))
    geometry = answer.geometry("K04-13")
    assert geometry is not None
    assert [obstacle.name for obstacle in geometry.obstacles] == ["manifold"]


def test_a_planted_key_that_nobody_reads_is_seen(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The comparison fails for a key that reaches the form and nothing else."""

    class Planted(FeaturesForm):
        colour: str = ""

        @property
        def domain(self) -> Any:  # type: ignore[override]
            return FeaturesForm(**self.model_dump(exclude={"colour"})).domain

    class PlantedJob(JobForm):
        features: Planted = Planted()

    monkeypatch.setattr("hoseselect.intake.read_job.JobForm", PlantedJob)
    first, second = (told(job, catalogue) for job in other(BASE, "features.colour", "red"))
    assert first == second


def test_every_case_is_a_key() -> None:
    assert set(CASES) <= set(job_keys())
