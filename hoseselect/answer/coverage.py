"""Which services a catalogue covers: every size on a nipple of its own bore, at the adverse duty.

The rules decide, over columns: the services down the rows, the sizes across. The columns of the
nipples are as wide as the sizes, so that every size meets its own nipple in one pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.domain.job import Duty, Features, Job, Nipple, Route
from hoseselect.domain.run_parts import Straight
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import assume
from hoseselect.judging.columns import Array, JobColumns
from hoseselect.judging.engine import judge
from hoseselect.judging.job_columns import job_columns
from hoseselect.knowledge.load import limit, table
from hoseselect.rules.manual import all_rules

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
    "pressure_spike",
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
    if len(sizes) == 0:
        nothing = np.zeros((len(services), 0), dtype=np.int8)
        return nothing, nothing
    jobs = on_own_nipples(adverse_jobs(services), sizes.bore)
    judgement = judge(jobs, hose_columns(catalogue), all_rules())
    return judgement.codes, judgement.decided_by


def adverse_jobs(services: tuple[str, ...]) -> JobColumns:
    """Return one job a service: duty and fluids adverse, the rest favourable, no nipple yet."""
    jobs = job_columns([trial_job(service) for service in services])
    filled = assume(jobs)
    adverse = {name: getattr(filled.adverse, name) for name in (*DUTIES, "fluids", "bath")}
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
            run=(Straight(STRAIGHT),),
            movement=_favourable("movement"),
            supports=STRAIGHT,
            low_spot="no",
            fall="yes",
        ),
        features=Features(insert="none", turbo="no", sees_boost="no", submerged="no"),
    )


def on_own_nipples(jobs: JobColumns, bore: Array) -> JobColumns:
    """Return the jobs with two nipples as wide as the bore of each size, and the least bead.

    Parameters
    ----------
    jobs : n jobs
    bore : bore of each size, (m,) [mm]
    """
    plain = np.broadcast_to(bore, (len(jobs), len(bore)))
    bead = plain + limit("bead-over-nipple-min")
    return jobs.change(nipple_a=plain, nipple_b=plain, bead_a=bead, bead_b=bead)


def _favourable(column: str) -> float:
    return table("questions").row(columns=column).number("favourable")


def _of_service(
    service: str, name: str, codes: Array, decided: Array, catalogue: Catalogue
) -> ServiceCoverage:
    sizes, types = catalogue.sizes, catalogue.types
    suits = codes <= Verdict.CONDITIONAL
    bores = sizes.bore[suits]
    against = decided[~suits & (decided >= 0)]
    lacking = "" if suits.any() or against.size == 0 else all_rules()[_most(against)].code
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
