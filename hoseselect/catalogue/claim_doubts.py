"""What a hose states beyond what its marking, its rubber or its own wall bears out."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from hoseselect.catalogue import hose_claims as claims
from hoseselect.catalogue import hose_limits as limits
from hoseselect.catalogue.columns import CatalogueSizes, CatalogueTypes, FloatArray, Words
from hoseselect.catalogue.doubt import Doubt, Mask
from hoseselect.judging.columns import Array
from hoseselect.judging.services import fluid_mask, rating_of, service_columns
from hoseselect.knowledge.load import limit, table
from hoseselect.mechanics.collapse import collapse_estimate
from hoseselect.mechanics.kink import kink_estimate
from hoseselect.mechanics.modulus import modulus_range

STEADY, SHORT, COLD = (
    "temperature_continuous_degc",
    "temperature_short_time_degc",
    "temperature_cold_degc",
)


def _beyond(stated: FloatArray, cap: Array, heading: str, unit: str, whose: str) -> Doubt:
    """Return the warning that a figure lies above what something bears out."""
    return Doubt(
        stated > cap,
        "warning",
        heading,
        lambda row: f"{stated[row]:g} {unit}",
        lambda row: f"at most the {cap[row]:g} {unit} of {whose}",
    )


def heat_doubts(types: CatalogueTypes) -> list[Doubt]:
    """Return temperatures beyond those of the marking and of the rubber."""
    marks, lines = types.marking, types.print_line
    steady, short = types.temperature_continuous, types.temperature_short_time
    hottest, coldest = limits.usual_hottest(types), limits.usual_coldest(types)
    found = []
    for whose, caps, cold in (
        (
            "its marking",
            (
                limits.caps(marks, lines, limits.STEADY, low=False),
                limits.caps(marks, lines, limits.SHORT, low=False),
            ),
            limits.caps(marks, lines, limits.COLD, low=True),
        ),
        ("its rubber, usually", (hottest, hottest + limit("short-time-above-usual")), coldest),
    ):
        found += [
            _beyond(steady, caps[0], STEADY, "degC", whose),
            _beyond(short, caps[1], SHORT, "degC", whose),
            _colder(types.temperature_cold, cold, whose),
        ]
    return found


def _colder(stated: FloatArray, cap: Array, whose: str) -> Doubt:
    return Doubt(
        stated < cap,
        "warning",
        COLD,
        lambda row: f"{stated[row]:g} degC",
        lambda row: f"at least the {cap[row]:g} degC of {whose}",
    )


def liner_doubts(types: CatalogueTypes) -> list[Doubt]:
    """Return liners that do not stand what is claimed, by the maker or by a marking."""
    stated = _unstood(types, lambda row: fluid_mask(_fluids(types, row)))
    marked = _unstood(types, lambda row: claims.covered(types.marking[row], seen=True))
    beyond = [
        liner == ("unknown",)
        and bool((fluid_mask(_fluids(types, row)) & ~claims.covered(marking, seen=False)).any())
        for row, (liner, marking) in enumerate(zip(types.liner, types.marking, strict=True))
    ]
    return [
        Doubt(
            np.array(beyond, dtype=bool),
            "warning",
            "fluids_claimed",
            lambda row: f"a claim of {', '.join(types.fluids_claimed[row])} beyond its marking",
            lambda _: "a liner that is named",
        ),
    ] + [
        Doubt(
            np.array([bool(fluids) for fluids in unstood], dtype=bool),
            "warning",
            heading,
            _claim_of(unstood),
            lambda row: f"nothing that the liner {'|'.join(types.liner[row])} does not stand",
        )
        for unstood, heading in ((stated, "fluids_claimed"), (marked, "marking"))
    ]


def _fluids(types: CatalogueTypes, row: int) -> Words:
    known = set(table("fluids").column("fluid"))
    return tuple(fluid for fluid in types.fluids_claimed[row] if fluid in known)


def _claim_of(unstood: list[Words]) -> Callable[[int], str]:
    return lambda row: f"a claim of {', '.join(unstood[row])}"


def _unstood(types: CatalogueTypes, mask: Callable[[int], Array]) -> list[Words]:
    fluids = service_columns().fluids
    found: list[Words] = []
    for row, symbols in enumerate(types.liner):
        known = set(symbols) <= _symbols()
        bad = mask(row) & (rating_of(symbols) == 0) if known else np.zeros(len(fluids), dtype=bool)
        found.append(tuple(fluids[k] for k in np.flatnonzero(bad)))
    return found


def _symbols() -> set[str]:
    return set(table("resistance").column("symbol"))


def contradiction_doubts(types: CatalogueTypes) -> list[Doubt]:
    """Return the markings in whose place the print line bears another one."""
    against = [
        claims.contradicted(own, line)
        for own, line in zip(types.marking, types.print_line, strict=True)
    ]
    return [
        Doubt(
            np.array([bool(marks) for marks in against], dtype=bool),
            "error",
            "marking",
            lambda row: f"{', '.join(against[row])} beside the print '{types.print_line[row]}'",
            lambda _: "the marking that is printed on the hose",
        )
    ]


def wall_doubts(types: CatalogueTypes, sizes: CatalogueSizes) -> list[Doubt]:
    """Return pressures, suctions and bend radii that marking or wall do not bear out."""
    word = np.array([*types.reinforcement.tolist(), "unknown"])[sizes.type_index]
    helix = (word == "wire") | (word == "textile-and-wire")
    modulus = modulus_range(np.array([*types.hardness_shore_a, np.nan])[sizes.type_index])
    collapse = collapse_estimate(
        sizes.bore,
        sizes.outside_diameter,
        modulus.low,
        modulus.high,
        hot_share=limit("hot-modulus-share"),
        factor=limit("collapse-factor"),
    )
    kink = kink_estimate(sizes.bore, sizes.outside_diameter, limit("inside-radius-per-bore"))
    plain = np.where(word == "none", collapse.at_most, np.inf)
    marks, lines = types.marking, types.print_line
    tested = _of_sizes(-limits.caps(marks, lines, limits.SUCTION, low=True), sizes)
    pressure = _of_sizes(limits.clamped_pressure(marks, lines), sizes)
    strongest = limit("clamped-pressure-highest")
    tight: Mask = limits.incredible_radius(sizes, kink.lower_bound, helix)
    found = [
        _beyond(
            sizes.working_pressure_clamped,
            pressure,
            "working_pressure_clamped_kpa",
            "kPa",
            "its marking under clamps",
        ),
        Doubt(
            sizes.working_pressure_clamped > strongest,
            "warning",
            "working_pressure_clamped_kpa",
            lambda row: f"{sizes.working_pressure_clamped[row]:g} kPa under clamps",
            lambda _: f"at most {strongest:g} kPa, more than which no clamp holds: not counted",
        ),
        Doubt(
            tight,
            "warning",
            "least_bend_radius_mm",
            lambda row: f"{sizes.least_bend_radius[row]:g} mm",
            lambda row: (
                f"a bend that hose of {sizes.outside_diameter[row]:g} mm outside can make: not"
                " counted"
            ),
        ),
    ]
    for heading, stated in (
        ("suction_limit_cold_kpa", -sizes.suction_limit_cold),
        ("suction_limit_hot_kpa", -sizes.suction_limit_hot),
    ):
        found.append(_suction(stated, limit("suction-beyond-marking") * tested, heading, "marking"))
        found.append(_suction(stated, plain, heading, "own wall"))
    return found


def _suction(stated: Array, cap: Array, heading: str, whose: str) -> Doubt:
    return Doubt(
        stated > cap,
        "warning",
        heading,
        lambda row: f"{-stated[row]:g} kPa",
        lambda row: f"no more suction than the {-cap[row]:.3g} kPa of its {whose}",
    )


def _of_sizes(of_types: Array, sizes: CatalogueSizes) -> Array:
    made: Array = np.array([*of_types, np.nan])[sizes.type_index]
    return made


def reinforcement_doubts(types: CatalogueTypes) -> list[Doubt]:
    """Return the types that can be named, but nobody says what reinforces them."""
    named = np.array(
        [
            liner != ("unknown",) or bool(marks)
            for liner, marks in zip(types.liner, types.marking, strict=True)
        ],
        dtype=bool,
    )
    return [
        Doubt(
            (types.reinforcement == "unknown") & named,
            "warning",
            "reinforcement",
            lambda _: "an empty cell",
            lambda _: "none, textile, wire or textile-and-wire: hot lines under pressure need it",
        )
    ]
