"""Judging at its edges: which jobs are alike, what flows, and which figure is taken from a row."""

from __future__ import annotations

import numpy as np
import pytest

from hoseselect.intake.read_job import read_job
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.distinct import Kinds, both, kinds_of
from hoseselect.judging.job_columns import fluids_in_line, measured_on, submerged
from hoseselect.judging.services import (
    hot_limit_of,
    mildest,
    rating_of,
    service_columns,
)
from hoseselect.knowledge.load import table


def test_rows_alike_in_both_are_alike() -> None:
    """Against all pairs, told apart by the library."""
    chance = np.random.default_rng(3)
    for _ in range(50):
        one, other = chance.integers(0, 4, size=(2, 12))
        kinds = both(kinds_of(one[:, None]), kinds_of(other[:, None]))
        alike = (one[:, None] == one) & (other[:, None] == other)
        assert np.array_equal(kinds.kind[:, None] == kinds.kind, alike)
        assert np.array_equal(kinds.kind[kinds.first], np.arange(len(kinds)))


def test_what_is_not_known_is_one_kind() -> None:
    kinds = kinds_of(np.array([[np.nan], [1.0], [np.nan], [2.0], [np.nan]]))
    assert len(kinds) == 3
    assert len({int(kinds.kind[row]) for row in (0, 2, 4)}) == 1
    assert isinstance(kinds, Kinds)


@pytest.mark.parametrize("rows", [1, 2, 3])
@pytest.mark.parametrize("columns", [1, 2, 3])
def test_the_figures_of_a_pair_are_those_of_its_row_and_column(rows: int, columns: int) -> None:
    demand = np.arange(rows)[:, None] * np.ones((1, columns)) * 10 + np.arange(columns)
    down, across = (np.array([0, size - 1]) for size in (rows, columns))
    found = Comparison(demand, np.full((1, 1), 7.0)).at(down, across)
    assert found.demand[:, 0].tolist() == [demand[0, 0], demand[rows - 1, columns - 1]]
    assert np.asarray(found.limit)[:, 0].tolist() == [7.0, 7.0]


@pytest.mark.parametrize(
    ("service", "mildest"),
    [("fuel-return", {"petrol"}), ("diesel-return", {"diesel"}), ("coolant-heater", set())],
)
def test_the_mildest_fuel_of_a_line_is_the_one_without_alcohol_or_ester(
    service: str, mildest: set[str]
) -> None:
    services = service_columns()
    flags = services.fluids_mildest[services.index[service]]
    assert {fluid for fluid, flag in zip(services.fluids, flags, strict=True) if flag} == mildest


@pytest.mark.parametrize(
    ("fluids", "flows"),
    [
        (["petrol-e10"], ()),
        (["engine-oil"], ("engine-oil",)),
        (["engine-oil", "petrol-e85"], ("engine-oil", "fuel-vapour")),
    ],
)
def test_in_the_crankcase_the_vapour_of_an_unusual_fuel_flows_and_no_fuel(
    fluids: list[str], flows: tuple[str, ...]
) -> None:
    job = read_job({"service": "crankcase-suction", "fluids": fluids})
    assert fluids_in_line(job) == flows


def test_the_table_of_resistance_is_read_cell_by_cell() -> None:
    fluids = service_columns().fluids
    for symbol in ("NBR", "EPDM", "FKM"):
        ratings, hot = rating_of((symbol,)), hot_limit_of((symbol,))
        for place, fluid in enumerate(fluids):
            told = list(table("resistance").where(symbol=symbol, fluid=fluid))
            expected = told[0].number("rating") if told else np.nan
            assert ratings[place] == pytest.approx(expected, nan_ok=True)
            heat = told[0].number("temperature_max_degc") if told else np.nan
            assert hot[place] == (np.inf if np.isnan(heat) else heat)


@pytest.mark.parametrize(
    ("nipple", "where"),
    [
        ({"bead": "no"}, 1),
        ({"bead": "yes"}, -1),
        ({"bead_diameter": "18 mm"}, 1),
        ({"bead": "yes", "bead_diameter": "18 mm"}, 1),
        ({"bead": "yes", "measured_on": "bead"}, 0),
        ({"bead": "yes", "measured_on": "plain"}, 1),
        ({}, -1),
    ],
)
def test_where_the_caliper_sat(nipple: dict[str, str], where: int) -> None:
    job = read_job({"service": "washer", "nipples": {"outside_diameter": "16 mm", **nipple}})
    assert measured_on(job.nipple_a) == measured_on(job.nipple_b) == where


@pytest.mark.parametrize(
    ("service", "told", "lies"),
    [
        ("washer", "unknown", "no"),
        ("washer", "yes", "yes"),
        ("washer", "no", "no"),
        ("fuel-feed-low-pressure", "unknown", "unknown"),
        ("fuel-feed-low-pressure", "no", "no"),
        ("fuel-feed-low-pressure", "yes", "yes"),
    ],
)
def test_a_hose_lies_in_fuel_where_it_is_said_or_where_fuel_is(
    service: str, told: str, lies: str
) -> None:
    job = read_job({"service": service, "features": {"submerged": told}})
    assert submerged(job) == lies


def test_the_mildest_fluids_of_a_line_are_those_of_its_usual_one() -> None:
    columns = service_columns()
    rows = list(table("service_fluids"))
    for place, name in enumerate(columns.names):
        own = [row for row in rows if row["service"] == name]
        wanted = {part for row in own if row["role"] == "default" for part in mildest(row["fluid"])}
        found = {f for f, k in columns.fluid_index.items() if columns.fluids_mildest[place, k]}
        assert found == wanted
