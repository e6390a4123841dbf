"""How a gate asks: the keys that it is about, what was said, and what to answer."""

from __future__ import annotations

from collections.abc import Sequence

from hoseselect.knowledge.errors import InputError


def asked(keys: Sequence[str], found: str, expected: str) -> InputError:
    """Return a question about some keys of a job.

    Parameters
    ----------
    keys : of a job file
    found : the statements
    expected : what to answer
    """
    return InputError(", ".join(keys), found, expected, keys=tuple(keys))
