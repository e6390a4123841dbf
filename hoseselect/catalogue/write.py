"""Writing a catalogue folder whole or not at all."""

from __future__ import annotations

import csv
import io
import json
import shutil
import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from hoseselect.catalogue.descriptor import FILE, Json, descriptor
from hoseselect.knowledge.errors import CatalogueError

OWN_DATA: Json = {"name": "other-closed", "title": "The shop's own data, licensed to nobody"}
"""Licence entry of a shop's own catalogue."""


def csv_text(headings: Iterable[str], rows: Iterable[Mapping[str, str]]) -> str:
    """Return a file of a catalogue as text: a line of headings, then the rows."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    names = list(headings)
    writer.writerow(names)
    writer.writerows([row.get(name, "") for name in names] for row in rows)
    return stream.getvalue()


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


@dataclass
class Staged:
    """A folder that is made ready beside its place.

    Parameters
    ----------
    path : the copy
    wanted : whether it is put in place at the end
    """

    path: Path
    wanted: bool = True


@contextmanager
def staged(folder: Path) -> Iterator[Staged]:
    """Give a copy of the folder (empty where there is none) beside it; put it in place at the end.

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
    target = folder.resolve()
    try:
        parent = target.parent
        parent.mkdir(parents=True, exist_ok=True)
        workshop = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=parent))
    except OSError as error:
        raise _unwritable(folder, error) from error
    try:
        copy = workshop / "new"
        if target.is_dir():
            shutil.copytree(target, copy, symlinks=True)
        else:
            copy.mkdir()
        stage = Staged(copy)
        yield stage
        if stage.wanted:
            _put_in_place(copy, target, workshop / "old")
    except OSError as error:
        raise _unwritable(folder, error) from error
    finally:
        shutil.rmtree(workshop, ignore_errors=True)


def write_files(folder: Path, files: Mapping[str, str]) -> None:
    """Write texts into a folder.

    Parameters
    ----------
    files : text of each file by its name
    """
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")


def _put_in_place(copy: Path, target: Path, aside: Path) -> None:
    """Move the old folder aside and the copy to its place; on failure the old one goes back."""
    had_one = target.exists()
    if had_one:
        target.rename(aside)
    try:
        copy.rename(target)
    except OSError:
        if had_one:
            aside.rename(target)
        raise


def _unwritable(folder: Path, error: OSError) -> CatalogueError:
    reason = error.strerror or "a place that cannot be written"
    return CatalogueError(str(folder), reason[:1].lower() + reason[1:], "a place to write to")


__all__ = [
    "FILE",
    "OWN_DATA",
    "Staged",
    "csv_text",
    "descriptor_text",
    "refuse_occupied",
    "slug",
    "staged",
    "write_files",
]
