"""A line by a milder name, with the same facts, gets no better verdict; every exception is told."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from hoseselect import HoseselectError, read_catalogue, read_job
from hoseselect.answer.judged import judged
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import stops

BOOST = {"features": {"turbo": "yes", "sees_boost": "yes"}, "duty": {"pressure_max": "150 kPa"}}
MILDER: dict[str, tuple[str, dict[str, Any]]] = {
    "crankcase-boosted": (
        "crankcase-breather crankcase-suction catch-can oil-separator-drain",
        BOOST,
    ),
    "fuel-injection-feed": (
        "fuel-feed-low-pressure fuel-return fuel-filler-and-vent carburettor-bowl-vent"
        " fuel-vapour-purge drain washer",
        {"duty": {"pressure_max": "350 kPa"}},
    ),
    "fuel-in-tank": ("fuel-feed-low-pressure fuel-return", {"features": {"submerged": "yes"}}),
    "fuel-feed-low-pressure": (
        "fuel-filler-and-vent carburettor-bowl-vent fuel-vapour-purge drain",
        {},
    ),
    "fuel-return": ("fuel-filler-and-vent fuel-vapour-purge", {}),
    "diesel-feed": ("diesel-return injector-leak-off drain", {}),
    "injector-leak-off": ("diesel-return diesel-feed drain", {}),
    "coolant-turbo": (
        "coolant-heater coolant-throttle-body coolant-expansion coolant-bypass radiator drain"
        " washer",
        {},
    ),
    "radiator": ("coolant-expansion coolant-heater drain washer", {}),
    "egr-cooler-coolant": ("coolant-heater coolant-bypass", {}),
    "coolant-to-gas-vaporiser": ("coolant-heater", {}),
    "engine-oil-cooler": ("turbo-oil-drain axle-breather drain oil-separator-drain", {}),
    "turbo-oil-drain": ("crankcase-breather oil-separator-drain drain", {}),
    "atf-cooler": ("steering-return steering-suction axle-breather drain", {}),
    "steering-return": ("steering-suction drain", {}),
    "vacuum-fuel-wetted": ("vacuum-control", {}),
    "vacuum-pump-oil-wet": ("vacuum-control", {}),
    "vacuum-pump-servo": ("vacuum-pump-oil-wet", {}),
    "charge-air-control": ("vacuum-control air-injection", BOOST),
    "fuel-vapour-purge": (
        "vacuum-fuel-wetted vacuum-control battery-vent crankcase-breather axle-breather",
        {},
    ),
    "headlamp-washer": ("washer drain", {}),
    "catch-can": ("drain crankcase-breather axle-breather", {}),
    "crankcase-suction": ("crankcase-breather vacuum-control axle-breather", {}),
    "oil-separator-drain": ("drain axle-breather", {}),
    "exhaust-pressure-sensing": ("vacuum-control battery-vent charge-air-control", {}),
}
"""Milder names by the harsh one, and facts beside its usual fluid and the harshest usual duty."""
BREATHES = "breather and separator carry the same oil as mist: crankcase hose is made for them"
SATURATED = (
    "the one word fuel vapour stands for the saturated vapour of the canister and for what is in"
    " crankcase gas and servo vacuum: only the name of the line tells them apart"
)
NAMED = "what has to be proved, or whose servo it is, is told by the name alone"
EXCEPTIONS = {
    ("turbo-oil-drain", "crankcase-breather"): ("E01 K06", BREATHES),
    ("turbo-oil-drain", "oil-separator-drain"): ("E01 K06", BREATHES),
    ("fuel-vapour-purge", "vacuum-fuel-wetted"): ("V06 B01 B03 K02", SATURATED),
    ("fuel-vapour-purge", "vacuum-control"): ("V06 B01 B03 K02", SATURATED),
    ("fuel-vapour-purge", "crankcase-breather"): ("V06 K02 O01", SATURATED),
    ("vacuum-pump-servo", "vacuum-pump-oil-wet"): ("V06", NAMED),
}
"""Types of hose that gain by the milder name, and why that is right."""
NIPPLES = (8.0, 12.7)


@cache
def hoses() -> HoseColumns:
    return hose_columns(read_catalogue())


def facts(service: str, more: dict[str, Any], nipple: float) -> dict[str, Any]:
    """Return the facts of a line at the harsh end of its usual duty, all of them stated."""
    duty = {
        row["field"]: f"{row['adverse']} {row['unit']}"
        for row in table("service_duty").where(service=service)
    }
    duty |= more.get("duty", {})
    if "pressure_max" in more.get("duty", {}):
        duty["pressure_spike"] = duty["pressure_max"]
    return {
        "fluids": [row["fluid"] for row in table("service_fluids").where(service=service)],
        "drips": [],
        "duty": duty,
        "nipples": {
            "outside_diameter": f"{nipple} mm",
            "bead": "yes",
            "bead_diameter": f"{nipple + 1} mm",
            "measured_on": "plain",
            "usable_length": "40 mm",
            "fixed_to": "engine",
        },
        "route": {
            "measured": "300 mm",
            "tightest_radius": "300 mm",
            "movement": "0 mm",
            "supports": "150 mm",
            "low_spot": "no",
            "fall": "yes",
            "heat_source": {"distance": "400 mm"},
        },
        "features": {
            "insert": "none",
            "turbo": "no",
            "sees_boost": "no",
            "submerged": "no",
            **more.get("features", {}),
        },
    }


def codes(service: str, told: dict[str, Any]) -> Array | None:
    """Return the verdict on every hose, shape (m,); None where it is asked about or stopped."""
    try:
        job = read_job({"service": service, **told})
    except HoseselectError:
        return None
    return None if stops(job) else judged([job], hoses()).judgement.codes[0]


PAIRS = [(harsh, name) for harsh, (milder, _) in MILDER.items() for name in milder.split()]


@pytest.mark.parametrize(("harsh", "milder"), PAIRS)
def test_a_milder_name_with_the_same_facts_is_no_better(harsh: str, milder: str) -> None:
    """A line whose harsh name offers something is compared hose by hose."""
    gained: set[str] = set()
    for nipple in NIPPLES:
        told = facts(harsh, MILDER[harsh][1], nipple)
        first, second = codes(harsh, told), codes(milder, told)
        assert first is not None
        if second is not None:
            better = np.flatnonzero(second < first)
            gained |= {str(hoses().sizes.name[size]).split("-")[0] for size in better}
    known, _ = EXCEPTIONS.get((harsh, milder), ("", ""))
    assert gained == set(known.split())


def test_the_harsh_names_are_not_held_against_refusals_alone() -> None:
    """Most of them offer some hose at that duty."""
    offered = [
        any(
            (verdicts <= Verdict.CONDITIONAL).any()
            for nipple in NIPPLES
            if (verdicts := codes(harsh, facts(harsh, more, nipple))) is not None
        )
        for harsh, (_, more) in MILDER.items()
    ]
    assert np.mean(offered) > 0.6
