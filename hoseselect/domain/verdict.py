"""The four verdicts, worst last."""

from __future__ import annotations

from enum import IntEnum


class Verdict(IntEnum):
    """What a finding says of one hose; the worst finding decides.

    The order is accept < conditional < unknown < reject, so `max` gives the verdict of a hose.
    """

    ACCEPT = 0
    CONDITIONAL = 1
    UNKNOWN = 2
    REJECT = 3

    @property
    def word(self) -> str:
        """The verdict in one word."""
        return self.name.lower()

    @property
    def mark(self) -> str:
        """A mark that survives black-and-white print."""
        return {0: "[+]", 1: "[~]", 2: "[?]", 3: "[x]"}[int(self)]

    @property
    def suits(self) -> bool:
        """Whether the hose may be offered."""
        return self <= Verdict.CONDITIONAL
