"""Files written whole or not at all, several of them together or none."""

from __future__ import annotations

import os
import shutil
import signal
import stat
import sys
import tempfile
import threading
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, NoReturn

from hoseselect.files.open_file import reason_of
from hoseselect.knowledge.errors import InputError

DRAFT = ".draft"
"""End of the name of a file that is being written."""

LETTERS = 40
"""Of a file's name in the name of its draft; a name may be as long as the system allows."""

STALE = 3600.0
"""Seconds for which nobody has touched a draft that a killed run left behind."""

EXPECTED = "a file that can be written"


def write_files(
    files: Mapping[Path, bytes | str],
    inputs: Iterable[Path] = (),
    outdated: Sequence[Path] = (),
) -> None:
    """Write files, all of them whole or none.

    Parameters
    ----------
    files : content of each; text is written as UTF-8
    inputs : files that were read, which are never written over
    outdated : files of an earlier run, removed as these are put in place

    Raises
    ------
    InputError
        when one of them cannot be written.
    """
    with drafts(list(files), inputs, outdated) as held:
        for draft, content in zip(held, files.values(), strict=True):
            draft.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)


@contextmanager
def drafts(
    paths: Sequence[Path], inputs: Iterable[Path] = (), outdated: Sequence[Path] = ()
) -> Iterator[list[Path]]:
    """Give a draft beside each file; at the end all of them are put in place, or none.

    Parameters
    ----------
    paths : the files
    inputs : files that were read, which are never written over
    outdated : files of an earlier run, removed as these are put in place

    Raises
    ------
    InputError
        when one of them cannot be written.
    """
    read = list(inputs)
    for path in paths:
        _refuse(path, read)
    held: list[Path] = []
    with ended_by_signals():
        try:
            for path in paths:
                sweep(path)
                held.append(_new_draft(path))
            yield held
            _put_in_place(paths, held, outdated)
        except BrokenPipeError:
            raise
        except OSError as error:
            place = paths[min(len(held), len(paths) - 1)]
            raise InputError(str(place), reason_of(error), EXPECTED) from None
        finally:
            for draft in held:
                with suppress(OSError):
                    draft.unlink()


def _refuse(path: Path, inputs: Iterable[Path]) -> None:
    """Refuse a place that no file can have, or that a file which was read has.

    Raises
    ------
    InputError
        when it does.
    """
    try:
        if "\0" in str(path):
            raise ValueError
        if not path.parent.is_dir():
            raise InputError(str(path), f"no folder '{path.parent}'", "a file in a folder")
        if not path.exists():
            return
        if not stat.S_ISREG(path.stat().st_mode):
            found = "a folder" if path.is_dir() else "a device or a pipe"
            raise InputError(str(path), found, EXPECTED)
        if any(one.exists() and one.samefile(path) for one in inputs):
            raise InputError(str(path), "a file that was read for it", "another name")
    except (OSError, ValueError) as error:
        raise InputError(str(path), reason_of(error), EXPECTED) from None


def _prefix(path: Path) -> str:
    return f".{path.name[:LETTERS]}."


def _new_draft(path: Path) -> Path:
    """Return a new, empty file beside a file, with the rights that it shall have."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=_prefix(path), suffix=DRAFT)
    os.close(handle)
    draft = Path(name)
    try:
        if path.exists():
            shutil.copymode(path, draft)
        else:
            mask = os.umask(0)
            os.umask(mask)
            draft.chmod(0o666 & ~mask)
    except BaseException:
        draft.unlink()
        raise
    return draft


def sweep(path: Path) -> None:
    """Remove the drafts of a file that killed runs left behind."""
    start = _prefix(path)
    with suppress(OSError):
        for entry in list(os.scandir(path.parent)):
            if entry.name.startswith(start) and entry.name.endswith(DRAFT):
                with suppress(OSError):
                    if entry.is_file() and time.time() - entry.stat().st_mtime > STALE:
                        Path(entry.path).unlink()


def _put_in_place(paths: Sequence[Path], held: Sequence[Path], outdated: Sequence[Path]) -> None:
    """Put the drafts in place one after the other; on failure what stood there goes back.

    All old files but the first are gone before the first new one is there: whoever kills the run
    meanwhile never leaves an old file beside a new one.
    """
    for draft in held:
        keep_on_disk(draft)
    several = [*paths, *outdated] if len(paths) + len(outdated) > 1 else []
    before: dict[Path, Path] = {}
    done: list[Path] = []
    try:
        for path in filter(Path.exists, several):
            before[path] = _kept(path)
        for path in before:
            if path != paths[0]:
                path.unlink()
        for path, draft in zip(paths, held, strict=True):
            draft.replace(path)
            done.append(path)
    except BaseException:
        for path in done:
            if path not in before:
                path.unlink()
        for path, kept in before.items():
            kept.replace(path)
        raise
    finally:
        for kept in before.values():
            kept.unlink(missing_ok=True)
    for folder in {path.parent for path in paths}:
        keep_on_disk(folder)


def _kept(path: Path) -> Path:
    """Return a second name of a file, beside it."""
    kept = _new_draft(path)
    try:
        shutil.copy2(path, kept)
    except BaseException:
        kept.unlink()
        raise
    return kept


def keep_on_disk(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk; a system may not know how.

    Raises
    ------
    OSError
        when the disk is full or fails.
    """
    if path.is_dir():
        if sys.platform == "win32":  # it has no such thing
            return
        handle = os.open(path, os.O_RDONLY)
    else:
        handle = os.open(path, os.O_RDWR | getattr(os, "O_BINARY", 0))
    try:
        os.fsync(handle)
    except OSError:
        if not path.is_dir():
            raise
    finally:
        os.close(handle)


@contextmanager
def ended_by_signals() -> Iterator[None]:
    """Let a request to end leave by way of the exits, so that nothing half written stays behind."""
    asked = [getattr(signal, name, None) for name in ("SIGTERM", "SIGHUP")]
    usual: dict[int, Any] = {}
    if threading.current_thread() is threading.main_thread():
        for number in asked:
            if number is not None and signal.getsignal(number) == signal.SIG_DFL:
                usual[number] = signal.signal(number, _leave)
    try:
        yield
    finally:
        for number, handler in usual.items():
            signal.signal(number, handler)


def _leave(number: int, _frame: Any) -> NoReturn:
    sys.exit(128 + number)
