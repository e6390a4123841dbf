"""Read a list of lengths to cut from a sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isnan
from pathlib import Path

from hoseselect.files.open_sheet import open_sheet
from hoseselect.files.sheet_line import SheetLine, decimal_sign
from hoseselect.files.text_sheet import Wording
from hoseselect.intake.job_headings import split_unit
from hoseselect.intake.names import ascii_text
from hoseselect.intake.sheet_cells import with_unit
from hoseselect.knowledge.errors import HoseselectError, InputError, refuse
from hoseselect.quantities.spelling import without_unseen
from hoseselect.rolls.plan import Order

COLUMNS = ("hose_size", "length", "count", "job")
"""Headings of the sheet; `job` may be left out."""

LEAST_COLUMNS = COLUMNS[:3]
WORDING = Wording(expected="a file saved as UTF-8")


def read_orders(path: Path, sizes: Iterable[str] = ()) -> list[Order]:
    """Read the lengths to cut.

    The sheet has the headings hose_size, length, count and, if wanted, job, in any order, parted
    by comma, semicolon or tab. A length carries its unit; a bare number is in the unit of the
    heading, `length [in]`, else in millimetres. A sheet of answers, as the sheet of jobs gives it,
    does as well: its lines with a length count, those whose length rests on a guess by the longest
    that it may come to.

    Parameters
    ----------
    path : sheet, CSV in UTF-8 or XLSX
    sizes : of the catalogue, of which each line names one in any case; none = not looked at

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
    rows = [(line.line, _texts(line, name)) for line in sheet.lines() if not line.empty]
    if not rows:
        raise InputError(f"{name}:1:1", "an empty sheet", ", ".join(COLUMNS))
    complaints: list[HoseselectError] = []
    if ANSWER_HOSE in rows[0][1]:
        rows = orders_of_answers(rows)
    line, headings = rows[0]
    places = _places(f"{name}:{line}", headings, complaints)
    refuse(complaints)
    reader = _Reader(
        places, len(headings), _unit(headings), decimal_sign(sheet.separator), _by_letters(sizes)
    )
    orders = []
    for line, cells in rows[1:]:
        found = len(complaints)
        order = reader.order(f"{name}:{line}", cells, complaints)
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
    names = [split_unit(heading)[0].lower().replace(" ", "_") for heading in headings]
    for number, name in enumerate(names, start=1):
        try:
            _check_heading(headings[number - 1], name, names[: number - 1], f"{place}:{number}")
        except InputError as error:
            complaints.append(error)
    complaints += [
        InputError(f"{place}:1", f"no heading '{name}'", ", ".join(LEAST_COLUMNS))
        for name in LEAST_COLUMNS
        if name not in names
    ]
    return {name: number for number, name in enumerate(names)}


def _check_heading(heading: str, name: str, before: list[str], place: str) -> None:
    """Refuse a heading that is none, that stands there already, or that has a unit it cannot have.

    Raises
    ------
    InputError
        with its place.
    """
    unit = split_unit(heading)[1]
    if name not in COLUMNS:
        raise InputError(place, f"heading '{name}'", "one of " + ", ".join(COLUMNS))
    if name in before:
        raise InputError(place, f"heading '{name}' again", "each heading once")
    if not unit:
        return
    if name != "length":
        raise InputError(place, f"a unit '{unit}' for {name}", "no unit")
    try:
        _length(f"1 {unit}", place, ".")
    except HoseselectError:
        raise InputError(place, f"a unit '{unit}' for {name}", "mm, cm, m, in or ft") from None


def _unit(headings: list[str]) -> str:
    """Return the unit of bare lengths; empty where no heading says one."""
    return next((unit for _, unit in map(split_unit, headings) if unit), "")


def _by_letters(sizes: Iterable[str]) -> dict[str, list[str]]:
    """Return the hose sizes by their small letters."""
    alike: dict[str, list[str]] = {}
    for size in sizes:
        alike.setdefault(str(size).casefold(), []).append(str(size))
    return alike


@dataclass(frozen=True)
class _Reader:
    """Reads the lines below the headings.

    Parameters
    ----------
    places : of the columns
    width : number of headings
    unit : of bare lengths; empty = mm
    decimal : sign of the sheet
    sizes : of the catalogue, by their small letters; empty = any name is one
    """

    places: dict[str, int]
    width: int
    unit: str
    decimal: str
    sizes: dict[str, list[str]]

    def order(self, place: str, cells: list[str], complaints: list[HoseselectError]) -> Order:
        """Read one line; its faults are added to the complaints."""
        if len(cells) > self.width and any(cells[self.width :]):
            more, expected = f"{place}:{self.width + 1}", f"{self.width}, as in the headings"
            complaints.append(InputError(more, f"{len(cells)} cells", expected))
        cells = cells + [""] * (self.width - len(cells))
        texts = {name: cells[number] for name, number in self.places.items()}
        where = {name: f"{place}:{number + 1}" for name, number in self.places.items()}
        size, length, count = "", 0.0, 0
        try:
            size = self.size(texts["hose_size"], where["hose_size"])
        except HoseselectError as error:
            complaints.append(error)
        try:
            length = _length(with_unit(texts["length"], self.unit), where["length"], self.decimal)
        except HoseselectError as error:
            complaints.append(error)
        try:
            count = _count(texts["count"], where["count"])
        except HoseselectError as error:
            complaints.append(error)
        return Order(size, length, count, texts.get("job", ""))

    def size(self, text: str, place: str) -> str:
        """Return a hose size as the catalogue spells it; capitals do not matter.

        Raises
        ------
        InputError
            when there is none, or the catalogue has several that differ in capitals alone.
        """
        if not text:
            raise InputError(place, "an empty cell", "a hose size")
        if not self.sizes:
            return text
        name = without_unseen(text)
        alike = self.sizes.get(name.casefold(), [])
        if name in alike:
            return name
        if len(alike) != 1:
            first = next(iter(self.sizes.values()))[0]
            expected = f"a hose size of the catalogue, such as {first}"
            raise InputError(place, ascii_text(text), expected)
        return alike[0]


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
