"""No input turns a stopped service into a hose or a cut."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st

from hoseselect.application.pick import check_hose, pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import InputError, ManyFaultsError
from hoseselect.knowledge.load import table
from hoseselect.rules.stop import END_FITTINGS, PLACES

SHELF = Path(__file__).parents[1] / "scenarios" / "shelf"
STOPPED = tuple(row["stop"] for row in table("stops")) + tuple(
    row["other_name"] for row in table("stop_names")
)
SERVICES = tuple(row["service"] for row in table("services"))
FLUIDS = tuple(row["fluid"] for row in table("fluids"))
ANSWERS = st.sampled_from(["yes", "no", "unknown"])


@cache
def shelf() -> Catalogue:
    return read_catalogue(SHELF)


def figures(low: float, high: float, unit: str = "mm") -> st.SearchStrategy[str]:
    return st.floats(low, high).map(lambda value: f"{value:.1f} {unit}")


def maybe(value: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.one_of(st.just("unknown"), value)


@st.composite
def duties(draw: st.DrawFn) -> dict[str, Any]:
    lows = {
        name: draw(maybe(figures(-40, 120, "degC")))
        for name in ("fluid_steady", "air_steady", "coldest_start")
    }
    return {
        **lows,
        "pressure_min": draw(maybe(figures(-100, 0, "kPa"))),
        "pressure_max": draw(maybe(figures(0, 900, "kPa"))),
    }


def nipples() -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(
        {},
        optional={
            "outside_diameter": maybe(figures(3, 40)),
            "bead": ANSWERS,
            "engagement": maybe(figures(10, 40)),
            "material": st.sampled_from(["metal", "plastic", "unknown"]),
            "fixed_to": st.sampled_from(["engine", "body", "unknown"]),
        },
    )


BEND = st.fixed_dictionaries({"bend": figures(5, 180, "deg"), "radius": figures(10, 300)})
ROUTES = st.one_of(
    st.just({}),
    st.fixed_dictionaries({"measured": figures(50, 2000), "movement": maybe(figures(0, 40))}),
    st.fixed_dictionaries({"run": st.lists(st.one_of(figures(10, 500), BEND), min_size=1)}),
)


def features() -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(
        {},
        optional={
            "insert": st.sampled_from(["none", "restrictor", "check-valve", "unknown"]),
            "turbo": ANSWERS,
            "sees_boost": ANSWERS,
            "submerged": ANSWERS,
            "end_fitting": st.sampled_from(["plain", "threaded", "unknown"]),
        },
    )


@st.composite
def jobs(draw: st.DrawFn, services: tuple[str, ...]) -> dict[str, Any]:
    return {
        "service": draw(st.sampled_from(services)),
        "fluids": draw(st.lists(st.sampled_from(FLUIDS), max_size=3)),
        "drips": draw(st.sampled_from([[], "unknown", ["engine-oil"]])),
        "duty": draw(duties()),
        "nipple_a": draw(nipples()),
        "nipple_b": draw(nipples()),
        "route": draw(ROUTES),
        "features": draw(features()),
    }


def never_a_cut(values: dict[str, Any]) -> None:
    try:
        job = read_job(values)
    except ManyFaultsError:  # it contradicts itself: asked about, and no answer at all
        reject()
    for answer in (pick_hose(job, shelf()), check_hose("H01-15.9", job, shelf())):
        assert answer.stops
        assert answer.hoses == () == answer.suits
        assert answer.exit_code == 1
        text = json.dumps(answer.as_json())
        assert '"cut' not in text
        assert answer.as_json()["hoses"] == []
    for size in (None, 0):
        with pytest.raises(InputError):
            plan_cut(job, shelf(), size)


@settings(max_examples=150, deadline=None)
@given(jobs(STOPPED))
def test_stopped_service_never_gives_a_cut(values: dict[str, Any]) -> None:
    never_a_cut(values)


@settings(max_examples=60, deadline=None)
@given(jobs(SERVICES), st.sampled_from(sorted(END_FITTINGS)))
def test_stopped_end_fitting_never_gives_a_cut(values: dict[str, Any], ends: str) -> None:
    never_a_cut({**values, "features": {**values["features"], "end_fitting": ends}})


@settings(max_examples=60, deadline=None)
@given(jobs(SERVICES), st.sampled_from(sorted(PLACES)))
def test_stopped_place_never_gives_a_cut(values: dict[str, Any], place: str) -> None:
    never_a_cut({**values, "features": {**values["features"], "place": place}})


@settings(max_examples=60, deadline=None)
@given(jobs(SERVICES), st.lists(st.sampled_from(FLUIDS), max_size=2))
def test_brake_fluid_never_gives_a_cut(values: dict[str, Any], others: list[str]) -> None:
    never_a_cut({**values, "fluids": [*others, "brake-fluid"]})


def test_the_same_features_give_hoses_where_nothing_stops() -> None:
    job = read_job({"service": "coolant-heater", "nipple_a": {"outside_diameter": 16}})
    assert pick_hose(job, shelf()).hoses
