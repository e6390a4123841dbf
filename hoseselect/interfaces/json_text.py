"""JSON as people can read it, as the library writes it with an indent of two.

What a terminal would obey is written out, as JSON allows; else it is the same to the byte.

The library writes indented text in plain Python; here each value that stands in several places of
an answer, as the findings that hoses share do, is written once.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from json.encoder import encode_basestring
from typing import Any

INDENT = "  "
Written = dict[tuple[int, int], str]
_plain = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode


def json_text(value: Any) -> str:
    """Return a value as indented JSON.

    Parameters
    ----------
    value : dicts with texts as keys, lists, texts, numbers, yes and no, None

    Raises
    ------
    ValueError
        when a number is not finite.
    """
    pieces: list[str] = []
    _put(value, "\n", {}, pieces.append)
    return HARMFUL.sub(_escaped, "".join(pieces))


HARMFUL = re.compile("[\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]")
"""What a terminal obeys, or what turns the direction of writing: it stands in texts alone."""


def ascii_only(text: str) -> str:
    """Return JSON in ASCII, what is beyond it written out, for a stream that has no more."""
    return BEYOND_ASCII.sub(_escaped, text)


BEYOND_ASCII = re.compile(r"[^\x00-\x7f]")


def _escaped(found: re.Match[str]) -> str:
    return json.dumps(found[0])[1:-1] if found[0] != "\x7f" else "\\u007f"


def _put(value: Any, line: str, written: Written, put: Callable[[str], None]) -> None:
    """Put the text of a value piece by piece; a line begins with its break and its indent."""
    if isinstance(value, str):
        put(encode_basestring(value))
    elif not value or not isinstance(value, dict | list | tuple):
        put(_plain(value))
    elif isinstance(value, dict):
        key = id(value), len(line)
        if key not in written:
            if any(isinstance(item, dict | list | tuple) for item in value.values()):
                _put_table(value, line, written, put)
                return
            pieces: list[str] = []
            _put_table(value, line, written, pieces.append)
            written[key] = "".join(pieces)
        put(written[key])
    else:
        start, inner = "[", line + INDENT
        for item in value:
            put(start + inner)
            _put(item, inner, written, put)
            start = ","
        put(line + "]")


def _put_table(
    value: dict[str, Any], line: str, written: Written, put: Callable[[str], None]
) -> None:
    start, inner = "{", line + INDENT
    for name, item in value.items():
        put(f"{start}{inner}{encode_basestring(name)}: ")
        _put(item, inner, written, put)
        start = ","
    put(line + "}")
