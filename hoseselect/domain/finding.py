"""A finding: one rule on one hose."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from hoseselect.domain.verdict import Verdict


@dataclass(frozen=True)
class Finding:
    """One rule on one hose, with its figures.

    Parameters
    ----------
    code : the rule
    verdict : what it says of this hose
    demand : what the job asks [unit], NaN where the rule has no figure
    limit : what the hose can [unit]
    unit : unit of demand and limit
    margin : relative, positive is good; NaN where it has no meaning
    reason : the figures found, in one sentence
    remedy : what to do, in one sentence, or empty
    source : where the limit comes from
    matters : whether the rule has anything to say of this job
    check : what is to be seen to at the vehicle before anything flows; empty = nothing
    look : where: "ends", "way" or "round"; empty = nowhere
    note : words of the rule for this job and hose
    assumed : whether only an assumption stands in the way: found out, it may be accepted
    """

    code: str
    verdict: Verdict
    demand: float
    limit: float
    unit: str
    margin: float
    reason: str
    remedy: str
    source: str
    matters: bool = True
    assumed: bool = False
    note: str = ""
    check: str = ""
    look: str = ""

    def as_json(self) -> Mapping[str, object]:
        """Return the finding as plain values; NaN becomes null. All who ask get the same ones."""
        return self._plain

    @cached_property
    def _plain(self) -> Mapping[str, object]:
        return {
            "code": self.code,
            "verdict": self.verdict.word,
            "demand": number_or_null(self.demand),
            "limit": number_or_null(self.limit),
            "unit": self.unit,
            "margin": number_or_null(self.margin),
            "reason": self.reason,
            "remedy": self.remedy,
            "source": self.source,
            "check": self.check,
        }


def number_or_null(value: float, digits: int = 6) -> float | None:
    """Return a finite number rounded for print, or None for NaN and infinity."""
    return round(float(value), digits) if math.isfinite(value) else None
