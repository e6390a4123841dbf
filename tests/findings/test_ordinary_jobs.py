"""What a clerk really knows ends in an offer with at most three looks, and the looks are sound."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

import pytest

from hoseselect import Answer, Verdict, pick, read_catalogue, read_job
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.catalogue.columns import Catalogue
from hoseselect.knowledge.load import table

ORDINARY = (
    ("PCV hose", 13.0, ()),
    ("breather hose", 19.0, ()),
    ("heater hose", 16.0, ()),
    ("vacuum control line", 4.0, ()),
    ("fuel return", 8.0, ("petrol-e10",)),
    ("diesel return", 8.0, ()),
    ("ATF cooler hose", 8.0, ()),
    ("steering return", 10.0, ()),
    ("washer hose", 4.0, ()),
)
"""Name of the line, nipple or bore of the old hose [mm], fluid where the name does not tell it."""
MOST_LOOKS = 3


@cache
def shop() -> Catalogue:
    return read_catalogue()


def known(service: str, fluids: tuple[str, ...], **more: Any) -> dict[str, Any]:
    """Return a job of which only the line and the length of the old hose are known, and more."""
    values: dict[str, Any] = {"service": service, "old_hose": {"length": "400 mm"}}
    values |= {"fluids": list(fluids)} if fluids else {}
    for part, own in more.items():
        values[part] = {**values.get(part, {}), **own}
    return values


def asked(values: dict[str, Any]) -> Answer:
    return pick(read_job(values), shop())


def offered(service: str, size: float, fluids: tuple[str, ...], by: str) -> Answer:
    size_text = f"{size} mm"
    if by == "nipple":
        return asked(known(service, fluids, nipples={"outside_diameter": size_text}))
    return asked(known(service, fluids, old_hose={"bore": size_text}))


@pytest.mark.parametrize("by", ["nipple", "old bore"])
@pytest.mark.parametrize(("service", "size", "fluids"), ORDINARY)
def test_an_ordinary_job_ends_in_an_offer_with_at_most_three_looks(
    service: str, size: float, fluids: tuple[str, ...], by: str
) -> None:
    """Nothing that is not known is passed: the offer is conditional, and no length is given."""
    answer = offered(service, size, fluids, by)
    assert answer.suits
    for hose in answer.suits:
        assert hose.verdict is Verdict.CONDITIONAL
        assert 0 < len(hose.looks) <= MOST_LOOKS
        assert hose.cut is None
        told = [point for look in hose.looks for point in look.points]
        assert len(told) == len(set(told))
        assert not any("nan" in point or "unknown" in point for point in told)


@pytest.mark.parametrize(("service", "size", "fluids"), ORDINARY)
def test_what_nobody_can_see_to_is_taken_as_usual_and_said(
    service: str, size: float, fluids: tuple[str, ...]
) -> None:
    """The adverse end of the usual duty of the line stands in the answer with its source."""
    answer = offered(service, size, fluids, "nipple")
    usual = {own.field: own for own in answer.assumptions if own.field.startswith("duty.")}
    assert {"duty.air_steady", "duty.fluid_steady", "duty.coldest_start"} <= set(usual)
    for row in table("service_duty").where(service=answer.job.service):
        own = usual.get(f"duty.{row['field']}")
        if own is not None and row["field"] in {"fluid_steady", "air_steady", "coldest_start"}:
            assert float(own.value) == row.number("adverse")
            assert own.source == row.source


SEEN = {
    "fit-stretch": r"more than ([\d.]+) mm",
    "fit-loose": r"less than ([\d.]+) mm",
    "fit-bead-stretch": r"more than ([\d.]+) mm",
    "fit-engagement": r"at least ([\d.]+) mm",
    "bend-radius": r"tighter than R ([\d.]+) mm",
    "pressure-unsupported": r"every ([\d.]+) mm",
    "heat-source": r"([\d.]+) mm clear",
    "route-movement": r"at most ([\d.]+) %",
}
"""The figure in the words of a look: somebody measures exactly that at the vehicle."""
LENGTH = 400.0


def figure_of(hose: HoseAnswer, rule: str) -> float | None:
    """Return the figure that a hose's look gives for a rule; None where it has none."""
    for finding in hose.findings:
        if finding.code == rule and finding.check:
            found = re.search(SEEN[rule], finding.check)
            assert found, finding.check
            return float(found.group(1))
    return None


def seen_to(values: dict[str, Any], hose: HoseAnswer, worse: dict[str, float]) -> dict[str, Any]:
    """Return the job once somebody has seen to every look of a hose.

    Parameters
    ----------
    values : the job as it was known
    hose : with its looks
    worse : by how much a figure is missed, by rule, in its unit
    """

    def figure(rule: str, else_: float) -> float:
        own = figure_of(hose, rule)
        return else_ if own is None else own + worse.get(rule, 0.0)

    nipple = float(values["nipples"]["outside_diameter"].split()[0])
    bead = figure("fit-bead-stretch", nipple + 1)
    share = figure("route-movement", 0.0) / 100
    nipples = {
        **values["nipples"],
        "bead": "yes",
        "bead_diameter": f"{max(bead, nipple + 0.5)} mm",
        "measured_on": "plain",
        "usable_length": f"{figure('fit-engagement', 40.0)} mm",
    }
    route = {
        "measured": f"{LENGTH} mm",
        "tightest_radius": f"{figure('bend-radius', 500.0)} mm",
        "movement": f"{share * LENGTH} mm",
        "supports": f"{figure('pressure-unsupported', 200.0)} mm",
        "low_spot": "no",
        "fall": "yes",
        "heat_source": {"distance": f"{figure('heat-source', 300.0)} mm", "shielded": "no"},
    }
    features = {"insert": "none", "turbo": "no", "sees_boost": "no", "submerged": "no"}
    return {**values, "drips": [], "nipples": nipples, "route": route, "features": features}


SIZES = {"crankcase": 13.0, "coolant": 16.0, "air": 8.0, "vacuum": 8.0}


def services() -> list[tuple[str, float]]:
    return [
        (row["service"], SIZES.get(row["group"], 8.0))
        for row in table("services")
        if row["service"] not in {"fuel-injection-feed"}
    ]


@pytest.mark.parametrize(("service", "size"), services())
def test_a_hose_whose_looks_are_seen_to_still_suits(service: str, size: float) -> None:
    """Every look is enough: what it asks for, to the figure, leaves no look and no refusal."""
    values = known(service, (), nipples={"outside_diameter": f"{size} mm"})
    answer = asked(values)
    for hose in answer.suits[:4]:
        again = asked(seen_to(values, hose, {})).hose(hose.hose)
        assert again.verdict.suits, (hose.hose, again.deciding.reason)
        assert not again.looks
        assert again.cut is not None


MISSED = {
    "fit-bead-stretch": 2.0,
    "fit-engagement": -1.0,
    "bend-radius": -2.0,
    "heat-source": -80.0,
}
"""How far a look is missed by which the hose is refused or depends on more [its unit]."""


@pytest.mark.parametrize("rule", MISSED)
@pytest.mark.parametrize(("service", "size", "fluids"), ORDINARY)
def test_a_look_that_is_missed_counts(
    service: str, size: float, fluids: tuple[str, ...], rule: str
) -> None:
    """No look is idle: where it does not hold, the same rule refuses or asks for care."""
    values = known(service, fluids, nipples={"outside_diameter": f"{size} mm"})
    hose = asked(values).suits[0]
    if figure_of(hose, rule) is None:
        pytest.skip("not asked for on this line")
    missed = asked(seen_to(values, hose, {rule: MISSED[rule]})).hose(hose.hose)
    own = next(finding for finding in missed.findings if finding.code == rule)
    assert own.verdict is not Verdict.ACCEPT
    assert not own.check


@pytest.mark.parametrize(("service", "size", "fluids"), ORDINARY)
def test_a_nipple_that_is_not_known_is_no_guess(
    service: str, size: float, fluids: tuple[str, ...]
) -> None:
    """Without nipple and old bore nothing is offered: the nipple is the first question."""
    answer = asked(known(service, fluids))
    assert not answer.suits
    assert answer.ask_next[0].field == "nipples.outside_diameter"


def test_a_hose_of_another_bore_than_the_old_one_is_not_taken_along() -> None:
    """Old bore 12.7 mm: 15.9 and 9.5 mm wait for the nipple."""
    answer = offered("PCV hose", 12.7, (), "old bore")
    assert {hose.bore for hose in answer.suits} <= {12.5, 12.7, 13.0}
