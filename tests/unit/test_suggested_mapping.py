"""The draft of a mapping says no more than the headings of a supplier's sheet say."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from hoseselect.catalogue.supplier.sheet import read_sheet
from hoseselect.catalogue.supplier.suggest import suggest_mapping
from hoseselect.files.toml_file import read_toml

Draft = Callable[..., tuple[dict[str, dict[str, str]], str]]


@pytest.fixture
def draft(tmp_path: Path) -> Draft:
    """Return the columns of a draft for a sheet with these headings beside type, ID and OD."""

    def made(*headings: str, lists: str = "hoses") -> tuple[dict[str, dict[str, str]], str]:
        path, quoted = tmp_path / "sheet.csv", ",".join(f'"{heading}"' for heading in headings)
        path.write_text(f"Type,ID (mm),OD (mm),{quoted}\nA1,16,24\n", encoding="utf-8")
        told = suggest_mapping(read_sheet(path), lists)
        (tmp_path / "draft.toml").write_text(told, encoding="utf-8")
        return read_toml(tmp_path / "draft.toml", "a mapping")["columns"], told

    return made


def looked_at(told: str, heading: str) -> str:
    """Return the reason beside a heading that is not mapped; empty where none is told."""
    found = re.search(rf'# LOOK: not mapped: "{re.escape(heading)}": (.+)', told)
    return found[1] if found else ""


@pytest.mark.parametrize(
    "heading",
    ["Not suitable for", "Incompatible media", "Fluids (not permitted)", "Unsuitable for",
     "Media to avoid", "Excluded fluids", "Do not use with", "Not for use with fluids",
     "Non-compatible media", "Never use with", "Fluids: not suitable", "Inappropriate media",
     "NOT_SUITABLE_FOR"],
)  # fmt: skip
def test_fluids_that_a_heading_excludes_are_no_claim(draft: Draft, heading: str) -> None:
    columns, told = draft(heading)
    assert columns["not_for"] == {"heading": heading}
    assert "fluids_claimed" not in columns
    assert "# LOOK: fluids that the maker excludes" in told


@pytest.mark.parametrize(
    "heading",
    ["Clamps not permitted", "Not to be used in tank", "Clamps (not permitted)", "Not clampable",
     "Non-clampable (clamps)", "Without clamps", "No clamps", "Clamps forbidden", "Clamps never",
     "Unapproved standards", "In tank: avoid", "Standards (except)", "Markings excluded",
     "Cannot be used in tank", "Don't use in tank", "Not suitable for clamps", "Clamps: no",
     "Not suitable for tank", "Unreinforced (braid)", "Fluids (excl. water)",
     "Clamps: barred", "Not crimped working pressure (bar)"],
)  # fmt: skip
def test_another_heading_that_denies_is_not_mapped_and_says_why(draft: Draft, heading: str) -> None:
    columns, told = draft(heading)
    assert set(columns) == {"hose_type", "bore", "outside_diameter"}
    assert "it denies" in looked_at(told, heading)


def test_a_second_exclusion_is_told_and_not_taken_for_a_claim(draft: Draft) -> None:
    columns, told = draft("Not suitable for", "Incompatible media", "Suitable for")
    assert columns["not_for"] == {"heading": "Not suitable for"}
    assert columns["fluids_claimed"] == {"heading": "Suitable for"}
    assert "it denies" in looked_at(told, "Incompatible media")


def test_what_another_list_has_no_column_for_is_told(draft: Draft) -> None:
    columns, told = draft("Fitting", "Kind", "Not suitable for", lists="fittings")
    assert not {"suits", "not_for"} & set(columns)
    assert "it denies" in looked_at(told, "Not suitable for")


@pytest.mark.parametrize("heading", ["Part No", "Part No.", "Article no. (ours)", "Hose No"])
def test_the_number_of_a_part_denies_nothing(draft: Draft, heading: str) -> None:
    columns, told = draft(heading)
    assert "it denies" not in told
    assert columns.get("hose_size", {"heading": heading})["heading"] == heading


@pytest.mark.parametrize(
    ("heading", "reason"),
    [
        ("Burst pressure (bar)", "burst"),
        ("Pressure (burst) bar", "burst"),
        ("Pressure, bursting (bar)", "bursting"),
        ("Test pressure (bar)", "test"),
        ("Proof pressure (bar)", "proof"),
        ("Max pressure (peak)", "peak"),
        ("Vacuum test (bar)", "test"),
        ("Pressure (bar abs)", "absolute"),
        ("Vacuum (bar abs)", "absolute"),
        ("Vacuum (bara)", "absolute"),
        ("Vacuum, kPa(a)", "absolute"),
        ("Vacuum kPa absolute", "absolute"),
        ("Working pressure psia", "absolute"),
        ("Temperature min/max (degC)", "both"),
        ("Storage temperature", "storage"),
        ("Max temp. 150 h", "h"),
    ],
)
def test_another_quantity_is_not_mapped_and_says_why(
    draft: Draft, heading: str, reason: str
) -> None:
    columns, told = draft(heading)
    assert set(columns) == {"hose_type", "bore", "outside_diameter"}
    assert reason in looked_at(told, heading)


@pytest.mark.parametrize(
    ("heading", "column", "unit"),
    [
        ("Working pressure (crimped) bar", "working_pressure_crimped", "bar"),
        ("Max. WP with crimped ferrules [psi]", "working_pressure_crimped", "psi"),
        ("Max working pressure with crimped ferrules (bar)", "working_pressure_crimped", "bar"),
        ("Working pressure (clamps) bar", "working_pressure_clamped", "bar"),
        ("Max working pressure (bar)", "working_pressure_clamped", "bar"),
        ("Working pressure (bar gauge)", "working_pressure_clamped", "bar gauge"),
        ("Max temp (intermittent)", "temperature_short_time", "degC"),
        ("Max temp peak (F)", "temperature_short_time", "F"),
        ("Max. temperature (short-term) [degC]", "temperature_short_time", "degC"),
        ("Temp. max. (30 min) °C", "temperature_short_time", "°C"),
        ("Temperature short time (°C)", "temperature_short_time", "°C"),
        ("Temperature (short time, °C)", "temperature_short_time", "°C"),
        ("Max temp (continuous) °C", "temperature_continuous", "°C"),
        ("Temperature (min) °C", "temperature_cold", "°C"),
        ("Vacuum (hot) kPa", "suction_limit_hot", "kPa"),
        ("Bore (min, mm)", "bore_min", "mm"),
        ("Price (per ft)", "price_per_m", "ft"),
        ("Price excl. VAT per ft", "price_per_m", "ft"),
        ("Vacuum (in Hg)", "suction_limit_cold", "in Hg vacuum"),
        ("Vacuum (inHg)", "suction_limit_cold", "inHg vacuum"),
        ("Vacuum in. Hg", "suction_limit_cold", "in. Hg vacuum"),
        ("Vacuum, inches of Hg", "suction_limit_cold", "inches of Hg vacuum"),
        ("Suction limit (mm Hg)", "suction_limit_cold", "mm Hg vacuum"),
        ("Vacuum (bar)", "suction_limit_cold", "bar"),
    ],
)
def test_words_in_brackets_count_and_units_are_units(
    draft: Draft, heading: str, column: str, unit: str
) -> None:
    columns, _ = draft(heading)
    taken = {name: told for name, told in columns.items() if told["heading"] == heading}
    assert {name: told["unit"] for name, told in taken.items()} == {column: unit}


def test_a_second_least_figure_is_not_taken_for_another_one(draft: Draft) -> None:
    columns, told = draft("Min temp (°C)", "Min temp (°F)", "ID min (mm)", "ID min (in)")
    assert columns["temperature_cold"]["heading"] == "Min temp (°C)"
    assert columns["bore_min"]["heading"] == "ID min (mm)"
    assert columns["bore"]["heading"] == "ID (mm)"
    assert set(columns) == {"hose_type", "bore", "outside_diameter", "temperature_cold", "bore_min"}
    assert '# not mapped: "Min temp (°F)"' in told
