"""Wrong answers that were found by trying, about nipples, peaks, boost and heat sources."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.plan_cut import plan_cut
from hoseselect.domain.run_parts import Bend, Straight
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.plausibility import HEAT
from hoseselect.intake.read_job import read_job
from hoseselect.judging.assume import Assumed, assume
from hoseselect.judging.columns import JobColumns
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import run_rule
from hoseselect.judging.job_columns import job_columns
from hoseselect.knowledge.errors import ManyFaultsError
from hoseselect.knowledge.load import limit
from hoseselect.mechanics.run import Run
from hoseselect.rules.manual import all_rules

WARM = {"fluid_steady": 60, "fluid_peak": 60, "air_steady": 60, "air_peak": 60}
MILD = {**WARM, "coldest_start": -10, "pressure_min": 0, "pressure_max": 0, "pressure_spike": 0}
NIPPLES = {
    "outside_diameter": 8,
    "bead": "no",
    "measured_on": "plain",
    "usable_length": 30,
    "fixed_to": "engine",
}
BEADS = {"bead": "yes", "bead_diameter": 9.5}
ROUTE = {"measured": 250, "tightest_radius": 250, "low_spot": "no", "fall": "yes", "supports": 250}
FEATURES = {"insert": "none", "turbo": "no", "sees_boost": "no", "submerged": "no"}


@cache
def shop() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


def described(service: str, **parts: dict[str, Any]) -> dict[str, Any]:
    """Return a mild job with parts of it changed; a value of None leaves a key out."""
    whole = {"duty": MILD, "nipples": NIPPLES, "route": ROUTE, "features": FEATURES}
    made: dict[str, Any] = {"service": service, "drips": []}
    for name, values in whole.items():
        own = {**values, **parts.get(name, {})}
        made[name] = {key: value for key, value in own.items() if value is not None}
    return {**made, **{k: v for k, v in parts.items() if k not in whole}}


def judged(hose: str, service: str, **parts: Any) -> HoseAnswer:
    answer = pick_hose(read_job(described(service, **parts)), shop())
    return next(own for own in answer.hoses if own.hose == hose)


def rule_word(hose: str, code: str, service: str, **parts: Any) -> str:
    own = judged(hose, service, **parts)
    return next(found for found in own.findings if found.code == code).verdict.word


# --- peaks ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("hot", ["fluid_peak", "air_peak"])
def test_suction_on_a_line_that_is_hot_at_its_peak_only(hot: str) -> None:
    cold: dict[str, Any] = dict.fromkeys(HEAT, "20 degC")
    cold |= {"pressure_min": -85, "coldest_start": 5}
    place = int(np.flatnonzero(shop().sizes.hose_size == "V05-10")[0])
    assert shop().sizes.suction_limit_hot[place] > -85
    told = {"nipples": {"outside_diameter": 10}}
    words = [
        rule_word("V05-10", "pressure-suction", "vacuum-control", duty=duty, **told)
        for duty in (cold, cold | {hot: 110})
    ]
    assert words == ["accept", "reject"]


@pytest.mark.parametrize("hose", ["V01-8", "V02-8", "W02-8"])
def test_a_plain_tube_on_a_heater_line_that_is_hot_at_its_peak(hose: str) -> None:
    duty = {"fluid_steady": 60, "fluid_peak": 110, "pressure_max": 60, "pressure_spike": 60}
    assert judged(hose, "coolant-heater", duty=duty, nipples=BEADS).verdict is Verdict.REJECT
    said = rule_word(hose, "pressure-reinforcement", "coolant-heater", duty=duty, nipples=BEADS)
    assert said == "reject"


PEAKS = [("air", 115.0, 126.0), ("air", 124.0, 125.0), ("fluid", 105.0, 131.0)]


@pytest.mark.parametrize(("what", "less", "more"), PEAKS)
def test_a_hotter_line_of_unknown_peak_never_pays(what: str, less: float, more: float) -> None:
    """Above the usual peak of its service a line peaks higher still, nobody knows how high."""
    codes = []
    for steady in (less, more):
        duty = {f"{what}_steady": steady, f"{what}_peak": None}
        answer = pick_hose(read_job(described("crankcase-suction", duty=duty)), shop())
        codes.append({hose.hose: hose.verdict for hose in answer.hoses})
    assert min(codes[1].values()) is Verdict.CONDITIONAL
    assert all(codes[1][hose] >= codes[0][hose] for hose in codes[0])


@pytest.mark.parametrize("highest", [500.0, 1200.0, 1300.0])
def test_a_higher_pressure_of_unknown_spike_never_pays(bench: Any, highest: float) -> None:
    changes = {
        "service": "atf-cooler",
        "duty.pressure_max": highest,
        "duty.pressure_spike": "left out",
    }
    assert bench.word("pressure-working", {}, changes) == "conditional"


def test_an_assumed_peak_is_never_below_what_is_steady(bench: Any) -> None:
    for what in ("fluid", "air"):
        for steady in (50, 140):
            changes = {f"duty.{what}_steady": steady, f"duty.{what}_peak": "unknown"}
            filled = assume(bench.columns({"service": "engine-oil-cooler", **changes}))
            for end in (filled.adverse, filled.favourable):
                assert getattr(end, f"{what}_peak")[0, 0] >= steady


def test_a_stated_peak_is_the_adverse_end_of_an_unknown_steady_figure(bench: Any) -> None:
    changes = {"duty.fluid_steady": "unknown", "duty.fluid_peak": 190}
    changes["service"] = "engine-oil-cooler"
    filled = assume(bench.columns(changes))
    assert filled.adverse.fluid_steady[0, 0] == 190
    hose = {"temperature_continuous_degc": 150}
    assert bench.word("heat-fluid-steady", hose, changes) == "unknown"


def test_an_assumed_spike_is_never_below_the_highest_pressure(bench: Any) -> None:
    changes = {"service": "atf-cooler", "duty.pressure_max": 1500}
    filled = assume(bench.columns(changes | {"duty.pressure_spike": "left out"}))
    for end in (filled.adverse, filled.favourable):
        assert end.pressure_spike[0, 0] == 1500


# --- nothing that is not known passes -------------------------------------------------------------

UNKNOWN_FIGURES = [
    ("heat-fluid-peak", ("fluid_peak",)),
    ("heat-air-peak", ("air_peak",)),
    ("pressure-suction", ("pressure_min",)),
    ("pressure-reinforcement", ("fluid_steady",)),
    ("pressure-reinforcement", ("fluid_peak",)),
    ("fit-engagement", ("usable_a",)),
    ("fit-engagement", ("usable_b",)),
    ("fit-stretch", ("nipple_a",)),
    ("fit-loose", ("nipple_b",)),
    ("fit-bead-stretch", ("bead_b",)),
]


@pytest.mark.parametrize(("code", "names"), UNKNOWN_FIGURES)
def test_a_rule_accepts_nothing_where_it_is_given_no_figure(
    bench: Any, code: str, names: tuple[str, ...]
) -> None:
    changes = {"service": "coolant-heater", "duty.pressure_max": 50}
    hose = {"reinforcement": "none"} if code == "pressure-reinforcement" else {}
    jobs = bench.columns(changes)
    gone = {name: np.full_like(getattr(jobs, name), np.nan) for name in names}
    rule = next(rule for rule in all_rules() if rule.code == code)
    _, columns = bench.shop(hose)

    def said(own: JobColumns) -> int:
        return int(run_rule(rule, DistinctJobs(Assumed(own, own)), columns).codes[0, 0])

    assert said(jobs) == Verdict.ACCEPT
    assert said(jobs.change(**gone)) > Verdict.ACCEPT


def test_suction_without_any_temperature_is_judged_hot(bench: Any) -> None:
    jobs = bench.columns({"duty.pressure_min": -85})
    heat = ("fluid_steady", "fluid_peak", "air_steady", "air_peak")
    jobs = jobs.change(**{name: np.full((1, 1), np.nan) for name in heat})
    rule = next(rule for rule in all_rules() if rule.code == "pressure-suction")
    _, columns = bench.shop({})
    assert run_rule(rule, DistinctJobs(Assumed(jobs, jobs)), columns).codes[0, 0] == Verdict.REJECT


@pytest.mark.parametrize(("turbo", "word"), [("no", "accept"), ("unknown", "conditional")])
def test_boost_on_an_engine_of_which_the_turbocharger_is_not_known(
    bench: Any, turbo: str, word: str
) -> None:
    changes = {
        "service": "crankcase-suction",
        "duty.pressure_max": 0,
        "duty.pressure_spike": 0,
        "features.turbo": turbo,
        "features.sees_boost": "unknown",
    }
    assert bench.word("pressure-boost", {}, changes) == word
    told = bench.columns(changes)
    rule = next(rule for rule in all_rules() if rule.code == "pressure-boost")
    _, columns = bench.shop({})
    unfilled = run_rule(rule, DistinctJobs(Assumed(told, told)), columns).codes[0, 0]
    assert (unfilled == Verdict.ACCEPT) == (turbo == "no")


def test_a_second_shape_is_held_against_the_sure_end_of_an_estimated_radius(bench: Any) -> None:
    """A radius between the two ends of the estimate is no sure one."""
    _, columns = bench.shop({"least_bend_radius_mm": "", "outside_diameter_mm": 13})
    between = (columns.sizes.kink_sure[0] + columns.sizes.kink_least[0]) / 2
    assert columns.sizes.kink_least[0] < between < columns.sizes.kink_sure[0]
    jobs = bench.columns({}).change(other_radius=np.array([[between]]))
    rule = next(rule for rule in all_rules() if rule.code == "bend-second-shape")
    assert run_rule(rule, DistinctJobs(Assumed(jobs, jobs)), columns).codes[0, 0] == Verdict.REJECT


def test_a_low_spot_that_nobody_told_of_is_a_doubt_not_a_finding(bench: Any) -> None:
    """The rule itself has no figure of it, so that no unknown passes."""
    changes = {"service": "crankcase-suction", "route.low_spot": "unknown"}
    found = bench.finding("route-low-spot", {}, changes)
    assert (found.verdict.word, found.assumed) == ("conditional", False)
    jobs = bench.columns(changes)
    rule = next(rule for rule in all_rules() if rule.code == "route-low-spot")
    _, columns = bench.shop({})
    result = run_rule(rule, DistinctJobs(Assumed(jobs, jobs)), columns)
    assert np.isnan(result.comparison.demand[0, 0])
    assert result.end_codes[0, 0] == Verdict.UNKNOWN


# --- beads ----------------------------------------------------------------------------------------


def test_a_bead_of_a_hair_is_no_bead(bench: Any) -> None:
    coolant = {"service": "coolant-heater", "nipples.outside_diameter": 8}
    words = [
        bench.word("fit-bead", {}, coolant | {"nipples.bead_diameter": diameter})
        for diameter in (8.31, 8.39, 8.4, 9.5)
    ]
    assert words == ["reject", "reject", "accept", "accept"]
    with pytest.raises(ManyFaultsError, match="bead_diameter"):
        bench.job(coolant | {"nipples.bead_diameter": 8.01})


@pytest.mark.parametrize(("a", "b"), [(12, 10.5), (10.5, 12)])
def test_the_larger_bead_counts_at_either_end(bench: Any, a: float, b: float) -> None:
    changes = {
        "nipples.bead_diameter": "left out",
        "nipple_a.bead_diameter": a,
        "nipple_b.bead_diameter": b,
    }
    found = bench.finding("fit-bead-stretch", {}, changes)
    assert found.demand == pytest.approx(20)


def test_an_unknown_bead_is_tried_without_and_at_its_largest(bench: Any) -> None:
    changes = {"nipples.bead": "unknown", "nipples.bead_diameter": "left out"}
    filled = assume(bench.columns(changes))
    largest = 10 + limit("bead-over-nipple-max")
    assert filled.adverse.has_bead_a[0, 0] == 0
    assert filled.favourable.bead_a[0, 0] == largest
    assert filled.favourable.bead_b[0, 0] == largest
    assert bench.finding("fit-bead-stretch", {}, changes).verdict.word == "conditional"


@pytest.mark.parametrize("bead", ["yes", "unknown"])
@pytest.mark.parametrize("place", ["plain", "unknown"])
@pytest.mark.parametrize("service", ["crankcase-suction", "coolant-heater"])
def test_knowing_less_of_beads_and_where_they_were_measured_never_pays(
    service: str, place: str, bead: str
) -> None:
    def codes(bead: str, place: str) -> dict[str, Verdict]:
        nipples = {"bead": bead, "measured_on": place, "outside_diameter": 13}
        answer = pick_hose(read_job(described(service, nipples=nipples)), shop())
        return {hose.hose: hose.verdict for hose in answer.hoses}

    known, less = codes("yes", "plain"), codes(bead, place)
    sure = service == "coolant-heater"  # elsewhere a hose may suit a nipple without a bead
    assert all(less[h] >= known[h] for h in known if sure or known[h] is not Verdict.REJECT)
    assert all(less[hose] is not Verdict.ACCEPT for hose in known)


def test_an_ordinary_job_with_nothing_said_of_beads_ends_in_an_offer() -> None:
    values = {
        "service": "PCV hose",
        "nipples": {"outside_diameter": 13},
        "route": {"measured": 300, "tightest_radius": 150},
    }
    answer = pick_hose(read_job(values), shop())
    assert answer.suits
    assert {hose.verdict for hose in answer.suits} == {Verdict.CONDITIONAL}
    assert abs(answer.suits[0].bore - 13) < 0.5


# --- barbs ----------------------------------------------------------------------------------------


def test_a_leak_off_hose_on_its_barb_is_accepted_without_a_clamp() -> None:
    parts: dict[str, Any] = {
        "fluids": ["diesel b7"],
        "nipples": {"outside_diameter": 3.5, "usable_length": 10},
        "duty": {"pressure_max": 50, "pressure_spike": 50},
        "route": {"heat_source": {"distance": 300}},
    }
    own = judged("D02-3.2", "injector-leak-off", **parts)
    codes = {found.code: found.verdict.word for found in own.findings if found.code[:3] == "fit"}
    assert set(codes.values()) == {"accept"}
    job = read_job(described("injector-leak-off", **parts))
    plan = plan_cut(job, shop(), own.place)
    assert (plan.clamps_a, plan.clamps_b) == ((), ())


@pytest.mark.parametrize(
    ("barb", "word"), [(11.5, "accept"), (11.6, "conditional"), (12.6, "reject")]
)
def test_a_barb_has_its_own_limits_of_stretch(bench: Any, barb: float, word: str) -> None:
    changes = {
        "service": "injector-leak-off",
        "nipples.outside_diameter": barb,
        "nipples.bead": "unknown",
        "nipples.bead_diameter": "left out",
    }
    assert bench.word("fit-stretch", {}, changes) == word
    assert bench.word("fit-measured", {}, changes) == "accept"
    assert (bench.word("fit-bead-stretch", {}, changes) == "reject") == (word == "reject")


# --- wire helix -----------------------------------------------------------------------------------


def test_a_wire_helix_does_not_stretch_over_a_bead(bench: Any) -> None:
    nipples = {"outside_diameter": 13, "bead": "yes", "bead_diameter": 16.2}
    said = rule_word("K04-13", "fit-bead-stretch", "crankcase-suction", nipples=nipples)
    assert said == "reject"
    wire = {"reinforcement": "textile-and-wire"}
    plain = {"nipples.bead": "no", "nipples.bead_diameter": "left out"}
    for diameter, word in ((10, "accept"), (10.2, "conditional"), (10.3, "reject")):
        changes = {"nipples.outside_diameter": diameter, **plain}
        assert bench.word("fit-stretch", wire, changes) == word
    for bead, word in ((10.5, "conditional"), (11, "conditional"), (11.1, "reject")):
        changes = {"nipples.bead_diameter": bead}
        assert bench.word("fit-bead-stretch", wire, changes) == word


def test_no_squareness_but_a_caution_for_a_cut_wire_end(bench: Any) -> None:
    job = bench.job({})
    for reinforcement, wired in (("textile", False), ("wire", True), ("textile-and-wire", True)):
        catalogue, _ = bench.shop({"reinforcement": reinforcement})
        plan = plan_cut(job, catalogue, 0)
        assert np.isnan(plan.squareness) == wired
        assert any("nip the wire" in note for note in plan.notes) == wired


# --- clamps ---------------------------------------------------------------------------------------


def clamp(width: float, low: float = 12, high: float = 22) -> dict[str, Any]:
    return {
        "clamp": f"S{width:g}",
        "family": "smooth-band",
        "range_min_mm": low,
        "range_max_mm": high,
        "band_width_mm": width,
        "price": 1,
    }


@pytest.mark.parametrize("end", ["nipple_a", "nipple_b"])
@pytest.mark.parametrize(("usable", "word"), [(14.9, "reject"), (15.0, "accept")])
def test_the_room_on_the_nipple_is_that_of_the_clamps_the_shop_has(
    bench: Any, end: str, usable: float, word: str
) -> None:
    changes = {"service": "coolant-heater", f"{end}.usable_length": usable}
    clamps = [clamp(9), clamp(12), clamp(5, 30, 40)]
    assert bench.word("fit-engagement", {}, changes, clamps=clamps) == word


@pytest.mark.parametrize("usable", [11, 12, 13, 14, 15, 18])
@pytest.mark.parametrize("hose", ["F03-7.9", "F08-7.9"])
def test_no_accept_without_a_clamp_in_the_plan(hose: str, usable: float) -> None:
    parts: dict[str, Any] = {
        "fluids": ["petrol e10"],
        "nipples": {"outside_diameter": 8, "usable_length": usable, **BEADS},
        "duty": {"pressure_max": 400, "pressure_spike": 400},
    }
    own = judged(hose, "fuel-injection-feed", **parts)
    room = next(found for found in own.findings if found.code == "fit-engagement").verdict
    plan = plan_cut(read_job(described("fuel-injection-feed", **parts)), shop(), own.place)
    assert bool(plan.clamps_a and plan.clamps_b) == (room is Verdict.ACCEPT)


# --- heat sources ---------------------------------------------------------------------------------

HOT_LINES = ["turbo-oil-drain", "atf-cooler", "steering-return", "coolant-turbo"]


@pytest.mark.parametrize("service", HOT_LINES)
def test_the_distance_to_a_heat_source_is_asked_for_on_hot_lines(bench: Any, service: str) -> None:
    found = bench.finding("heat-source", {}, {"service": service})
    assert found.verdict.word == "conditional"
    assert "115 mm clear of exhaust" in found.reason and "engine cold" in found.reason
    assert "shield" in found.reason
    answer = bench.answer({}, changes={"service": service})
    asked = {question.field for question in answer.ask_next}
    assert "route.heat_source.distance" in asked or answer.hoses[0].verdict is Verdict.REJECT


def test_a_distance_that_is_said_to_be_unknown_is_a_condition(bench: Any) -> None:
    told = {"route.heat_source.distance": "unknown", "route.heat_source.shielded": "no"}
    assert bench.word("heat-source", {}, told) == "conditional"
    assert bench.word("heat-source", {}, {}) == "accept"


# --- boost ----------------------------------------------------------------------------------------

LINES = [
    *("crankcase-suction", "crankcase-breather", "crankcase-boosted", "catch-can"),
    *("vacuum-control", "vacuum-fuel-wetted", "brake-servo-vacuum", "fuel-vapour-purge"),
]
TOLD = [
    {"duty.pressure_max": 150, "features.turbo": "yes", "features.sees_boost": "yes"},
    {"duty.pressure_max": 150, "features.turbo": "no", "features.sees_boost": "no"},
    {"duty.pressure_max": "unknown", "features.turbo": "yes", "features.sees_boost": "yes"},
]


@pytest.mark.parametrize("told", TOLD)
@pytest.mark.parametrize("service", LINES)
def test_boost_is_boost_whatever_the_line_is_called(
    bench: Any, service: str, told: dict[str, Any]
) -> None:
    changes = {"service": service, "duty.pressure_spike": "left out", **told}
    plain = {"nipples.bead": "no", "nipples.bead_diameter": "left out"}
    assert bench.word("fit-bead", {}, changes) == "accept"
    assert bench.word("fit-bead", {}, changes | plain) == "reject"
    proofs = {bench.word(code, {}, changes) for code in ("pressure-check-valve", "marking-proof")}
    assert "conditional" in proofs
    if told["duty.pressure_max"] != "unknown":
        tube = {"reinforcement": "none"}
        assert bench.word("pressure-reinforcement", tube, changes) == "reject"


def test_a_line_without_boost_is_left_alone(bench: Any) -> None:
    plain = {"nipples.bead": "no", "nipples.bead_diameter": "left out"}
    changes = {"service": "crankcase-breather", "duty.pressure_max": 4, "duty.pressure_spike": 4}
    changes |= plain
    for code in ("fit-bead", "pressure-check-valve", "pressure-reinforcement"):
        assert bench.word(code, {"reinforcement": "none"}, changes) == "accept"


# --- bends that turn little -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bends", "radius"),
    [
        ([(2, 20)], np.inf),
        ([(5, 20)], np.inf),
        ([(5.1, 20)], 20),
        ([(2, 20), (90, 110)], 110),
        ([(2, 20), (2, 30), (2, 40)], 20),
        ([(3, 20), (3, 20)], 20),
    ],
)
def test_bends_that_together_turn_little_count_by_their_length_alone(
    bends: list[tuple[float, float]], radius: float
) -> None:
    parts = [part for angle, r in bends for part in (Straight(60), Bend(angle, r))]
    run = Run((*parts, Straight(60)), limit("bend-angle-least"))
    assert run.tightest_radius == radius
    assert run.length == pytest.approx(sum(part.length for part in (*parts, Straight(60))))
    assert run.lead_start == 60


def test_a_bend_of_two_degrees_does_not_reject_every_hose(bench: Any) -> None:
    changes = {"route.run": [100, {"bend": 2, "radius": 20}, 100]}
    assert bench.word("bend-radius", {}, changes) == "accept"
    assert plan_cut(bench.job(changes)).tip == pytest.approx(200 + np.radians(2) * 20)


# --- a fluid of which only the family is known ----------------------------------------------------


@pytest.mark.parametrize(
    ("service", "liner"),
    [
        ("fuel-feed-low-pressure", "EPDM"),
        ("fuel-return", "VMQ"),
        ("steering-return", "EPDM"),
        ("diesel-return", "EPDM"),
    ],
)
@pytest.mark.parametrize("fluids", [[], ["unknown"]])
def test_a_liner_that_no_fluid_of_the_family_suits_is_refused(
    bench: Any, service: str, liner: str, fluids: list[str]
) -> None:
    changes = {"service": service, "fluids": fluids}
    assert bench.word("fluid-liner", {"liner": liner}, changes) == "reject"


def test_columns_of_the_shop_keep_the_width_of_each_clamp() -> None:
    ranges = hose_columns(shop()).clamp_ranges[0]
    assert set(np.unique(ranges[:, 2])) <= set(shop().clamps.band_width.tolist())


def test_where_a_caliper_sat_does_not_matter_without_a_bead() -> None:
    for nipple in ({"bead": "no"}, {"bead_diameter": 9}, {"measured_on": "plain"}):
        values = {"service": "washer", "nipples": {"outside_diameter": 8, **nipple}}
        assert job_columns([read_job(values)]).measured_on_a[0, 0] == 1
