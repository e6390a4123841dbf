"""Small values of an answer: what was assumed, what to find out, what to take care of."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Assumption:
    """A value taken because the job leaves it unknown.

    Parameters
    ----------
    field : input as in a job file
    value : what was assumed, in words
    unit : of the value
    source : where it comes from
    """

    field: str
    value: str
    unit: str
    source: str


@dataclass(frozen=True)
class Question:
    """What to measure or find out next.

    Parameters
    ----------
    field : input as in a job file
    question : in plain words
    why : why it matters
    decides : hoses whose verdict it would settle
    verdicts : the verdicts that it decides between
    """

    field: str
    question: str
    why: str
    decides: tuple[str, ...]
    verdicts: tuple[str, ...]


@dataclass(frozen=True)
class Remark:
    """A caution or a check.

    Parameters
    ----------
    stage : before, during, after; look-inside, cut, fit, clamp, cold, hot, heat-cycles, record
    text : one hazard, one action
    source : where it comes from
    """

    stage: str
    text: str
    source: str
