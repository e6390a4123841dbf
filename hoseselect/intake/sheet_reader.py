"""Lines of a sheet as jobs, through the form of a job file; what is alike is read once.

A line is read table by table: cells that stand together in one table of a job file, such as
`duty`, become that table's form, and lines with the same cells there share it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from operator import itemgetter
from typing import Any

from pydantic import TypeAdapter, ValidationError

from hoseselect.domain.job import Job
from hoseselect.intake.door import MOST_KEPT
from hoseselect.intake.faults import faults_of
from hoseselect.intake.job_form import JobForm
from hoseselect.intake.job_headings import ColumnUse, cell_name
from hoseselect.intake.job_sheet import SheetLine
from hoseselect.intake.name_gate import speaks_of_a_line
from hoseselect.intake.read_job import STOPPING, job_of, only_contradicts, stopped_for_good
from hoseselect.intake.sheet_cells import Column
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.knowledge.errors import InputError, ManyFaultsError

LONGEST_SHOWN = 40
NAME = "name"
"""Key of the name of a job."""

OUTSIDE = "(cell)"
"""Stands for the key of a cell that belongs to none."""

NIPPLES = ("nipple_a", "nipple_b")
"""Tables whose keys may stand in the table `nipples` as well."""


@dataclass(frozen=True)
class LineFault:
    """What is wrong with a line of a sheet.

    Parameters
    ----------
    row : of the sheet, from 1
    places : of the cells that it is about, from 0; empty = the line as a whole
    key : of a job file, a field or a table; empty = the job as a whole
    found, expected : what stands there, and what would be right
    """

    row: int
    places: tuple[int, ...]
    key: str
    found: str
    expected: str

    def at(self, row: int) -> LineFault:
        """Return the same fault of another line with the same cells."""
        return replace(self, row=row)

    @property
    def cells(self) -> tuple[str, ...]:
        """Names of the cells that it is about."""
        return tuple(cell_name(self.row, place) for place in self.places)

    @property
    def place(self) -> str:
        """Cells and key."""
        cells = ", ".join(self.cells) or f"row {self.row}"
        return f"{cells} {self.key}:" if self.key else cells

    def __str__(self) -> str:
        return f"{self.place} found {self.found}; expected {self.expected}"


class SheetReader:
    """Reads the lines of one sheet.

    Parameters
    ----------
    uses : what each column is for
    form : of a job
    units : "in" where bare pressures and temperatures are asked about
    decimal : "," where the sheet is known to be written with decimal commas, else "."
    """

    def __init__(
        self,
        uses: Sequence[ColumnUse],
        form: type[JobForm] = JobForm,
        units: str = "mm",
        decimal: str = ".",
    ) -> None:
        self.uses = tuple(uses)
        self.units = units
        self._validate = TypeAdapter(form).validator.validate_python
        self.places = {use.key: place for place, use in enumerate(self.uses) if use.key}
        keys = sheet_keys(form)
        self.columns = {
            use.key: Column(keys[use.key], use.unit, decimal) for use in self.uses if use.key
        }
        columns = self.columns
        names = dict.fromkeys(key.partition(".")[0] for key in columns)
        self.tables = [
            _Table(
                name, form, {self.places[key]: columns[key] for key in columns if _in(key, name)}
            )
            for name in names
        ]
        self._of_keys: dict[tuple[str, ...], tuple[int, ...]] = {}
        self._nameless = [place for place, use in enumerate(self.uses) if not use.heading]
        deciding = {*self.places.values(), *self._nameless} - {self.places.get(NAME)}
        self._deciding = itemgetter(*sorted(deciding), *sorted(deciding)[:1])  # two at least

    def deciding(self, line: SheetLine) -> tuple[str, ...] | None:
        """Return the cells that decide what a line says; None where it must be read by itself.

        Lines of which they are the same say the same, but for a name that speaks of no line.

        Parameters
        ----------
        line : with something in it
        """
        cells = line.cells
        if line.fault is not None or line.faults or len(cells) > len(self.uses):
            return None
        if len(cells) < len(self.uses):
            cells = cells + [""] * (len(self.uses) - len(cells))
        texts: tuple[str, ...] = self._deciding(cells)
        name = cells[self.places[NAME]] if NAME in self.places else ""
        return texts if not name or self._is_silent(name) else (*texts, name)

    def _is_silent(self, cell: str) -> bool:
        """Return whether the name of a job decides nothing, be it there or not."""
        try:
            plain = cell.isascii() and cell.isprintable()
            return not speaks_of_a_line(cell if plain else self.columns[NAME].typed(cell))
        except InputError:
            return False

    def read(self, line: SheetLine) -> Job | tuple[LineFault, ...] | None:
        """Return the job of a line, what is wrong with it, or None where nothing stands in it."""
        if line.empty:
            return None
        if line.fault is not None:
            return (LineFault(line.number, (), "", *line.fault),)
        missing = len(self.uses) - len(line.cells)
        cells = line.cells + [""] * missing if missing > 0 else line.cells
        broken = self._broken(line, cells)
        if broken:
            cells = ["" if place in broken else cell for place, cell in enumerate(cells)]
        form = self.form_of(cells)
        if not broken and not isinstance(form, JobForm) and only_contradicts(form):
            stopped = self.form_of(self._stopping(cells))
            if isinstance(stopped, JobForm) and stopped_for_good(stopped.to_domain()):
                form = stopped
        if isinstance(form, JobForm) and not broken:
            try:
                typed = partial(self._typed, cells)
                return job_of(form, typed, self.units, decimal_known=True)
            except ManyFaultsError as error:
                form = [fault for fault in error.faults if isinstance(fault, InputError)]
            except InputError as error:
                form = [error]
        told: list[tuple[tuple[int, ...], InputError]]
        told = [((place,), fault) for place, fault in broken.items()]
        if not isinstance(form, JobForm):
            keys = {fault.place for fault in broken.values()}
            told += [(self._cells(cells, one), one) for one in form if key_of(one) not in keys]
        told.sort(key=lambda one: one[0][:1] or (len(cells),))
        return tuple(
            LineFault(line.number, places, key_of(fault), fault.found, fault.expected)
            for places, fault in told
        )

    def form_of(self, cells: list[str]) -> JobForm | list[InputError]:
        """Return the form of a line of cells, one a column at least, or what it refuses."""
        values: dict[str, Any] = {}
        faults: list[InputError] = []
        for table in self.tables:
            found = table.read(cells)
            if isinstance(found, _Refused):
                faults += found.faults
            elif found is not None:
                values[table.name] = found
        try:
            form: JobForm = self._validate(values)
        except ValidationError as error:
            known = {key_of(fault).partition(".")[0] for fault in faults}
            faults += (fault for fault in faults_of(error) if key_of(fault) not in known)
        return faults or form

    def _stopping(self, cells: list[str]) -> list[str]:
        """Return the cells that tell of a stop, whatever the others say; the others are empty."""
        keys = [use.key.partition(".")[0] for use in self.uses]
        keys += [""] * (len(cells) - len(keys))
        return [cell if key in STOPPING else "" for cell, key in zip(cells, keys, strict=True)]

    def _typed(self, cells: list[str], key: str) -> str | None:
        """Return what stands in the cell of a key, with the unit of its heading; None = no cell."""
        if key not in self.places:
            return None
        typed = self.columns[key][cells[self.places[key]]]
        return typed if typed and isinstance(typed, str) else None

    def _broken(self, line: SheetLine, cells: list[str]) -> dict[int, InputError]:
        """Return what is wrong with the form of cells, and with cells below no heading."""
        broken = {}
        for place, (found, expected) in line.faults.items():
            if place >= len(self.uses) or self.uses[place].key:
                broken[place] = InputError(self._key(place), found, expected)
        for place in (*self._nameless, *range(len(self.uses), len(cells))):
            text = cells[place].strip()
            if text:
                found = f"'{text[:LONGEST_SHOWN]}' below no heading"
                broken[place] = InputError(OUTSIDE, found, "an empty cell")
        return broken

    def _near(self, about: tuple[str, ...]) -> tuple[int, ...]:
        """Return the places of the columns of some keys, and of what stands in their tables."""
        if about not in self._of_keys:
            self._of_keys[about] = tuple(
                place for key, place in self.places.items() if any(_near(key, a) for a in about)
            )
        return self._of_keys[about]

    def _key(self, place: int) -> str:
        return (self.uses[place].key if place < len(self.uses) else "") or OUTSIDE

    def _cells(self, cells: list[str], fault: InputError) -> tuple[int, ...]:
        """Return the places of the cells that a fault is about, of those with something in them."""
        about = fault.keys or ((fault.place,) if fault.place else ())
        about += tuple(
            key.replace(own, "nipples") for key in about for own in NIPPLES if own in key
        )
        near = self._near(about)
        filled = [place for place in near if cells[place].strip()]
        return tuple(sorted(filled or near))


def key_of(fault: InputError) -> str:
    """Return the key of a job file that a fault is about: of a field, a table or the whole job."""
    return fault.keys[0] if len(fault.keys) == 1 else fault.place


MISSING = object()


@dataclass(frozen=True)
class _Refused:
    """What the form of a table refuses."""

    faults: tuple[InputError, ...]


class _Table:
    """The columns of one table of a job file, or of one key at its top.

    Parameters
    ----------
    name : of the table or key
    form : of the whole job
    columns : by their places in the sheet
    """

    def __init__(self, name: str, form: type[JobForm], columns: dict[int, Column]) -> None:
        self.name = name
        self.columns = tuple((column, column.key.parts) for column in columns.values())
        self.kept: dict[tuple[str, ...], Any] = {}
        self._pick = itemgetter(*columns)
        self._alone = len(columns) == 1
        self._plain = self.columns[0][1] == (name,)
        kind: Any = Any if self._plain else form.model_fields[name].annotation
        self._validate = TypeAdapter(kind).validator.validate_python

    def read(self, cells: list[str]) -> Any:
        """Return what the cells say, None where they are empty; it is kept."""
        texts = (self._pick(cells),) if self._alone else self._pick(cells)
        found = self.kept.get(texts, MISSING)
        if found is MISSING:
            if len(self.kept) >= MOST_KEPT:
                self.kept.clear()
            found = self.kept[texts] = self._read(texts)
        return found

    def _read(self, texts: tuple[str, ...]) -> Any:
        values: dict[str, Any] = {}
        faults: list[InputError] = []
        for text, (column, parts) in zip(texts, self.columns, strict=True):
            typed = column[text] if text else ""
            if isinstance(typed, InputError):
                faults.append(typed.at(column.key.place))
            elif typed:
                _put(values, parts, typed)
        found = values.get(self.name)
        if found is not None and not self._plain:
            try:
                found = self._validate(found)
            except ValidationError as error:
                faults += faults_of(error, table=self.name)
        return _Refused(tuple(faults)) if faults else found


def _put(values: dict[str, Any], parts: Iterable[str], text: str) -> None:
    *tables, name = parts
    for table in tables:
        values = values.setdefault(table, {})
    values[name] = text


def _in(key: str, table: str) -> bool:
    return key == table or key.startswith(f"{table}.")


def _near(key: str, other: str) -> bool:
    """Return whether one of two keys is the other, or stands in its table."""
    return _in(key, other) or _in(other, key)
