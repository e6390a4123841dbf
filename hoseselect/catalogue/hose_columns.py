"""From a catalogue as read to the columns that rules see."""

from __future__ import annotations

from functools import cache

import numpy as np

from hoseselect.catalogue.columns import Catalogue, CatalogueTypes
from hoseselect.judging.columns import Array, HoseColumns, SizeColumns, TypeColumns
from hoseselect.judging.services import fluid_mask, hot_limit_of, rating_of, service_columns
from hoseselect.knowledge.load import limit, table
from hoseselect.mechanics.collapse import collapse_estimate
from hoseselect.mechanics.kink import kink_estimate
from hoseselect.mechanics.modulus import modulus_range

MILLIMETRES_PER_METRE = 1000.0


def hose_columns(catalogue: Catalogue) -> HoseColumns:
    """Return the columns of a catalogue, estimates and the meaning of markings added."""
    return HoseColumns(
        types=_type_columns(catalogue.types),
        sizes=_size_columns(catalogue),
        clamp_ranges=_clamp_ranges(catalogue, soft=False),
        clamp_ranges_soft=_clamp_ranges(catalogue, soft=True),
    )


def _answers(words: Array) -> Array:
    return np.select([words == "yes", words == "no"], [1, 0], default=-1)


def _type_columns(types: CatalogueTypes) -> TypeColumns:
    services = service_columns()
    claimed = np.array([_claimed(markings) for markings in types.marking])
    stated = np.array([fluid_mask(fluids) for fluids in types.fluids_claimed])
    liner = np.array([_ratings(symbols) for symbols in types.liner])
    liner = np.where(stated & (liner != 0), 2.0, liner)  # a statement never lifts a refusal
    vapour = services.fluid_index["fuel-vapour"]
    low = np.array([bool(LOW_PERMEATION & set(markings)) for markings in types.marking])
    return TypeColumns(
        name=types.hose_type,
        liner=types.liner,
        cover=types.cover,
        liner_rating=liner,
        cover_rating=_cover_ratings(types, liner),
        liner_hot_limit=np.array([_hot_limits(symbols) for symbols in types.liner]),
        claimed=claimed,
        liner_named=np.array([symbols != ("unknown",) for symbols in types.liner]),
        marked=np.array([len(markings) > 0 for markings in types.marking]),
        permeation_rating=np.where(low, 2.0, np.maximum(liner[:, vapour], 1.0)),
        marking_allows=_marking_answers(types, ("yes", "over-specified")),
        marking=types.marking,
        marking_in_part=_marking_answers(types, ("in-part",)),
        marking_denies=_marking_answers(types, ("no",)),
        temperature_continuous=types.temperature_continuous,
        temperature_short_time=types.temperature_short_time,
        temperature_cold=types.temperature_cold,
        marking_pressure=np.array([_marking_pressure(markings) for markings in types.marking]),
        submersible=_answers(types.submersible),
        activation_energy=np.array([_activation_energy(symbols) for symbols in types.liner]),
        made_for_clamps=_answers(types.made_for_clamps),
    )


LOW_PERMEATION = {"j30-r11", "j30-r12", "j30-r14"}


def _ratings(symbols: tuple[str, ...]) -> Array:
    if symbols == ("unknown",):
        return np.full(len(service_columns().fluids), np.nan)
    return rating_of(symbols)


def _hot_limits(symbols: tuple[str, ...]) -> Array:
    if symbols == ("unknown",):
        return np.full(len(service_columns().fluids), np.inf)
    return hot_limit_of(symbols)


def _cover_ratings(types: CatalogueTypes, liner: Array) -> Array:
    """Return ratings of covers; under a bare textile braid the liner meets what drips."""
    rows = []
    for k, symbols in enumerate(types.cover):
        if symbols == ("textile",):
            ratings = liner[k].copy()
            ratings[service_columns().fluid_index["air"]] = (
                table("resistance").row(symbol="textile", fluid="air").number("rating")
            )
            rows.append(ratings)
        else:
            rows.append(_ratings(symbols))
    return np.array(rows)


def _claimed(markings: tuple[str, ...]) -> Array:
    covered = tuple(
        row["fluid"]
        for row in table("marking_fluids")
        if row["marking"] in markings and row.yes("covered")
    )
    return fluid_mask(covered)


def _marking_answers(types: CatalogueTypes, answers: tuple[str, ...]) -> Array:
    services = service_columns()
    found = np.zeros((len(services.names), len(types)), dtype=bool)
    for row in table("service_markings"):
        if row["answer"] in answers:
            has = [row["marking"] in markings for markings in types.marking]
            found[services.index[row["service"]]] |= np.array(has)
    return found


PRESSURES = ("pressure-clamped", "pressure-working")


def _marking_pressure(markings: tuple[str, ...]) -> float:
    figures = [
        row.number("value")
        for row in table("marking_figures")
        if row["figure"] in PRESSURES and row["marking"] in markings
    ]
    return min(figures, default=np.nan)


def _activation_energy(symbols: tuple[str, ...]) -> float:
    rows = table("limits")
    name = f"activation-energy-{symbols[0].lower()}"
    return rows.row(limit=name).number("value") if rows.has(limit=name) else np.nan


def _size_columns(catalogue: Catalogue) -> SizeColumns:
    sizes, types = catalogue.sizes, catalogue.types
    modulus = modulus_range(types.hardness_shore_a[sizes.type_index])
    collapse = collapse_estimate(
        sizes.bore,
        sizes.outside_diameter,
        modulus.low,
        modulus.high,
        hot_share=limit("hot-modulus-share"),
        factor=limit("collapse-factor"),
    )
    kink = kink_estimate(sizes.bore, sizes.outside_diameter, limit("inside-radius-per-bore"))
    reinforcement = types.reinforcement[sizes.type_index]
    helix = np.isin(reinforcement, ["wire", "textile-and-wire"])
    return SizeColumns(
        name=sizes.hose_size,
        type_index=sizes.type_index,
        bore=sizes.bore,
        bore_max=sizes.bore_max,
        outside_diameter=sizes.outside_diameter,
        least_bend_radius=sizes.least_bend_radius,
        kink_sure=kink.sure,
        kink_least=np.where(helix, 0.0, kink.lower_bound),  # a wire holds the wall open
        working_pressure=sizes.working_pressure_clamped,
        suction_cold=-sizes.suction_limit_cold,
        suction_hot=-sizes.suction_limit_hot,
        collapse_sure=collapse.sure,
        collapse_most=np.where(helix, np.inf, collapse.at_most),
        roll_length=sizes.roll_length_m * MILLIMETRES_PER_METRE,
        unreinforced=reinforcement == "none",
        helix=helix,
        hardness_shore_a=types.hardness_shore_a[sizes.type_index],
        soft_cover=np.array([soft_cover(symbols) for symbols in types.cover])[sizes.type_index],
    )


def _clamp_ranges(catalogue: Catalogue, *, soft: bool) -> tuple[Array, ...]:
    """Return per service the ranges of the clamps that suit it, merged for each band width."""
    clamps = catalogue.clamps
    if len(clamps) == 0:
        return ()
    services = service_columns()
    merged = {}
    for group in dict.fromkeys(services.group):
        fit = np.array([clamp_suits(str(family), group, soft=soft) for family in clamps.family])
        columns = (clamps.band_width[fit], clamps.range_min[fit], clamps.range_max[fit])
        joined: list[list[float]] = []
        for width, low, high in sorted(zip(*columns, strict=True)):
            if joined and width == joined[-1][2] and low <= joined[-1][1]:
                joined[-1][1] = max(joined[-1][1], high)
            else:
                joined.append([low, high, width])
        merged[group] = np.array(joined).reshape(-1, 3)
    return tuple(merged[group] for group in services.group)


@cache
def soft_cover(symbols: tuple[str, ...]) -> bool:
    """Return whether a cover is so soft that a perforated band cuts it."""
    figures = table("polymer_figures")
    return any(figures.has(symbol=symbol, figure="soft-cover") for symbol in symbols)


@cache
def clamp_suits(family: str, group: str, *, soft: bool) -> bool:
    """Return whether a family of clamps suits a group of services and the cover of a hose.

    Parameters
    ----------
    family : of clamps
    group : of services
    soft : whether the cover is soft
    """
    families = table("clamp_families")
    if not families.has(family=family):
        return False
    row = families.row(family=family)
    return group in row["suits"].split(";") and (row.yes("soft_cover") or not soft)
