"""Pages of a card as pictures beside it, marked so that a later card can tell whose they are."""

from __future__ import annotations

import re
import zlib
from collections.abc import Collection
from pathlib import Path

MARK = b"hoseselect: a page of a card"
SVG_END = b"\n<!-- " + MARK + b" -->\n"
PNG_END = b"\x00\x00\x00\x00IEND\xaeB`\x82"
"""The last chunk of every PNG (ISO/IEC 15948:2004, 11.2.5)."""


def _text_chunk(words: bytes) -> bytes:
    """Return a chunk of text (ISO/IEC 15948:2004, 5.3 and 11.3.4.3)."""
    body = b"tEXt" + b"Comment\x00" + words
    length, check = len(words) + len(b"Comment\x00"), zlib.crc32(body)
    return length.to_bytes(4, "big") + body + check.to_bytes(4, "big")


ENDS = {"svg": SVG_END, "png": _text_chunk(MARK) + PNG_END}


def marked(page: bytes, form: str) -> bytes:
    """Return a page that says that it is one; no picture shows it.

    Parameters
    ----------
    page : as it was set
    form : "svg" or "png"
    """
    return page.removesuffix(PNG_END) + ENDS[form]


def pages_of_another(card: Path, kept: Collection[Path]) -> list[Path]:
    """Return the pages beside a card that an earlier card of its name has left.

    A bend template of another job must not lie beside a card. Files that bear no mark are nobody's
    page, whatever their name.

    Parameters
    ----------
    card : place of the card
    kept : the pages that are written now
    """
    if not card.parent.is_dir():
        return []
    name = re.compile(re.escape(card.stem) + r"-[1-9]\d*\.(svg|png)")
    found = [(path, name.fullmatch(path.name)) for path in card.parent.iterdir()]
    return sorted(
        path for path, form in found if form and path not in kept and _ends(path, ENDS[form[1]])
    )


def _ends(path: Path, end: bytes) -> bool:
    """Return whether a file ends so."""
    if not path.is_file() or path.stat().st_size < len(end):
        return False
    with path.open("rb") as stream:
        stream.seek(-len(end), 2)
        return stream.read() == end
