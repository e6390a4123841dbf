"""Every rule of the model under its code, with the facts of a job that it reads."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from .compare import Said

Job = dict[str, Any]
Hose = dict[str, Any]
Check = Callable[[Job, Hose], Said]


class Rule(NamedTuple):
    """A rule: the facts it reads, as its page names them, and what it says."""

    reads: tuple[str, ...]
    says: Check


RULES: dict[str, Rule] = {}


def rule(code: str, reads: str) -> Callable[[Check], Check]:
    """Put a function under the code of its rule."""

    def put(function: Check) -> Check:
        assert code not in RULES
        RULES[code] = Rule(tuple(reads.split(", ")) if reads else (), function)
        return function

    return put
