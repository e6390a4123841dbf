"""Text and tables in Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

MEANT = re.compile(r"([\\`*_{}\[\]<>|#])")
"""Letters that mean something in Markdown."""


def plain(text: str) -> str:
    """Return a text that is shown as it is written."""
    return MEANT.sub(r"\\\1", " ".join(text.split())).replace("\\<", "&lt;")


def table(heading: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table; the cells are Markdown already."""
    lines = [heading, ["---"] * len(heading), *rows]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


def code(text: str) -> str:
    """Return lines that stand as they are."""
    return f"```text\n{text}\n```"
