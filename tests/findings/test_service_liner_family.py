"""A plain matrix of service, liner and family of use against the rules of material, at usual duty.

What is expected stands in ``expected/``, written from publications and practice with nothing of
the rules at hand; here it is only multiplied out. Each pair where the rules say something else
stands in ``expected/exceptions.csv`` with its reason, and one that no longer differs is an error.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from hoseselect.catalogue import hose_columns
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.intake.read_job import read_job
from hoseselect.judging.assume import assume
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import run_rule
from hoseselect.judging.job_columns import job_columns
from hoseselect.judging.services import _figures_of
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

FOLDER = Path(__file__).parent / "expected"
WORDS = ("accept", "conditional", "unknown", "reject")
RULES = ("fluid-liner", "fluid-not-for", "fluid-cover", "fluid-permeation", "fluid-submerged",
         "marking-identity", "marking-family", "marking-required")  # fmt: skip
FAMILY = {"made-for": "accept", "stand-in": "conditional", "refused": "reject"}
COVERED = {
    "j30": {"petrol", "diesel", "engine-oil", "fuel-vapour", "blow-by"},
    "fmvss106": {"dry-air", "fuel-vapour"},
}
"""Fluids that a marking covers by what was read: SAE J30 JUN1998 clause 1; 49 CFR 571.106 S9.2.8,
S10.7 (reference fuel B)."""
NARROWER = {
    "j30-r9": {"petrol", "fuel-vapour"},
    "j30-r10": {"petrol", "fuel-vapour"},
    "j30-r11": {"petrol", "fuel-vapour"},
    "j30-r13": {"diesel"},
}
DIESEL_TOO = {f"j30-r{number}" for number in (2, 6, 7, 8, 9)}
PETROL_MARKS = {f"j30-r{number}" for number in (2, 3, 5, 6, 7, 8, 9, 10, 11)}
TOLD = {
    **{mark: {"petrol-e10"} for mark in PETROL_MARKS - DIESEL_TOO},
    **{mark: {"petrol-e10", "diesel-b7"} for mark in DIESEL_TOO},
    "j30-r13": {"diesel-b7"},
}
"""Fluids that a marking is said to cover, of which nobody read it: the blend is not stated."""
LOW_PERMEATION = {"j30-r11"}


def rows(name: str) -> list[dict[str, str]]:
    with (FOLDER / name).open(encoding="utf-8") as stream:
        return list(csv.DictReader(stream))


def worst(*words: str) -> str:
    return max(words, key=WORDS.index)


@cache
def usual() -> dict[str, dict[str, str]]:
    return {service: row for row in rows("usual.csv") for service in row["services"].split(";")}


@cache
def materials() -> dict[tuple[str, str], dict[str, str]]:
    """Return what is expected of each fluid and polymer; each is said once."""
    found: dict[tuple[str, str], dict[str, str]] = {}
    for row in rows("materials.csv"):
        for fluid in row["fluids"].split(";"):
            for polymer in row["polymers"].split(";"):
                assert (fluid, polymer) not in found
                found[fluid, polymer] = row
    return found


def material_word(polymer: str, fluid: str, degrees: float, *, covered: bool = False) -> str:
    """Return the verdict of one fluid on one polymer, by what is known of the two."""
    row = materials().get((fluid, polymer))
    word = "" if row is None else row["word"]
    read = row is not None and row["ground"] == "read"
    if row is not None and row["up_to_degc"] and degrees > float(row["up_to_degc"]):
        return "reject" if word != "suits" else "conditional"
    if word == "refused":
        return "conditional" if covered and not read else "reject"
    if covered or (word == "suits" and read):
        return "accept"
    return "conditional" if word else "unknown"


def permeation_word(polymer: str, mark: str) -> str:
    """Return the verdict on fuel vapour through the wall: a matter of preference.

    A marking for petrol holds it in, if not to a low rate: a named liner of which nothing is known
    takes nothing away from that.
    """
    row = materials().get(("fuel-vapour", polymer))
    if mark in LOW_PERMEATION:
        return "accept"
    if row is None:
        return "conditional" if mark else "unknown"
    return "accept" if row["word"] == "suits" and row["ground"] == "read" else "conditional"


PETROL = {"fuel-feed-low-pressure", "fuel-injection-feed", "fuel-return", "fuel-filler-and-vent",
          "fuel-vapour-purge", "carburettor-bowl-vent"}  # fmt: skip


def liner_word(service: str, polymer: str, mark: str) -> str:
    """Return what is expected of a liner on a service, whatever else the hose is."""
    row = usual()[service]
    marked = NARROWER.get(mark, COVERED.get(mark.partition("-")[0], set()))
    words = []
    for fluid in row["fluids"].split(";"):
        degrees = float(row["temperature_degc"])
        word = material_word(polymer, fluid, degrees, covered=fluid in marked)
        told = fluid in TOLD.get(mark, set())
        words.append("conditional" if told and word == "unknown" else word)
    if service in PETROL:
        words.append(permeation_word(polymer, mark))
    return worst(*words)


@cache
def families() -> dict[tuple[str, str], str]:
    found: dict[tuple[str, str], str] = {}
    for row in rows("families.csv"):
        for service in row["services"].split(";"):
            for family in row["families"].split(";"):
                assert (service, family) not in found
                found[service, family] = FAMILY[row["word"]]
    return found


def family_word(service: str, family: str) -> str:
    """Return what is expected of a family of use; without a marking where one is demanded, no."""
    if usual()[service]["mark"]:
        return "reject"
    return families().get((service, family), FAMILY[usual()[service]["unlisted"]])


def usual_columns(service: str) -> DistinctJobs:
    """Return the usual job of a service; nothing but its fluids and temperature matters here."""
    row = usual()[service]
    duty = dict.fromkeys(("fluid_steady", "fluid_peak"), f"{row['temperature_degc']} degC")
    values: dict[str, Any] = {
        "service": service,
        "fluids": [row["stated"]] if row["stated"] else [],
        "drips": [],
        "duty": duty,
        "features": {"insert": "none", "turbo": "no", "sees_boost": "no", "submerged": "no"},
    }
    if service == "charge-air-control":
        values["features"] |= {"turbo": "yes", "sees_boost": "yes"}
    job = read_job(values)
    return DistinctJobs(assume(job_columns([job], job_lengths([job]))))


def found_words(bench: Any, hoses: list[dict[str, Any]], service: str) -> list[str]:
    """Return the worst verdict of the rules of material for each hose."""
    _, columns = bench.shop(*hoses)
    jobs = usual_columns(service)
    total = np.zeros((1, len(hoses)), dtype=int)
    for rule in all_rules():
        if rule.code in RULES:
            result = run_rule(rule, jobs, columns)
            total = np.maximum(total, result.codes[result.kind])
    return [WORDS[code] for code in total[0]]


POLYMERS = [row["symbol"] for row in table("polymers") if row["symbol"] != "textile"]
FAMILIES = [row["family"] for row in table("families")]
SERVICES = list(table("services").column("service"))
BARE = {"fluids_claimed": "", "cover": "CSM", "family": ""}


@cache
def exceptions() -> dict[tuple[str, str, str], dict[str, str]]:
    found: dict[tuple[str, str, str], dict[str, str]] = {}
    for row in rows("exceptions.csv"):
        assert row["reason"]
        for service in row["services"].split(";"):
            for subject in row["subjects"].split(";"):
                assert (row["about"], service, subject) not in found
                found[row["about"], service, subject] = row
    return found


def expected_with_exceptions(about: str, service: str, subject: str, plain: str) -> str:
    row = exceptions().get((about, service, subject))
    if row is None:
        return plain
    assert row["verdict"] != plain, f"no exception any more: {about} {service} {subject}"
    return row["verdict"]


def test_every_service_and_polymer_is_in_the_matrix() -> None:
    assert set(usual()) == set(SERVICES)
    assert {polymer for _, polymer in materials()} <= set(POLYMERS)
    assert {family for _, family in families()} <= set(FAMILIES)
    subjects = {"liner": set(POLYMERS), "family": set(FAMILIES), "mark": {m for _, m, _ in marks()}}
    for about, service, subject in exceptions():
        assert subject in subjects[about]
        assert service in SERVICES
        assert about != "family" or not usual()[service]["mark"], "never compared"


def liner_expected(service: str, polymer: str) -> str:
    plain = liner_word(service, polymer, usual()[service]["mark"])
    return expected_with_exceptions("liner", service, polymer, plain)


def family_expected(service: str, family: str) -> str:
    return expected_with_exceptions("family", service, family, family_word(service, family))


@pytest.mark.parametrize("service", SERVICES)
def test_liners_and_families(bench: Any, service: str) -> None:
    """Every liner in a hose of every family, unmarked and without a claim."""
    pairs = [(polymer, family) for polymer in POLYMERS for family in FAMILIES]
    hoses = [{**BARE, "liner": polymer, "family": family} for polymer, family in pairs]
    expected = [
        worst(liner_expected(service, polymer), family_expected(service, family))
        for polymer, family in pairs
    ]
    found = found_words(bench, hoses, service)
    differ = [
        (*pair, f"expected {want}, found {got}")
        for pair, want, got in zip(pairs, expected, found, strict=True)
        if want != got
    ]
    assert not differ, differ[:20]


@pytest.mark.parametrize("service", [name for name in SERVICES if usual()[name]["mark"]])
def test_liners_of_marked_hose(bench: Any, service: str) -> None:
    """Every liner in a hose of the marking that the service wants."""
    mark = usual()[service]["mark"]
    hoses = [
        {**BARE, "liner": polymer, "marking": mark, "submersible": "yes"} for polymer in POLYMERS
    ]
    if service == "fuel-in-tank":
        hoses = [{**hose, "cover": "FKM"} for hose in hoses]
    found = found_words(bench, hoses, service)
    expected = [liner_expected(service, polymer) for polymer in POLYMERS]
    differ = [
        (polymer, f"expected {want}, found {got}")
        for polymer, want, got in zip(POLYMERS, expected, found, strict=True)
        if want != got
    ]
    assert not differ, differ


def read_anew() -> None:
    """Forget what was read of the table of resistance."""
    for kept in (_figures_of, hose_columns._ratings, hose_columns._read):
        kept.cache_clear()


def test_a_wrong_rating_is_seen(bench: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Planted fault: heater hose that is said to stand oil."""
    (row,) = table("resistance").where(symbol="EPDM", fluid="engine-oil")
    hose = {**BARE, "liner": "EPDM", "family": "engine-oil"}
    assert found_words(bench, [hose], "engine-oil-cooler") == ["reject"]
    monkeypatch.setitem(row.cells, "rating", "2")
    read_anew()
    try:
        assert found_words(bench, [{**hose, "remark": "seen anew"}], "engine-oil-cooler") == [
            "accept"
        ]
    finally:
        monkeypatch.undo()
        read_anew()


def marks() -> list[tuple[str, str, str]]:
    return [
        (service, mark, FAMILY[row["word"]])
        for row in rows("marks.csv")
        for service in row["services"].split(";")
        for mark in row["marks"].split(";")
    ]


@pytest.mark.parametrize("service", list(dict.fromkeys(service for service, *_ in marks())))
def test_markings(bench: Any, service: str) -> None:
    """Every marking on a service: its liner is not named, its maker claims what flows."""
    own = [(mark, word) for name, mark, word in marks() if name == service]
    usually = usual()[service]
    flows = [*usually["fluids"].split(";"), *filter(None, [usually["stated"]])]
    claims = ";".join(dict.fromkeys(flows))
    hoses = [
        {**BARE, "liner": "FKM" if "coolant" not in claims else "EPDM", "cover": "FKM",
         "marking": mark, "fluids_claimed": claims, "submersible": "yes"}
        for mark, _ in own
    ]  # fmt: skip
    found = found_words(bench, hoses, service)
    differ = []
    for (mark, plain), got in zip(own, found, strict=True):
        want = expected_with_exceptions("mark", service, mark, plain)
        if want != got:
            differ.append((mark, f"expected {want}, found {got}"))
    assert not differ, differ
