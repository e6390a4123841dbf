"""Which services a catalogue covers: every size on a nipple of its own bore, at the adverse duty.

The rules decide, over columns: the services down the rows, the sizes across. Sizes of one bore
share a nipple and run together.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.domain.job import Duty, Features, Job, Nipple, Route
from hoseselect.domain.pieces import Straight
from hoseselect.domain.verdict import Verdict
from hoseselect.knowledge.load import limit, table
from hoseselect.rules.assume import assume
from hoseselect.rules.columns import Array, HoseColumns, JobColumns
from hoseselect.rules.engine import judge
from hoseselect.rules.job_columns import job_columns
from hoseselect.rules.registry import rules

STRAIGHT = 100.0
"""Length of the straight run on which every size is tried; short, so that it needs no clip [mm]."""

DUTIES = (
    "fluid_steady",
    "fluid_peak",
    "air_steady",
    "air_peak",
    "coldest_start",
    "pressure_min",
    "pressure_max",
)


@dataclass(frozen=True)
class ServiceCoverage:
    """What a catalogue has for one service.

    Parameters
    ----------
    service : id of the service
    name : its name
    accepted : how many sizes would be accepted
    conditional : how many sizes would suit on a condition
    hose_types : the types of those sizes, in the order of the catalogue
    bore_min, bore_max : smallest and largest bore among them; NaN where there is none [mm]
    lacking : code of the rule that decides against most sizes, "" where one suits
    """

    service: str
    name: str
    accepted: int
    conditional: int
    hose_types: tuple[str, ...]
    bore_min: float
    bore_max: float
    lacking: str

    @property
    def covered(self) -> bool:
        """Whether at least one size would suit."""
        return self.accepted + self.conditional > 0

    def as_json(self) -> dict[str, Any]:
        """Return it for JSON; a bore that does not exist is null."""
        return {
            "service": self.service,
            "name": self.name,
            "covered": self.covered,
            "accepted": self.accepted,
            "conditional": self.conditional,
            "hose_types": list(self.hose_types),
            "bore_min_mm": self.bore_min if self.covered else None,
            "bore_max_mm": self.bore_max if self.covered else None,
            "lacking": self.lacking or None,
        }


def coverage(catalogue: Catalogue) -> tuple[ServiceCoverage, ...]:
    """Return for every service what the catalogue has for it.

    A size is tried on two beaded nipples of its own bore and on a short straight run, with the
    service's duty and fluids at their adverse end and everything else at its favourable end.

    Parameters
    ----------
    catalogue : a catalogue without faults
    """
    services = tuple(table("services").column("service"))
    codes, decided = own_bore_verdicts(catalogue, services)
    titles = table("services").column("name")
    return tuple(
        _of_service(service, titles[row], codes[row], decided[row], catalogue)
        for row, service in enumerate(services)
    )


def own_bore_verdicts(catalogue: Catalogue, services: tuple[str, ...]) -> tuple[Array, Array]:
    """Return verdict codes and deciding rules of every size, each on a nipple of its own bore.

    Parameters
    ----------
    catalogue : m sizes
    services : n ids

    Returns
    -------
    verdict codes (n, m); position of the rule that decides (n, m), -1 where all accept
    """
    sizes = catalogue.sizes
    codes = np.full((len(services), len(sizes)), Verdict.UNKNOWN, dtype=np.int8)
    decided = np.full(codes.shape, -1, dtype=np.int8)
    if len(sizes) == 0:
        return codes, decided
    hoses = hose_columns(catalogue)
    trial = adverse_jobs(services)
    for bore in np.unique(sizes.bore):
        own = np.flatnonzero(sizes.bore == bore)
        judgement = judge(on_nipple(trial, float(bore)), take_sizes(hoses, own))
        codes[:, own], decided[:, own] = judgement.codes, judgement.decided_by
    return codes, decided


def adverse_jobs(services: tuple[str, ...]) -> JobColumns:
    """Return one job a service: duty and fluids adverse, the rest favourable, no nipple yet."""
    jobs = JobColumns.stack([job_columns(trial_job(service)) for service in services])
    filled = assume(jobs)
    adverse = {name: getattr(filled.adverse, name) for name in (*DUTIES, "fluids")}
    known = np.ones_like(jobs.fluids_known)
    return jobs.change(**adverse, fluids_known=known)


def trial_job(service: str) -> Job:
    """Return a job of which only duty, fluids and nipples are open."""
    beaded = Nipple(bead="yes", measured_on="plain", usable_length=_favourable("usable_a"))
    return Job(
        service=service,
        drips=(),
        duty=Duty(),
        nipple_a=beaded,
        nipple_b=beaded,
        route=Route(
            kind="run",
            pieces=(Straight(STRAIGHT),),
            movement=_favourable("movement"),
            supports=STRAIGHT,
            low_spot="no",
            fall="yes",
        ),
        features=Features(insert="none", turbo="no", sees_boost="no", submerged="no"),
    )


def on_nipple(jobs: JobColumns, diameter: float) -> JobColumns:
    """Return the jobs on two nipples of one diameter with the least bead.

    Parameters
    ----------
    diameter : outside diameter on the plain part [mm]
    """
    plain = np.full_like(jobs.nipple_a, diameter)
    bead = plain + limit("bead-over-nipple-min")
    return jobs.change(nipple_a=plain, nipple_b=plain, bead_a=bead, bead_b=bead)


def take_sizes(hoses: HoseColumns, rows: Array) -> HoseColumns:
    """Return the hoses with some of the sizes only.

    Parameters
    ----------
    rows : places of the sizes
    """
    sizes = hoses.sizes
    taken = {name: getattr(sizes, name)[rows] for name in sizes.__dataclass_fields__}
    return replace(hoses, sizes=replace(sizes, **taken))


def _favourable(column: str) -> float:
    return table("questions").row(columns=column).number("favourable")


def _of_service(
    service: str, name: str, codes: Array, decided: Array, catalogue: Catalogue
) -> ServiceCoverage:
    sizes, types = catalogue.sizes, catalogue.types
    suits = codes <= Verdict.CONDITIONAL
    bores = sizes.bore[suits]
    against = decided[~suits & (decided >= 0)]
    lacking = "" if suits.any() or against.size == 0 else rules()[_most(against)].code
    return ServiceCoverage(
        service=service,
        name=name,
        accepted=int((codes == Verdict.ACCEPT).sum()),
        conditional=int((codes == Verdict.CONDITIONAL).sum()),
        hose_types=tuple(str(types.hose_type[k]) for k in np.unique(sizes.type_index[suits])),
        bore_min=float(bores.min()) if bores.size else float("nan"),
        bore_max=float(bores.max()) if bores.size else float("nan"),
        lacking=lacking,
    )


def _most(positions: Array) -> int:
    return int(np.bincount(positions.astype(np.int64)).argmax())
