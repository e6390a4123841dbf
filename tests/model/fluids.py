"""What flows: constituents of fluids, kinds of fluids, and what polymers stand."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

from .tables import by, number, pairs, rows, where

Fluids = frozenset[str]


@cache
def constituents(fluid: str) -> Fluids:
    """Return what a fluid is made of; one without constituents is its own."""
    return frozenset(row["constituent"] for row in where("fluid_constituents", "fluid", fluid)) or (
        frozenset({fluid})
    )


def made_of(fluids: Iterable[str]) -> Fluids:
    """Return what some fluids are made of, together."""
    return frozenset(part for fluid in fluids for part in constituents(fluid))


@cache
def family(fluid: str) -> str:
    """Return the family of a fluid."""
    return by("fluids", "fluid")[fluid]["family"]


def of_service(service: str, role: str) -> tuple[str, ...]:
    """Return what flows in a service: "always", or by "default" where nothing is named."""
    return tuple(
        row["fluid"] for row in where("service_fluids", "service", service) if row["role"] == role
    )


@cache
def rating(polymer: str, fluid: str) -> float | None:
    """Return how a polymer stands a fluid: 2, 1, 0, or not known."""
    row = pairs("resistance", "symbol", "fluid").get((polymer, fluid))
    return number(row["rating"]) if row else None


@cache
def was_read(polymer: str, fluid: str) -> bool:
    """Return whether a publication says so, read or as another one reports it."""
    row = pairs("resistance", "symbol", "fluid").get((polymer, fluid))
    return row is not None and row["status"] in ("read", "second-hand")


@cache
def rated_up_to(polymer: str, fluid: str) -> float | None:
    """Return up to which temperature that holds [degC]; None = at any."""
    row = pairs("resistance", "symbol", "fluid").get((polymer, fluid))
    return number(row["temperature_max_degc"]) if row else None


def weakest(ratings: Iterable[float | None]) -> float | None:
    """Return the weakest rating: a refusal counts even beside one that is not known."""
    found = list(ratings)
    if 0 in found:
        return 0.0
    if None in found:
        return None
    return min((value for value in found if value is not None), default=2.0)


@cache
def all_fluids() -> tuple[str, ...]:
    """Return every fluid that has a row."""
    return tuple(row["fluid"] for row in rows("fluids"))


@cache
def liquid_fuels() -> Fluids:
    """Return what is liquid fuel."""
    return frozenset(fluid for fluid in all_fluids() if family(fluid) == "fuel")
