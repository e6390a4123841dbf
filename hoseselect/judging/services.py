"""What the tables say of services, fluids and markings, as arrays for the rules."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from hoseselect.judging.columns import Array
from hoseselect.knowledge.load import Row, table


@dataclass(frozen=True, eq=False, repr=False)
class ServiceColumns:
    """Services as columns, each of shape (services,); masks of fluids (services, fluids).

    Parameters
    ----------
    index : row of each service id
    fluid_index : column of each fluid id
    fluids_always, fluids_default : constituents that flow in any case; that are assumed
    fluids_mildest : of those, what every fluid of that kind holds
    pressure_line, pressure_from : line as which one is judged, itself where none, and above which
        pressure [kPa]
    carries : which services are lines for a fluid of its own kind, not for a trace of it
    bead_required, marking_required, insert_possible, fall_required, low_spot_matters,
    boost_possible, permeation_matters, fuel, clamped : flags
    boost_usual : whether its usual highest pressure is boost
    clamps_per_end : clamps at each end
    proof : what must be proved, or an empty text
    group : group of the service
    risky : which fluids are anything but air, shape (fluids,)
    liquid_fuel, vapour : which fluids are liquid fuels, which are vapours, shape (fluids,)
    in_fuel : which fluids that are no fuel themselves a fuel is mixed with
    takes_fuel : whether fuel or its vapour flows in the service itself
    open_to_air : whether it is an open vent or a drain of water
    """

    index: dict[str, int]
    fluid_index: dict[str, int]
    fluids_always: Array
    fluids_default: Array
    fluids_mildest: Array
    carries: Array
    pressure_line: Array
    pressure_from: Array
    bead_required: Array
    marking_required: Array
    insert_possible: Array
    fall_required: Array
    low_spot_matters: Array
    boost_possible: Array
    boost_usual: Array
    permeation_matters: Array
    fuel: Array
    clamped: Array
    clamps_per_end: Array
    proof: tuple[str, ...]
    group: tuple[str, ...]
    risky: Array
    liquid_fuel: Array
    vapour: Array
    in_fuel: Array
    takes_fuel: Array
    open_to_air: Array
    names: tuple[str, ...]
    fluids: tuple[str, ...]


BOOSTED = "crankcase-boosted"
"""The service that is made for boost."""


IN_TANK = "fuel-in-tank"
"""The service whose hose lies in what flows."""


def in_tank(service: Array) -> Array:
    """Return where a hose lies in what flows, of the shape of the indices of services."""
    inside: Array = service == service_columns().index[IN_TANK]
    return inside


@cache
def service_columns() -> ServiceColumns:
    """Return the services as columns."""
    services = table("services")
    names = tuple(services.column("service"))
    fluids = tuple(
        fluid for fluid in table("fluids").column("fluid") if fluid in constituents(fluid)
    )
    fluid_index = {fluid: k for k, fluid in enumerate(fluids)}
    of_family = {row["fluid"]: row["family"] for row in table("fluids")}
    roles = ("always", "default", "mildest")
    masks = {role: np.zeros((len(names), len(fluids)), dtype=bool) for role in roles}
    carries = np.zeros((len(names), len(fluids)), dtype=bool)
    for row in table("service_fluids"):
        place = names.index(row["service"])
        for part in constituents(row["fluid"]):
            masks[row["role"]][place, fluid_index[part]] = True
            carries[place, fluid_index[part]] |= of_family[part] == of_family[row["fluid"]]
        for part in mildest(row["fluid"]) if row["role"] == "default" else ():
            masks["mildest"][place, fluid_index[part]] = True

    def flag(heading: str) -> Array:
        return np.array([text == "yes" for text in services.column(heading)])

    kinds = np.array([of_family[fluid] for fluid in fluids])
    pressure_line, pressure_from = _pressure_lines(names)
    own = masks["always"] | masks["default"]
    group = tuple(services.column("group"))
    clamps = np.array([int(text) for text in services.column("clamps_per_end")])
    return ServiceColumns(
        index={name: k for k, name in enumerate(names)},
        fluid_index=fluid_index,
        fluids_always=masks["always"],
        fluids_default=masks["default"],
        fluids_mildest=masks["mildest"],
        carries=carries,
        pressure_line=pressure_line,
        pressure_from=pressure_from,
        bead_required=flag("bead_required"),
        marking_required=flag("marking_required"),
        insert_possible=flag("insert_possible"),
        fall_required=flag("fall_required"),
        low_spot_matters=flag("low_spot_matters"),
        boost_possible=flag("boost_possible"),
        boost_usual=np.array([name == BOOSTED for name in names]),
        permeation_matters=flag("permeation_matters"),
        fuel=np.array([name in {"fuel", "diesel"} for name in group]),
        clamped=clamps > 0,
        clamps_per_end=clamps,
        proof=tuple(services.column("proof")),
        group=group,
        risky=kinds != "air",
        liquid_fuel=kinds == "fuel",
        vapour=kinds == "vapour",
        in_fuel=(kinds != "fuel") & np.isin(fluids, _in_fuels(of_family)),
        takes_fuel=np.any(own & np.isin(kinds, ["fuel", "vapour"]), axis=1),
        open_to_air=np.array([name == "drain" for name in names])
        | np.array([name == "vent" for name in group]),
        names=names,
        fluids=fluids,
    )


def _pressure_lines(names: tuple[str, ...]) -> tuple[Array, Array]:
    """Return as which line each is judged above a pressure, and that pressure [kPa].

    It is what the line itself usually sees at most, and what the other one sees at least.
    """
    line, above = np.arange(len(names)), np.full(len(names), np.inf)
    usual = {
        row["service"]: (row.number("favourable"), row.number("adverse"))
        for row in table("service_duty").where(field="pressure_max")
    }
    for row in table("pressure_lines"):
        place = names.index(row["service"])
        line[place] = names.index(row["judged_as"])
        above[place] = max(usual.get(row["service"], (0.0, 0.0))[1], usual[row["judged_as"]][0])
    return line, above


@cache
def family(fluid: str) -> str:
    """Return the family of a fluid: oil, fuel, vapour, water, brake, air or urea."""
    return table("fluids").row(fluid=fluid)["family"]


def _in_fuels(of_family: dict[str, str]) -> list[str]:
    """Return what the fuels are made of."""
    fuels = [fluid for fluid, kind in of_family.items() if kind == "fuel"]
    return [part for fluid in fuels for part in constituents(fluid)]


@cache
def constituents(fluid: str) -> tuple[str, ...]:
    """Return what a fluid is made of; a fluid without constituents is its own."""
    parts = tuple(row["constituent"] for row in table("fluid_constituents").where(fluid=fluid))
    return parts or (fluid,)


def mildest(fluid: str) -> frozenset[str]:
    """Return what every fuel or oil of the kind of a fluid holds; nothing of other families."""
    family = {row["fluid"]: row["family"] for row in table("fluids")}
    common = frozenset(constituents(fluid))
    if family[fluid] not in SURE_FAMILIES:
        return frozenset()
    for other, own in family.items():
        parts = common.intersection(constituents(other))
        if own == family[fluid] and parts:
            common = parts
    return common


SURE_FAMILIES = ("fuel", "oil")
"""Families of which one flows in any case where none is named; air may be clean instead."""


def fluid_mask(fluids: tuple[str, ...]) -> Array:
    """Return which constituents stand in the fluids, shape (fluids,)."""
    columns = service_columns()
    mask = np.zeros(len(columns.fluids), dtype=bool)
    for fluid in fluids:
        for part in constituents(fluid):
            mask[columns.fluid_index[part]] = True
    return mask


def rating_of(symbols: tuple[str, ...]) -> Array:
    """Return the rating of a material against every fluid, shape (fluids,); NaN unknown.

    Parameters
    ----------
    symbols : polymers, one or the other; the weakest decides
    """
    ratings = np.array([_figures_of(symbol)[0] for symbol in symbols])
    refused = (ratings == 0).any(axis=0)
    return np.where(refused, 0.0, ratings.min(axis=0))


def read_of(symbols: tuple[str, ...]) -> Array:
    """Return where every rating of a material was read in a publication, shape (fluids,)."""
    read: Array = np.all([_read_cells(symbol) for symbol in symbols], axis=0)
    return read


def hot_limit_of(symbols: tuple[str, ...]) -> Array:
    """Return up to which temperature each rating holds, shape (fluids,) [degC]; infinite none."""
    return np.array([_figures_of(symbol)[1] for symbol in symbols]).min(axis=0)


@cache
def _figures_of(symbol: str) -> tuple[Array, Array]:
    columns = service_columns()
    ratings = np.full(len(columns.fluids), np.nan)
    hot = np.full(len(columns.fluids), np.inf)
    for row in _resistance().get(symbol, ()):
        column = columns.fluid_index.get(row["fluid"])
        if column is not None:
            ratings[column] = row.number("rating")
            limit = row.number("temperature_max_degc")
            hot[column] = np.inf if np.isnan(limit) else limit
    return ratings, hot


@cache
def _read_cells(symbol: str) -> Array:
    columns = service_columns()
    read = np.zeros(len(columns.fluids), dtype=bool)
    for row in _resistance().get(symbol, ()):
        column = columns.fluid_index.get(row["fluid"])
        if column is not None:
            read[column] = row["status"] in {"read", "second-hand"}
    return read


@cache
def _resistance() -> dict[str, list[Row]]:
    rows: dict[str, list[Row]] = {}
    for row in table("resistance"):
        rows.setdefault(row["symbol"], []).append(row)
    return rows
