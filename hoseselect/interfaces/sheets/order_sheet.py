"""Read a list of lengths to cut from a sheet."""

from __future__ import annotations

from math import isnan
from pathlib import Path

from hoseselect.files.open_sheet import open_sheet
from hoseselect.files.sheet_line import SheetLine, decimal_sign
from hoseselect.files.text_sheet import Wording
from hoseselect.knowledge.errors import HoseselectError, InputError, refuse
from hoseselect.rolls.plan import Order

COLUMNS = ("hose_size", "length", "count", "job")
"""Headings of the sheet; `job` may be left out."""

LEAST_COLUMNS = COLUMNS[:3]
WORDING = Wording(expected="a file saved as UTF-8")


def read_orders(path: Path) -> list[Order]:
    """Read the lengths to cut.

    The sheet has the headings hose_size, length, count and, if wanted, job, in any order, parted
    by comma, semicolon or tab. A length carries its unit; a bare number is in millimetres. A sheet
    of answers, as the sheet of jobs gives it, does as well: its lines with a length count, those
    whose length rests on a guess by the longest that it may come to.

    Parameters
    ----------
    path : sheet, CSV in UTF-8 or XLSX

    Returns
    -------
    orders in the order of the sheet; none for a sheet with headings only

    Raises
    ------
    InputError : the sheet cannot be read, or some of its cells; its `faults` name every one by
        file:line:column
    """
    name = path.name
    sheet = open_sheet(path, strict=True, wording=WORDING)
    decimal = decimal_sign(sheet.separator)
    rows = [(line.line, _texts(line, name)) for line in sheet.lines() if not line.empty]
    if not rows:
        raise InputError(f"{name}:1:1", "an empty sheet", ", ".join(COLUMNS))
    complaints: list[HoseselectError] = []
    if ANSWER_HOSE in rows[0][1]:
        rows = orders_of_answers(rows)
    line, headings = rows[0]
    places = _places(f"{name}:{line}", headings, complaints)
    refuse(complaints)
    orders = []
    for line, cells in rows[1:]:
        found = len(complaints)
        order = _order(f"{name}:{line}", cells, places, len(headings), complaints, decimal)
        if len(complaints) == found:
            orders.append(order)
    refuse(complaints)
    return orders


ANSWER_HOSE, ANSWER_CUT, ANSWER_MOST = "answer.hose", "answer.cut_length", "answer.cut_most"
AT_MOST = "at most, measure first"


def orders_of_answers(rows: list[tuple[int, list[str]]]) -> list[tuple[int, list[str]]]:
    """Return the lines of a sheet of answers that have a length to cut, as a list of lengths.

    Parameters
    ----------
    rows : lines of a sheet of answers with the numbers of their lines, headings first
    """
    line, headings = rows[0]
    hose = headings.index(ANSWER_HOSE)
    cut, most = (
        next((k for k, name in enumerate(headings) if name.startswith(wanted)), len(headings))
        for wanted in (ANSWER_CUT, ANSWER_MOST)
    )
    unit = "in" if headings[cut : cut + 1] == [f"{ANSWER_CUT} [in]"] else "mm"
    named = headings.index("name") if "name" in headings else len(headings)
    made = [(line, list(COLUMNS))]
    for number, cells in rows[1:]:
        length, longest, job = (cells[k] if k < len(cells) else "" for k in (cut, most, named))
        job = job or f"line {number}"
        if longest and not length:
            length, job = longest, f"{job} ({AT_MOST})"
        if length:
            made.append((number, [cells[hose], f"{length} {unit}", "1", job]))
    return made


def _texts(line: SheetLine, name: str) -> list[str]:
    """Return the cells of a line.

    Raises
    ------
    InputError
        when one of them cannot be read.
    """
    for column, fault in {**line.faults, **line.shown}.items():
        raise InputError(f"{name}:{line.line}:{column + 1}", *fault)
    return [cell.strip() for cell in line.cells]


def _places(place: str, headings: list[str], complaints: list[HoseselectError]) -> dict[str, int]:
    """Where each column stands; complaints about headings."""
    names = [heading.lower().replace(" ", "_") for heading in headings]
    for number, name in enumerate(names, start=1):
        if name not in COLUMNS:
            expected = "one of " + ", ".join(COLUMNS)
            complaints.append(InputError(f"{place}:{number}", f"heading '{name}'", expected))
        elif name in names[: number - 1]:
            expected = "each heading once"
            complaints.append(InputError(f"{place}:{number}", f"heading '{name}' again", expected))
    complaints += [
        InputError(f"{place}:1", f"no heading '{name}'", ", ".join(LEAST_COLUMNS))
        for name in LEAST_COLUMNS
        if name not in names
    ]
    return {name: number for number, name in enumerate(names)}


def _order(
    place: str,
    cells: list[str],
    places: dict[str, int],
    width: int,
    complaints: list[HoseselectError],
    decimal: str,
) -> Order:
    """Read one line; its faults are added to the complaints."""
    if len(cells) > width and any(cells[width:]):
        found = f"{len(cells)} cells"
        complaints.append(InputError(f"{place}:{width + 1}", found, f"{width}, as in the headings"))
    cells = cells + [""] * (width - len(cells))
    texts = {name: cells[number] for name, number in places.items()}
    where = {name: f"{place}:{number + 1}" for name, number in places.items()}
    if not texts["hose_size"]:
        complaints.append(InputError(where["hose_size"], "an empty cell", "a hose size"))
    length = count = 0.0
    try:
        length = _length(texts["length"], where["length"], decimal)
    except HoseselectError as error:
        complaints.append(error)
    try:
        count = _count(texts["count"], where["count"])
    except HoseselectError as error:
        complaints.append(error)
    return Order(texts["hose_size"], length, int(count), texts.get("job", ""))


def _length(text: str, place: str, decimal: str) -> float:
    """Read a length above zero [mm]."""
    from hoseselect.quantities.read import read_quantity

    expected = "a length above 0 such as '350 mm' or '13 3/4 in'"
    if not text:
        raise InputError(place, "an empty cell", expected)
    length = read_quantity(text, "length", place, decimal=decimal)
    if isnan(length) or length <= 0:
        raise InputError(place, f"'{text}'", expected)
    return length


def _count(text: str, place: str) -> int:
    """Read a whole number of at least one."""
    if not (text.isascii() and text.isdecimal() and int(text[:9]) >= 1 and len(text) <= 6):
        found = f"'{text}'" if text else "an empty cell"
        raise InputError(place, found, "a whole number of pieces from 1 to 999999")
    return int(text)
