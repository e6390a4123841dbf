"""JSON as people can read it, as the library writes it with an indent of two.

What a terminal would obey is written out, as JSON allows; else it is the same to the byte.

The library writes indented text in plain Python; here each value that stands in several places of
an answer, as the findings that hoses share do, is written once.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
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
    return HARMFUL.sub(_escaped, "".join(_pieces(value, 0, {})))


HARMFUL = re.compile("[\x7f-\x9f\u200e\u200f\u2028-\u202e\u2066-\u2069]")
"""What a terminal obeys, or what turns the direction of writing: it stands in texts alone."""


def ascii_only(text: str) -> str:
    """Return JSON in ASCII, what is beyond it written out, for a stream that has no more."""
    return BEYOND_ASCII.sub(_escaped, text)


BEYOND_ASCII = re.compile(r"[^\x00-\x7f]")


def _escaped(found: re.Match[str]) -> str:
    return json.dumps(found[0])[1:-1] if found[0] != "\x7f" else "\\u007f"


def _pieces(value: Any, depth: int, written: Written) -> Iterator[str]:
    """Yield the text of a value piece by piece."""
    if isinstance(value, str):
        yield encode_basestring(value)
    elif not value or not isinstance(value, dict | list | tuple):
        yield _plain(value)
    elif isinstance(value, dict):
        if any(isinstance(item, dict | list | tuple) for item in value.values()):
            yield from _table(value, depth, written)
            return
        key = id(value), depth
        if key not in written:
            written[key] = "".join(_table(value, depth, written))
        yield written[key]
    else:
        start = "["
        for item in value:
            yield f"{start}\n{INDENT * (depth + 1)}"
            yield from _pieces(item, depth + 1, written)
            start = ","
        yield f"\n{INDENT * depth}]"


def _table(value: dict[str, Any], depth: int, written: Written) -> Iterator[str]:
    start = "{"
    for name, item in value.items():
        yield f"{start}\n{INDENT * (depth + 1)}{encode_basestring(name)}: "
        yield from _pieces(item, depth + 1, written)
        start = ","
    yield f"\n{INDENT * depth}}}"
