"""A shop's own headings: drafted, mapped once, kept beside the catalogue; and the template."""

from __future__ import annotations

import csv
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hoseselect.catalogue.locate import find_catalogue
from hoseselect.intake.names import known_service
from hoseselect.interfaces.sheets.template_sheet import line_names

Command = Callable[..., Any]
OURS = """Our workshop,,,,,
Customer,Hose for,Stub OD (mm),"Length, string",Max. temp. (F),Colour
Miller,heater hose,16,400,230,black
Jones,brake line,5,300,,red
"""
MAPPING = """[headings]
"Customer" = "keep"
"Hose for" = "service"
"Stub OD (mm)" = "nipples.outside_diameter [mm]"
"Length, string" = "route.measured [mm]"
"Max. temp. (F)" = "duty.fluid_peak [degF]"
"Colour" = "keep"
"""


@pytest.fixture
def ours(tmp_path: Path) -> Path:
    path = tmp_path / "ours.csv"
    path.write_text(OURS, encoding="utf-8")
    return path


def answers(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as stream:
        return list(csv.DictReader(stream))


def test_headings_that_nobody_mapped_are_refused(
    command: Command, ours: Path, tmp_path: Path
) -> None:
    told = command("batch", str(ours), "-o", str(tmp_path / "a.csv"))
    assert told.code == 2
    assert "--suggest-headings" in told.err
    assert not (tmp_path / "a.csv").exists()


def test_a_draft_of_the_mapping_can_be_used(command: Command, ours: Path, tmp_path: Path) -> None:
    told = command("batch", str(ours), "--suggest-headings")
    assert told.code == 0, told.err
    assert '"Stub OD (mm)" = "nipples.outside_diameter [mm]"' in told.out
    assert '"Colour" = "keep"  # LOOK' in told.out
    drafted = tmp_path / "headings.toml"
    drafted.write_text(told.out, encoding="utf-8")
    used(command, ours, tmp_path, "--headings", str(drafted))


def used(command: Command, ours: Path, folder: Path, *options: str) -> None:
    """The shop's own headings stand in the answers; its cells are read by what they stand for."""
    out = folder / "answers.csv"
    told = command("batch", str(ours), "-o", str(out), *options)
    assert told.code == 0, told.err
    first, second = answers(out)
    assert (first["Customer"], first["Colour"]) == ("Miller", "black")
    assert (first["answer.verdict"], second["answer.verdict"]) == ("USE IF", "STOP")
    assert first["answer.hose"].endswith(("-15.9", "-16"))
    assert float(first["answer.cut_most [mm]"]) > 400


def test_a_mapping_beside_the_catalogue_is_kept(
    command: Command, ours: Path, tmp_path: Path
) -> None:
    shop = tmp_path / "shop"
    shutil.copytree(find_catalogue(None, {}), shop)
    (shop / "headings.toml").write_text(MAPPING, encoding="utf-8")
    used(command, ours, tmp_path, "--catalog", str(shop))
    assert command("catalog", "check", "--catalog", str(shop)).code == 0


WRONG = {
    "no TOML": ("[headings", "a mapping of headings in TOML"),
    "another section": ("[columns]\na = 1\n", "one section [headings]"),
    "no section": ("", "one section [headings]"),
    "no text": ('[headings]\n"A" = 3\n', "a key of a job file in quotes"),
    "no key": ('[headings]\n"A" = "duty.fluid_stedy"\n', "duty.fluid_steady"),
    "a wrong unit": ('[headings]\n"A" = "route.measured [stone]"\n', "stone"),
}


@pytest.mark.parametrize("case", WRONG)
def test_a_mapping_that_cannot_be_used(
    command: Command, ours: Path, tmp_path: Path, case: str
) -> None:
    text, says = WRONG[case]
    mapping = tmp_path / "headings.toml"
    mapping.write_text(text, encoding="utf-8")
    told = command("batch", str(ours), "-o", str(tmp_path / "a.csv"), "--headings", str(mapping))
    assert told.code == 2
    assert says in told.err
    assert not (tmp_path / "a.csv").exists()


def test_two_headings_of_one_key_are_refused(command: Command, ours: Path, tmp_path: Path) -> None:
    mapping = tmp_path / "headings.toml"
    mapping.write_text(MAPPING.replace('"Colour" = "keep"', '"Colour" = "service"'))
    told = command("batch", str(ours), "-o", str(tmp_path / "a.csv"), "--headings", str(mapping))
    assert told.code == 2
    assert "'service' again" in told.err


def test_a_sheet_without_headings_has_no_draft(command: Command, tmp_path: Path) -> None:
    sheet = tmp_path / "one.csv"
    sheet.write_text("alone\n", encoding="utf-8")
    told = command("batch", str(sheet), "--suggest-headings")
    assert told.code == 2
    assert "no line with two headings" in told.err


def test_the_template_has_choices_and_explanations(command: Command, tmp_path: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    path = tmp_path / "new.xlsx"
    assert command("batch", "--template", str(path)).code == 0
    book = openpyxl.load_workbook(path)
    jobs = book["jobs"]
    heads = [cell.value for cell in jobs[1]]
    assert "nipples.outside_diameter [mm]" in heads
    assert jobs.freeze_panes == "B2"
    assert jobs.auto_filter.ref
    lists = {str(rule.sqref): rule.formula1 for rule in jobs.data_validations.dataValidation}
    column = openpyxl.utils.get_column_letter(heads.index("features.turbo") + 1)
    picked = {area.partition("2:")[0]: rule for area, rule in lists.items()}
    assert picked[column] == '"yes,no,unknown"'
    assert picked["A"].startswith("choices!")
    nipple = openpyxl.utils.get_column_letter(heads.index("nipples.outside_diameter [mm]") + 1)
    assert jobs.column_dimensions[nipple].number_format == "@"  # 3/8 stays 3/8
    explained = [row[0] for row in book["explanations"].iter_rows(min_row=2, values_only=True)]
    assert {head.partition(" [")[0] for head in heads} <= set(explained)
    offered = [row[0] for row in book["choices"].iter_rows(min_row=2, values_only=True)]
    assert offered == line_names()
    assert all(known_service(name) for name in offered)


def test_answers_can_be_read_in_a_spreadsheet(command: Command, ours: Path, tmp_path: Path) -> None:
    openpyxl = pytest.importorskip("openpyxl")
    mapping, out = tmp_path / "headings.toml", tmp_path / "answers.xlsx"
    mapping.write_text(MAPPING, encoding="utf-8")
    assert command("batch", str(ours), "-o", str(out), "--headings", str(mapping)).code == 0
    sheet = openpyxl.load_workbook(out)["answers"]
    heads = [cell.value for cell in sheet[1]]
    assert sheet.freeze_panes == "A2"
    assert sheet.auto_filter.ref == f"A1:{openpyxl.utils.get_column_letter(len(heads))}3"
    checks = heads.index("answer.checks") + 1
    assert sheet.column_dimensions[openpyxl.utils.get_column_letter(checks)].width >= 40
    assert sheet.cell(2, checks).alignment.wrap_text
    assert sheet.cell(1, checks).font.bold
