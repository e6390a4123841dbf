"""The answer to a job: what all interfaces show, and its JSON."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from hoseselect.domain.cut import CutPlan
from hoseselect.domain.finding import Finding, number_or_null
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.rules.stop import Stop

if TYPE_CHECKING:
    from hoseselect.domain.geometry import RouteGeometry


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
    stage : before, during, after; look-inside, fit, cold, hot, heat-cycles, record
    text : one hazard, one action
    source : where it comes from
    """

    stage: str
    text: str
    source: str


@dataclass(frozen=True, eq=False, repr=False)
class HoseAnswer:
    """One hose size and what the rules say of it.

    Parameters
    ----------
    hose, hose_type, description : ids and words of the catalogue
    print_line, marking : what to look for on the hose
    bore, outside_diameter : [mm]
    verdict : the worst finding
    decided_by : code of the first rule with that verdict; empty where all accept
    margin : worst relative margin
    price : per metre, in the catalogue's money
    conditions : how many findings are conditional
    write_findings, write_deciding, plan_cut, draw : make the findings, the one that decides, the
        cut plan and the geometry of the route, when they are asked for
    """

    hose: str
    hose_type: str
    description: str
    print_line: str
    marking: tuple[str, ...]
    bore: float
    outside_diameter: float
    verdict: Verdict
    decided_by: str
    margin: float
    price: float
    conditions: int
    write_findings: Callable[[], tuple[Finding, ...]]
    write_deciding: Callable[[], Finding]
    plan_cut: Callable[[], CutPlan | None]
    draw: Callable[[], RouteGeometry | None]

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """One finding for every rule, in the order that decides."""
        return self.write_findings()

    @cached_property
    def deciding(self) -> Finding:
        """The first finding with the hose's verdict."""
        return self.write_deciding()

    @cached_property
    def cut(self) -> CutPlan | None:
        """The cut plan, only for a hose that suits, on a route whose length is known."""
        return self.plan_cut() if self.verdict.suits else None

    @cached_property
    def geometry(self) -> RouteGeometry | None:
        """How the hose lies on its route; None where the route has no shape."""
        return self.draw() if self.verdict.suits else None

    def worst(self) -> tuple[Finding, ...]:
        """Return the findings with the hose's verdict, in the order that decides."""
        return tuple(f for f in self.findings if f.verdict is self.verdict)

    def as_json(self) -> dict[str, Any]:
        """Return the hose as plain values."""
        return {
            "hose": self.hose,
            "hose_type": self.hose_type,
            "description": self.description,
            "print_line": self.print_line,
            "marking": list(self.marking),
            "bore_mm": number_or_null(self.bore),
            "outside_diameter_mm": number_or_null(self.outside_diameter),
            "verdict": self.verdict.word,
            "decided_by": self.decided_by,
            "margin": number_or_null(self.margin),
            "price_per_m": number_or_null(self.price),
            "findings": [finding.as_json() for finding in self.findings],
            "cut": None if self.cut is None else self.cut.as_json(),
        }


@dataclass(frozen=True, eq=False, repr=False)
class Answer:
    """The whole answer.

    Parameters
    ----------
    job : as understood
    stops : why it is no job for bulk hose; then no hose is looked at
    assumptions : what was assumed
    ask_next : what to find out, most decisive first
    hoses : best first
    way_out : where nothing suits, what to order or who to see
    cautions, checklist : for this service
    old_hose : what is to be said of the broken hose
    """

    job: Job
    stops: tuple[Stop, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    ask_next: tuple[Question, ...] = ()
    hoses: tuple[HoseAnswer, ...] = ()
    way_out: tuple[str, ...] = ()
    cautions: tuple[Remark, ...] = ()
    checklist: tuple[Remark, ...] = ()
    old_hose: tuple[str, ...] = field(default_factory=tuple)

    @property
    def suits(self) -> tuple[HoseAnswer, ...]:
        """The hoses that may be offered, best first."""
        return tuple(hose for hose in self.hoses if hose.verdict.suits)

    @property
    def exit_code(self) -> int:
        """0 where something suits, 1 where nothing does or the job is stopped."""
        return 0 if self.suits and not self.stops else 1

    @cached_property
    def sources(self) -> tuple[str, ...]:
        """Every source that the best hose's findings, cautions and assumptions rest on."""
        shown = self.suits[:1] or self.hoses[:1]
        named = [finding.source for hose in shown for finding in hose.findings]
        named += [stop.source for stop in self.stops]
        named += [assumption.source for assumption in self.assumptions]
        named += [remark.source for remark in (*self.cautions, *self.checklist)]
        return tuple(dict.fromkeys(named))

    def as_json(self) -> dict[str, Any]:
        """Return the answer as plain values; NaN becomes null."""
        return {
            "job": job_json(self.job),
            "stop": [stop.as_json() for stop in self.stops],
            "assumptions": [asdict(assumption) for assumption in self.assumptions],
            "ask_next": [asdict(question) for question in self.ask_next],
            "hoses": [hose.as_json() for hose in self.hoses],
            "way_out": list(self.way_out),
            "old_hose": list(self.old_hose),
            "cautions": [asdict(remark) for remark in self.cautions],
            "checklist": [asdict(remark) for remark in self.checklist],
            "sources": list(self.sources),
        }


def job_json(job: Job) -> dict[str, Any]:
    """Return a job as understood, with its working units; unknown numbers are null."""
    return {**_plain(asdict(job)), "units": dict(UNITS)}


UNITS = {"length": "mm", "pressure": "kPa gauge", "temperature": "degC", "angle": "deg"}


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
