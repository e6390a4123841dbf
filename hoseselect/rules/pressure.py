"""Pressure rules: pressure, suction, boost."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.services import service_columns
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import limit, limit_source
from hoseselect.rules.boost import boosted


@rule()
def pressure_working(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Highest pressure against the working pressure with clamps.

    What it checks
        The highest pressure, cold-start spikes and boost included, against the working pressure
        that the hose holds with clamps. A line that never rises above the air is passed.
    Why it matters
        A hose blown off an oil cooler empties the gearbox in minutes; fuel sprays.
    Example
        Injection at 400 kPa in hose for 345 kPa: refused.
    Source
        The hose's stated limit.
    """
    demand = np.fmax(jobs.pressure_max, jobs.pressure_spike)
    return Comparison(demand, hoses.sizes.working_pressure[None, :], applies=~(demand <= 0))


def suction_hot(jobs: JobView) -> tuple[Array, Array]:
    """Return the suction, and whether the limit hot counts, as where heat is not known.

    The hottest moment counts: a wall that is hot for minutes is sucked flat in them. The suction is
    a gauge pressure, negative [kPa].
    """
    steady = np.maximum(jobs.fluid_steady, jobs.air_steady)
    hottest = np.maximum(steady, np.maximum(jobs.fluid_peak, jobs.air_peak))
    return np.minimum(jobs.pressure_min, 0.0), ~(hottest <= limit("room-temperature"))


@rule(of=suction_hot)
def pressure_suction(line: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
    """Suction against the suction limit, or the wall's collapse.

    What it checks
        The deepest suction against the limit stated hot, or cold where the line stays at room
        temperature at its peak too. A limit that a plain wall cannot bear by its stiffness is no
        more than a claim. Where none is stated, ring buckling of the wall gives a range: below its
        sure end conditional, above its other end refused, between them unknown; a wire holds any
        wall open, and no estimate goes further than what is stated cold.
    Why it matters
        A hose sucked flat pressurises the crankcase; the oil leaks weeks later.
    Example
        Thin 12.7 mm tube at -65 kPa: refused; wire-supported hose to -85 kPa: accepted.
    Source
        The hose's stated limit, else ring buckling (Timoshenko and Gere, Theory of Elastic
        Stability, art. 7.3, from memory) with a factor for ovality and a share for hot rubber.
    """
    sizes = hoses.sizes
    suction, hot = line
    cold = np.fmin(sizes.suction_cold, sizes.suction_hot)
    stated = np.where(hot, sizes.suction_hot, cold)
    estimated = np.isnan(stated)
    borne_out = np.where(sizes.unreinforced, np.fmax(stated, sizes.collapse_most), stated)
    sure = np.maximum(sizes.collapse_sure, np.nan_to_num(sizes.suction_cold, nan=-np.inf))
    return Comparison(
        suction,
        np.where(estimated, np.fmax(sizes.collapse_most, sizes.suction_cold), stated),
        sense="at_least",
        caution=np.where(estimated, sure, borne_out),
        estimated=estimated,
        applies=~(suction >= 0),
        source=lambda row, column: (
            f"ring buckling of the wall; {limit_source('collapse-factor')}"
            if np.broadcast_to(estimated, (len(suction), len(sizes)))[row, column]
            else ""
        ),
    )


def unsupported_span(jobs: JobView) -> tuple[Array, Array]:
    """Return the longest unsupported span where the suction is deep [mm], and whether it is."""
    deep = -jobs.pressure_min >= limit("suction-unsupported-from")
    return np.where(deep, np.fmin(jobs.supports, jobs.tip_length), np.nan), deep


@rule(of=unsupported_span)
def pressure_unsupported(line: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
    """Long unsupported textile hose under suction.

    What it checks
        Textile hose without a wire, also where nobody says what reinforces it, under suction, over
        the longest distance between supports, or the whole length where that is less. Where the
        supports are not stated, the whole length counts as unsupported; where that is not known
        either, it is clipped as it is laid.
    Why it matters
        A long run sags, ovals and collapses where a short one stands.
    Example
        600 mm of oil hose at -60 kPa without a clip: conditional, clip it.
    Source
        MIL-DTL-6000D, 6.1: such hose tends to collapse in unsupported runs above 18 in; from the
        suction at which MIL-PRF-62028D, 3.3.3 tests engine-air hose.
    """
    sizes = hoses.sizes
    span, deep = line
    longest = np.full((1, len(sizes)), limit("suction-unsupported-max"))
    return Comparison(
        span,
        np.full((1, len(sizes)), np.inf),
        caution=longest,
        measurable=np.isnan(span),
        applies=deep & ~(sizes.helix | sizes.unreinforced)[None, :],
    )


def hot_pressure(jobs: JobView) -> tuple[Array, Array]:
    """Return 0 where the line is under no pressure, else 1, and whether it is hot and of a kind."""
    groups = np.array([group in REINFORCED for group in service_columns().group])
    hottest = np.maximum(jobs.fluid_steady, jobs.fluid_peak)
    hot = ~(hottest <= limit("reinforcement-from-temperature"))
    highest = np.fmax(jobs.pressure_max, jobs.pressure_spike)
    return np.where(highest <= 0, 0.0, 1.0), (groups[jobs.service] & hot) | boosted(jobs)


@rule(of=hot_pressure)
def pressure_reinforcement(line: tuple[Array, Array], hoses: HoseColumns) -> Comparison:
    """Reinforcement of hose on hot lines under pressure, and of lines that see boost.

    What it checks
        Coolant, oil and steering lines that are hot, be it at their peak, and under pressure want
        reinforced hose, and so does every line that sees boost; where heat or pressure is not
        known, it is there; plain rubber or plastic tube is for washer, drain and control lines.
    Why it matters
        Plain tube swells like a balloon at a warm spot and bursts there.
    Example
        Washer tube on a heater line: refused.
    Source
        Common practice, no source.
    """
    demand, matters = line
    sizes = hoses.sizes
    reinforced = np.where(sizes.reinforcement_known, ~sizes.unreinforced, np.nan)[None, :]
    return Comparison(demand, reinforced, applies=matters & (demand > 0))


REINFORCED = ("coolant", "oil", "steering")


@rule()
def pressure_boost(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Boost on the crankcase line of a turbocharged engine.

    What it checks
        On a turbocharged engine a line that ends at the intake, most of all one of the crankcase,
        may see boost. Until it is said whether this one does, every hose suits only if somebody
        sees that it does not; where it does, or is made for boost, the pressure must be told.
    Why it matters
        The line that is sucked at idle is blown up under load.
    Example
        Suction only entered, turbocharged: conditional, see that no boost reaches it.
    Source
        Common practice, no source.
    """
    services = service_columns()
    asked = services.boost_possible[jobs.service] & jobs.turbo.possible
    stated = jobs.boost_stated.yes | jobs.sees_boost.no
    return Comparison(
        np.where(stated, 0.0, np.nan),
        np.zeros((1, len(hoses.types.name))),
        measurable=jobs.sees_boost.unknown & ~services.boost_usual[jobs.service],
        applies=asked,
    )


@rule()
def pressure_check_valve(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Check valve of a line that sees boost.

    What it checks
        A crankcase, vacuum, servo or purge line that sees boost, whatever it is called, holds a
        check valve. Every hose suits only on the condition that the valve is proved. Where the
        service itself names what is to be proved, that stands in its place.
    Why it matters
        A valve that leaks puts boost into crankcase, brake servo or charcoal canister.
    Example
        Breather with 150 kPa of boost: conditional, prove the valve.
    Source
        Common practice, no source.
    """
    services = service_columns()
    told = np.array([text != "" for text in services.proof])[jobs.service]
    across = np.zeros((1, len(hoses.types.name)))
    sees = boosted(jobs)
    return Comparison(sees.astype(float), across + 1.0, caution=across, applies=sees & ~told)
