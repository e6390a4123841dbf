"""What a reader is to a fuzzer, and what counts as a find."""

from __future__ import annotations

import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import hoseselect
from hoseselect.knowledge.errors import HoseselectError

PACKAGE = str(Path(hoseselect.__file__).parent)
EXIT_CODES = (0, 1, 2)
"""With which a command may leave; 3 is a fault of the tool itself."""


class HangError(BaseException):
    """An input took too long; no reader may swallow it."""


@dataclass(frozen=True)
class Reader:
    """A way in.

    Parameters
    ----------
    name : of it
    read : reads bytes; it gets a folder of its own for files
    seeds : what it reads well, to begin with
    words : that mean something to it
    share : of the inputs of a short run that it gets; below 1 where each of them takes long
    """

    name: str
    read: Callable[[bytes, Path], object]
    seeds: Callable[[], Sequence[bytes]]
    words: Sequence[bytes] = ()
    share: float = 1.0


@dataclass(frozen=True)
class Find:
    """What came out that should not.

    Parameters
    ----------
    kind : of the exception
    place : module and function of the package in which it was raised
    told : the traceback
    """

    kind: str
    place: str
    told: str


def tried(reader: Reader, data: bytes, folder: Path) -> Find | None:
    """Return what an input finds; None where a value or a sentence of our own comes out."""
    try:
        reader.read(data, folder)
    except HoseselectError as error:
        str(error)
    except SystemExit as left:
        if left.code not in EXIT_CODES:
            return _find(left)
    except (Exception, HangError) as error:
        return _find(error)
    return None


def _find(error: BaseException) -> Find:
    told = "".join(traceback.format_exception(error))
    frames = traceback.extract_tb(error.__traceback__)
    ours = [one for one in frames if one.filename.startswith(PACKAGE)] or list(frames)
    place = f"{Path(ours[-1].filename).stem}.{ours[-1].name}"
    return Find(type(error).__name__, place, told)


def smallest(reader: Reader, data: bytes, find: Find, folder: Path, most: int = 300) -> bytes:
    """Return an input as small as it gets that still finds the same, by leaving out pieces.

    Parameters
    ----------
    reader, data, find : the reader, the input, and what it finds
    folder : for files
    most : inputs that are tried
    """
    piece = max(1, len(data) // 2)
    left = most
    while piece and left > 0:
        start = 0
        while start < len(data) and left > 0:
            shorter = data[:start] + data[start + piece :]
            left -= 1
            again = tried(reader, shorter, folder)
            if again is not None and (again.kind, again.place) == (find.kind, find.place):
                data = shorter
            else:
                start += piece
        piece //= 2
    return data
