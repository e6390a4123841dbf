"""Scenarios S09 to S15: coolant.

Judgement of the trade: common practice, no source; invented data.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Ask = Callable[..., Any]
S09 = ("H01-15.9", "H03-15.9")
S11 = ("H06-7.9", "H02-7.9")
S13 = ("H01-15.9", "H01-12.7", "H01-14.3")


@pytest.mark.parametrize(("hose", "radius"), [("H01-15.9", 95), ("H03-15.9", 110)])
def test_s09_heater_hose_is_accepted(ask: Ask, hose: str, radius: float) -> None:
    told = ask("s09", *S09)
    told.accepts(hose)
    assert told.finding(hose, "fit-stretch").demand == pytest.approx(0.6, abs=0.05)
    assert told.finding(hose, "bend-radius").demand == 150
    assert told.finding(hose, "bend-radius").limit == radius


def test_s09_silicone_needs_a_band_that_spares_its_soft_cover(ask: Ask) -> None:
    cut = ask("s09", *S09).hose("H03-15.9").cut
    for clamps in (cut.clamps_a, cut.clamps_b):
        families = {clamp.family for clamp in clamps}
        assert families & {"smooth-band", "lined-worm"}
        assert "worm" not in families


def test_s09_restrictor_goes_back(ask: Ask) -> None:
    told = ask("s09", *S09)
    text = " ".join(told.answer.old_hose)
    assert "Refit the restrictor" in text
    assert "same place" in text
    assert "direction" in text
    told.says("slit", "peel", "bulge", "twist")


@pytest.mark.parametrize("answer", ["unknown", "don't know"])
@pytest.mark.parametrize("hose", S09)
def test_s09_flip_nobody_looked_inside(ask: Ask, hose: str, answer: str) -> None:
    told = ask("s09", *S09, change={"features.insert": answer})
    told.conditional(hose, "route-insert")
    assert told.conditions(hose) == {"route-insert"}
    assert "hard ring" in told.finding(hose, "route-insert").check
    assert "hard ring" in told.hose(hose).looks[0].points[0]
    told.asks("features.insert")


def test_s11_fuel_hose_is_refused_by_material(ask: Ask) -> None:
    told = ask("s11", *S11)
    told.rejects("H06-7.9", "fluid", "heat")
    assert told.hose("H06-7.9").decided_by == "fluid-liner"
    assert "hardens and cracks in hot glycol" in told.finding("H06-7.9", "fluid-liner").reason


def test_s11_small_coolant_hose_is_accepted(ask: Ask) -> None:
    told = ask("s11", *S11)
    told.accepts("H02-7.9")
    assert told.finding("H02-7.9", "fit-stretch").demand == pytest.approx(1.3, abs=0.05)
    radius = told.finding("H02-7.9", "bend-radius")
    assert (radius.demand, radius.limit) == (60, 50)


def test_s11_flip_only_fuel_hose_on_the_shelf(ask: Ask) -> None:
    told = ask("s11", "H06-7.9")
    told.not_offered("H06-7.9")
    assert told.answer.exit_code == 1
    told.refers("order hose", "EPDM", "8 mm")
    assert "temporar" not in " ".join(told.answer.way_out).lower()


def test_s13_a_too_large_is_refused_as_loose(ask: Ask) -> None:
    told = ask("s13", *S13)
    told.rejects("H01-15.9", "fit")
    assert told.finding("H01-15.9", "fit-loose").verdict.word == "reject"
    assert told.finding("H01-15.9", "fit-loose").demand == pytest.approx(10.7, abs=0.05)
    assert "folds the wall" in told.finding("H01-15.9", "fit-loose").reason


def test_s13_b_too_small_is_refused_as_stretched(ask: Ask) -> None:
    told = ask("s13", *S13)
    told.rejects("H01-12.7", "fit")
    assert told.finding("H01-12.7", "fit-stretch").verdict.word == "reject"
    assert told.finding("H01-12.7", "fit-stretch").demand == pytest.approx(11.8, abs=0.05)
    assert told.finding("H01-12.7", "fit-bead-stretch").demand == pytest.approx(24.4, abs=0.05)


def test_s13_c_inside_the_tolerance_is_accepted(ask: Ask) -> None:
    told = ask("s13", *S13)
    told.accepts("H01-14.3")
    assert told.finding("H01-14.3", "fit-loose").demand == pytest.approx(0.7, abs=0.05)
    clamps = told.hose("H01-14.3").cut.clamps_a
    assert clamps
    assert all("behind the bead" in clamp.position for clamp in clamps)


def test_s13_d_bore_of_the_old_hose_is_no_nipple(ask: Ask) -> None:
    """Hose of the old bore is taken along; on the pipe of 14.2 mm its own check refuses it."""
    told = ask("s13_old_hose", *S13)
    told.conditional("H01-15.9", "fit-stretch", "fit-loose", "fit-bead-stretch")
    (look,) = told.hose("H01-15.9").looks
    assert look.place == "ends"
    assert "no nipple less than 15.8 mm across, behind the bead" in look.points
    for hose in ("H01-12.7", "H01-14.3"):
        told.not_offered(hose)
    told.asks("nipple_a.outside_diameter")
    told.asks("nipple_b.outside_diameter")
    measured = ask("s13_old_hose", *S13, change={"nipples.outside_diameter": "14.2 mm"})
    measured.rejects("H01-15.9", "fit")


def test_s13_e_bead_typed_as_nipple_is_asked_about(ask: Ask) -> None:
    told = ask("s13_bead", *S13)
    told.asks("nipple_a.measured_on")
    question = next(q for q in told.answer.ask_next if q.field.endswith(".measured_on"))
    assert "plain part" in question.question
    assert "on the bump" in question.question
    assert "accept" not in {told.hose(hose).verdict.word for hose in S13}


@pytest.mark.parametrize(
    ("hose", "code", "percent"),
    [("H02-9.5", "fit-loose", 15.8), ("H02-6.4", "fit-stretch", 25.0)],
)
def test_s13_flip_wrong_size_on_a_small_nipple(
    ask: Ask, hose: str, code: str, percent: float
) -> None:
    told = ask("s13_small", "H02-7.9", hose)
    told.rejects(hose, "fit")
    assert told.finding(hose, code).verdict.word == "reject"
    assert told.finding(hose, code).demand == pytest.approx(percent, abs=0.05)


def test_s13_flip_right_size_on_a_small_nipple(ask: Ask) -> None:
    told = ask("s13_small", "H02")
    told.accepts("H02-7.9")
    assert told.finding("H02-7.9", "fit-stretch").demand == pytest.approx(1.3, abs=0.05)
    assert [hose.hose for hose in told.answer.suits] == ["H02-7.9"]


def test_s15_piece_is_too_short_for_the_movement(ask: Ask) -> None:
    told = ask("s15", "H01-15.9")
    told.rejects("H01-15.9", "route")
    assert told.refusals("H01-15.9") == {"route-length"}
    length = told.finding("H01-15.9", "route-length")
    assert (length.demand, length.limit) == (350, 375)
    assert told.plan().cut == 375
    told.refers("cut a new piece")


def test_s15_clamps_are_not_the_fix(ask: Ask) -> None:
    told = ask("s15", "H01-15.9")
    remedy = told.finding("H01-15.9", "route-length").remedy
    assert "375" in remedy
    assert "clamps are no cure" in remedy


def test_s15_says_to_look_at_both_extremes_and_the_mount(ask: Ask) -> None:
    ask("s15", "H01-15.9").says("extremes", "engine mount")


def test_s15_new_piece_is_accepted(ask: Ask) -> None:
    told = ask("s15", "H01-15.9", change={"piece": "375 mm"})
    told.accepts("H01-15.9")
    assert told.hose("H01-15.9").cut.cut == 375


def test_s15_flip_both_ends_on_the_engine(ask: Ask) -> None:
    told = ask(
        "s15", "H01-15.9", change={"route.movement": "unknown", "nipples.fixed_to": "engine"}
    )
    told.accepts("H01-15.9")
    assert told.hose("H01-15.9").cut.cut == 350
