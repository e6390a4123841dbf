"""The catalogue as rows for people: types, sizes of a type, one hose."""

from __future__ import annotations

from typing import Any

import numpy as np

from hoseselect.catalogue.columns import Catalogue
from hoseselect.domain.finding import number_or_null


def list_types(catalogue: Catalogue) -> list[dict[str, Any]]:
    """Return one row for every hose type."""
    types, sizes = catalogue.types, catalogue.sizes
    rows = []
    for k in range(len(types)):
        own = sizes.bore[sizes.type_index == k]
        bores = f"{own.min():g} to {own.max():g}" if len(own) else "none"
        rows.append(
            {
                "hose_type": str(types.hose_type[k]),
                "liner": "|".join(types.liner[k]),
                "marking": ";".join(types.marking[k]) or "-",
                "continuous_degc": number_or_null(types.temperature_continuous[k]),
                "bores_mm": bores,
                "description": types.description[k],
            }
        )
    return rows


def list_sizes(catalogue: Catalogue, hose_type: str) -> list[dict[str, Any]]:
    """Return one row for every size of a hose type.

    Raises
    ------
    InputError
        when there is no such hose type.
    """
    kind = catalogue.types.index_of(hose_type)
    sizes = catalogue.sizes
    return [
        {
            "hose_size": str(sizes.hose_size[k]),
            "bore_mm": number_or_null(sizes.bore[k]),
            "outside_mm": number_or_null(sizes.outside_diameter[k]),
            "radius_mm": number_or_null(sizes.least_bend_radius[k]),
            "clamped_kpa": number_or_null(sizes.working_pressure_clamped[k]),
            "suction_hot_kpa": number_or_null(sizes.suction_limit_hot[k]),
            "roll_m": number_or_null(sizes.roll_length_m[k]),
            "price_per_m": number_or_null(sizes.price_per_m[k]),
        }
        for k in np.flatnonzero(sizes.type_index == kind)
    ]


def show(catalogue: Catalogue, hose: str) -> dict[str, Any]:
    """Return all that the catalogue states of a hose type or size.

    Raises
    ------
    InputError
        when the catalogue holds no such hose.
    """
    types, sizes = catalogue.types, catalogue.sizes
    hose = catalogue.spelled(hose)
    found: dict[str, Any] = {}
    if (sizes.hose_size == hose).any():
        k = sizes.index_of(hose)
        kind = int(sizes.type_index[k])
        found["hose_size"] = hose
        for name in SIZE_FIGURES:
            found[name] = number_or_null(getattr(sizes, name)[k])
    else:
        kind = types.index_of(hose)
    found["hose_type"] = str(types.hose_type[kind])
    for name in TYPE_WORDS:
        value = getattr(types, name)[kind]
        found[name] = ";".join(value) if isinstance(value, tuple) else str(value)
    for name in TYPE_FIGURES:
        found[name] = number_or_null(getattr(types, name)[kind])
    return found


SIZE_FIGURES = (
    "bore",
    "bore_min",
    "bore_max",
    "outside_diameter",
    "least_bend_radius",
    "working_pressure_clamped",
    "working_pressure_crimped",
    "suction_limit_cold",
    "suction_limit_hot",
    "roll_length_m",
    "price_per_m",
)
TYPE_WORDS = (
    "description",
    "liner",
    "reinforcement",
    "cover",
    "marking",
    "print_line",
    "fluids_claimed",
    "made_for_clamps",
    "submersible",
    "remark",
)
TYPE_FIGURES = (
    "temperature_continuous",
    "temperature_short_time",
    "temperature_cold",
    "hardness_shore_a",
)
