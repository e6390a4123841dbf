"""Open a sheet, whatever it was saved as."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from hoseselect.files.open_file import reason_of, refuse_no_file
from hoseselect.files.text_sheet import EXPECTED, USUAL, TextSheet, Wording
from hoseselect.knowledge.errors import InputError

if TYPE_CHECKING:
    from hoseselect.files.parquet_sheet import ParquetSheet
    from hoseselect.files.workbook_sheet import WorkbookSheet

WORKBOOK = b"PK\x03\x04"
PARQUET = b"PAR1"
OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"


def open_sheet(
    path: Path,
    *,
    name: str = "",
    separator: str = "",
    encoding: str = "",
    strict: bool = False,
    wording: Wording = USUAL,
) -> TextSheet | WorkbookSheet | ParquetSheet:
    """Return a sheet whose lines can be read.

    Parameters
    ----------
    path : CSV (or any text with separators), XLSX or Parquet
    name : sheet of a workbook; empty = the first that is shown
    separator, encoding, strict : as for `TextSheet`
    wording : how complaints call the options

    Raises
    ------
    InputError
        when the file cannot be read.
    """
    refuse_no_file(path, EXPECTED)
    try:
        with path.open("rb") as stream:
            start = stream.read(len(WORKBOOK))
    except OSError as error:
        raise InputError(str(path), reason_of(error), EXPECTED) from None
    if start == OLD_WORKBOOK:
        raise InputError(path.name, "an old or locked workbook", "a workbook saved as XLSX, or CSV")
    if start == PARQUET:
        from hoseselect.files.parquet_sheet import ParquetSheet

        return ParquetSheet(path)
    if start == WORKBOOK:
        from hoseselect.files.workbook_sheet import WorkbookSheet

        return WorkbookSheet(path, name, wording)
    return TextSheet(
        path.name,
        lambda: path.open("rb"),
        separator=separator,
        encoding=encoding,
        strict=strict,
        wording=wording,
    )
