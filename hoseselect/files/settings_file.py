"""The file with what a shop has set: where it is, its entries, and the place of a key in it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from hoseselect.files.open_file import read_bytes
from hoseselect.knowledge.errors import InputError

MOST = 100_000
"""Bytes of such a file."""

EXPECTED = "a TOML file"
AT = r" ?\((?:at line (\d+), column (\d+)|at end of document)\)$"


def settings_file() -> Path:
    """Return the place of the user's configuration file."""
    import platformdirs

    return Path(platformdirs.user_config_dir("hoseselect")) / "config.toml"


def settings_text(path: Path) -> str:
    """Return what stands in the file; an empty text where there is none.

    Raises
    ------
    InputError
        when it cannot be read, or is no text in UTF-8.
    """
    try:
        if not path.is_file():
            return ""
        return read_bytes(path, EXPECTED, MOST).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(str(path), "a file that is no text in UTF-8", EXPECTED) from None
    except OSError:  # a folder that cannot be looked into
        raise InputError(str(path), "a file that cannot be read", EXPECTED) from None


def settings_entries(path: Path, text: str) -> dict[str, Any]:
    """Return the entries of a text of the file.

    Raises
    ------
    InputError
        when it is no TOML; the place is file:line:column.
    """
    import tomllib

    from hoseselect.files.toml_file import refuse_deep_keys, toml_fault

    refuse_deep_keys(text, str(path), "one of the settings")
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        words = toml_fault(error)
        found = re.search(AT, words)
        lines = text.split("\n")
        at = found.groups() if found and found[1] else (len(lines), len(lines[-1]) + 1)
        place = ":".join([str(path), *map(str, at)])
        told = re.sub(AT, "", words)
        raise InputError(place, told[:1].lower() + told[1:], EXPECTED) from None


def place_of(path: Path, text: str, key: str) -> str:
    """Return file:line:column of a key, the file alone where it is not found."""
    quoted = rf"""^[ \t]*(["']?){re.escape(key)}\1[ \t]*[=.]"""
    found = re.search(quoted, text, re.MULTILINE) or re.search(
        rf"^[ \t]*\[+[ \t]*{re.escape(key)}\b", text, re.MULTILINE
    )
    if found is None:
        return str(path)
    start = found.end() - len(found[0].lstrip())
    line = text.count("\n", 0, start) + 1
    return f"{path}:{line}:{start - text.rfind(chr(10), 0, start)}"
