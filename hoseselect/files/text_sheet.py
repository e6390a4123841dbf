"""A sheet from text with separators, line by line.

The csv reader of the standard library is used rather than that of pandas: it keeps the text of a
cell as typed and the line of the file it stands on, takes lines of unequal length, and can go on
after a quotation mark that is never closed, which then costs one line.
"""

from __future__ import annotations

import codecs
import csv
import io
from collections import deque
from collections.abc import Callable, Iterator
from typing import BinaryIO, NamedTuple

from hoseselect.files.sheet_line import MOST_COLUMNS, MOST_LETTERS_OF_A_CELL, Fault, SheetLine
from hoseselect.knowledge.errors import InputError

SEPARATORS = ",;\t|"
SAMPLE = 30
"""Lines looked at to find the separator."""

SAMPLE_LETTERS = 65_536
PIECE = 1 << 20
MOST_LINES_OF_A_CELL = 20
"""A cell of more lines than this is one whose quotation mark was never closed."""

MOST_LETTERS = 10_000_000
"""Of one line of a file."""

UTF_16 = (b"\xff\xfe", b"\xfe\xff")
UTF_8 = "utf-8-sig"


class Wording(NamedTuple):
    """How whoever reads a sheet says which one, and how it is written.

    Parameters
    ----------
    sheet, encoding : names of the options
    expected : what a file of another encoding should be
    """

    sheet: str = "--sheet"
    encoding: str = "--encoding"
    expected: str = "a file saved as UTF-8, or --encoding with its own, such as cp1252"


USUAL = Wording()
EXPECTED = "a sheet, CSV or XLSX"


class TextSheet:
    """Lines of a text.

    Parameters
    ----------
    file : name, for complaints
    opened : opens it
    separator : what parts the cells; empty = found out
    encoding : of the text; empty = UTF-8, or UTF-16 where the file says so
    strict : whether cells that cannot be parted make the whole sheet unusable
    wording : how complaints call the options

    Raises
    ------
    InputError
        when it is no such text.
    """

    hidden_columns: frozenset[int] = frozenset()

    def __init__(
        self,
        file: str,
        opened: Callable[[], BinaryIO],
        *,
        separator: str = "",
        encoding: str = "",
        strict: bool = False,
        wording: Wording = USUAL,
    ) -> None:
        self.file = file
        self.opened = opened
        self.strict = strict
        with opened() as binary:
            marked = binary.read(2) in UTF_16
        self.encoding = encoding or ("utf-16" if marked else UTF_8)
        start, self.size = self._checked(wording)
        self.separator = separator or (found_separator(start) if start.strip() else ",")
        self.share = 0.0

    def _checked(self, wording: Wording) -> tuple[str, int]:
        """Return the first letters and the size; read it all once: a wrong encoding shows at once.

        Raises
        ------
        InputError
            when it is no text in the encoding.
        """
        start, lines, size = "", 1, 0
        try:
            io.TextIOWrapper(io.BytesIO(), encoding=self.encoding)  # takes encodings of text only
            decoder = codecs.getincrementaldecoder(self.encoding)()
            with self.opened() as binary:
                while True:
                    data = binary.read(PIECE)
                    text = decoder.decode(data, final=not data)
                    if "\0" in text:
                        raise InputError(self.file, "a file that is no text", EXPECTED)
                    lines += data.count(b"\n")
                    size += len(data)
                    start = start if len(start) >= SAMPLE_LETTERS else start + text[:SAMPLE_LETTERS]
                    if not data:
                        return start, max(size, 1)
        except UnicodeDecodeError as error:
            if self.encoding == UTF_8 and b"\0" in error.object:
                raise InputError(self.file, "a file that is no text", EXPECTED) from None
            line = lines + error.object[: error.start].count(b"\n")
            named = self.encoding.removesuffix("-sig").upper()
            found = f"byte {error.object[error.start]:#04x}, which is not {named}"
            raise InputError(f"{self.file}:{line}", found, wording.expected) from None
        except (LookupError, TypeError, ValueError):  # no encoding, or one of no text
            found = f"'{self.encoding}'"
            raise InputError(wording.encoding, found, "such as utf-8 or cp1252") from None

    def lines(self) -> Iterator[SheetLine]:
        """Yield the lines.

        Raises
        ------
        InputError
            when a line is beyond measure, or `strict` and the cells of one cannot be parted.
        """
        with (
            self.opened() as binary,
            io.TextIOWrapper(binary, encoding=self.encoding, newline="") as stream,
        ):
            yield from self._lines(self._texts(stream, binary))

    def _texts(self, stream: io.TextIOWrapper, binary: BinaryIO) -> Iterator[str]:
        while text := stream.readline(MOST_LETTERS + 1):
            if len(text) > MOST_LETTERS:
                found = f"a line of more than {MOST_LETTERS} letters"
                raise InputError(self.file, found, "a sheet of cells")
            self.share = binary.tell() / self.size
            yield text

    def _lines(self, texts: Iterator[str]) -> Iterator[SheetLine]:
        feed = _Feed(texts, None if self.strict else MOST_LINES_OF_A_CELL)
        number, line = 0, 1
        while True:
            reader = csv.reader(feed, delimiter=self.separator, strict=self.strict)
            try:
                for cells in reader:
                    record = feed.record
                    if (feed.ended or len(record) > 1) and _broken(record, self.separator):
                        raise csv.Error("a quotation mark that is never closed")
                    number += 1
                    fault = _beyond_measure(cells, record)
                    if fault and self.strict:
                        raise InputError(f"{self.file}:{line}", *fault)
                    yield SheetLine(number, [] if fault else cells, fault=fault, line=line)
                    line += len(record)
                    record.clear()
            except csv.Error as error:
                fault = _unparted(feed.record[0], error, self.strict)
                if self.strict:
                    raise InputError(f"{self.file}:{line}", *fault) from None
                number += 1
                yield SheetLine(number, [], fault=fault, line=line)
                line += 1
                feed.again.extendleft(reversed(feed.record[1:]))
                feed.record.clear()
                continue
            return


class _Feed:
    """Hands lines of text to the reader and keeps those of the record it is reading."""

    def __init__(self, texts: Iterator[str], most: int | None) -> None:
        self.texts = texts
        self.most = most
        self.again: deque[str] = deque()
        self.record: list[str] = []
        self.ended = False

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        if self.most is not None and len(self.record) > self.most:
            raise csv.Error("a quotation mark that is never closed")
        text = self.again.popleft() if self.again else next(self.texts, "")
        self.ended = text == ""
        if self.ended:
            raise StopIteration
        self.record.append(text)
        return text


def _broken(record: list[str], separator: str) -> bool:
    """Return whether the quotation marks of a record of several lines do not pair."""
    try:
        for _ in csv.reader(record, delimiter=separator, strict=True):
            pass
    except csv.Error:
        return True
    return False


def _beyond_measure(cells: list[str], record: list[str]) -> Fault | None:
    """Return what is wrong with the cells of a record that is too wide, or one of them too long."""
    if len(cells) > MOST_COLUMNS:
        found = f"{len(cells)} cells"
        return Fault(found, f"at most {MOST_COLUMNS}, as many as a spreadsheet holds")
    most = MOST_LETTERS_OF_A_CELL
    if sum(map(len, record)) > most and any(len(cell) > most for cell in cells):
        return _too_long(record[0])
    return None


def _too_long(text: str) -> Fault:
    found = f"a cell of more than {MOST_LETTERS_OF_A_CELL} letters, '{_shown(text)} ...'"
    return Fault(found, "a shorter one")


def _unparted(text: str, error: csv.Error, strict: bool) -> Fault:
    """Return what is wrong with a record of which the reader makes no cells."""
    if "field limit" in str(error):
        return _too_long(text)
    if strict:
        return Fault(f"cells that cannot be parted ({error})", "paired quotation marks")
    return Fault(f"a quotation mark that is never closed, in '{_shown(text)}'", "pairs")


def _shown(text: str) -> str:
    return ascii(text.strip()[:40])[1:-1]


def found_separator(text: str) -> str:
    """Return what parts the cells: what occurs most evenly in the first lines."""
    lines = [line for line in text.splitlines() if line.strip()][:SAMPLE]

    def evenness(mark: str) -> tuple[int, int]:
        counts = [_count(line, mark) for line in lines]
        usual = max(set(counts), key=lambda count: (counts.count(count), count), default=0)
        return (counts.count(usual) if usual > 1 else 0, usual)

    return max(SEPARATORS, key=evenness)


def _count(line: str, mark: str) -> int:
    """Return how many cells a line has."""
    try:
        return len(next(csv.reader([line], delimiter=mark), []))
    except csv.Error:  # a cell beyond measure
        return line.count(mark) + 1
