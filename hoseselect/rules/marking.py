"""Marking rules: what must be printed on the hose."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import Array, HoseColumns
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
def marking_family(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """What the hose is made for against what the line is.

    What it checks
        Every published marking belongs to a family of use, and for every service each family is
        made for it, may stand in on a condition, or is refused. Where no marking is claimed, the
        family that the maker states counts. What is said of a marking goes before what is said of
        its family, the best of several counts, and a family that is not listed for a line is
        refused. Where neither is known, a line with anything but air takes the hose only if
        everything that flows is covered by a marking that was read or claimed by the maker, and
        then conditionally; so do, without that, lines of air, open vents and drains of water.
        Liquid fuel in a line where neither fuel nor vapour is usual wants a marking or a claim that
        covers it. A fluid that is not usual in the line wants hose that may serve in some line for
        that fluid, a mist of it in a vacuum line being no such line but for another one: a milder
        name of the line does not turn petrol hose into coolant hose. In a line of fuel or vapour no
        fuel and no vapour counts as unusual, nor what is mixed with fuel, as oil, where liquid fuel
        is usual. A line under more pressure than it usually sees, and than the other line sees at
        least, is judged as both.
    Why it matters
        Rubber that stands the fluid is not yet a hose that stands the line: reinforcement, heat,
        bonding and tests are made for one use.
    Example
        Petrol hose on a steering return: refused, whatever its rubber stands.
    Source
        The table of services and families, and of services and markings; each row names its own.
    """
    types, services = hoses.types, service_columns()
    line = judged_as(jobs)
    answer = np.minimum(types.family_answer[jobs.service[:, 0]], types.family_answer[line])
    vouched = types.claimed | types.claimed_by_maker
    flows = jobs.fluids.astype(np.float32)
    unvouched = flows @ (~vouched).T.astype(np.float32) > 0
    harmless = services.open_to_air[jobs.service] & ~(jobs.fluids & services.liquid_fuel).any(
        axis=1, keepdims=True
    )
    harmless |= ~(jobs.fluids & services.risky).any(axis=1, keepdims=True)
    without = np.where(~unvouched | harmless, 1.0, 0.0)
    answer = np.where(np.isnan(answer), without, answer)
    foreign = jobs.fluids & services.liquid_fuel & ~services.takes_fuel[jobs.service]
    stray = foreign.astype(np.float32) @ (~vouched).T.astype(np.float32) > 0
    own = np.where(stray, 0.0, answer)
    lines = lines_for_fluids(jobs, hoses)
    answer = np.minimum(own, lines)

    def note(row: int, column: int) -> str:
        if lines[row, column] < own[row, column]:
            if lines[row, column] > 0:
                return "in lines for what flows here it stands in"
            return "it may serve in no line for what flows here"
        if stray[row, column]:
            return "nothing vouches for it with liquid fuel, which is not what this line is for"
        if not types.families[column]:
            if unvouched[row, column]:
                return "nothing says what it is made for"
            return "nothing but the maker's word says what it is made for"
        here = types.family_answer[jobs.service[row, 0], column]
        place = int(jobs.service[row, 0]) if here <= answer[row, column] else int(line[row])
        return family_words(services.names[place], hoses, column, answer[row, column])

    return Comparison(
        np.ones(jobs.service.shape),
        (answer > 0).astype(float),
        caution=(answer > 1).astype(float),
        note=note,
    )


def judged_as(jobs: JobView) -> Array:
    """Return as which line each job is judged by its pressure, itself where by none, shape (n,)."""
    services = service_columns()
    above = jobs.pressure_max > services.pressure_from[jobs.service]
    line: Array = np.where(above, services.pressure_line[jobs.service], jobs.service)[:, 0]
    return line


def lines_for_fluids(jobs: JobView, hoses: HoseColumns) -> Array:
    """Return the best answer in any line for each fluid that is not usual here, the worst of all.

    Shape (n, t); 2 where every fluid is usual in the line, and for hose of no known family.
    """
    services, answers = service_columns(), hoses.types.family_answer
    usual = services.fluids_always | services.fluids_default
    foreign = jobs.fluids & ~usual[jobs.service[:, 0]] & services.risky
    foreign &= services.carries.any(axis=0)
    vapours = services.liquid_fuel | services.vapour  # of which some is usual in a line for any
    foreign &= ~(services.takes_fuel[jobs.service] & vapours)
    for_fuel = np.any(usual & services.liquid_fuel, axis=1)
    foreign &= ~(for_fuel[jobs.service] & services.in_fuel)  # oil in petrol flows as petrol does
    found = np.full((len(jobs.fluids), answers.shape[1]), 2.0)
    under_vacuum = np.array([group == "vacuum" for group in services.group])
    for fluid in np.flatnonzero(foreign.any(axis=0)):
        for mist in (True, False):  # what a vacuum line carries is a mist of it
            lines = services.carries[:, fluid] & (mist | ~under_vacuum)
            here = foreign[:, fluid] & (under_vacuum[jobs.service[:, 0]] == mist)
            best = np.nan_to_num(answers[lines], nan=2.0).max(axis=0, initial=0.0)
            np.minimum(found, np.where(here[:, None], best, 2.0), out=found)
    return found


WORDS = {
    0.0: ("refused", ("no",)),
    1.0: ("stand-in", ("in-part",)),
    2.0: ("made-for", ("yes", "over-specified")),
}


def family_words(service: str, hoses: HoseColumns, column: int, answer: float) -> str:
    """Return what a hose is made for, and why it may or may not stand in on a service."""
    answers, of_marking = WORDS[answer]
    own = hoses.types.families[column]
    named = " and ".join(table("families").row(family=family)["name"] for family in own)
    found = [
        row["basis"]
        for row in table("service_markings").where(service=service)
        if row["marking"] in hoses.types.marking[column] and row["answer"] in of_marking
    ] or [
        row["reason"]
        for row in table("service_families").where(service=service)
        if row["family"] in own and row["answer"] == answers
    ]
    return ": ".join([named, *dict.fromkeys(found)][:2])


@rule()
def marking_required(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Published marking that the service demands.

    What it checks
        Fuel lines and the brake servo demand hose with a published marking for that service. On
        every service, a hose whose only markings are known to be wrong for it is refused, and one
        whose best marking suits only a part of it is conditional. A line under more pressure than
        it usually sees wants what both lines want, itself and the one that it then is.
    Why it matters
        Low-pressure fuel hose bursts on injection; unmarked vacuum hose takes the brake servo away.
    Example
        SAE 30R7 on injection feed: refused, the marking is for low pressure.
    Source
        SAE J30 scopes of types, 49 CFR 571.106 and the table of services and markings.
    """
    services = service_columns()
    line, itself = judged_as(jobs), jobs.service[:, 0]
    answers = [marking_answers(place, hoses) for place in (itself, line)]
    by_itself, by_line = (np.where(fits, 2, in_part) for fits, in_part in answers)
    answer = np.minimum(by_itself, by_line)

    def note(row: int, column: int) -> str:
        decides = itself if by_itself[row, column] < by_line[row, column] else line
        service = services.names[int(decides[row])]
        required = services.marking_required[decides[row]]
        own = hoses.types.marking[column]
        found = [r for r in table("service_markings").where(service=service) if r["marking"] in own]
        in_part = dict.fromkeys(r["basis"] for r in found if r["answer"] == "in-part")
        if in_part:
            return f"claims a marking that suits only a part of this service: {'; '.join(in_part)}"
        wrong = dict.fromkeys(r["basis"] for r in found if r["answer"] == "no")
        if wrong and not bool(required):
            return f"its marking is for something else: {'; '.join(wrong)}"
        return "claims no published marking that suits this service"

    return Comparison(
        np.ones(jobs.service.shape),
        (answer > 0).astype(float),
        caution=(answer > 1).astype(float),
        note=note,
    )


def marking_answers(line: Array, hoses: HoseColumns) -> tuple[Array, Array]:
    """Return where the claimed markings suit a line, and where a part of it, each (n, t).

    Parameters
    ----------
    line : index of the service, shape (n,)
    hoses : t types
    """
    types = hoses.types
    allows = types.marking_allows[line]
    in_part = types.marking_in_part[line] & ~allows
    required = service_columns().marking_required[line][:, None]
    return allows | (~required & ~types.marking_denies[line] & ~in_part), in_part


@rule()
def marking_print(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Print that is lost on the piece in hand.

    What it checks
        A marking vouches for a piece that bears it. Where the print is worn or cut off, or nobody
        knows whether it is there, the piece is taken only from a roll whose print or label can be
        read; one that is cut already is refused.
    Why it matters
        Two black hoses look alike: one of them is for water.
    Example
        A remnant without print, said to be fuel hose: refused.
    Source
        Common practice, no source.
    """
    across = np.zeros((1, len(hoses.types.name)))
    lost = jobs.print_lost.possible
    cut_already = np.where(np.isnan(jobs.piece), 1.0, 0.0)
    return Comparison(lost.astype(float), across + cut_already, caution=across, applies=lost)


@rule()
def marking_electrochemical(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Hose tested against electrochemical attack, where the old one died of it.

    What it checks
        Where the old coolant hose shows fine cracks from inside near its ends, hose with EC in its
        print is accepted. Any other coolant hose is conditional.
    Why it matters
        Coolant and metal ends make a cell of the rubber; ordinary hose cracks again from inside.
    Example
        Heater hose without EC after such a failure: only for as long as it takes to get the other.
    Source
        SAE J20 FEB2022, 3.6 and 14: the letters EC for resistance to electrochemical attack.
    """
    coolant = jobs.fluids[:, [service_columns().fluid_index["coolant"]]]
    tested = hoses.types.electrochemical.astype(float)[None, :]
    return Comparison(
        np.ones(jobs.service.shape),
        np.ones_like(tested),
        caution=tested,
        applies=jobs.attacked.yes & coolant,
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
