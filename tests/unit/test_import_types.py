"""What a supplier's sheet says of a hose type holds for every size of it, or is refused."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hoseselect.application.import_catalogue import CatalogueImport, import_catalogue

MAPPING = """
[constants]
reinforcement = "textile"

[columns]
hose_type = {heading = "Type"}
liner = {heading = "Liner"}
marking = {heading = "Standard"}
temperature_continuous = {heading = "Max", unit = "degC"}
made_for_clamps = {heading = "Clamps"}
not_for = {heading = "Never"}
description = {heading = "Text"}
bore = {heading = "ID", unit = "mm"}
outside_diameter = {heading = "OD", unit = "mm"}
"""
HEADINGS = ("Type", "Liner", "Standard", "Max", "Clamps", "Never", "Text", "ID", "OD")
FULL = ("A1", "NBR", "j30-r7", "100", "yes", "brake", "hose")

Bring = Callable[..., CatalogueImport]


@pytest.fixture
def bring(tmp_path: Path) -> Bring:
    """Import rows into tmp_path/shop; each is told by what its type says and its bore."""

    def run(*rows: tuple[str, ...], mapping: str = MAPPING, **options: Any) -> CatalogueImport:
        path = tmp_path / "sheet.csv"
        with path.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream).writerows(
                [HEADINGS, *((*row, f"{float(row[-1]) + 7:g}") for row in rows)]
            )
        (tmp_path / "mapping.toml").write_text(mapping, encoding="utf-8")
        return import_catalogue(path, tmp_path / "mapping.toml", tmp_path / "shop", **options)

    return run


def row(bore: str, **other: str) -> tuple[str, ...]:
    """One row of a sheet, with other cells under some headings."""
    told = dict(zip(HEADINGS, FULL, strict=False)) | {key.title(): v for key, v in other.items()}
    return (*(told[heading] for heading in HEADINGS[:-2]), bore)


def errors(result: CatalogueImport) -> list[str]:
    return [complaint.sentence for complaint in result.errors]


def types_of(folder: Path) -> list[dict[str, str]]:
    with (folder / "hose_types.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.mark.parametrize("nothing", ["", "-", "n/a", "\u2013", "N.A."])
@pytest.mark.parametrize("heading", ["liner", "standard", "max", "clamps", "never"])
def test_what_only_one_row_says_is_not_lent_to_the_others(
    bring: Bring, tmp_path: Path, heading: str, nothing: str
) -> None:
    value = dict(zip(HEADINGS, FULL, strict=False))[heading.title()]
    found = f"'{nothing}', which states nothing" if nothing else "an empty cell"
    for rows, line, says in (
        ((row("6"), row("8", **{heading: nothing})), 3, 2),
        ((row("6", **{heading: nothing}), row("8")), 2, 3),
    ):
        result = bring(*rows)
        assert not (tmp_path / "shop").exists()
        assert len(result.errors) == 1
        assert result.errors[0].line == line
        assert f"({heading.title()}): found {found}; expected '{value}'" in errors(result)[0]
        assert f"as line {says} says of the hose type 'A1'" in errors(result)[0]


def test_rows_that_say_nothing_can_be_left_out(bring: Bring, tmp_path: Path) -> None:
    result = bring(row("6"), row("8", standard="-"), row("10"), leave_out=True)
    assert result.written
    assert result.left_out == (3,)
    assert types_of(tmp_path / "shop")[0]["marking"] == "j30-r7"


def test_nothing_in_every_row_and_another_type_are_no_fault(bring: Bring, tmp_path: Path) -> None:
    rows = (row("6", standard="-"), row("8", standard=""), row("6", type="B2"))
    assert bring(*rows).written
    assert [kind["marking"] for kind in types_of(tmp_path / "shop")] == ["", "j30-r7"]


def test_a_description_may_stand_once(bring: Bring, tmp_path: Path) -> None:
    assert bring(row("6", text=""), row("8")).written
    assert types_of(tmp_path / "shop")[0]["description"] == "hose"


def test_a_mapping_that_fills_down_settles_it(bring: Bring) -> None:
    filled = MAPPING.replace('"Standard"', '"Standard", fill_down = true')
    assert bring(row("6"), row("8", standard=""), mapping=filled).written
    result = bring(row("10"), row("12", standard="-"), mapping=filled)
    assert [complaint.line for complaint in result.errors] == [3]


def test_rows_that_differ_name_the_row_that_says_the_other(bring: Bring) -> None:
    told = errors(bring(row("6", max=""), row("8"), row("10", max="125")))
    assert any("'125'; expected '100', as line 3 says" in sentence for sentence in told)


def test_a_new_size_that_says_nothing_is_not_lent_what_the_catalogue_says(bring: Bring) -> None:
    assert bring(row("6")).written
    for replace in (False, True):
        result = bring(row("8", standard="n/a"), replace=replace)
        assert errors(result) == [
            "sheet.csv:2:3 (Standard): found 'n/a', which states nothing; expected 'j30-r7', as"
            " the catalogue says of the hose type 'A1'"
        ]
    assert bring(row("8")).written


def test_what_stands_stays_where_known_sizes_say_nothing(bring: Bring, tmp_path: Path) -> None:
    assert bring(row("6")).written
    assert bring(row("6", standard="-"), replace=True).written
    assert types_of(tmp_path / "shop")[0]["marking"] == "j30-r7"


@pytest.mark.parametrize("bore", ["6", "12"])
def test_one_row_does_not_change_a_type_for_sizes_that_the_sheet_does_not_list(
    bring: Bring, tmp_path: Path, bore: str
) -> None:
    assert bring(row("6"), row("8"), row("10")).written
    result = bring(row(bore, max="150", text="new words"), replace=True)
    assert not result.written
    missing = "A1-8 and A1-10" if bore == "6" else "A1-6, A1-8 and A1-10"
    assert errors(result) == [
        "sheet.csv:2:4 (Max): found '150'; expected '100', as the catalogue says of the hose type"
        f" 'A1', or a line for every size of it: there is none for {missing}"
    ]
    assert types_of(tmp_path / "shop")[0]["temperature_continuous_degc"] == "100"


def test_a_sheet_of_every_size_may_change_its_type(bring: Bring, tmp_path: Path) -> None:
    assert bring(row("6"), row("8")).written
    assert bring(row("6", max="150"), row("8", max="150"), replace=True).written
    assert types_of(tmp_path / "shop")[0]["temperature_continuous_degc"] == "150"


def test_what_the_catalogue_does_not_say_is_not_put_to_other_sizes(bring: Bring) -> None:
    assert bring(row("6", standard="-"), row("8", standard="-")).written
    result = bring(row("10"), replace=True)
    assert "expected an empty cell, as the catalogue says" in errors(result)[0]
    assert "there is none for A1-6 and A1-8" in errors(result)[0]
