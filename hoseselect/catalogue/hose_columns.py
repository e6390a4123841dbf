"""From a catalogue as read to the columns that rules see."""

from __future__ import annotations

from functools import cache
from weakref import WeakKeyDictionary

import numpy as np

from hoseselect.catalogue import hose_claims as claims
from hoseselect.catalogue import hose_limits as limits
from hoseselect.catalogue.columns import Catalogue, CatalogueTypes, Words
from hoseselect.catalogue.roll_age import roll_columns
from hoseselect.judging.columns import Array, HoseColumns, SizeColumns, TypeColumns
from hoseselect.judging.services import (
    IN_TANK,
    fluid_mask,
    hot_limit_of,
    rating_of,
    read_of,
    service_columns,
)
from hoseselect.knowledge.load import limit, table
from hoseselect.mechanics.collapse import collapse_estimate
from hoseselect.mechanics.kink import kink_estimate
from hoseselect.mechanics.modulus import modulus_range
from hoseselect.quantities.exact import MILLIMETRES_PER_METRE

_made: WeakKeyDictionary[Catalogue, HoseColumns] = WeakKeyDictionary()
"""Columns of the catalogues in use: they are made once, whatever is asked of one."""


def hose_columns(catalogue: Catalogue) -> HoseColumns:
    """Return the columns of a catalogue, estimates and the meaning of markings added."""
    if catalogue not in _made:
        _made[catalogue] = _columns(catalogue)
    return _made[catalogue]


def _columns(catalogue: Catalogue) -> HoseColumns:
    markings = claims.believed(catalogue.types)
    return HoseColumns(
        types=_type_columns(catalogue.types, markings),
        sizes=_size_columns(catalogue, markings),
        rolls=roll_columns(catalogue),
        clamp_ranges=_clamp_ranges(catalogue, soft=False),
        clamp_ranges_soft=_clamp_ranges(catalogue, soft=True),
    )


def _answers(words: Array) -> Array:
    return np.select([words == "yes", words == "no"], [1, 0], default=-1)


def _type_columns(types: CatalogueTypes, markings: tuple[Words, ...]) -> TypeColumns:
    services = service_columns()
    seen = np.array([claims.covered(own, seen=True) for own in markings])
    told = np.array([claims.covered(own, seen=False) for own in markings])
    stated = np.array(
        [
            _claimed((*fluids, *only))
            for fluids, only in zip(types.fluids_claimed, types.only_for, strict=True)
        ]
    )
    cells = np.array([_ratings(symbols) for symbols in types.liner])
    read = np.array([_read(symbols) for symbols in types.liner])
    liner = liner_ratings(cells, read, marked=seen, told=told, stated=stated)
    no = np.zeros_like(stated)
    alone = liner_ratings(cells, read, marked=no, told=no, stated=stated)
    vapour = services.fluid_index["fuel-vapour"]
    petrol = services.fluid_index["petrol"]
    holds_it = np.isnan(alone[:, vapour]) & (told[:, vapour] | told[:, petrol])
    by_itself = np.where(
        holds_it, 1.0, alone[:, vapour]
    )  # marked for it, not for letting little by
    low = np.array([bool(LOW_PERMEATION & set(own)) for own in markings])
    stated_families = claims.families(types, markings)
    families = claims.families_of_markings(markings)
    lines = types.print_line
    steady_cap = limits.caps(markings, lines, limits.STEADY, low=False)
    short_cap = limits.caps(markings, lines, limits.SHORT, low=False)
    cold_cap = limits.caps(markings, lines, limits.COLD, low=True)
    return TypeColumns(
        name=types.hose_type,
        liner=types.liner,
        cover=types.cover,
        liner_rating=liner,
        liner_cell=cells,
        liner_read=read,
        cover_rating=_cover_ratings(types, liner, seen, told, families),
        liner_hot_limit=np.array([_hot_limits(symbols) for symbols in types.liner]),
        claimed=seen,
        claimed_by_maker=stated,
        excluded=claims.excluded(types),
        families=stated_families,
        family_answer=claims.family_answers(markings, stated_families),
        liner_named=np.array([symbols != ("unknown",) for symbols in types.liner]),
        marked=np.array([len(own) > 0 for own in markings]),
        permeation_rating=np.where(low, 2.0, np.maximum(by_itself, 1.0)),
        marking_allows=_marking_answers(markings, ("yes", "over-specified")),
        marking=markings,
        marking_in_part=_marking_answers(markings, ("in-part",)),
        marking_denies=_marking_answers(markings, ("no",)),
        temperature_continuous=limits.at_most(types.temperature_continuous, steady_cap),
        temperature_short_time=limits.at_most(types.temperature_short_time, short_cap),
        temperature_cold=limits.at_least(types.temperature_cold, cold_cap),
        temperature_usual=limits.usual_hottest(types),
        cold_usual=limits.usual_coldest(types),
        marking_pressure=limits.clamped_pressure(markings, lines),
        submersible=_answers(types.submersible),
        activation_energy=np.array([_activation_energy(symbols) for symbols in types.liner]),
        made_for_clamps=_answers(types.made_for_clamps),
        electrochemical=claims.electrochemical(markings, lines),
        special=np.array(
            [
                special_purpose((*liner, *cover))
                for liner, cover in zip(types.liner, types.cover, strict=True)
            ],
            dtype=bool,
        ),
    )


def liner_ratings(cells: Array, read: Array, *, marked: Array, told: Array, stated: Array) -> Array:
    """Return what the liner is worth, each of shape (t, fluids).

    A marking or the maker's statement stands for a liner that is not named, not rated or rated 1;
    neither lifts a refusal that somebody read. A rating that nobody read is worth 1 by itself.

    Parameters
    ----------
    cells : rating of the table of resistance
    read : whether that was read in a publication
    marked : fluids that a marking covers, read
    told : fluids that a marking covers, by whatever status
    stated : fluids that the maker claims
    """
    vouched = marked | (stated & (cells != 0))
    made = np.where((cells == 2) & ~read, 1.0, cells)
    made = np.where(np.isnan(cells) & told, 1.0, made)
    made = np.where(vouched & ~(cells == 0), 2.0, made)
    return np.where((cells == 0) & marked & ~read, 1.0, made)


LOW_PERMEATION = {"j30-r11", "j30-r12", "j30-r14"}


@cache
def _claimed(fluids: tuple[str, ...]) -> Array:
    return fluid_mask(fluids)


@cache
def _ratings(symbols: tuple[str, ...]) -> Array:
    if symbols == ("unknown",):
        return np.full(len(service_columns().fluids), np.nan)
    return rating_of(symbols)


@cache
def _hot_limits(symbols: tuple[str, ...]) -> Array:
    if symbols == ("unknown",):
        return np.full(len(service_columns().fluids), np.inf)
    return hot_limit_of(symbols)


def _cover_ratings(
    types: CatalogueTypes, liner: Array, seen: Array, told: Array, families: tuple[Words, ...]
) -> Array:
    """Return ratings of covers; under a bare textile braid the liner meets what drips.

    A marking whose standard tests the whole hose in ozone stands for a cover in the open air as it
    does for a liner, and one for hose in the tank for a cover in fuel; against what drips neither
    says a thing.

    Parameters
    ----------
    types : of the catalogue
    liner : ratings of their liners, shape (t, fluids)
    seen, told : fluids that a marking covers, read or by whatever status, shape (t, fluids)
    families : of use, of each type
    """
    air = service_columns().fluid_index["air"]
    only_air = np.arange(len(service_columns().fluids)) == air
    in_tank = np.array([IN_TANK in own for own in families])[:, np.newaxis]
    vouches = in_tank | only_air
    cells = np.array([_ratings(symbols) for symbols in types.cover])
    made = np.where(np.isnan(cells) & told & vouches, 1.0, cells)
    made = np.where(seen & vouches & ~(cells == 0), 2.0, made)
    bare = np.array([symbols == ("textile",) for symbols in types.cover])
    made[bare] = liner[bare]
    made[bare, air] = table("resistance").row(symbol="textile", fluid="air").number("rating")
    return made


@cache
def _read(symbols: tuple[str, ...]) -> Array:
    if symbols == ("unknown",):
        return np.zeros(len(service_columns().fluids), dtype=bool)
    return read_of(symbols)


def _marking_answers(markings: tuple[Words, ...], answers: tuple[str, ...]) -> Array:
    services = service_columns()
    found = np.zeros((len(services.names), len(markings)), dtype=bool)
    bears: dict[str, list[int]] = {}
    for k, own in enumerate(markings):
        for mark in own:
            bears.setdefault(mark, []).append(k)
    for row in table("service_markings"):
        if row["answer"] in answers and row["marking"] in bears:
            found[services.index[row["service"]], bears[row["marking"]]] = True
    return found


def _activation_energy(symbols: tuple[str, ...]) -> float:
    rows = table("limits")
    name = f"activation-energy-{symbols[0].lower()}"
    return rows.row(limit=name).number("value") if rows.has(limit=name) else np.nan


def _size_columns(catalogue: Catalogue, markings: tuple[Words, ...]) -> SizeColumns:
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
    tested = -limits.caps(markings, types.print_line, limits.SUCTION, low=True)
    suction = limit("suction-beyond-marking") * tested[sizes.type_index]
    plain = reinforcement == "none"
    tight = limits.incredible_radius(sizes, kink.lower_bound, helix)
    return SizeColumns(
        name=sizes.hose_size,
        type_index=sizes.type_index,
        bore=sizes.bore,
        bore_max=sizes.bore_max,
        outside_diameter=sizes.outside_diameter,
        least_bend_radius=np.where(tight, np.nan, sizes.least_bend_radius),
        kink_sure=kink.sure,
        kink_least=np.where(helix, 0.0, kink.lower_bound),  # a wire holds the wall open
        working_pressure=limits.credible_pressure(sizes),
        suction_cold=-limits.at_most(-sizes.suction_limit_cold, suction),
        suction_hot=-limits.at_most(-sizes.suction_limit_hot, suction),
        collapse_sure=-collapse.sure,
        collapse_most=np.where(helix, -np.inf, -collapse.at_most),
        roll_length=sizes.roll_length_m * MILLIMETRES_PER_METRE,
        unreinforced=plain,
        reinforcement_known=reinforcement != "unknown",
        helix=helix,
        hardness_shore_a=types.hardness_shore_a[sizes.type_index],
        soft_cover=np.array([soft_cover(symbols) for symbols in types.cover])[sizes.type_index],
    )


def _clamp_ranges(catalogue: Catalogue, *, soft: bool) -> tuple[Array, ...]:
    """Return per service the ranges of the clamps that suit it, merged for each band width.

    A clamp whose band width is not stated counts as the widest of the shop.
    """
    clamps = catalogue.clamps
    if len(clamps) == 0:
        return ()
    services = service_columns()
    widths = clamps.band_width[~np.isnan(clamps.band_width)]
    widest = widths.max() if len(widths) else limit("band-width-least")
    band_width = np.where(np.isnan(clamps.band_width), widest, clamps.band_width)
    merged = {}
    for group in dict.fromkeys(services.group):
        fit = np.array([clamp_suits(str(family), group, soft=soft) for family in clamps.family])
        columns = (band_width[fit], clamps.range_min[fit], clamps.range_max[fit])
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
def special_purpose(symbols: tuple[str, ...]) -> bool:
    """Return whether one of some polymers is for special purposes, no ordinary hose."""
    figures = table("polymer_figures")
    return any(figures.has(symbol=symbol, figure="special-purpose") for symbol in symbols)


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
