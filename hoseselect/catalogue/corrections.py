"""What was corrected in a catalogue folder, so that it can be taken back: a file inside it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

from hoseselect.knowledge.errors import CatalogueError

FILE = ".corrections.json"
MOST_KEPT = 100
"""Steps that can be taken back; common practice, no source."""


@dataclass(frozen=True)
class Correction:
    """One cell that was changed.

    Parameters
    ----------
    when : day and time of the till, as 2031-05-30 14:05
    file, line, column, heading, key : of the cell; the key is the name that its row bears
    old, new : what stood there, what stands there
    before, after : the letters of the whole row
    """

    when: str
    file: str
    line: int
    column: int
    heading: str
    key: str
    old: str
    new: str
    before: str
    after: str

    @property
    def spot(self) -> str:
        """The cell and what stands there, as one text."""
        return f"{self.file}:{self.line}:{self.column}={self.new}"


def kept_corrections(folder: Path) -> list[Correction]:
    """Return what was corrected, the last one last; nothing where nothing was.

    Raises
    ------
    CatalogueError
        when the file cannot be read.
    """
    path = folder / FILE
    if not path.is_file():
        return []
    try:
        return [Correction(**one) for one in json.loads(path.read_text(encoding="utf-8"))]
    except (OSError, ValueError, TypeError):
        found = "a damaged list of corrections"
        raise CatalogueError(
            FILE, found, "it moved aside: nothing can be taken back then"
        ) from None


def write_corrections(folder: Path, corrections: Sequence[Correction]) -> None:
    """Write what was corrected into a folder; the oldest go.

    Raises
    ------
    OSError
        when it cannot be written.
    """
    told = [asdict(one) for one in corrections[-MOST_KEPT:]]
    text = json.dumps(told, ensure_ascii=False, indent=1) + "\n"
    (folder / FILE).write_text(text, encoding="utf-8", newline="\n")
