"""Files written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from hoseselect.knowledge.errors import InputError


def write_whole(path: Path, content: bytes | str) -> None:
    """Write a file beside its place first, then put it there in one step.

    Parameters
    ----------
    path : place of the file
    content : bytes, or text that is written as UTF-8

    Raises
    ------
    InputError
        when the folder is not there or cannot be written to.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    except OSError:
        raise InputError(str(path), "a folder that cannot be written to", "one that can") from None
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        mask = os.umask(0)
        os.umask(mask)
        Path(name).chmod(0o666 & ~mask)
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise InputError(str(path), "a place that cannot be written to", "a file name") from None
