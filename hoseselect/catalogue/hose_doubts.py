"""What contradicts itself or looks odd in hose types and hose sizes."""

from __future__ import annotations

import re

import numpy as np

from hoseselect.catalogue.columns import CatalogueSizes, CatalogueTypes, FloatArray, IntArray, Words
from hoseselect.catalogue.doubt import Doubt, Mask, above, below
from hoseselect.catalogue.hose_claims import contradicted
from hoseselect.knowledge.load import table as knowledge_table
from hoseselect.mechanics.kink import brazier_radius

FAR_BELOW = 0.5
"""Share of the kink radius below which a stated bend radius is doubted; common practice."""

LEAST_BORE = 1.5
"""Bore below which inches are suspected; common practice, no source [mm]."""

LEAST_PRESSURE = 10.0
"""Working pressure below which bar or MPa is suspected; common practice, no source [kPa]."""

LEAST_SUCTION = 1.0
"""Suction below which bar or MPa is suspected; common practice, no source [kPa]."""

HOTTEST = 260.0
"""Temperature limit above which degrees Fahrenheit are suspected; common practice [degC]."""

WARMEST_COLD_LIMIT = 5.0
"""Cold limit above which a lost minus sign is suspected; common practice [degC]."""


def weak_suction(suction: FloatArray, heading: str) -> Doubt:
    """Return the warning that a suction limit is so weak that its unit is doubted."""
    return Doubt(
        suction > -LEAST_SUCTION,
        "warning",
        heading,
        lambda row: f"{suction[row]:g} kPa",
        lambda _: "a number in kPa (bar or MPa?)",
    )


def type_doubts(
    types: CatalogueTypes, sizes: CatalogueSizes, *, all_sizes: bool = True
) -> list[Doubt]:
    """Return what is contradictory or odd in the hose types.

    Parameters
    ----------
    all_sizes : whether the sizes are all there are; False = some could not be read
    """
    steady, peak, cold = (
        types.temperature_continuous,
        types.temperature_short_time,
        types.temperature_cold,
    )
    unsold = all_sizes & ~np.isin(np.arange(len(types)), sizes.type_index)
    unproved = np.array(
        [
            bool(fluids) and not marks and not family
            for fluids, marks, family in zip(
                types.fluids_claimed, types.marking, types.family, strict=True
            )
        ],
        dtype=bool,
    )
    return [
        above(steady, peak, "temperature_continuous_degc", "degC", "short-time limit"),
        above(cold, steady, "temperature_cold_degc", "degC", "continuous limit", same=False),
        Doubt(
            cold > WARMEST_COLD_LIMIT,
            "warning",
            "temperature_cold_degc",
            lambda row: f"{cold[row]:g} degC",
            lambda _: "a cold limit (minus sign lost?)",
        ),
        Doubt(
            np.fmax(steady, peak) > HOTTEST,
            "warning",
            "temperature_continuous_degc",
            lambda row: f"{np.fmax(steady, peak)[row]:g} degC",
            lambda _: "a limit in degC (degrees Fahrenheit?)",
        ),
        Doubt(
            unproved,
            "warning",
            "fluids_claimed",
            lambda row: f"a claim of {', '.join(types.fluids_claimed[row])} without a marking",
            lambda _: "a published marking or a family that backs the claim",
        ),
        Doubt(
            unsold,
            "warning",
            "hose_type",
            lambda row: f"'{types.hose_type[row]}' without a size",
            lambda _: "at least one row in hose_sizes.csv",
        ),
    ]


def print_doubts(types: CatalogueTypes) -> list[Doubt]:
    """Return the markings that a hose type claims and its print line does not bear."""
    absent: list[Words] = [()] * len(types)
    patterns = {row["marking"]: row["print_pattern"] for row in knowledge_table("markings")}
    for row, (line, marks) in enumerate(zip(types.print_line, types.marking, strict=True)):
        if line:
            absent[row] = tuple(
                mark
                for mark in marks
                if patterns.get(mark)
                and re.search(patterns[mark], line) is None
                and mark not in contradicted(marks, line)
            )
    return [
        Doubt(
            np.array([bool(marks) for marks in absent], dtype=bool),
            "warning",
            "print_line",
            lambda row: f"'{types.print_line[row]}'",
            lambda row: f"the marking {', '.join(absent[row])} that the type claims",
        ),
    ]


def size_doubts(types: CatalogueTypes, sizes: CatalogueSizes) -> list[Doubt]:
    """Return what is contradictory or odd in the hose sizes."""
    clamped, crimped = sizes.working_pressure_clamped, sizes.working_pressure_crimped
    cold, hot = sizes.suction_limit_cold, sizes.suction_limit_hot
    known = sizes.type_index >= 0
    word = np.array([*types.reinforcement.tolist(), "unknown"])[sizes.type_index]
    wired = known & ((word == "wire") | (word == "textile-and-wire"))
    held = np.array([*types.made_for_clamps.tolist(), "unknown"])[sizes.type_index]
    radius, kink = sizes.least_bend_radius, kink_radius(sizes)
    return [
        above(sizes.bore, sizes.outside_diameter, "bore_mm", "mm", "outside diameter", same=False),
        above(
            sizes.bore_max,
            sizes.outside_diameter,
            "bore_max_mm",
            "mm",
            "outside diameter",
            same=False,
        ),
        above(sizes.bore_min, sizes.bore, "bore_min_mm", "mm", "nominal bore"),
        Doubt(
            sizes.bore_max < sizes.bore,
            "error",
            "bore_max_mm",
            lambda row: f"{sizes.bore_max[row]:g} mm",
            lambda row: f"at least the nominal bore {sizes.bore[row]:g} mm",
        ),
        above(
            clamped,
            crimped,
            "working_pressure_clamped_kpa",
            "kPa",
            "working pressure with crimped ends",
        ),
        Doubt(
            hot < cold,
            "error",
            "suction_limit_hot_kpa",
            lambda row: f"{hot[row]:g} kPa",
            lambda row: f"no stronger suction than the cold limit {cold[row]:g} kPa",
        ),
        Doubt(
            np.isnan(cold) & ~np.isnan(hot),
            "warning",
            "suction_limit_cold_kpa",
            lambda _: "an empty cell beside a hot limit",
            lambda _: "the cold limit too",
        ),
        below(sizes.bore, LEAST_BORE, "bore_mm", "mm", "inches"),
        below(clamped, LEAST_PRESSURE, "working_pressure_clamped_kpa", "kPa", "bar or MPa"),
        below(crimped, LEAST_PRESSURE, "working_pressure_crimped_kpa", "kPa", "bar or MPa"),
        weak_suction(cold, "suction_limit_cold_kpa"),
        weak_suction(hot, "suction_limit_hot_kpa"),
        Doubt(
            (held == "no") & ~np.isnan(clamped),
            "warning",
            "working_pressure_clamped_kpa",
            lambda row: f"{clamped[row]:g} kPa with clamps",
            lambda _: "an empty cell, as the type is not made for clamps",
        ),
        Doubt(
            (radius < FAR_BELOW * kink) & ~wired,
            "warning",
            "least_bend_radius_mm",
            lambda row: f"{radius[row]:g} mm",
            lambda row: (
                f"about {kink[row]:.0f} mm or more, where a plain tube of this bore and wall kinks"
            ),
        ),
        *neighbour_doubts(sizes),
    ]


def kink_radius(sizes: CatalogueSizes) -> FloatArray:
    """Return the centreline radius at which a long plain tube of each size kinks, (m,) [mm]."""
    made: FloatArray = brazier_radius(0.25 * (sizes.outside_diameter + sizes.bore), sizes.wall)
    return made


def neighbour_doubts(sizes: CatalogueSizes) -> list[Doubt]:
    """Return the doubts that compare each size with the next smaller one of its type."""
    bore, radius = sizes.bore, sizes.least_bend_radius
    placed = (sizes.type_index >= 0) & ~np.isnan(bore)
    near, near_stated = smaller_size(sizes, placed), smaller_size(sizes, placed & ~np.isnan(radius))
    twice = (near >= 0) & (bore == bore[near])
    falling = (near_stated >= 0) & (bore > bore[near_stated]) & (radius < radius[near_stated])
    return [
        Doubt(
            falling,
            "warning",
            "least_bend_radius_mm",
            lambda row: f"{radius[row]:g} mm",
            lambda row: (
                f"at least the {radius[near_stated[row]]:g} mm of the smaller bore "
                f"{bore[near_stated[row]]:g} mm"
            ),
        ),
        Doubt(
            twice,
            "warning",
            "bore_mm",
            lambda row: f"the bore {bore[row]:g} mm a second time in its type",
            lambda row: f"one size a bore (also '{sizes.hose_size[near[row]]}')",
        ),
    ]


def smaller_size(sizes: CatalogueSizes, among: Mask) -> IntArray:
    """Return the place of the next smaller (or equal) bore of the same type, -1 for none, (m,).

    Parameters
    ----------
    among : the sizes that take part, (m,)
    """
    rows = np.flatnonzero(among)
    order = rows[np.lexsort((sizes.bore[rows], sizes.type_index[rows]))]
    smaller = np.full(len(sizes), -1, dtype=np.intp)
    same_type = sizes.type_index[order[1:]] == sizes.type_index[order[:-1]]
    smaller[order[1:]] = np.where(same_type, order[:-1], -1)
    return smaller
