"""Marking rules."""

from __future__ import annotations

from functools import cache

from .claims import MADE_FOR, REFUSED, STAND_IN, made_for, marking_answers
from .compare import ACCEPT, CONDITIONAL, NOTHING, REJECT, UNKNOWN, Said, plain
from .flowing import constituents, family, liquid_fuels, made_of, of_service
from .job import usual_duty
from .pressure import highest_pressure
from .registry import Hose, Job, rule
from .tables import by, rows, where

OF_ANSWER = {2: ACCEPT, 1: CONDITIONAL, 0: REJECT}


def said(verdict: str) -> Said:
    """Say no more than the verdict."""
    return Said(verdict, 1.0, None)


@rule("marking-identity", "service")
def marking_identity(job: Job, hose: Hose) -> Said:
    """Refused where neither a marking nor a liner is named."""
    return said(ACCEPT if hose["markings"] or hose["liner"] else REJECT)


def judged_as(job: Job) -> str:
    """Return the line that a job is by its pressure; itself where by none.

    More than the line itself usually sees at most, and than the other one sees at least.
    """
    row = by("pressure_lines", "service").get(job["service"])
    if row is None or job["pressure_max"] is None:
        return job["service"]
    own = usual_duty(job["service"], "pressure_max")
    other = usual_duty(row["judged_as"], "pressure_max")
    assert own and other
    above = job["pressure_max"] > max(own[1], other[0])
    return row["judged_as"] if above else job["service"]


@rule("marking-family", "service, fluids, pressure_max")
def marking_family(job: Job, hose: Hose) -> Said:
    """Made for the line, may stand in, or refused; for each unusual fluid in some line of it."""
    fluids, service = job["fluids"], job["service"]
    vouched = hose["claimed"] | hose["covered_read"]
    own = [made_for(hose["markings"], hose["families"], line) for line in (service, judged_as(job))]
    known = [answer for answer in own if answer is not None]
    if len(known) == len(own):
        answer = min(known)
    else:
        harmless = not any(risky(fluid) for fluid in fluids) or (
            open_to_air(service) and not fluids & liquid_fuels()
        )
        answer = STAND_IN if harmless or fluids <= vouched else REFUSED
    fuels = fluids & liquid_fuels()
    if fuels and not takes_fuel(service) and not fuels <= vouched:
        answer = REFUSED
    return said(OF_ANSWER[min([answer, *(in_some_line(f, job, hose) for f in unusual(job))])])


def risky(fluid: str) -> bool:
    """Return whether a fluid is anything but air."""
    return family(fluid) != "air"


def open_to_air(service: str) -> bool:
    """Return whether a line is an open vent or a drain of water."""
    return service == "drain" or by("services", "service")[service]["group"] == "vent"


@cache
def usual_in(service: str) -> frozenset[str]:
    """Return what is usual in a line: what always flows, and what is assumed."""
    return made_of((*of_service(service, "always"), *of_service(service, "default")))


@cache
def carries(service: str) -> frozenset[str]:
    """Return what a line is for: of what is usual, the parts of its own kind and no trace."""
    usual = (*of_service(service, "always"), *of_service(service, "default"))
    return frozenset(p for own in usual for p in constituents(own) if family(p) == family(own))


@cache
def takes_fuel(service: str) -> bool:
    """Return whether fuel or vapour flows in a line."""
    return any(family(fluid) in ("fuel", "vapour") for fluid in usual_in(service))


@cache
def mixed_with_fuel() -> frozenset[str]:
    """Return what a fuel may be mixed with that is none itself, as oil."""
    return made_of(row["fluid"] for row in where("fluids", "family", "fuel")) - liquid_fuels()


def unusual(job: Job) -> list[str]:
    """Return what flows and is not usual in the line, as far as some line is for it.

    In a line for fuel or vapour no fuel and no vapour is unusual; what is mixed with fuel is not
    where liquid fuel is usual.
    """
    found = []
    for fluid in job["fluids"] - usual_in(job["service"]):
        fuel = family(fluid) in ("fuel", "vapour")
        fuel |= fluid in mixed_with_fuel() and bool(usual_in(job["service"]) & liquid_fuels())
        some = any(fluid in carries(row["service"]) for row in rows("services"))
        if risky(fluid) and some and not (fuel and takes_fuel(job["service"])):
            found.append(fluid)
    return found


def in_some_line(fluid: str, job: Job, hose: Hose) -> int:
    """Return the best answer of a hose in any line for a fluid.

    What a vacuum line carries is a mist of it: its hose is for no other line.
    """
    answers = [
        made_for(hose["markings"], hose["families"], row["service"])
        for row in rows("services")
        if fluid in carries(row["service"])
        and (job["group"] == "vacuum" or row["group"] != "vacuum")
    ]
    return max((MADE_FOR if answer is None else answer for answer in answers), default=REFUSED)


@rule("marking-required", "service, pressure_max")
def marking_required(job: Job, hose: Hose) -> Said:
    """A published marking where the line demands one; none that is known to be wrong for it."""
    verdicts = [ACCEPT]
    for line in {job["service"], judged_as(job)}:
        answers = marking_answers(hose["markings"], line)
        required = by("services", "service")[line]["marking_required"] == "yes"
        if answers & {"yes", "over-specified"}:
            continue
        if "in-part" in answers:
            verdicts.append(CONDITIONAL)
        elif required or "no" in answers:
            verdicts.append(REJECT)
    order = (ACCEPT, CONDITIONAL, UNKNOWN, REJECT)
    return said(max(verdicts, key=order.index))


@rule("marking-electrochemical", "service, fluids, attacked")
def marking_electrochemical(job: Job, hose: Hose) -> Said:
    """Coolant hose tested against electrochemical attack, where the old one died of it."""
    if not job["attacked"] or not job["fluids"] & constituents("coolant"):
        return NOTHING
    return said(ACCEPT if hose["electrochemical"] else CONDITIONAL)


@rule("marking-print", "piece, print_lost")
def marking_print(job: Job, hose: Hose) -> Said:
    """A piece without print is refused; a roll whose print can be read is not."""
    if job["print_lost"] == "no":
        return NOTHING
    return said(CONDITIONAL if job["piece"] is None else REJECT)


@rule("marking-pressure", "pressure_max, pressure_spike")
def marking_pressure(job: Job, hose: Hose) -> Said:
    """Highest pressure against what the claimed markings cover with clamps."""
    highest = highest_pressure(job)
    if hose["marking_pressure"] is None or (highest is not None and highest <= 0):
        return NOTHING
    return plain(highest, hose["marking_pressure"])


@rule("marking-proof", "service")
def marking_proof(job: Job, hose: Hose) -> Said:
    """What must be proved before the line may be trusted."""
    return said(CONDITIONAL) if job["row"]["proof"] else NOTHING
