"""What is not known: the two ends of what is plausible, and one verdict of both.

Each unknown fact has a plausible range (table of questions; of heat and pressure, what is usual
in the service). The rules are run at its adverse and at its favourable end. What holds at both
ends holds. Where they differ the hose is unknown, or conditional where the person at the vehicle
can see to it. An assumption never yields a plain accept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cache
from typing import NamedTuple

from .compare import ACCEPT, CONDITIONAL, RANK, REJECT, UNKNOWN, Said
from .flowing import Fluids, constituents, family, made_of, of_service
from .job import Job, usual_duty
from .tables import by, limit, number, rows, words

HEAT = ("fluid_steady", "fluid_peak", "air_steady", "air_peak", "coldest_start")
PRESSURE = ("pressure_min", "pressure_max", "pressure_spike")
ENDS = ("a", "b")


class Ends(NamedTuple):
    """A job at both ends of what is not known.

    `assumed` are the facts that are not known, `open_ended` those that may be worse than at the
    adverse end.
    """

    adverse: Job
    favourable: Job
    assumed: set[str]
    open_ended: set[str]


def both_ends(job: Job) -> Ends:
    """Return a job at its adverse and its favourable end."""
    adverse, favourable = dict(job), dict(job)
    assumed: set[str] = set()
    open_ended: set[str] = set()

    def put(name: str, bad: object, good: object) -> None:
        adverse[name], favourable[name] = bad, good
        assumed.add(name)

    if not job["fluids_known"]:
        bad, good = fluid_ends(job)
        put("fluids", bad, good)
        open_ended.add("fluids")
        if job["service"] == "fuel-in-tank":
            put("bath", bad, good)
            open_ended.add("bath")
    if not job["drips_known"]:
        leak = by("questions", "input")["drips"]["adverse"]
        put("drips", job["drips"] | made_of([leak]), job["drips"])
        open_ended.add("drips")
    for name in (*HEAT, *PRESSURE):
        ends = duty_ends(job, name)
        if job[name] is None and ends is not None:
            put(name, ends[1], ends[0])
            if beyond_usual(job, name):
                open_ended.add(name)
    for end in ENDS:
        bead_ends(job, end, put)
    for name in ("usable_a", "usable_b", "movement"):
        row = question(name)
        if job[name] is None:
            put(name, number(row["adverse"]), number(row["favourable"]))
    for name in ("low_spot", "fall", "turbo", "submerged"):
        if job[name] == "unknown":
            put(name, question(name)["adverse"], question(name)["favourable"])
    for filled in (adverse, favourable):
        keep_order(job, filled)
    return Ends(adverse, favourable, assumed, open_ended)


@cache
def question(column: str) -> dict[str, str]:
    """Return the row of the table of questions about a fact; the hose lies in what flows."""
    column = {"bath": "fluids"}.get(column, column)
    return next(row for row in rows("questions") if column in words(row["columns"]))


def fluid_ends(job: Job) -> tuple[Fluids, Fluids]:
    """Return what flows at worst and at best where it is not known.

    At worst the fluid that is usual, or of its kind the worst that the shop sells; at best what
    every fluid of that kind holds.
    """
    usual = of_service(job["service"], "default")
    sold = []
    if [family(fluid) for fluid in usual] == ["fuel"]:
        sold = [f for f in job["usual"]["fuels"] if mildest(usual) <= constituents(f)]
    worst = made_of(sold) if sold else made_of(usual)
    return job["fluids"] | worst, job["fluids"] | mildest(usual)


def mildest(fluids: Iterable[str]) -> Fluids:
    """Return what every fluid of the kind of some fluids holds."""
    found: Fluids = frozenset()
    for fluid in fluids:
        if family(fluid) not in ("fuel", "oil"):  # air may be clean instead
            continue
        common = constituents(fluid)
        for row in rows("fluids"):
            if row["family"] == family(fluid):
                common = common & constituents(row["fluid"]) or common
        found |= common
    return found


def duty_ends(job: Job, name: str) -> tuple[float, float] | None:
    """Return the favourable and the adverse end of what is usual, with what the shop has set."""
    ends = usual_duty(job["service"], name)
    if ends is None:
        return None
    good, bad = ends
    shop = job["usual"]
    if name == "coldest_start" and shop["coldest_start"] is not None:
        bad = shop["coldest_start"]
        good = max(good, bad + 1.0)  # what is set stays assumed
    if name == "pressure_max" and shop["cap_pressure"] is not None and job["group"] == "coolant":
        bad = bad - limit("cap-pressure-usual") + shop["cap_pressure"]
        good = min(good, bad - 1.0)
    if name == "pressure_min" and job["sucked_flat"]:
        bad = min(float(row["adverse"]) for row in rows("service_duty") if row["field"] == name)
    peak = job[LASTS[name]] if name in LASTS else None
    if peak is not None:  # a peak that is told may last
        good, bad = min(good, peak), peak
    if name == "pressure_spike" and job["pressure_max"] is not None:
        good, bad = max(good, job["pressure_max"]), max(bad, job["pressure_max"])
    if name == "pressure_max" and sees_boost(job):
        return None  # what a boosted line sees must be told
    return good, bad


LASTS = {
    "fluid_steady": "fluid_peak",
    "air_steady": "air_peak",
    "pressure_max": "pressure_spike",
}
"""What is steady, and the peak of it."""


def sees_boost(job: Job) -> bool:
    """Return whether a line sees boost of which nobody told how much."""
    made_for_it = job["service"] == "crankcase-boosted" and job["turbo"] == "yes"
    sees = job["sees_boost"] == "yes" or (made_for_it and job["sees_boost"] != "no")
    return job["row"]["boost_possible"] == "yes" and sees


def beyond_usual(job: Job, name: str) -> bool:
    """Return whether a line is steadily at the usual peak: nobody knows how high it peaks."""
    steady = next((low for low, peak in LASTS.items() if peak == name), None)
    usual = usual_duty(job["service"], name)
    told = job[steady] if steady else None
    return told is not None and usual is not None and told >= usual[1]


def bead_ends(job: Job, end: str, put: Callable[[str, object, object], None]) -> None:
    """Assume a bead, its diameter, and the plain part of a nipple measured on its bead."""
    nipple, has, bead = f"nipple_{end}", f"has_bead_{end}", f"bead_{end}"
    small, large = limit("bead-over-nipple-min"), limit("bead-over-nipple-max")
    across = job[nipple]
    if job[has] == "unknown":
        put(has, "no", "yes")
    if across is not None and job[f"measured_on_{end}"] == "bead":
        put(nipple, across - large, across - small)
        put(bead, across, across)
    elif across is not None and job[bead] is None and job[has] != "no":
        least = small
        if job[has] == "unknown" and job["row"]["bead_required"] != "yes":
            least = large
        put(bead, across + large, across + least)


def keep_order(job: Job, filled: Job) -> None:
    """Keep what is assumed in order with what is told: no peak below what is steady."""
    for low, high in (
        ("fluid_steady", "fluid_peak"),
        ("air_steady", "air_peak"),
        ("pressure_min", "pressure_max"),
    ):
        if job[high] is None and filled[low] is not None and filled[high] is not None:
            filled[high] = max(filled[low], filled[high])


def of_both(adverse: Said, favourable: Said, *, open_ended: bool, hard: bool) -> str:
    """Return one verdict of those at the two ends.

    `open_ended`: it may be worse than the adverse end; `hard`: nobody at the vehicle can see to
    what was assumed.
    """
    if not adverse.applies and not favourable.applies:
        return ACCEPT
    if adverse == favourable and not open_ended:
        return adverse.verdict
    worst = max(adverse.verdict, favourable.verdict, key=RANK.__getitem__)
    best = min(adverse.verdict, favourable.verdict, key=RANK.__getitem__)
    if best in (UNKNOWN, REJECT):
        return best
    if worst in (ACCEPT, CONDITIONAL):
        return CONDITIONAL
    return UNKNOWN if hard else CONDITIONAL
