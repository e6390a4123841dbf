"""Marking rules: what must be printed on the hose."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.services import service_columns
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import table


@rule()
def marking_identity(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """A hose that nobody can name.

    What it checks
        A hose with neither a published marking nor a named liner is refused for every service.
    Why it matters
        Nothing can be judged of it: black rubber hides every fault until it is hot and oily.
    Example
        Black hose with nothing printed: refused.
    Source
        Common practice, no source.
    """
    named = (hoses.types.liner_named | hoses.types.marked).astype(float)[None, :]
    return Comparison(np.ones(jobs.service.shape), named)


@rule()
def marking_required(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Published marking that the service demands.

    What it checks
        Fuel lines and the brake servo demand hose with a published marking for that service. On
        every service, a hose whose only markings are known to be wrong for it is refused.
    Why it matters
        Low-pressure fuel hose bursts on injection; unmarked vacuum hose takes the brake servo away.
    Example
        SAE 30R7 on injection feed: refused, the marking is for low pressure.
    Source
        SAE J30 scopes of types, 49 CFR 571.106 and the table of services and markings.
    """
    services = service_columns()
    allows = hoses.types.marking_allows[jobs.service[:, 0]]
    in_part = hoses.types.marking_in_part[jobs.service[:, 0]] & ~allows
    denies = hoses.types.marking_denies[jobs.service[:, 0]]
    required = services.marking_required[jobs.service]
    fits = allows | (~required & ~denies & ~in_part)

    def note(row: int, column: int) -> str:
        service = services.names[int(jobs.service[row, 0])]
        own = hoses.types.marking[column]
        found = [r for r in table("service_markings").where(service=service) if r["marking"] in own]
        in_part = dict.fromkeys(r["basis"] for r in found if r["answer"] == "in-part")
        if in_part:
            return f"claims a marking that suits only a part of this service: {'; '.join(in_part)}"
        wrong = dict.fromkeys(r["basis"] for r in found if r["answer"] == "no")
        if wrong and not bool(required[row, 0]):
            return f"its marking is for something else: {'; '.join(wrong)}"
        return "claims no published marking that suits this service"

    return Comparison(
        np.ones(jobs.service.shape),
        (fits | in_part).astype(float),
        caution=fits.astype(float),
        note=note,
    )


@rule()
def marking_pressure(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Highest pressure against what the claimed marking covers with clamps.

    What it checks
        A published marking states a pressure for hose held by clamps, lower than with crimped
        ends. The hose's own figure never raises it.
    Why it matters
        The same hose holds less under a clamp than in a crimped end.
    Example
        SAE J189 return hose with clamps: 690 kPa, 1720 kPa only with crimped ends.
    Source
        The table of figures of markings; each row names its own source.
    """
    demand = np.fmax(jobs.pressure_max, jobs.pressure_spike)
    limit = hoses.types.marking_pressure[None, :]
    return Comparison(demand, limit, applies=~np.isnan(limit) & ~(demand <= 0))


@rule()
def marking_proof(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """What must be proved before the line may be trusted.

    What it checks
        Some services hold a part whose failure the hose cannot cover, so that every hose suits
        only on the condition that the part is proved.
    Why it matters
        A check valve that leaks puts boost into the crankcase, whatever the hose.
    Example
        Boosted crankcase line: accepted only with the check valve proved.
    Source
        Common practice, no source.
    """
    services = service_columns()
    asked = np.array([text != "" for text in services.proof])[jobs.service]

    def note(row: int, column: int) -> str:
        return services.proof[int(jobs.service[row, 0])]

    shape = np.zeros((1, len(hoses.types.name)))
    return Comparison(
        np.ones(jobs.service.shape), shape + 1.0, caution=shape, applies=asked, note=note
    )
