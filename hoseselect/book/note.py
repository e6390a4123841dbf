"""A note beside a job, as terminal, page and paper can show it."""

from __future__ import annotations

from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.spelling import without_unseen

LONGEST_SHOWN = 60
MOST_LETTERS = 200
"""Of a note."""


def known_text(text: str | None, option: str) -> str:
    """Return a text that a terminal and paper can show; empty where nothing was told.

    Raises
    ------
    InputError
        when it cannot be shown, or is too long.
    """
    note = without_unseen(text or "", "").strip()
    if not note.isprintable():
        raise InputError(option, ascii(note)[:LONGEST_SHOWN], "text without control characters")
    if len(note) > MOST_LETTERS:
        raise InputError(option, f"{len(note)} letters", f"at most {MOST_LETTERS}")
    return note
