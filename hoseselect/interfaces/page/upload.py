"""A sheet that somebody sends: read within limits, from a file of our own that is gone after it.

What the sender calls the file is never used. The limits are stated on the page; they are common
practice, no source, and keep one till from holding up the others: `hoseselect batch` knows none.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

from hoseselect.files.open_sheet import WORKBOOK, open_sheet
from hoseselect.files.sheet_line import SheetLine
from hoseselect.files.text_sheet import Wording
from hoseselect.knowledge.errors import InputError

MOST_BYTES = 5_000_000
MOST_UNPACKED = 20_000_000
MOST_LINES = 2_000
MOST_BLANK = 5_000
MOST_COLUMNS = 200
EXPECTED = "a sheet, CSV or XLSX"
WORDING = Wording("sheet", "encoding", "a file saved as UTF-8, or its own encoding chosen")
ENCODINGS = ("utf-8", "cp1252", "utf-16")


@dataclass(frozen=True)
class Upload:
    """A sheet that was sent.

    Parameters
    ----------
    content : its bytes
    name : what we call it
    lines : all of them
    hidden_columns : places of columns that are not shown
    separator : what parts the cells of a text; empty = a workbook
    """

    content: bytes
    name: str
    lines: list[SheetLine]
    hidden_columns: frozenset[int]
    separator: str


def read_upload(content: bytes, encoding: str = "") -> Upload:
    """Return a sheet that was sent.

    Parameters
    ----------
    content : its bytes
    encoding : of a text; empty = UTF-8

    Raises
    ------
    InputError
        when it cannot be read, or goes beyond a limit.
    """
    refuse_beyond_limits(content)
    name = "sheet.xlsx" if content.startswith(WORKBOOK) else "sheet.csv"
    with TemporaryDirectory(prefix="hoseselect-") as folder:
        path = Path(folder) / name
        path.write_bytes(content)
        known = encoding if encoding in ENCODINGS[1:] else ""
        sheet = open_sheet(path, encoding=known, wording=WORDING)
        lines = _within_limits(sheet.lines(), name)
        return Upload(content, name, lines, sheet.hidden_columns, sheet.separator)


def refuse_beyond_limits(content: bytes) -> None:
    """Refuse nothing at all, what is too large, and a workbook that unpacks to far more.

    Raises
    ------
    InputError
        when it does.
    """
    if not content.strip():
        raise InputError("sheet", "nothing", EXPECTED)
    if len(content) > MOST_BYTES:
        raise InputError("sheet", f"{len(content):,} bytes", f"at most {MOST_BYTES:,}")
    if not content.startswith(WORKBOOK):
        return
    try:
        with zipfile.ZipFile(BytesIO(content)) as archive:
            unpacked = sum(part.file_size for part in archive.infolist())
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OverflowError):
        raise InputError("sheet", "a damaged workbook", EXPECTED) from None
    if unpacked > MOST_UNPACKED:
        found = f"a workbook that unpacks to {unpacked:,} bytes"
        raise InputError("sheet", found, f"at most {MOST_UNPACKED:,}")


def _within_limits(lines: Iterable[SheetLine], name: str) -> list[SheetLine]:
    found: list[SheetLine] = []
    filled, blank = 0, 0
    for line in lines:
        blank = blank + 1 if line.empty else 0
        filled += not line.empty
        if filled > MOST_LINES + 1:
            raise InputError(name, f"more than {MOST_LINES:,} lines", "`hoseselect batch`")
        if blank > MOST_BLANK:
            found_blank = f"more than {MOST_BLANK:,} empty lines in a row"
            raise InputError(name, found_blank, "a sheet without them")
        if len(line.cells) > MOST_COLUMNS and any(map(str.strip, line.cells[MOST_COLUMNS:])):
            raise InputError(name, f"{len(line.cells):,} columns", f"at most {MOST_COLUMNS}")
        found.append(line)
    return found
