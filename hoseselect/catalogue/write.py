"""Writing a catalogue folder whole or not at all."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from hoseselect.catalogue.descriptor import FILE, Json, descriptor
from hoseselect.files import folder as files
from hoseselect.files.folder import Staged
from hoseselect.files.open_file import reason_of
from hoseselect.knowledge.errors import CatalogueError

OWN_DATA: Json = {"name": "other-closed", "title": "The shop's own data, licensed to nobody"}
"""Licence entry of a shop's own catalogue."""


def stored_rows(path: Path) -> tuple[list[str], list[dict[str, str]]]:
    """Return headings and rows of a file of a catalogue that has no faults, as texts."""
    import pandas

    frame = pandas.read_csv(path, dtype=str, keep_default_na=False, encoding="utf-8-sig")
    frame = frame.rename(columns=str.strip).map(str.strip)
    filled = frame[(frame != "").any(axis="columns")]
    rows = filled.itertuples(index=False)
    names = list(filled.columns)
    return names, [dict(zip(names, row, strict=True)) for row in rows]


def csv_text(headings: Iterable[str], rows: Iterable[Mapping[str, str]]) -> str:
    """Return a file of a catalogue as text: a line of headings, then the rows."""
    import pandas

    frame = pandas.DataFrame([dict(row) for row in rows], columns=list(headings), dtype=str)
    return frame.to_csv(index=False, lineterminator="\n")


def descriptor_text(name: str, title: str, description: str, licence: Json = OWN_DATA) -> str:
    """Return datapackage.json of a catalogue folder as text."""
    made = descriptor(slug(name), title, description, licence)
    return json.dumps(made, ensure_ascii=False, indent=2) + "\n"


def slug(name: str) -> str:
    """Return a name in small letters, figures and dashes, as a data package wants it."""
    plain = "".join(c if c.isascii() and c.isalnum() else "-" for c in name.lower())
    return "-".join(part for part in plain.split("-") if part) or "catalogue"


def refuse_occupied(folder: Path) -> None:
    """Refuse a place at which something stands already; an empty folder is fine.

    Raises
    ------
    CatalogueError
        when it is a file, or a folder that is not empty.
    """
    if folder.is_dir():
        if any(folder.iterdir()):
            raise CatalogueError(str(folder), "a folder that is not empty", "a new folder")
    elif folder.exists() or folder.is_symlink():
        raise CatalogueError(str(folder), "a file", "a new folder")


@contextmanager
def sole_use(folder: Path) -> Iterator[None]:
    """Keep other runs from changing a catalogue folder meanwhile.

    Raises
    ------
    CatalogueError
        when the place cannot be written.
    InputError
        when another run keeps it for too long.
    """
    with _told(folder), files.sole_use(folder):
        yield


@contextmanager
def staged(folder: Path) -> Iterator[Staged]:
    """Give a copy of the folder (empty where there is none); it is put in place at the end.

    When it is not wanted, the block fails, or the copy cannot be put in place, the folder stays as
    it was.

    Parameters
    ----------
    folder : the folder that is made or changed

    Raises
    ------
    CatalogueError
        when the place cannot be written.
    """
    with _told(folder), files.changed_folder(folder) as stage:
        yield stage


@contextmanager
def _told(folder: Path) -> Iterator[None]:
    """Turn what the system refuses into a sentence about the folder."""
    try:
        yield
    except OSError as error:
        raise CatalogueError(str(folder), reason_of(error), "a place to write to") from error


def write_files(folder: Path, files: Mapping[str, str]) -> None:
    """Write texts into a folder.

    Parameters
    ----------
    files : text of each file by its name
    """
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")


__all__ = [
    "FILE",
    "OWN_DATA",
    "csv_text",
    "descriptor_text",
    "refuse_occupied",
    "slug",
    "sole_use",
    "staged",
    "stored_rows",
    "write_files",
]
