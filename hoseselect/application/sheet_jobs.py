"""Lines of a sheet as the columns that rules see, without a job in between for each line.

It gives what `read_job` and `job_columns` give for each line. Lines of which anything is unusual
are only marked; they go through `read_job` one by one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from hoseselect.application.job_form import RouteForm
from hoseselect.application.read_job import read_job
from hoseselect.application.sheet_cells import BLANK, Column
from hoseselect.application.sheet_lengths import Lengths, lengths
from hoseselect.domain.job import Job
from hoseselect.knowledge.load import limit, table
from hoseselect.rules.columns import NO, UNKNOWN, YES, Array, JobColumns
from hoseselect.rules.job_columns import CODES, family, job_columns, route_figures
from hoseselect.rules.services import fluid_mask, service_columns
from hoseselect.rules.stop import (
    END_FITTINGS,
    FLUIDS,
    FUEL_GROUPS,
    PLACES,
    STEERING,
    STOP_FLUID,
    is_stop,
)

NIPPLE_FIGURES = ("outside_diameter", "bead_diameter", "usable_length", "engagement")
NIPPLE_WORDS = ("bead", "measured_on", "material", "fixed_to")
MEASURED_ON = {"plain": YES, "bead": NO, "unknown": UNKNOWN}
MATERIALS = {"plastic": YES, "metal": NO, "unknown": UNKNOWN}
BODIES = {"engine": 1, "body": 0, "unknown": UNKNOWN}
WORDS = {"bead": CODES, "measured_on": MEASURED_ON, "material": MATERIALS, "fixed_to": BODIES}
ORDERED = (
    ("duty.fluid_steady", "duty.fluid_peak"),
    ("duty.air_steady", "duty.air_peak"),
    ("duty.pressure_min", "duty.pressure_max"),
    ("duty.pressure_max", "duty.pressure_spike"),
)


@dataclass(frozen=True, eq=False)
class SheetJobs:
    """Lines as columns.

    Parameters
    ----------
    columns : of all lines; what stands there for a line that is odd means nothing
    odd : lines that must go through `read_job`, shape (n,)
    """

    columns: JobColumns
    odd: Array


class Lines:
    """Some lines of a sheet with their cells read.

    Parameters
    ----------
    columns : readers of the columns, by key
    texts : cells of each column, by key; all of one length
    """

    def __init__(self, columns: Mapping[str, Column], texts: Mapping[str, list[str]]) -> None:
        self.columns = columns
        self.codes = {key: columns[key].codes(cells) for key, cells in texts.items()}
        self.number = len(next(iter(texts.values())))

    def faulty(self) -> Array:
        """Return which lines have a cell that cannot be used, shape (n,)."""
        found = np.zeros(self.number, dtype=bool)
        for key, codes in self.codes.items():
            faults = self.columns[key].faulty()
            if faults.any():
                found |= faults[codes]
        return found

    def given(self, key: str) -> Array:
        """Return where a column has something in its cell, shape (n,)."""
        if key not in self.codes:
            return np.zeros(self.number, dtype=bool)
        given: Array = self.codes[key] != BLANK
        return given

    def figures(self, key: str) -> Array:
        """Return a column of figures, NaN where not known, shape (n,)."""
        return self.mapped(key, _figure, np.nan)

    def mapped(self, key: str, meaning: Callable[[Any], Any], blank: Any) -> Array:
        """Return what each cell means, shape (n, ...); cells that cannot be used count as empty."""
        if key not in self.codes:
            return np.repeat(np.array([blank]), self.number, axis=0)
        name = f"{meaning.__qualname__}:{meaning.__code__.co_firstlineno}"
        return self.columns[key].meanings(name, meaning, blank)[self.codes[key]]

    def words(self, key: str, codes: Mapping[str, int], blank: str = "unknown") -> Array:
        """Return a column of words as whole numbers, shape (n,)."""
        return self.mapped(key, lambda word: codes[word], codes[blank])


def _figure(value: Any) -> float:
    return float(value)


@dataclass(frozen=True, eq=False)
class Nipples:
    """One nipple of each line, each of shape (n,).

    Parameters
    ----------
    figures : outside_diameter, bead_diameter, usable_length, engagement [mm]
    words : bead, measured_on, material, fixed_to as whole numbers
    given : which of them a cell gives
    """

    figures: dict[str, Array]
    words: dict[str, Array]
    given: dict[str, Array]

    def odd(self) -> Array:
        """Return where the form of a nipple would refuse, shape (n,)."""
        outside, bead = self.figures["outside_diameter"], self.figures["bead_diameter"]
        on_bead = self.words["measured_on"] == NO
        no_bead = self.words["bead"] == NO
        return (
            (outside == 0)
            | (bead <= outside)
            | (on_bead & (no_bead | ~np.isnan(bead)))
            | (no_bead & ~np.isnan(bead))
            | (self.figures["engagement"] > self.figures["usable_length"])
        )

    def below(self, shared: Nipples) -> Nipples:
        """Return this nipple with what both nipples share, as the form merges them."""
        no_bead = self.given["bead"] & (self.words["bead"] == NO)
        own_length = self.given["usable_length"] | self.given["engagement"]
        hidden = {"bead_diameter": no_bead, "usable_length": own_length, "engagement": own_length}
        figures = {}
        for name, own in self.figures.items():
            other = np.where(hidden.get(name, False), np.nan, shared.figures[name])
            figures[name] = np.where(self.given[name], own, other)
        words = {
            name: np.where(self.given[name], own, shared.words[name])
            for name, own in self.words.items()
        }
        return Nipples(figures, words, self.given)

    def has_bead(self) -> Array:
        """Return the answer whether there is a bead; a bead diameter says so."""
        told = ~np.isnan(self.figures["bead_diameter"]) | (self.words["measured_on"] == NO)
        return np.where(told, YES, self.words["bead"])


def _nipples(lines: Lines, group: str) -> Nipples:
    figures = {name: lines.figures(f"{group}.{name}") for name in NIPPLE_FIGURES}
    words = {name: lines.words(f"{group}.{name}", WORDS[name]) for name in NIPPLE_WORDS}
    given = {name: lines.given(f"{group}.{name}") for name in (*NIPPLE_FIGURES, *NIPPLE_WORDS)}
    return Nipples(figures, words, given)


def sheet_jobs(lines: Lines, units: str) -> SheetJobs:
    """Return lines as columns, lengths included, and which of them are odd.

    Parameters
    ----------
    lines : with their cells read
    units : "mm" or "in": the workshop step of the cut
    """
    shared, own_a, own_b = (_nipples(lines, name) for name in ("nipples", "nipple_a", "nipple_b"))
    a, b = own_a.below(shared), own_b.below(shared)
    odd = lines.faulty() | _odd_lines(lines)
    for nipple in (shared, own_a, own_b, a, b):
        odd |= nipple.odd()
    tip, tightest, lead = _routes(lines)
    moved = lines.figures("route.movement")
    same_body = (a.words["fixed_to"] == b.words["fixed_to"]) & (a.words["fixed_to"] != UNKNOWN)
    moved = np.where(np.isnan(moved) & same_body, 0.0, moved)
    long = lengths(tip, a.figures, b.figures, moved, units)
    places = service_columns().index
    services = lines.mapped("service", lambda name: places.get(name, 0), 0)
    columns = {
        **_blank(lines.number),
        "service": services,
        **_fluids(lines, services),
        **_duty(lines),
        **_nipple_columns(a, b),
        "tip_length": tip,
        "tightest_radius": tightest,
        "lead": lead,
        "movement": moved,
        **_length_columns(lines, long),
        "supports": lines.figures("route.supports"),
        "heat_source_distance": lines.figures("route.heat_source.distance"),
        "heat_source_shielded": lines.words("route.heat_source.shielded", CODES),
        "low_spot": lines.words("route.low_spot", CODES),
        "fall": lines.words("route.fall", CODES),
        "turbo": lines.words("features.turbo", CODES),
        "sees_boost": lines.words("features.sees_boost", CODES),
        "submerged": lines.words("features.submerged", CODES),
        "insert": lines.mapped(
            "features.insert", lambda word: {"unknown": UNKNOWN, "none": NO}.get(word, YES), UNKNOWN
        ),
        "threaded": lines.mapped(
            "features.end_fitting", lambda word: YES if word == "threaded" else NO, NO
        ),
    }
    upright = {name: column.reshape(lines.number, -1) for name, column in columns.items()}
    return SheetJobs(JobColumns(**upright), odd)


def _blank(number: int) -> dict[str, Array]:
    """Return the columns of a job of which nothing is known, for that many lines."""
    return {name: np.repeat(column, number, axis=0) for name, column in _nothing_known().items()}


@cache
def _nothing_known() -> dict[str, Array]:
    service = service_columns().names[0]
    return dict(vars(job_columns(read_job({"service": service}))))


def _duty(lines: Lines) -> dict[str, Array]:
    names = ("fluid_steady", "fluid_peak", "air_steady", "air_peak", "coldest_start")
    names += ("pressure_min", "pressure_max", "pressure_spike")
    found = {name: lines.figures(f"duty.{name}") for name in names}
    boosted = found["pressure_max"] > limit("crankcase-pressure-highest")
    return {**found, "boost_stated": np.where(boosted, YES, NO)}


def _nipple_columns(a: Nipples, b: Nipples) -> dict[str, Array]:
    columns: dict[str, Array] = {}
    for end, nipple in (("a", a), ("b", b)):
        columns[f"nipple_{end}"] = nipple.figures["outside_diameter"]
        columns[f"has_bead_{end}"] = nipple.has_bead()
        columns[f"bead_{end}"] = nipple.figures["bead_diameter"]
        columns[f"measured_on_{end}"] = nipple.words["measured_on"]
        columns[f"usable_{end}"] = np.fmin(
            nipple.figures["usable_length"], nipple.figures["engagement"]
        )
    plastic = (a.words["material"] == YES) | (b.words["material"] == YES)
    not_known = (a.words["material"] == UNKNOWN) | (b.words["material"] == UNKNOWN)
    columns["plastic"] = np.where(plastic, YES, np.where(not_known, UNKNOWN, NO))
    return columns


def _length_columns(lines: Lines, long: Lengths) -> dict[str, Array]:
    return {
        "original_bore": lines.figures("original_bore"),
        "given_length": lines.figures("cut_length"),
        "bare_length": long.bare,
        "cut_length": long.cut,
        "longest_length": long.longest,
    }


def _routes(lines: Lines) -> tuple[Array, Array, Array]:
    """Return tip length, tightest radius and straight lead of each line [mm], NaN unknown."""
    nothing = (np.nan, np.nan, np.nan)
    runs = lines.mapped("route.run", _run_figures, nothing)
    measured = lines.figures("route.measured")
    by_string = ~np.isnan(measured)
    tightest = np.where(by_string, lines.figures("route.tightest_radius"), runs[:, 1])
    return np.where(by_string, measured, runs[:, 0]), tightest, runs[:, 2]


def _run_figures(route: RouteForm) -> tuple[float, float, float]:
    return route_figures(Job(service="", route=route.to_domain()))


def _fluids(lines: Lines, services: Array) -> dict[str, Array]:
    known = service_columns()
    nothing = fluid_mask(())
    named = lines.mapped("fluids", _mask, nothing)
    no_fuel = lines.mapped("fluids", _mask_without_fuel, nothing)
    crankcase = np.array([group == "crankcase" for group in known.group])[services]
    in_line = np.where(crankcase[:, None], no_fuel, named)
    families = lines.mapped("fluids", _families, 0)
    unsure = lines.mapped("fluids", lambda fluids: "unknown" in fluids, False)
    told = ((_families_needed()[services] & ~families) == 0) & ~unsure
    dripping = lines.mapped("drips", lambda fluids: "unknown" in fluids, True)
    return {
        "fluids": in_line | known.fluids_always[services],
        "drips": lines.mapped("drips", _mask, nothing),
        "fluids_known": np.where(told, YES, UNKNOWN),
        "drips_known": np.where(dripping, UNKNOWN, YES),
    }


def _named(fluids: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(fluid for fluid in fluids if fluid != "unknown" and not _stops(fluid))


def _stops(fluid: str) -> bool:
    return fluid in FLUIDS or fluid.startswith(STOP_FLUID)


def _any_stops(fluids: tuple[str, ...]) -> bool:
    return any(map(_stops, fluids))


def _is_stop(service: str) -> bool:
    return is_stop(service)


def _mask(fluids: tuple[str, ...]) -> Array:
    return fluid_mask(tuple(fluid for fluid in fluids if _known_fluid(fluid)))


def _known_fluid(fluid: str) -> bool:
    return fluid != "unknown" and not fluid.startswith(STOP_FLUID)


def _mask_without_fuel(fluids: tuple[str, ...]) -> Array:
    return fluid_mask(tuple(fluid for fluid in _named(fluids) if family(fluid) != "fuel"))


def _families(fluids: tuple[str, ...]) -> int:
    return _bits({family(fluid) for fluid in _named(fluids)})


def _bits(families: set[str]) -> int:
    return sum(1 << place for place, name in enumerate(_all_families()) if name in families)


@cache
def _all_families() -> tuple[str, ...]:
    return tuple(dict.fromkeys(table("fluids").column("family")))


@cache
def _families_needed() -> Array:
    """Return per service the families of fluid that are else assumed, as bits, (services,)."""
    defaults = table("service_fluids")
    return np.array(
        [
            _bits({family(row["fluid"]) for row in defaults.where(service=name, role="default")})
            for name in service_columns().names
        ]
    )


def _odd_lines(lines: Lines) -> Array:
    """Return where a job as a whole may be refused or stopped, shape (n,)."""
    odd = ~lines.given("service")
    odd |= lines.mapped("service", _is_stop, False)
    odd |= lines.mapped("features.end_fitting", lambda word: word in END_FITTINGS, False)
    odd |= lines.mapped("features.place", lambda word: word in PLACES, False)
    odd |= lines.mapped("fluids", _any_stops, False)
    odd |= lines.mapped(
        "drips", lambda fluids: any(fluid.startswith(STOP_FLUID) for fluid in fluids), False
    )
    odd |= _pressure_stops(lines) | (lines.figures("duty.pressure_min") > 0)
    for low, high in ORDERED:
        odd |= lines.figures(low) > lines.figures(high)
    odd |= lines.figures("old_hose.bore") >= lines.figures("old_hose.outside_diameter")
    both = lines.mapped("route.run", lambda route: bool(route.run), False)
    return odd | (both & ~np.isnan(lines.figures("route.measured")))


def _pressure_stops(lines: Lines) -> Array:
    known = service_columns()
    fuel = {
        name for name, group in zip(known.names, known.group, strict=True) if group in FUEL_GROUPS
    }
    steering = lines.mapped("service", lambda name: name in STEERING, False)
    fuelled = lines.mapped("service", lambda name: name in fuel, False)
    threaded = lines.mapped("features.end_fitting", lambda word: word == "threaded", False)
    highest = np.fmax(lines.figures("duty.pressure_max"), lines.figures("duty.pressure_spike"))
    steering_stop = threaded | (highest > limit("steering-return-pressure-max"))
    return (steering & steering_stop) | (fuelled & (highest > limit("fuel-hose-pressure-max")))
