"""What a catalogue states counts no further than marking, rubber and wall bear it out."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from hoseselect.catalogue import hose_claims as claims
from hoseselect.catalogue import hose_limits as limits
from hoseselect.catalogue.claim_doubts import heat_doubts, reinforcement_doubts, wall_doubts
from hoseselect.catalogue.doubt import Doubt
from hoseselect.catalogue.hose_columns import liner_ratings
from hoseselect.catalogue.hose_doubts import size_doubts
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import table


def figures(name: str) -> dict[str, float]:
    """Return the figure of this name of every marking that has one."""
    rows = table("marking_figures").where(figure=name)
    return {row["marking"]: row.number("value") for row in rows}


@pytest.mark.parametrize(("name", "low"), [("temperature-maximum", False), ("suction", True)])
def test_of_several_markings_the_best_counts(name: str, low: bool) -> None:
    found = sorted(figures(name).items(), key=lambda item: item[1])
    (worst, least), (best, most) = found[0], found[-1]
    assert least < most
    both = limits.caps(((worst, best), (worst,), ()), ("", "", ""), (name,), low=low)
    assert both[0] == (least if low else most)
    assert both[1] == least
    assert np.isnan(both[2])


def test_what_is_not_stated_stays_so_whatever_the_cap() -> None:
    stated, cap = np.array([100.0, 100.0, np.nan]), np.array([80.0, np.nan, 80.0])
    np.testing.assert_array_equal(limits.at_most(stated, cap), [80, 100, np.nan])
    stated, cap = np.array([-50.0, -50.0, np.nan]), np.array([-40.0, np.nan, -40.0])
    np.testing.assert_array_equal(limits.at_least(stated, cap), [-40, -50, np.nan])


def test_the_weaker_of_liner_and_cover_is_the_usual_one() -> None:
    def usual(liner: str, cover: str) -> tuple[float, float]:
        types: Any = SimpleNamespace(liner=((liner,),), cover=((cover,),))
        return limits.usual_hottest(types)[0], limits.usual_coldest(types)[0]

    fkm, nbr = usual("FKM", "FKM"), usual("NBR", "NBR")
    assert fkm[0] > nbr[0]
    for mixed in (usual("FKM", "NBR"), usual("NBR", "FKM")):
        assert mixed == (min(fkm[0], nbr[0]), max(fkm[1], nbr[1]))


def test_a_working_pressure_counts_under_clamps_as_far_as_any_marking_goes() -> None:
    highest = limits.highest_clamped()
    high = [mark for mark, value in figures("pressure-working").items() if value > highest]
    assert high
    for mark in high:
        found = limits.clamped_pressure(((mark,),), ("",))[0]
        assert found == max(highest, figures("pressure-clamped").get(mark, 0))


@pytest.mark.parametrize(
    ("radius", "kink", "helix", "incredible"),
    [
        (10.0, 5.0, True, True),
        (10.1, 5.0, True, False),
        (30.0, 40.0, False, True),
        (30.0, 40.0, True, False),
        (40.0, 40.0, False, False),
    ],
)
def test_a_bend_that_no_hose_of_that_size_makes(
    radius: float, kink: float, helix: bool, incredible: bool
) -> None:
    sizes: Any = SimpleNamespace(
        least_bend_radius=np.array([radius]), outside_diameter=np.array([20.0])
    )
    found = limits.incredible_radius(sizes, np.array([kink]), np.array([helix]))
    assert found[0] == incredible


def test_a_family_without_a_row_is_refused_everywhere() -> None:
    assert (claims._of_family("of nothing") == claims.REFUSED).all()


def test_of_what_a_marking_covers_only_what_was_read_is_seen() -> None:
    index = service_columns().fluid_index
    told = [
        (row["marking"], row["fluid"])
        for row in table("marking_fluids")
        if row.yes("covered") and row["status"] != "read" and row["fluid"] in index
    ]
    assert told
    for mark, fluid in told:
        assert claims.covered((mark,), seen=False)[index[fluid]]
        assert not claims.covered((mark,), seen=True)[index[fluid]]


def test_hose_for_one_thing_only_is_for_nothing_else(bench: Any) -> None:
    _, hoses = bench.shop({"only_for": "air"}, {})
    index = service_columns().fluid_index
    excluded = hoses.types.excluded
    assert excluded[0, index["coolant"]]
    assert not excluded[0, index["air"]]
    assert not excluded[1].any()


def test_a_print_of_another_standard_takes_the_marking_away() -> None:
    assert claims.contradicted(("j20-r4",), "SAE 30R7") == ("j20-r4",)
    assert claims.contradicted(("j20-r4",), "SAE J20R4") == ()
    types: Any = SimpleNamespace(
        marking=(("j20-r4",), ("j30-r7",)), print_line=("SAE 30R7", "SAE 30R7")
    )
    assert claims.believed(types) == ((), ("j30-r7",))


def test_a_rating_from_memory_is_one_within_limits() -> None:
    def rating(cell: float, **told: bool) -> float:
        said = {"read": False, "marked": False, "told": False, "stated": False, **told}
        read = np.array([[said.pop("read")]])
        return liner_ratings(
            np.array([[cell]]), read, **{name: np.array([[value]]) for name, value in said.items()}
        )[0, 0]

    assert [rating(2, read=read) for read in (False, True)] == [1, 2]
    assert rating(0, read=True, marked=True) == 0
    assert rating(0, read=False, marked=True) == 1
    assert rating(0, read=True, stated=True) == 0
    assert np.isnan(rating(np.nan))


def doubted(doubts: list[Doubt], heading: str) -> bool:
    return any(doubt.rows.any() for doubt in doubts if doubt.heading == heading)


@pytest.mark.parametrize(("hot", "doubt"), [(-91.0, True), (-90.0, False), (-80.0, False)])
def test_a_hose_stands_no_more_suction_hot_than_cold(bench: Any, hot: float, doubt: bool) -> None:
    catalogue, _ = bench.shop({})
    sizes = replace(catalogue.sizes, suction_limit_hot=np.array([hot]))
    assert doubted(size_doubts(catalogue.types, sizes), "suction_limit_hot_kpa") is doubt


def test_a_clamped_pressure_of_hose_that_takes_no_clamp(bench: Any) -> None:
    for word, doubt in (("no", True), ("yes", False)):
        catalogue, _ = bench.shop({"made_for_clamps": word})
        found = size_doubts(catalogue.types, catalogue.sizes)
        assert doubted(found, "working_pressure_clamped_kpa") is doubt


def test_a_temperature_just_beyond_what_the_rubber_stands_is_named(bench: Any) -> None:
    usual = table("polymer_figures").row(symbol="EPDM", figure="temperature-continuous-highest")
    for over, doubt in ((0.5, True), (0.0, False)):
        catalogue, _ = bench.shop(
            {"liner": "EPDM", "cover": "EPDM", "fluids_claimed": "coolant",
             "temperature_continuous_degc": usual.number("value") + over}
        )  # fmt: skip
        found = heat_doubts(catalogue.types)
        assert doubted(found, "temperature_continuous_degc") is doubt


def test_a_plain_wall_said_to_stand_what_it_cannot(bench: Any) -> None:
    tube = {"bore_mm": 12.7, "bore_min_mm": "", "bore_max_mm": "", "outside_diameter_mm": 14.7}
    for word, doubt in (("none", True), ("textile", False)):
        catalogue, _ = bench.shop({**tube, "reinforcement": word})
        found = wall_doubts(catalogue.types, catalogue.sizes)
        assert doubted(found, "suction_limit_cold_kpa") is doubt


def test_nobody_says_what_reinforces_it(bench: Any) -> None:
    for word, doubt in (("", True), ("none", False), ("textile", False)):
        catalogue, _ = bench.shop({"reinforcement": word})
        assert doubted(reinforcement_doubts(catalogue.types), "reinforcement") is doubt


@pytest.mark.parametrize(("stated", "counts"), [(3000.0, True), (3000.5, False), (4000.0, False)])
def test_a_pressure_beyond_any_clamp_is_not_counted(
    bench: Any, stated: float, counts: bool
) -> None:
    _, hoses = bench.shop({"working_pressure_clamped_kpa": stated})
    assert np.isfinite(hoses.sizes.working_pressure[0]) == counts
