"""A folder changed as a whole, by one run at a time."""

from __future__ import annotations

import ctypes
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from hoseselect.files.write_files import DRAFT, ended_by_signals, keep_on_disk
from hoseselect.knowledge.errors import InputError

PATIENCE = 60.0
"""Seconds to wait for another run that changes the same folder."""

NEW, OLD = "new", "old"
HERE, SWAP_ON_LINUX, SWAP_ON_MACOS = -100, 2, 2
"""AT_FDCWD and RENAME_EXCHANGE of <linux/fcntl.h> and <linux/fs.h>; RENAME_SWAP of <stdio.h>."""


@contextmanager
def sole_use(folder: Path) -> Iterator[None]:
    """Keep other runs from changing a folder meanwhile; mend what a killed one left behind.

    The lock is an empty file beside the folder; it stays there, for whoever waits for it.

    Raises
    ------
    InputError
        when another run keeps it for too long.
    OSError
        when the place cannot be written.
    """
    from filelock import FileLock, Timeout

    target = folder.resolve()
    target.parent.mkdir(parents=True, exist_ok=True)
    place = target.with_name(f".{target.name}.lock")
    lock = FileLock(place, timeout=PATIENCE)
    try:
        lock.acquire()
    except Timeout:
        expected = "nobody else to be changing it"
        raise InputError(str(folder), "a folder that another run is changing", expected) from None
    try:
        _mend(target)
        yield
    finally:
        lock.release()


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
def changed_folder(folder: Path) -> Iterator[Staged]:
    """Give a copy of a folder (empty where there is none); it takes the folder's place at the end.

    When it is not wanted, the block fails, or the copy cannot be put in place, the folder stays as
    it was. Wherever the system can exchange two folders in one step, there is never a moment
    without one.

    Parameters
    ----------
    folder : the folder that is made or changed; see `sole_use`

    Raises
    ------
    OSError
        when the place cannot be written.
    """
    target = folder.resolve()
    with ended_by_signals():
        workshop = Path(tempfile.mkdtemp(f"{DRAFT}", f".{target.name}-", target.parent))
        try:
            copy = workshop / NEW
            if target.is_dir():
                shutil.copytree(target, copy, symlinks=True)
            else:
                copy.mkdir()
            stage = Staged(copy)
            yield stage
            if not stage.wanted:
                return
            for path in copy.iterdir():
                if path.is_file() and os.access(path, os.W_OK):
                    keep_on_disk(path)
            _put_in_place(copy, target, workshop / OLD)
            keep_on_disk(target.parent)
        finally:
            shutil.rmtree(workshop, ignore_errors=True)


def _put_in_place(copy: Path, target: Path, aside: Path) -> None:
    """Put the copy in place of the folder."""
    if not target.exists():
        copy.rename(target)
    elif not exchanged(copy, target):
        target.rename(aside)
        try:
            copy.rename(target)
        except OSError:
            aside.rename(target)
            raise


def exchanged(one: Path, other: Path) -> bool:
    """Exchange two folders in one step; return False where the system cannot."""
    names = os.fsencode(one), os.fsencode(other)
    try:
        if sys.platform == "linux":
            call = ctypes.CDLL(None).renameat2
            return bool(call(HERE, names[0], HERE, names[1], SWAP_ON_LINUX) == 0)
        if sys.platform == "darwin":
            return bool(ctypes.CDLL(None).renamex_np(*names, SWAP_ON_MACOS) == 0)
    except (AttributeError, OSError):  # an older system
        pass
    return False


def _mend(target: Path) -> None:
    """Put back a folder that a killed run had moved aside, and remove what it left behind."""
    left = list(target.parent.glob(f".{target.name}-*{DRAFT}"))
    for workshop in left:
        if not target.exists() and (workshop / OLD).is_dir():
            (workshop / OLD).rename(target)
        shutil.rmtree(workshop, ignore_errors=True)
