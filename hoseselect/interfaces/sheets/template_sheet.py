"""An empty sheet of jobs: one row of headings with units, choices to pick from, explanations."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import Any

from hoseselect.files.write_files import drafts
from hoseselect.intake.sheet_keys import SheetKey, sheet_keys
from hoseselect.interfaces.sheets.answer_sheet import answer_sheet
from hoseselect.interfaces.sheets.batch_schema import (
    TEMPLATE,
    kind_words,
    meaning_of,
    template_keys,
    with_unit,
)
from hoseselect.knowledge.load import table

LINES = 500
"""Lines that are made ready: cells as text, choices to pick from."""

LONGEST_LIST = 255  # letters of a list of choices that stands in the rule itself
TEXT = "@"
"""Number format in which a spreadsheet leaves 3/8 as it was typed."""

JOBS, EXPLANATIONS, CHOICES = "jobs", "explanations", "choices"
WIDE, NARROW = 28, 16  # columns [letters]
WIDTHS = (34, 60, 44, 10, 30)  # of the explanations [letters]
EXPLAINED = ("column", "meaning", "what stands in a cell", "unit of a bare number", "example")
HEAD_HEIGHT = 48  # [points]


def write_template(path: Path) -> None:
    """Write an empty sheet of jobs with two lines that show how cells are filled in.

    Parameters
    ----------
    path : ends in .csv or .xlsx; a CSV sheet has headings and lines alone

    Raises
    ------
    InputError
        when it cannot be written.
    """
    keys = template_keys()
    rows = [tuple(map(with_unit, keys))]
    rows += [tuple(line.get(key.place, "") for key in keys) for line in TEMPLATE]
    if path.suffix.lower() != ".xlsx":
        with answer_sheet(path) as writer:
            writer.write(rows)
        return
    book = import_module("openpyxl").Workbook()
    _fill_jobs(book.active, keys, rows)
    _fill_explanations(book.create_sheet(EXPLANATIONS))
    _fill_choices(book.create_sheet(CHOICES))
    with drafts([path]) as (draft,):
        book.save(draft)


def line_names() -> list[str]:
    """Return the lines that can be picked, as people call them."""
    return sorted(row["name"] for row in table("services"))


def _fill_jobs(sheet: Any, keys: list[SheetKey], rows: list[tuple[str, ...]]) -> None:
    sheet.title = JOBS
    letters = import_module("openpyxl.utils").get_column_letter
    validation = import_module("openpyxl.worksheet.datavalidation").DataValidation
    for row in rows:
        sheet.append(row)
    for number, key in enumerate(keys, start=1):
        letter = letters(number)
        sheet.column_dimensions[letter].width = NARROW if key.unit or key.words else WIDE
        sheet.column_dimensions[letter].number_format = TEXT
        for line in range(2, len(rows) + 1):
            sheet[f"{letter}{line}"].number_format = TEXT
        choices = _choices(key)
        if choices:
            rule = validation(type="list", formula1=choices, allow_blank=True)
            rule.errorStyle = "warning"
            rule.showErrorMessage = key.place != "service"  # any name that people give will do
            rule.promptTitle, rule.prompt = key.parts[-1][:32], meaning_of(key)[0][:LONGEST_LIST]
            rule.showInputMessage = True
            rule.add(f"{letter}2:{letter}{LINES + 1}")
            sheet.add_data_validation(rule)
    _head(sheet, f"A1:{letters(len(keys))}{LINES + 1}")


def _choices(key: SheetKey) -> str:
    """Return the rule of a list to pick from; empty where anything may stand there."""
    if key.place == "service":
        return f"{CHOICES}!$A$2:$A${len(line_names()) + 1}"
    listed = f'"{",".join(key.words)}"'
    return listed if key.words and len(listed) <= LONGEST_LIST else ""


def _fill_explanations(sheet: Any) -> None:
    sheet.append(EXPLAINED)
    for key in sheet_keys().values():
        meaning, example = meaning_of(key)
        sheet.append([key.place, meaning, kind_words(key), key.unit, example])
    letters = import_module("openpyxl.utils").get_column_letter
    wrapped = import_module("openpyxl.styles").Alignment(wrap_text=True, vertical="top")
    for number, width in enumerate(WIDTHS, start=1):
        sheet.column_dimensions[letters(number)].width = width
    for row in sheet.iter_rows(min_row=2):
        for cell in row:
            cell.alignment = wrapped
            cell.number_format = TEXT
            cell.data_type = "s"
    _head(sheet, sheet.dimensions)


def _fill_choices(sheet: Any) -> None:
    for name in ("names of lines; any other that people use will do as well", *line_names()):
        sheet.append([name])
    sheet.column_dimensions["A"].width = WIDTHS[1]
    _head(sheet, sheet.dimensions)


def _head(sheet: Any, filtered: str) -> None:
    """Freeze and mark the headings, and make the lines below them a list to filter."""
    styles = import_module("openpyxl.styles")
    for cell in sheet[1]:
        cell.font = styles.Font(bold=True)
        cell.alignment = styles.Alignment(wrap_text=True, vertical="top")
    sheet.row_dimensions[1].height = HEAD_HEIGHT
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = filtered
