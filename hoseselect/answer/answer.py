"""The answer to a job: what all interfaces show, and its JSON."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import asdict, dataclass, fields
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

from hoseselect.answer.hose_answer import HoseAnswer, comparable
from hoseselect.answer.values import Assumption, Question, Remark
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import catalogue_name
from hoseselect.domain.cut import CutPlan
from hoseselect.domain.finding import Finding
from hoseselect.domain.job import Job
from hoseselect.judging.columns import HoseColumns
from hoseselect.knowledge.errors import InputError
from hoseselect.rules.stop import Stop

if TYPE_CHECKING:
    from pandas import DataFrame

    from hoseselect.answer.ask_next import Asked
    from hoseselect.answer.judged import Judged
    from hoseselect.answer.lead import Lead
    from hoseselect.answer.ranking import Preference
    from hoseselect.answer.shared_findings import SharedFindings
    from hoseselect.answer.summary import Summary
    from hoseselect.answer.two_pieces import TwoPieces
    from hoseselect.domain.geometry import LengthCurve, RouteGeometry


_T = TypeVar("_T")
STOPPED, NONE = "stop", "none"
"""Words for an answer that has no verdict on a hose."""


@dataclass(frozen=True, eq=False, repr=False)
class Answer:
    """The whole answer: a plain value, of which findings, cut and geometry of a hose are asked.

    What a line of a sheet tells stands here; the rest is worked out when it is asked for, by the
    same rules on the same job.

    Parameters
    ----------
    job : as understood
    catalogue : what the shop sells
    units : "mm" or "in": the workshop step of the cut
    prefer : what ranks hoses of the same verdict
    shelf : hose types or sizes that were looked at; empty = all
    stops : why it is no job for bulk hose; then no hose is looked at
    lead : the first hose; None where the job is stopped or the catalogue is empty
    suiting : ids of the hoses that suit, best first
    verdicts : code of every size on the catalogue, one byte each
    asked_with_others : what to find out, as it was worked out with other jobs; None = it is worked
        out when it is asked for
    way_out : where nothing suits, what to order or who to see
    two_pieces : where the nipples differ and no hose fits both, a hose for each and a reducer
    """

    job: Job
    catalogue: Catalogue
    units: str = "mm"
    prefer: Preference = "margin"
    shelf: tuple[str, ...] = ()
    stops: tuple[Stop, ...] = ()
    lead: Lead | None = None
    suiting: tuple[str, ...] = ()
    verdicts: bytes = b""
    asked_with_others: tuple[Asked, ...] | None = None
    way_out: tuple[str, ...] = ()
    two_pieces: TwoPieces | None = None

    def __eq__(self, other: object) -> bool:
        """Return whether the same is told of the same job; unknown figures are alike."""
        if not isinstance(other, Answer):
            return NotImplemented
        return self._told() == other._told()

    def __hash__(self) -> int:
        """Return a number that is the same for equal ones."""
        return hash((self.job.service, self.suiting, self.verdicts, self.stops))

    def __getstate__(self) -> dict[str, Any]:
        """Return the fields alone: what was worked out from them is worked out again."""
        return {f.name: getattr(self, f.name) for f in fields(self)}

    def __str__(self) -> str:
        """Return the answer in a line."""
        name = self.job.name or self.job.service
        if self.stops:
            return f"{name}: stop, {', '.join(stop.code for stop in self.stops)}"
        if self.lead is None:
            return f"{name}: no hose in the catalogue"
        lead = self.lead
        by = f" by {lead.decided_by}" if lead.decided_by else ""
        if not lead.verdict.suits:
            return f"{name}: no hose suits; the nearest is {lead.hose}, {lead.verdict.word}{by}"
        cut = f", cut {lead.cut:g} mm" if lead.believed else ""
        if not lead.believed and not math.isnan(lead.cut):
            cut = f", cut between {lead.least:g} mm and {lead.cut:g} mm: measure first"
        more = len(self.suiting) - 1
        others = f", {more} more suit" if more else ""
        return f"{name}: {lead.hose}, {lead.verdict.word}{by}{cut}{others}"

    def _told(self) -> Any:
        own = {f.name: getattr(self, f.name) for f in fields(self) if f.name != "catalogue"}
        own["asked_with_others"] = self.asked
        names = tuple(self.catalogue.sizes.hose_size.tolist())
        return names, comparable({**own, "job": asdict(self.job)})

    @cached_property
    def columns(self) -> HoseColumns:
        """The columns of the catalogue."""
        from hoseselect.catalogue.hose_columns import hose_columns

        return hose_columns(self.catalogue)

    @cached_property
    def judged(self) -> Judged:
        """What the rules say of this job alone."""
        from hoseselect.answer.judged import judged
        from hoseselect.answer.ranking import on_shelf

        named = on_shelf(self.catalogue, self.shelf) if self.shelf else None
        return judged([self.job], self.columns, self.units, named)

    @cached_property
    def asked(self) -> tuple[Asked, ...]:
        """What to find out, most decisive first, before its words are written."""
        if self.lead is None:
            return ()
        from hoseselect.answer.ask_next import ask_next
        from hoseselect.answer.asked_first import asked_first

        asked = self.asked_with_others
        return asked_first(ask_next(self.judged)[0] if asked is None else asked, self.lead)

    @cached_property
    def shared(self) -> SharedFindings:
        """The findings, each distinct one once."""
        from hoseselect.answer.shared_findings import SharedFindings

        said = self.judged
        return SharedFindings(said.results, said.hoses, 0, self.units)

    @cached_property
    def hoses(self) -> tuple[HoseAnswer, ...]:
        """All hoses that were looked at, best first."""
        from hoseselect.answer.details import hose_answers

        return hose_answers(self)

    def best(self, most: int) -> tuple[HoseAnswer, ...]:
        """Return the first of the hoses that were looked at; no others are worked out for it."""
        if "hoses" in vars(self):
            return self.hoses[:most]
        if most > len(self._best):
            from hoseselect.answer.details import hose_answers

            self._best[:] = hose_answers(self, most)
        return tuple(self._best[:most])

    @cached_property
    def _best(self) -> list[HoseAnswer]:
        return []

    @property
    def suits(self) -> tuple[HoseAnswer, ...]:
        """The hoses that may be offered, best first."""
        return self.best(len(self.suiting))

    @property
    def hoses_in_all(self) -> int:
        """How many hoses were looked at."""
        from hoseselect.answer.ranking import on_shelf

        return 0 if self.lead is None else int(on_shelf(self.catalogue, self.shelf).sum())

    def hose(self, hose: HoseAnswer | str) -> HoseAnswer:
        """Return what is told of one hose size, by its id.

        Raises
        ------
        InputError
            when it was not looked at.
        """
        if isinstance(hose, HoseAnswer):
            return hose
        found = self._by_name.get(hose)
        if found is None:
            raise InputError("hose", f"'{hose}'", "a hose size that was looked at")
        return found

    @cached_property
    def _by_name(self) -> dict[str, HoseAnswer]:
        return {hose.hose: hose for hose in self.hoses}

    @cached_property
    def _kept(self) -> dict[tuple[str, int], Any]:
        return {}

    def _once(self, make: Callable[[Answer, HoseAnswer], _T], hose: HoseAnswer | str) -> _T:
        """Return what is asked of a hose, worked out at the first time."""
        own = self.hose(hose)
        key = make.__name__, own.place
        if key not in self._kept:
            self._kept[key] = make(self, own)
        found: _T = self._kept[key]
        return found

    def findings(self, hose: HoseAnswer | str) -> tuple[Finding, ...]:
        """Return one finding for every rule on a hose size, in the order that decides."""
        from hoseselect.answer.details import findings

        return self._once(findings, hose)

    def deciding(self, hose: HoseAnswer | str) -> Finding:
        """Return the first finding with the verdict of a hose size."""
        from hoseselect.answer.details import deciding

        return self._once(deciding, hose)

    def cut(self, hose: HoseAnswer | str) -> CutPlan | None:
        """Return the cut plan of a hose size that suits; None where a part of it is not known."""
        from hoseselect.answer.details import cut

        return self._once(cut, hose)

    def geometry(self, hose: HoseAnswer | str) -> RouteGeometry | None:
        """Return how a hose size that suits lies on its route; None where it has no shape."""
        from hoseselect.answer.details import geometry

        return self._once(geometry, hose)

    def curve(self, hose: HoseAnswer | str) -> LengthCurve | None:
        """Return bend and room of a hose size against its length; None on no free route."""
        from hoseselect.answer.details import curve

        return self._once(curve, hose)

    @cached_property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What was assumed."""
        from hoseselect.answer.assumptions import assumptions

        return assumptions(self.judged) if self.lead is not None else ()

    @cached_property
    def ask_next(self) -> tuple[Question, ...]:
        """What to find out, most decisive first."""
        from hoseselect.answer.ask_next import question

        return tuple(question(asked, self.catalogue.sizes.hose_size) for asked in self.asked)

    @property
    def first_question(self) -> str:
        """What to find out first: key of a job file and question; empty where nothing counts."""
        from hoseselect.answer.ask_next import words

        return ": ".join(words(self.asked[0])) if self.asked else ""

    @cached_property
    def cautions(self) -> tuple[Remark, ...]:
        """Cautions for this service."""
        from hoseselect.answer.safety import cautions

        return cautions(self.job.service)

    @cached_property
    def checklist(self) -> tuple[Remark, ...]:
        """Checks for this job; none where the job is stopped."""
        from hoseselect.answer.safety import checklist, mild_heat

        return () if self.stops else (*mild_heat(self.job), *checklist(self.job.service))

    @cached_property
    def old_hose(self) -> tuple[str, ...]:
        """What is to be said of the broken hose."""
        from hoseselect.answer.safety import old_hose

        return old_hose(self.job)

    @cached_property
    def summary(self) -> Summary:
        """What is told first: the value that every screen, paper and sheet shows."""
        from hoseselect.answer.summary import summary

        return summary(self)

    @property
    def in_short(self) -> tuple[str, str, float]:
        """Verdict in a word, the hose that is offered, and its length to cut [mm].

        NaN where there is none, or where it rests on a guess.
        """
        if self.stops:
            return STOPPED, "", math.nan
        if self.lead is None:
            return NONE, "", math.nan
        hose = self.lead.hose if self.lead.verdict.suits else ""
        return self.lead.verdict.word, hose, self.lead.cut if self.lead.believed else math.nan

    @property
    def exit_code(self) -> int:
        """0 where something suits, 1 where nothing does or the job is stopped."""
        return 0 if self.suiting and not self.stops else 1

    @cached_property
    def sources(self) -> tuple[str, ...]:
        """Every source that the best hose's findings, cautions and assumptions rest on."""
        named = [finding.source for hose in self.best(1) for finding in hose.findings]
        named += [stop.source for stop in self.stops]
        named += [assumption.source for assumption in self.assumptions]
        named += [remark.source for remark in (*self.cautions, *self.checklist)]
        return tuple(dict.fromkeys(named))

    def to_frame(self) -> DataFrame:
        """Return a table with a row for each hose, best first."""
        from pandas import DataFrame

        return DataFrame(
            {
                "hose": [hose.hose for hose in self.hoses],
                "hose_type": [hose.hose_type for hose in self.hoses],
                "bore_mm": [hose.bore for hose in self.hoses],
                "outside_diameter_mm": [hose.outside_diameter for hose in self.hoses],
                "verdict": [hose.verdict.word for hose in self.hoses],
                "decided_by": [hose.decided_by for hose in self.hoses],
                "margin": [hose.margin for hose in self.hoses],
                "conditions": [hose.conditions for hose in self.hoses],
                "cut_mm": [hose.known_length for hose in self.hoses],
                "price_per_m": [hose.price for hose in self.hoses],
            }
        )

    def as_json(self, most: int | None = None) -> dict[str, Any]:
        """Return the answer as plain values; NaN becomes null.

        Parameters
        ----------
        most : hoses that are told of, best first, without work for others; None = every one
        """
        told = self.hoses if most is None else self.best(most)
        return {
            "job": job_json(self.job),
            "catalogue": catalogue_name(self.catalogue.folder),
            "summary": self.summary.as_json(),
            "stop": [stop.as_json() for stop in self.stops],
            "assumptions": [asdict(assumption) for assumption in self.assumptions],
            "ask_next": [asdict(question) for question in self.ask_next],
            "hoses": [hose.as_json() for hose in told],
            "hoses_in_all": self.hoses_in_all,
            "way_out": list(self.way_out),
            "two_pieces": None if self.two_pieces is None else self.two_pieces.as_json(),
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
