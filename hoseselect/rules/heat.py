"""Heat rules: temperatures of fluid and air against the limits of the hose."""

from __future__ import annotations

import numpy as np

from hoseselect.judging.assume import heat_source_asked
from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.registry import rule
from hoseselect.judging.view import JobView
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.heat_life import arrhenius_factor


def short_time_limit(hoses: HoseColumns) -> Array:
    """Return the short-time limit, or the continuous one where none is stated, shape (1, t)."""
    types = hoses.types
    return np.fmax(types.temperature_short_time, types.temperature_continuous)[None, :]


def steady_limits(hoses: HoseColumns) -> tuple[Array, Array]:
    """Return the continuous limit, and as far as the rubber usually goes, each (1, t) [degC]."""
    stated = hoses.types.temperature_continuous[None, :]
    return stated, np.minimum(stated, hoses.types.temperature_usual[None, :])


def short_time_usual(hoses: HoseColumns) -> Array:
    """Return the short-time limit as far as the rubber usually goes, shape (1, t) [degC]."""
    usual = hoses.types.temperature_usual[None, :] + limit("short-time-above-usual")
    return np.minimum(short_time_limit(hoses), usual)


@rule()
def heat_fluid_steady(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Steady fluid temperature against the continuous limit.

    What it checks
        The temperature that the fluid holds for hours must not exceed the hose's continuous limit;
        a short-time limit never passes a steady demand.
    Why it matters
        Rubber hardens with hours at heat; a hose that stands a peak ages away at it.
    Example
        Fluid at 110 degC in hose for 100 degC, 125 degC for short times: refused.
    Source
        The hose's stated limit.
    """
    stated, usual = steady_limits(hoses)
    return Comparison(jobs.fluid_steady, stated, caution=usual)


@rule()
def heat_fluid_peak(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Peak fluid temperature against the short-time limit.

    What it checks
        The short peak of the fluid must not exceed the short-time limit; where none is stated, or a
        lower one, the continuous limit counts.
    Why it matters
        Above its short-time limit rubber chars or softens at once.
    Example
        Peak of 145 degC in hose for 125 degC, 150 degC for short times: accepted.
    Source
        The hose's stated limit.
    """
    return Comparison(jobs.fluid_peak, short_time_limit(hoses), caution=short_time_usual(hoses))


@rule()
def heat_air_steady(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Steady air temperature round the hose against the continuous limit.

    What it checks
        The air round the hose, for hours, against the hose's continuous limit.
    Why it matters
        A breather is heated from outside: the air under the bonnet is often hotter than the gas.
    Example
        Air at 120 degC round oil hose for 100 degC: refused.
    Source
        The hose's stated limit.
    """
    stated, usual = steady_limits(hoses)
    return Comparison(jobs.air_steady, stated, caution=usual)


@rule()
def heat_air_peak(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Peak air temperature against the short-time limit.

    What it checks
        The hottest air round the hose, for minutes, against the short-time limit; where none is
        stated, or a lower one, the continuous limit counts.
    Why it matters
        Heat soak after a hard stop is the hottest the hose ever sees.
    Example
        Heat soak of 140 degC round hose for 125 degC, 150 degC for short times: accepted.
    Source
        The hose's stated limit.
    """
    return Comparison(jobs.air_peak, short_time_limit(hoses), caution=short_time_usual(hoses))


@rule()
def heat_cold(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Coldest start against the cold limit.

    What it checks
        The lowest temperature at which the engine starts and shakes the hose.
    Why it matters
        Below its cold limit rubber is glass: the first rock of the engine cracks it.
    Example
        PVC tube for -5 degC on a start at -25 degC: refused.
    Source
        The hose's stated limit.
    """
    stated = hoses.types.temperature_cold[None, :]
    usual = np.maximum(stated, hoses.types.cold_usual[None, :])
    return Comparison(jobs.coldest_start, stated, sense="at_least", caution=usual)


@rule()
def heat_source(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Distance to exhaust, turbocharger or another heat source.

    What it checks
        The distance, less the growth and shake of the exhaust, against the clearance that is
        usual with and without a shield. Where only the shield is lacking, the hose suits if one
        is fitted. On lines that run hot or drain hot oil, where a shield is spoken of, and where
        heat killed the old hose, a distance that is not given is a condition; elsewhere it counts
        where it is given.
    Why it matters
        Radiant heat chars a hose that the air temperature would spare; oil on the exhaust burns.
    Example
        Hose 90 mm from an unshielded exhaust: only with a shield; 40 mm: refused, re-route.
    Source
        Common practice, no source.
    """
    growth, open_to_it, behind = (
        limit(name)
        for name in (
            "heat-source-growth",
            "heat-source-clearance",
            "heat-source-clearance-shielded",
        )
    )
    shielded = jobs.heat_source_shielded
    moved = np.maximum(jobs.heat_source_distance - growth, 0.0)
    not_known = np.isnan(moved)
    told = shielded.yes | shielded.no
    asked = heat_source_asked(jobs.service, jobs.fluid_peak, told, jobs.heat_aged.yes)
    across = np.zeros((1, len(hoses.types.name)))

    return Comparison(
        moved,
        across + behind,
        sense="at_least",
        caution=np.where(shielded.yes, behind, open_to_it) + across,
        measurable=not_known,
        applies=~not_known | asked,
        measured=lambda row, clearance: clearance + growth,
    )


@rule()
def heat_life(jobs: JobView, hoses: HoseColumns) -> Comparison:
    """Ageing at the steady temperature, relative to ageing at the continuous limit.

    What it checks
        Where a published activation energy is known for the liner, how fast it ages at the hotter
        of fluid and air, as a share of the rate at its continuous limit.
    Why it matters
        It tells how much life a cooler line gains; it never lengthens a limit.
    Example
        EPDM for 125 degC held at 100 degC ages at about a quarter of the rate at its limit.
    Source
        Arrhenius law as in ISO 11346; activation energies in the table of limits.
    """
    types = hoses.types
    steady = np.fmax(jobs.fluid_steady, jobs.air_steady)
    rated = types.temperature_continuous[None, :]
    rate = arrhenius_factor(types.activation_energy[None, :], tested_at=steady, used_at=rated)
    return Comparison(rate, np.ones_like(rated), applies=~np.isnan(types.activation_energy)[None])
