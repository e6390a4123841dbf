"""A line of a sheet as text cells, and what a sheet can hold."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

MOST_ROWS = 1_048_576
MOST_COLUMNS = 16_384
"""What one sheet of a workbook holds; no CSV sheet is wider either."""

MOST_LETTERS_OF_A_CELL = 131_072
"""Of a cell of text: what Python's csv reader takes by itself. Any library of the same process may
raise its limit for all, so that who reads looks at the letters too."""


class Fault(NamedTuple):
    """What is wrong with a cell or a line: what was found, and what was expected."""

    found: str
    expected: str

    def __str__(self) -> str:
        return f"found {self.found}; expected {self.expected}"


@dataclass(frozen=True)
class SheetLine:
    """One line of a sheet.

    Parameters
    ----------
    number : row of the sheet, from 1
    cells : texts
    faults : what is wrong with single cells: found and expected, by place from 0
    fault : what is wrong with the line as a whole; None for nothing
    line : line of the file on which it starts, from 1
    merged : first column of the area that a cell is merged into with its neighbours, by place
    shown : figures that are shown otherwise than they are stored, by place
    copied : whether nothing stands in it but copies of merged cells above
    hidden : whether it is hidden
    """

    number: int
    cells: list[str]
    faults: dict[int, Fault] = field(default_factory=dict)
    fault: Fault | None = None
    line: int = 0
    merged: dict[int, int] = field(default_factory=dict)
    shown: dict[int, Fault] = field(default_factory=dict)
    copied: bool = False
    hidden: bool = False

    @property
    def empty(self) -> bool:
        """Whether nothing stands in it."""
        return not self.fault and not self.faults and not any(map(str.strip, self.cells))


def decimal_sign(separator: str) -> str:
    """Return the decimal sign of a sheet whose cells are parted so: a comma beside semicolons."""
    return "," if separator == ";" else "."


def column_letters(column: int) -> str:
    """Return the letters of a column, from 0.

    Examples
    --------
    >>> column_letters(0), column_letters(27)
    ('A', 'AB')
    """
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
