"""What a shop's own headings may stand for: key, unit, and what is doubtful."""

from __future__ import annotations

import pytest

from hoseselect.files.sheet_line import SheetLine
from hoseselect.intake.heading_map import Draft, drafted, suggested_headings


def lines_of(*headings: str) -> list[SheetLine]:
    return [SheetLine(1, ("hose for", "stub OD (mm)", *headings))]


def draft(heading: str) -> Draft:
    """Return what a heading may stand for that stands in a sheet beside two plain ones."""
    return drafted(lines_of(heading), "s.csv")[-1]


@pytest.mark.parametrize(
    ("heading", "meant"),
    [
        ("run length in", "route.measured [in]"),
        ("run length, inches", "route.measured [inches]"),
        ("run_length_in", "route.measured [in]"),
        ("length in mm", "route.measured [mm]"),
        ("length mm total", "route.measured [mm]"),
        ("run in inches (string)", "route.measured [inches]"),
        ("Length (string, in)", "route.measured [in]"),
        ("Length, string", "route.measured"),
        ("Stub OD in", "nipples.outside_diameter [in]"),
        ("pressure psi", "duty.pressure_max [psi]"),
        ("max pressure bar", "duty.pressure_max [bar]"),
        ("max pressure/bar", "duty.pressure_max [bar]"),
        ("temp F", "duty.fluid_steady [F]"),
        ("temp °F", "duty.fluid_steady [°F]"),
        ("Max. temperature (°C)", "duty.fluid_peak [°C]"),
        ("max air temp C", "duty.air_peak [C]"),
        ("min temp", "duty.coldest_start"),
        ("Minimum temperature F", "duty.coldest_start [F]"),
        ("lowest temp (C)", "duty.coldest_start [C]"),
        ("min pressure bar", "duty.pressure_min [bar]"),
        ("peak pressure bar", "duty.pressure_spike [bar]"),
        ("vacuum in Hg", "duty.pressure_min [in Hg vacuum]"),
        ("Vacuum (inHg)", "duty.pressure_min [inHg vacuum]"),
        ("suction kPa", "duty.pressure_min [kPa vacuum]"),
        ("vacuum", "duty.pressure_min [kPa vacuum]"),
        ("old hose length", "old_hose.length"),
        ("old hose length in", "old_hose.length [in]"),
        ("Length (old hose) mm", "old_hose.length [mm]"),
        ("original length", "old_hose.length"),
        ("length of original, in", "old_hose.length [in]"),
        ("old hose ID mm", "old_hose.bore [mm]"),
        ("inside diameter old hose", "old_hose.bore"),
        ("OD of old hose (mm)", "old_hose.outside_diameter [mm]"),
        ("inside old hose", "features.insert"),
        ("Vacuum (inHg vacuum)", "duty.pressure_min [inHg vacuum]"),
        ("vacuum hose length mm", "route.measured [mm]"),
        ("suction pressure bar", "duty.pressure_min [bar vacuum]"),
        ("stub OD of vacuum hose, mm", "nipples.outside_diameter [mm]"),
        ("bend radius in", "route.tightest_radius [in]"),
    ],
)
def test_a_heading_is_a_key_and_its_unit(heading: str, meant: str) -> None:
    found = draft(heading)
    assert found.meant == meant
    assert not found.sure


@pytest.mark.parametrize(
    "heading",
    ["old stub OD", "original nipple OD mm", "old hose", "original temp F", "old pressure bar",
     "original run", "existing bend radius", "burst pressure bar", "test pressure", "hose OD mm",
     "pressure (bara)", "vacuum bar abs", "pressure psia", "Colour",
     "length (psi)", "vacuum mm"],
)  # fmt: skip
def test_a_heading_that_is_no_input_of_the_job_is_kept(heading: str) -> None:
    assert draft(heading).meant == ""


@pytest.mark.parametrize(
    ("heading", "look"),
    [
        ("run length in", "# LOOK"),
        ("run length", "# LOOK: no unit, bare numbers count in mm"),
        ("Length (furlong)", "# LOOK: no unit, bare numbers count in mm"),
        ("vacuum", "# LOOK: no unit, bare numbers count in kPa"),
        ("hose OD mm", "# LOOK"),
        ("length (psi)", "# LOOK: it names a unit that route.measured cannot have"),
        ("pressure (bara)", "# LOOK: an absolute pressure, and a job has gauge pressures"),
    ],
)
def test_every_guess_is_marked_in_the_draft(heading: str, look: str) -> None:
    told = suggested_headings(lines_of(heading), "s.csv").splitlines()
    assert [line.partition("  #")[1] for line in told[3:]] == ["  #"] * 3
    assert f"#{told[-1].partition('#')[2]}" == look


def test_a_key_with_a_unit_that_it_cannot_have_is_not_sure() -> None:
    assert draft("duty.fluid_steady [degF]").sure
    assert draft("piece").sure
    assert draft("piece [furlong]") == Draft(
        "piece [furlong]", "piece", sure=False, reason="no unit, bare numbers count in mm"
    )
