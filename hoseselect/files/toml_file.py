"""A file in TOML, read within limits: deep nesting and endless keys are told, not followed."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from hoseselect.files.open_file import MOST_BYTES, read_bytes
from hoseselect.knowledge.errors import InputError

DEEPEST = 10
"""Tables within one another of any file that is read."""

KEY_PART = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+"""
DEEP_KEY = re.compile(rf"(?:^|[\[{{,])[ \t]*(?:{KEY_PART}){{{DEEPEST + 1}}}", re.MULTILINE)
"""A dotted key of more parts than any file has: reading it would take time without end."""


def read_toml(
    path: Path, expected: str, *, most: int = MOST_BYTES, key: str = "a key of fewer"
) -> dict[str, Any]:
    """Return the entries of a file.

    Parameters
    ----------
    path : the file
    expected : what it should be, for the sentence
    most : bytes that are read at most
    key : what a key should be, for the sentence

    Raises
    ------
    InputError
        when it is not there, is no text in UTF-8, or is no TOML.
    """
    try:
        text = read_bytes(path, expected, most).decode("utf-8-sig")
    except UnicodeDecodeError:
        found = "a file that is no text in UTF-8"
        raise InputError(str(path), found, expected) from None
    refuse_deep_keys(text, str(path), key)
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError(str(path), toml_fault(error), expected) from None


def refuse_deep_keys(text: str, place: str, expected: str) -> None:
    """Refuse a text in TOML with a dotted key of more parts than any file has.

    Raises
    ------
    InputError
        with its line.
    """
    if deep := DEEP_KEY.search(text):
        row = text.count("\n", 0, deep.start()) + 1
        raise InputError(f"{place}: line {row}", f"a key of more than {DEEPEST} parts", expected)


def toml_fault(error: Exception) -> str:
    """Return what the library says of a text; also numbers and nesting without end are told."""
    return str(error) if isinstance(error, tomllib.TOMLDecodeError) else "what is no TOML"


def quoted(text: str) -> str:
    r"""Return a text as a string in TOML; what no terminal should obey is written out.

    Examples
    --------
    >>> print(quoted('19 mm "hose"\x1b[2J'))
    "19 mm \"hose\"\u001b[2J"
    """
    plain = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{"".join(c if c.isprintable() else _escaped(c) for c in plain)}"'


def _escaped(character: str) -> str:
    number = ord(character)
    if FIRST_HALF <= number <= LAST_HALF:
        return "\ufffd"
    return f"\\u{number:04x}" if number < ABOVE else f"\\U{number:08x}"


FIRST_HALF, LAST_HALF, ABOVE = 0xD800, 0xDFFF, 0x10000
"""Halves of characters, which no text in UTF-8 holds; characters of eight digits."""
