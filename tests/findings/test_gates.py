"""Contradictions and bare figures are asked about before any rule; each case found by trying."""

from __future__ import annotations

import copy
import math
import time
from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hoseselect.answer.answer import Answer
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.verdict import Verdict
from hoseselect.files.number_format import shows_otherwise
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.cli.job_input import job_file, put
from hoseselect.knowledge.errors import CatalogueError, InputError, ManyFaultsError
from hoseselect.knowledge.load import limit, table
from hoseselect.quantities.read import read_quantity

PCV: dict[str, Any] = {
    "service": "PCV hose",
    "fluids": ["petrol-e10"],
    "drips": [],
    "duty": {
        "fluid_steady": "100 degC", "fluid_peak": "110 degC", "air_steady": "100 degC",
        "air_peak": "110 degC", "coldest_start": "-20 degC", "pressure_min": "-65 kPa",
        "pressure_max": "2 kPa",
    },
    "nipples": {
        "outside_diameter": "13 mm", "bead_diameter": "14.5 mm", "usable_length": "30 mm",
        "engagement": "25 mm", "measured_on": "plain", "material": "metal",
    },
    "route": {
        "run": ["60 mm", {"bend": "90 deg", "radius": "150 mm"}, "180 mm"], "movement": "10 mm",
        "low_spot": "no", "fall": "yes", "supports": "200 mm",
    },
    "features": {
        "insert": "none", "turbo": "no", "sees_boost": "no", "submerged": "no",
        "end_fitting": "plain",
    },
}  # fmt: skip
FREE = {"offset": "forward 220 mm; up 150 mm", "nipple_a_points": "up", "nipple_b_points": "back"}
LEFT_OUT = "left out"


def changed(values: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """Return a job with some dotted keys replaced or left out."""
    made: dict[str, Any] = copy.deepcopy(dict(values))
    for key, value in changes.items():
        *tables, name = key.split(".")
        inner = made
        for part in tables:
            inner = inner.setdefault(part, {})
        if value == LEFT_OUT:
            inner.pop(name, None)
        else:
            inner[name] = copy.deepcopy(value)
    return made


def asked(changes: Mapping[str, Any], units: str = "mm") -> tuple[str, ...]:
    """Return what is asked about a job with changes."""
    with pytest.raises(InputError) as told:
        read_job(changed(PCV, changes), "job", units)
    return tuple(str(told.value).splitlines())


def passes(changes: Mapping[str, Any], units: str = "mm") -> None:
    """Hold that nothing is asked about."""
    read_job(changed(PCV, changes), "job", units)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


def answer(catalogue: Catalogue, changes: Mapping[str, Any]) -> Answer:
    return pick_hose(read_job(changed(PCV, changes)), catalogue)


def verdicts(found: Answer) -> dict[str, Verdict]:
    return {hose.hose: hose.verdict for hose in found.hoses}


def test_the_plain_job_is_asked_nothing() -> None:
    passes({})


FREE_ROUTE = {"route.run": LEFT_OUT, "route.movement": LEFT_OUT, "route.low_spot": LEFT_OUT,
              "route.fall": LEFT_OUT, "route.free": FREE}  # fmt: skip
ENGINE_TO_BODY = {"nipple_a.fixed_to": "engine", "nipple_b.fixed_to": "body"}
ATF = {"service": "atf cooler", "fluids": LEFT_OUT, "duty.pressure_min": "0 kPa"}
COOLANT = {"service": "heater hose", "fluids": LEFT_OUT, "duty.pressure_min": LEFT_OUT}

CONTRADICTIONS: dict[str, tuple[dict[str, Any], tuple[str, ...]]] = {
    "Y22 a bend beside a run": (
        {"route.tightest_radius": "10 mm"},
        ("route.tightest_radius, route.run:", "10 mm", "150 mm"),
    ),
    "Y22 a bend beside a straight run": (
        {"route.tightest_radius": "10 mm", "route.run": ["300 mm"]},
        ("route.tightest_radius, route.run:", "without a bend"),
    ),
    "Y22 a bend beside a free route": (
        {**FREE_ROUTE, "route.tightest_radius": "10 mm"},
        ("route.tightest_radius, route.free:", "10 mm"),
    ),
    "Y10 boost without a turbocharger": (
        {"features.sees_boost": "yes"},
        ("features.turbo, features.sees_boost:", "turbo = no", "sees_boost = yes"),
    ),
    "Y10 boost of a pressure that is none": (
        {"features.turbo": "unknown", "features.sees_boost": "yes"},
        ("features.sees_boost, duty.pressure_max:", "2 kPa"),
    ),
    "Y5 movement beside a free route": (
        {**FREE_ROUTE, "route.movement": "30 mm"},
        ("route.movement, route.free:", "30 mm", "route.free.movement"),
    ),
    "Y24 no movement between engine and body": (
        {**ENGINE_TO_BODY, "route.movement": "0 mm"},
        ("route.movement, nipple_a.fixed_to, nipple_b.fixed_to:", "0 mm", "engine", "body"),
    ),
    "Y24 no movement on a free route": (
        {**FREE_ROUTE, **ENGINE_TO_BODY, "route.free.movement": "up 0 mm"},
        ("route.free.movement, nipple_a.fixed_to, nipple_b.fixed_to:", "0 mm"),
    ),
    "Y26 a bead that is none": (
        {"nipples.outside_diameter": "8 mm", "nipples.bead_diameter": "8.01 mm"},
        ("nipple_a.bead_diameter, nipple_a.outside_diameter:", "8.01 mm", "8 mm"),
    ),
    "Y26 a bead that is none on a large nipple": (
        {"nipples.outside_diameter": "60 mm", "nipples.bead_diameter": "60.5 mm"},
        ("nipple_b.bead_diameter, nipple_b.outside_diameter:", "60.5 mm"),
    ),
    "Y29 petrol in an oil cooler": (
        {**ATF, "service": "oil cooler hose", "fluids": ["petrol"], "duty.pressure_max": "400 kPa"},
        ("service, fluids:", "engine oil", "petrol"),
    ),
    "Y29 petrol in a washer": (
        {**ATF, "service": "washer", "fluids": ["petrol"]},
        ("service, fluids:", "washer", "petrol"),
    ),
    "Y29 petrol in a drain": (
        {**ATF, "service": "drain", "fluids": ["petrol"]},
        ("service, fluids:", "drain", "petrol"),
    ),
    "diesel in a heater": (
        {**COOLANT, "fluids": ["diesel"]},
        ("service, fluids:", "coolant", "diesel"),
    ),
    "liquid petrol in dry air": (
        {"service": "vacuum-control", "fluids": ["petrol"]},
        ("service, fluids:", "air or vacuum", "petrol"),
    ),
    "coolant that boils": (
        {**COOLANT, "duty.fluid_peak": "150 degC", "duty.pressure_max": "100 kPa"},
        ("duty.fluid_peak, duty.pressure_max:", "150", "100 kPa", "boils at"),
    ),
    "coolant that boils at any usual pressure": (
        {**COOLANT, "duty.fluid_peak": "170 degC", "duty.pressure_max": LEFT_OUT},
        ("duty.fluid_peak, duty.pressure_max:", "170", "usual"),
    ),
    "Y7 a fall that cannot be": (
        {**FREE_ROUTE, "route.fall": "yes", "route.free.offset": "forward 220 mm; down 150 mm"},
        ("route.fall, route.free:", "fall = yes"),
    ),
    "Y7 a low spot that must be": (
        {
            **FREE_ROUTE, "route.low_spot": "no", "route.free.nipple_a_points": "down",
            "route.free.nipple_b_points": "down", "route.free.offset": "forward 220 mm",
        },
        ("route.low_spot, route.free:", "low_spot = no"),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CONTRADICTIONS)
def test_a_contradiction_is_asked_about_by_name(name: str) -> None:
    changes, words = CONTRADICTIONS[name]
    sentences = asked(changes)
    fitting = [sentence for sentence in sentences if all(word in sentence for word in words)]
    assert fitting, sentences
    assert all(": found " in line and "; expected " in line for line in sentences)


FINE: dict[str, dict[str, Any]] = {
    "the same bend within the error of a tape": {"route.tightest_radius": "147 mm"},
    "an unknown bend beside a run": {"route.tightest_radius": "unknown"},
    "boost with a turbocharger": {
        "features.turbo": "yes", "features.sees_boost": "yes", "duty.pressure_max": "100 kPa",
    },
    "no movement on one body": {"nipples.fixed_to": "engine", "route.movement": "0 mm"},
    "no movement beside a free route": {**FREE_ROUTE, "route.movement": "0 mm"},
    "an unknown movement beside a free route": {**FREE_ROUTE, "route.movement": "unknown"},
    "an ordinary bead": {"nipples.bead_diameter": "14 mm"},
    "petrol as the engine's fuel": {"fluids": ["petrol"]},
    "petrol on a purge line": {"service": "fuel-vapour-purge", "fluids": ["petrol"]},
    "petrol on the servo line": {"service": "brake servo hose", "fluids": ["petrol"]},
    "hot coolant under its cap": {
        **COOLANT, "duty.fluid_peak": "125 degC", "duty.pressure_max": "110 kPa",
    },
    "a fall that may be": {
        **FREE_ROUTE, "route.fall": "yes", "route.free.nipple_a_points": "forward",
        "route.free.offset": "forward 220 mm; down 150 mm", "route.free.nipple_b_points": "up",
    },
}  # fmt: skip


@pytest.mark.parametrize("name", FINE)
def test_what_agrees_is_not_asked_about(name: str) -> None:
    passes(FINE[name])


def test_every_contradiction_is_told_at_once() -> None:
    sentences = asked(
        {"route.tightest_radius": "10 mm", "features.sees_boost": "yes", "duty.pressure_min": -0.65}
    )
    assert [line.split(":")[1].split(",")[0].strip() for line in sentences] == [
        "route.tightest_radius",
        "features.turbo",
        "features.sees_boost",
        "duty.pressure_min",
    ]


def test_a_gate_keeps_place_and_keys_of_its_question() -> None:
    with pytest.raises(ManyFaultsError) as told:
        read_job(changed(PCV, {"route.tightest_radius": "10 mm"}), "job.toml")
    (fault,) = told.value.faults
    assert fault.place == "job.toml: route.tightest_radius, route.run"
    assert fault.keys == ("route.tightest_radius", "route.run")


IMPLAUSIBLE: dict[str, tuple[dict[str, Any], str, tuple[str, ...]]] = {
    "Y30 bar meant as suction": ({"duty.pressure_min": "-0.65"}, "pressure_min", ("'-0.65 bar'",)),
    "Y30 bar meant as a number": ({"duty.pressure_min": -0.65}, "pressure_min", ("'-0.65 bar'",)),
    "inches of mercury meant": ({"duty.pressure_min": "-20"}, "pressure_min", ("'-20 inHg'",)),
    "Y30 bar meant on a cooler": ({**ATF, "duty.pressure_max": "6"}, "pressure_max", ("'6 bar'",)),
    "Y30 bar meant as a spike": (
        {**ATF, "duty.pressure_max": LEFT_OUT, "duty.pressure_spike": 12},
        "pressure_spike",
        ("'12 bar'",),
    ),
    "psi meant": (
        {**COOLANT, "duty.pressure_max": "15"}, "pressure_max", ("'15 psi'", "'15 kPa'"),
    ),
    "millibar meant": ({**COOLANT, "duty.pressure_max": 1500}, "pressure_max", ("'1500 mbar'",)),
    "degF meant": (
        {"duty.fluid_peak": "230", "duty.fluid_steady": LEFT_OUT}, "fluid_peak", ("'230 degF'",),
    ),
    "degrees without a letter": (
        {"duty.fluid_peak": "230 deg", "duty.fluid_steady": LEFT_OUT},
        "fluid_peak",
        ("'230 degF'", "'230 degC'"),
    ),
    "kelvin meant": (
        {"duty.air_peak": 383, "duty.air_steady": LEFT_OUT}, "air_peak", ("'383 K'",),
    ),
    "inch meant on a nipple": (
        {"nipples.outside_diameter": 0.5, "nipples.bead_diameter": LEFT_OUT},
        "nipples.outside_diameter",
        ("'0.5 in'",),
    ),
    "Y32 a path of three eighths": (
        {"route.run": LEFT_OUT, "route.measured": "3/8"}, "route.measured", ("'3/8 in'",),
    ),
    "metres meant": (
        {"route.run": LEFT_OUT, "route.measured": 0.6}, "route.measured", ("'0.6 m'",),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", IMPLAUSIBLE)
def test_a_bare_figure_far_outside_what_is_usual_is_read_back(name: str) -> None:
    changes, key, words = IMPLAUSIBLE[name]
    (sentence,) = asked(changes)
    assert key in sentence
    assert "without a unit" in sentence
    assert all(word in sentence for word in words), sentence


@pytest.mark.parametrize("name", IMPLAUSIBLE)
def test_the_same_figure_with_its_unit_is_believed(name: str) -> None:
    changes, key, _ = IMPLAUSIBLE[name]
    full = key if "." in key else f"duty.{key}"
    unit = {"pressure": "kPa", "fluid_pe": "degC", "air_peak": "degC"}.get(key[:8], "mm")
    figure = str(changes[full]).removesuffix(" deg").replace("3/8", "9.5")
    passes({**changes, full: f"{figure} {unit}"})


@pytest.mark.parametrize(
    "changes",
    [
        {"duty.pressure_min": -65},
        {"duty.pressure_min": "0"},
        {**ATF, "duty.pressure_max": 600, "duty.pressure_spike": "1200"},
        {"duty.fluid_peak": 130, "duty.coldest_start": -40},
        {**COOLANT, "duty.pressure_max": 130},
        {"nipples.outside_diameter": 13, "nipples.bead_diameter": "14.5"},
    ],
)
def test_usual_bare_figures_pass(changes: dict[str, Any]) -> None:
    passes(changes)


def test_y30_in_inches_mode_bare_pressures_and_temperatures_are_asked_about() -> None:
    bare = {**COOLANT, "duty.pressure_max": 60, "duty.fluid_peak": "110", "duty.fluid_steady": "95"}
    assert [line.split(": ")[1] for line in asked(bare, "in")] == [
        "duty.pressure_max",
        "duty.fluid_steady",
        "duty.fluid_peak",
    ]
    passes(bare)
    passes({**COOLANT, "duty.pressure_max": "15 psi", "duty.fluid_peak": "230 degF"}, "in")


def test_a_row_for_every_service_that_the_gate_reads() -> None:
    """What is usual is known of every service, so that no bare figure passes for lack of a row."""
    duty = table("service_duty")
    for row in table("services"):
        for field in ("pressure_min", "pressure_max", "fluid_steady", "air_steady"):
            assert duty.has(service=row["service"], field=field), (row["service"], field)


def test_y10_boost_without_its_pressure_is_a_question(catalogue: Catalogue) -> None:
    found = answer(catalogue, {
        "features.turbo": "unknown", "features.sees_boost": "yes", "duty.pressure_max": LEFT_OUT,
    })  # fmt: skip
    assert not any(hose.verdict.suits for hose in found.hoses)
    assert "duty.pressure_max" in [question.field for question in found.ask_next]


def test_y25_something_in_the_old_hose_is_not_yet(catalogue: Catalogue) -> None:
    known = answer(catalogue, {})
    assert any(hose.verdict.suits for hose in known.hoses)
    for service in ({}, COOLANT | {"service": "coolant-bypass", "duty.pressure_max": "110 kPa"}):
        found = answer(catalogue, {**service, "features.insert": "something"})
        assert min(verdicts(found).values()) >= Verdict.UNKNOWN


def test_y6_movement_not_known_between_engine_and_body_is_the_usual_one(
    catalogue: Catalogue, unadvised: None
) -> None:
    still = answer(catalogue, FREE_ROUTE | {"nipples.fixed_to": "engine"})
    silent = answer(catalogue, FREE_ROUTE | ENGINE_TO_BODY)
    unknown = answer(catalogue, {**FREE_ROUTE, "route.free.movement": "unknown"})
    assert any(verdict == Verdict.ACCEPT for verdict in verdicts(still).values())
    for found in (silent, unknown):
        assert min(verdicts(found).values()) >= Verdict.CONDITIONAL
        for hose, verdict in verdicts(found).items():
            assert verdict >= verdicts(still)[hose]
    route = silent.job.route.free
    assert route is not None
    assert route.movement_said == "unknown"
    assert route.movement == (limit("movement-unknown") / 2,) * 3


def test_y6_a_usual_movement_that_joins_the_nipples_is_asked_about() -> None:
    near = {**FREE_ROUTE, "route.free.offset": "forward 15 mm", "route.free.movement": "unknown"}
    (sentence,) = asked(near)
    assert "route.free.movement" in sentence


TURBO_DRAIN = {
    "service": "turbo oil drain", "fluids": LEFT_OUT, "duty.pressure_min": "0 kPa",
    "duty.fluid_steady": "120 degC", "duty.fluid_peak": "130 degC", "nipples.fixed_to": "engine",
    "nipples.outside_diameter": "19 mm", "nipples.bead_diameter": "21 mm", "features.turbo": "yes",
    "route.heat_source": {"distance": "300 mm"},
    **FREE_ROUTE, "route.free": {
        "offset": "forward 40 mm; down 400 mm", "nipple_a_points": "down",
        "nipple_b_points": "up", "tape_error": "1 mm", "angle_error": "1 deg",
    },
}  # fmt: skip


@pytest.mark.parametrize("said", [{"route.fall": "no"}, {"route.low_spot": "yes"}])
def test_y7_a_low_spot_that_somebody_has_seen_counts(
    catalogue: Catalogue, said: dict[str, str]
) -> None:
    solved = verdicts(answer(catalogue, TURBO_DRAIN))
    seen = verdicts(answer(catalogue, {**TURBO_DRAIN, **said}))
    assert any(verdict.suits for verdict in solved.values())
    worse = [hose for hose, verdict in solved.items() if verdict.suits and seen[hose] > verdict]
    assert worse
    assert all(seen[hose] >= verdict for hose, verdict in solved.items())


def test_y8_no_clearance_from_an_exhaust_is_none(catalogue: Catalogue, unadvised: None) -> None:
    exhaust = {
        "name": "exhaust", "rod": ["forward 80 mm; left 40 mm; down 100 mm",
        "forward 80 mm; left 40 mm; up 300 mm"], "diameter": "30 mm", "hot": "yes",
        "clearance": "0 mm", "growth": "0 mm",
    }  # fmt: skip
    free = {**FREE_ROUTE, "nipples.fixed_to": "engine"}
    cold = answer(catalogue, {**free, "route.free.keep_out": [{**exhaust, "hot": "no"}]})
    hot = answer(catalogue, {**free, "route.free.keep_out": [exhaust]})
    assert any(hose.verdict.suits for hose in cold.hoses)
    assert not any(hose.verdict.suits for hose in hot.hoses)


RANGES = [
    ("18/22 inHg vacuum", "pressure"), ("110/120 C", "temperature"), ("20/30 kPa", "pressure"),
    ("45/90 deg", "angle"), ("20/30 L/min", "flow"), ("10/12 in", "length"),
    ("230/250 F", "temperature"), ("20/10 kPa", "pressure"), ("1/3 bar", "pressure"),
    ("10/12", "length"), ("1/2 inHg vacuum", "pressure"), ("1/2 psi", "pressure"),
]  # fmt: skip


@pytest.mark.parametrize(("typed", "kind"), RANGES)
def test_f01_a_range_is_no_fraction(typed: str, kind: str) -> None:
    with pytest.raises(InputError, match=r"range or a fraction|without a unit"):
        read_quantity(typed, kind, "field")


@pytest.mark.parametrize(
    ("typed", "kind", "value"),
    [
        ("1/2 bar", "pressure", 50),
        ("3/4 bar", "pressure", 75),
        ("1 1/2 bar", "pressure", 150),
        ("22 1/2 deg", "angle", 22.5),
        ("14 1/2 psi", "pressure", 99.974),
        ("11/16 in", "length", 17.4625),
        ("10 3/8 in", "length", 263.525),
    ],
)
def test_f01_the_fractions_of_the_trade_are_read(typed: str, kind: str, value: float) -> None:
    assert read_quantity(typed, kind, "field") == pytest.approx(value, rel=1e-5)


def test_f01_a_range_of_suction_is_asked_about_in_a_job() -> None:
    (sentence,) = asked({"duty.pressure_min": "18/22 inHg vacuum"})
    assert "duty.pressure_min" in sentence
    assert "a range or a fraction" in sentence


TELLING = [
    "# ?/?", "# ??/??", "# ?/16", "0/8", r"#\ ?/?", '0" in"', '0"°F"', "0°", r"0\"", '0.0" mm"',
    '[Red]0;-0" in"', "0%", "0,",
]  # fmt: skip
PLAIN = [
    "General", "0", "0.00", "#,##0.00", "@", "0.00E+00", "[Red]-0.0",
    "_-* #,##0.00_-;-* #,##0.00_-", '0"-"',
]  # fmt: skip


@pytest.mark.parametrize("code", TELLING + PLAIN)
def test_f02_a_format_that_shows_more_than_its_figure(code: str) -> None:
    assert shows_otherwise(code) == (code in TELLING)


@pytest.mark.parametrize("typed", ["1.250", "1.250 mm", "12.500", "999.001 mm"])
def test_f03_a_point_before_three_digits_where_commas_are_decimal(typed: str) -> None:
    with pytest.raises(InputError, match="point may part thousands"):
        read_quantity(typed, "length", "route.measured", decimal=",")
    assert read_quantity(typed, "length", "route.measured") < 1000


@pytest.mark.parametrize(
    ("typed", "value"), [("12,5", 12.5), ("12.5", 12.5), ("1250", 1250), ("0.250", 0.25)]
)
def test_f03_what_is_plain_stays_plain(typed: str, value: float) -> None:
    assert read_quantity(typed, "length", "route.measured", decimal=",") == value


def test_f03_the_limits_of_a_field_may_settle_it() -> None:
    assert read_quantity("1.250", "length", "nipple", maximum=1000, decimal=",") == 1.25


def test_f34_a_key_of_a_thousand_levels_is_one_sentence(tmp_path: Any) -> None:
    file = tmp_path / "job.toml"
    for text in ("a." * 1000 + "b = 1", "[" + "a." * 30_000 + "b]", "a = {" + '"x".' * 99 + "b=1}"):
        file.write_text(text)
        begun = time.process_time()
        with pytest.raises(InputError, match="line 1: found a key of more than"):
            job_file(file)
        assert time.process_time() - begun < 1
    with pytest.raises(InputError, match="tables in one another"):
        put({}, "a." * 1000 + "b", "1")


def test_f34_tables_in_tables_are_one_sentence() -> None:
    values: dict[str, Any] = {"service": "washer"}
    inner: dict[str, Any] = values
    for _ in range(3000):
        inner["duty"] = {}
        inner = inner["duty"]
    with pytest.raises(InputError, match="tables in one another") as told:
        read_job(values)
    assert len(str(told.value)) < 500


@pytest.mark.parametrize("wire", [[5e-324], ["1e-9 mm"], [5e-324, "100 mm"]])
def test_f35_a_wire_of_next_to_nothing(wire: list[Any]) -> None:
    (sentence,) = asked({**FREE_ROUTE, "route.free": {"wire": wire}})
    assert "route.free" in sentence


@pytest.mark.parametrize("word", ["pcv hose ", "pcv hoze ", "nothing of the kind ", "xyz"])
def test_f36_a_name_without_end_is_answered_at_once(word: str) -> None:
    begun = time.process_time()
    gated({"service": word * 8000})
    assert time.process_time() - begun < 1


@pytest.mark.parametrize("name", ["~nobodycalledthis/x", "x" * 5000])
def test_f37_a_folder_that_cannot_be_opened(name: str) -> None:
    with pytest.raises(CatalogueError) as told:
        find_catalogue(name, {})
    assert "cannot be opened" in told.value.found
    assert len(str(told.value)) < 500


UNKNOWN_OF = (
    *(f"duty.{name}" for name in PCV["duty"]),
    *(f"nipples.{name}" for name in PCV["nipples"]),
    *(f"route.{name}" for name in ("movement", "low_spot", "fall", "supports")),
    *(f"features.{name}" for name in ("insert", "turbo", "sees_boost", "submerged")),
    *("fluids", "drips", "route.free.movement", "route.tightest_radius"),
)
KNOWN: dict[str, list[Any]] = {
    "service": ["PCV hose", "breather hose", "washer", "heater hose", "atf cooler",
                "vacuum-control"],
    "fluids": [["petrol"], ["engine oil"], LEFT_OUT],
    "duty.fluid_peak": ["110 degC", 120, "160 degC", "230"],
    "duty.pressure_min": [-65, "-0.65", "-20 inHg", 0],
    "duty.pressure_max": [2, "100 kPa", 6, "15 psi"],
    "nipples.bead_diameter": ["13.1 mm", "14.5 mm"],
    "nipple_a.fixed_to": ["engine", "body"],
    "nipple_b.fixed_to": ["engine", "body"],
    "route.movement": ["0 mm", "10 mm"],
    "route.tightest_radius": ["10 mm", "150 mm", "unknown"],
    "features.turbo": ["yes", "no"],
    "features.sees_boost": ["yes", "no"],
}  # fmt: skip


def gated(values: Mapping[str, Any]) -> bool:
    """Return whether a job passes."""
    try:
        read_job(values)
    except InputError:
        return False
    return True


@settings(suppress_health_check=[HealthCheck.filter_too_much], deadline=None, max_examples=300)
@given(
    st.fixed_dictionaries({key: st.sampled_from(values) for key, values in KNOWN.items()}),
    st.booleans(),
    st.sampled_from(sorted(UNKNOWN_OF)),
)
def test_a_job_that_passes_still_passes_when_less_is_known(
    known: dict[str, Any], free: bool, key: str
) -> None:
    job = changed(PCV, known)
    if free:
        job = changed(job, {**FREE_ROUTE, "route.tightest_radius": LEFT_OUT})
    elif key == "route.free.movement":
        return
    if gated(job):
        assert gated(changed(job, {key: "unknown"})), key


def test_the_gates_let_some_jobs_through_and_stop_some() -> None:
    """The property above is about something."""
    assert gated(PCV)
    assert not gated(changed(PCV, {"duty.pressure_min": "-0.65"}))
    assert math.isnan(read_job(changed(PCV, {"duty.pressure_min": "unknown"})).duty.pressure_min)
