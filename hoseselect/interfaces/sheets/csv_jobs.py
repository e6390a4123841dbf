"""A sheet of jobs from CSV, line by line; a quotation mark never closed costs one line."""

from __future__ import annotations

import csv
from collections import deque
from collections.abc import Iterator
from io import TextIOWrapper
from pathlib import Path
from typing import BinaryIO

from hoseselect.catalogue.supplier.sheet import found_separator
from hoseselect.intake.job_sheet import SheetLine
from hoseselect.knowledge.errors import InputError

SAMPLE_BYTES = 65_536
MOST_LINES_OF_A_CELL = 20
"""A cell of more lines than this is one whose quotation mark was never closed."""

UTF_16 = (b"\xff\xfe", b"\xfe\xff")


class CsvJobs:
    """Lines of a CSV file.

    Parameters
    ----------
    path : the file
    encoding : of the text; empty = UTF-8, or UTF-16 where the file says so
    progress : is told which share of the file has been read

    Raises
    ------
    InputError
        when it cannot be read at all.
    """

    def __init__(self, path: Path, encoding: str = "") -> None:
        self.path = path
        try:
            with path.open("rb") as stream:
                start = stream.read(SAMPLE_BYTES)
        except OSError as error:
            reason = (error.strerror or "an unreadable file").lower()
            raise InputError(str(path), reason, "a sheet of jobs, CSV or XLSX") from None
        self.encoding = encoding or ("utf-16" if start[:2] in UTF_16 else "utf-8-sig")
        try:
            text = start.decode(self.encoding, errors="replace")
        except LookupError:
            raise InputError("--encoding", f"'{encoding}'", "such as utf-8 or cp1252") from None
        if "\0" in text:
            raise InputError(path.name, "a file that is no text", "a sheet of jobs, CSV or XLSX")
        self.separator = found_separator(text) if text.strip() else ","
        self.size = max(path.stat().st_size, 1)
        self.share = 0.0

    def lines(self) -> Iterator[SheetLine]:
        """Yield the lines; bytes that are no text become marks that no cell may hold."""
        with (
            self.path.open("rb") as binary,
            TextIOWrapper(
                binary, encoding=self.encoding, errors="backslashreplace", newline=""
            ) as stream,
        ):
            yield from sheet_lines(self._texts(stream, binary), self.separator)

    def _texts(self, stream: TextIOWrapper, binary: BinaryIO) -> Iterator[str]:
        for text in stream:
            self.share = binary.tell() / self.size
            yield text


NEVER_CLOSED = "a quotation mark is never closed"


class _Feed:
    """Hands lines of text to the reader and keeps those of the record it is reading."""

    def __init__(self, texts: Iterator[str]) -> None:
        self.texts = texts
        self.again: deque[str] = deque()
        self.record: list[str] = []
        self.ended = False

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        if len(self.record) > MOST_LINES_OF_A_CELL:
            raise csv.Error(NEVER_CLOSED)  # more lines than a cell can have
        text = self.again.popleft() if self.again else next(self.texts, "")
        self.ended = text == ""
        if self.ended:
            raise StopIteration
        self.record.append(text)
        return text


def sheet_lines(texts: Iterator[str], separator: str) -> Iterator[SheetLine]:
    """Yield lines of cells; the number of a line is its row in a spreadsheet.

    Parameters
    ----------
    texts : lines of the file, with their ends
    separator : what parts the cells
    """
    feed = _Feed(texts)
    number = 0
    while True:
        reader = csv.reader(feed, delimiter=separator)
        try:
            for cells in reader:
                if (feed.ended or len(feed.record) > 1) and _broken(feed.record, separator):
                    raise csv.Error(NEVER_CLOSED)
                number += 1
                feed.record.clear()
                yield SheetLine(number, cells)
        except csv.Error:
            number += 1
            bad, *others = feed.record
            feed.record.clear()
            feed.again.extendleft(reversed(others))
            shown = ascii(bad.strip()[:40])[1:-1]
            found = f"a quotation mark that is never closed, in '{shown}'"
            yield SheetLine(number, [], fault=(found, "pairs"))
            continue
        return


def _broken(record: list[str], separator: str) -> bool:
    """Return whether the quotation marks of a record of several lines do not pair."""
    try:
        for _ in csv.reader(record, delimiter=separator, strict=True):
            pass
    except csv.Error:
        return True
    return False
