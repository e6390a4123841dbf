"""What an answer tells of one hose size: a plain value, and what is asked of the answer."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, fields, is_dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from hoseselect.answer.looks import Look, looks
from hoseselect.cutplan.plan_cut import cut_is_believed
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.finding import Finding, number_or_null
from hoseselect.domain.verdict import Verdict

if TYPE_CHECKING:
    from hoseselect.answer.answer import Answer
    from hoseselect.domain.geometry import LengthCurve, RouteGeometry


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
    conditions : how many conditions it keeps once all that is not known is found out well
    cut_length : the length to cut a hose that suits, the longest that it may come to [mm]; NaN
        where it is not known
    least_length : the shortest that it may come to, by what is not known [mm]
    place : of the size in the catalogue
    answer : the whole answer, of which findings, cut and geometry are asked
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
    cut_length: float
    least_length: float
    place: int
    answer: Answer

    def __eq__(self, other: object) -> bool:
        """Return whether the same is told of the same hose; the whole answer is not compared."""
        if not isinstance(other, HoseAnswer):
            return NotImplemented
        return self._told() == other._told()

    def __hash__(self) -> int:
        """Return a number that is the same for equal ones."""
        return hash((self.hose, self.verdict, self.decided_by))

    def __str__(self) -> str:
        """Return the hose and its verdict in a line."""
        by = f" by {self.decided_by}" if self.decided_by else ""
        return f"{self.hose}: {self.verdict.word}{by}"

    def _told(self) -> Any:
        own = {f.name: getattr(self, f.name) for f in fields(self) if f.name != "answer"}
        return comparable(own)

    @property
    def known_length(self) -> float:
        """The length to cut; NaN where it is not known, or rests on a guess [mm]."""
        known = cut_is_believed(self.least_length, self.cut_length)
        return self.cut_length if known else math.nan

    @property
    def findings(self) -> tuple[Finding, ...]:
        """One finding for every rule, in the order that decides."""
        return self.answer.findings(self)

    @property
    def deciding(self) -> Finding:
        """The first finding with the hose's verdict."""
        return self.answer.deciding(self)

    @property
    def own_conditions(self) -> tuple[Finding, ...]:
        """The findings on which it depends once all is seen to, and what is usual holds."""
        return tuple(
            finding
            for finding in self.findings
            if finding.verdict is Verdict.CONDITIONAL and not finding.check and not finding.assumed
        )

    @property
    def looks(self) -> tuple[Look, ...]:
        """What to see to at the vehicle before anything flows; none where it does not suit."""
        return looks(self.findings) if self.verdict.suits else ()

    @property
    def cut(self) -> CutPlan | None:
        """The cut plan, only for a hose that suits, on a route whose length is known."""
        return self.answer.cut(self)

    @property
    def geometry(self) -> RouteGeometry | None:
        """How a hose that suits lies on its route; None where the route has no shape."""
        return self.answer.geometry(self)

    @cached_property
    def curve(self) -> LengthCurve | None:
        """Bend and room against the length of its cut, on a free route; None on another."""
        return self.answer.curve(self) if self.verdict.suits else None

    def worst(self) -> tuple[Finding, ...]:
        """Return the findings with the hose's verdict, in the order that decides."""
        return tuple(f for f in self.findings if f.verdict is self.verdict)

    def as_json(self) -> dict[str, Any]:
        """Return the hose as plain values."""
        cut = self.cut
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
            "looks": [asdict(look) for look in self.looks],
            "cut": None if cut is None else cut.as_json(),
        }


def comparable(value: Any) -> Any:
    """Return a value in which an unknown figure is alike to an unknown figure."""
    if isinstance(value, dict):
        return {key: comparable(item) for key, item in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        return {f.name: comparable(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, list | tuple):
        return [comparable(item) for item in value]
    return None if isinstance(value, float) and math.isnan(value) else value
