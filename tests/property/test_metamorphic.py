"""The same job told another way gets the same answer; a mixture is judged by its worst part.

Nothing here knows what the answer is: only how the answers to two jobs stand to each other.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_columns import jobs_at_random

from hoseselect.answer.judged import judged
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.plan_cut import cut_parts, job_lengths
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job
from hoseselect.judging.columns import Array, HoseColumns, JobColumns
from hoseselect.judging.engine import evaluate, judge
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

COUNT = 1_500
TRIES = settings(max_examples=40, deadline=None, derandomize=True, database=None)


@cache
def hoses() -> HoseColumns:
    return hose_columns(read_catalogue())


@cache
def jobs() -> JobColumns:
    return jobs_at_random(np.random.default_rng(27), COUNT)


def by_rule(asked: JobColumns) -> Array:
    """Return what every rule says of every size, shape (rules, jobs, m)."""
    rows = np.arange(len(asked))
    return np.array([
        one.size_codes(rows, hoses()) for one in evaluate(asked, hoses(), all_rules())
    ])  # fmt: skip


def alike(*asked: Job) -> None:
    """Assert that jobs get the same verdicts by the same rules, the same cut and window."""
    plans = job_lengths(list(asked))
    told = judged(list(asked), hoses()).judgement
    for first, second in pairwise(range(len(asked))):
        assert (told.codes[first] == told.codes[second]).all()
        assert (told.decided_by[first] == told.decided_by[second]).all()
        assert plans.cut[first] == pytest.approx(plans.cut[second], abs=1e-6, nan_ok=True)
        assert plans.cut[first] == pytest.approx(plans.cut[second], abs=1e-6, nan_ok=True)


# --- what flows and drips -------------------------------------------------------------------------

FLUID_RULES = [place for place, rule in enumerate(all_rules()) if rule.code.startswith("fluid-")]


@pytest.mark.parametrize("column", ["fluids", "drips"])
def test_a_mixture_is_judged_by_its_worst_part(column: str) -> None:
    """Of two sets together the rules of fluids say the worse of what they say of each."""
    random = np.random.default_rng(len(column))
    own = getattr(jobs(), column)
    one, other = (own | (random.random(own.shape) < 0.04) for _ in range(2))
    apart = [by_rule(jobs().change(**{column: part}))[FLUID_RULES] for part in (one, other)]
    merged = by_rule(jobs().change(**{column: one | other}))[FLUID_RULES]
    assert (merged == np.maximum(*apart)).all()
    assert (apart[0] != apart[1]).any()


def test_two_sets_of_fluids_together_are_never_better_than_either() -> None:
    random = np.random.default_rng(4)
    own = jobs().fluids
    one, other = (own | (random.random(own.shape) < 0.04) for _ in range(2))
    apart = [by_rule(jobs().change(fluids=part)) for part in (one, other)]
    merged = by_rule(jobs().change(fluids=one | other))
    assert (merged >= np.maximum(*apart)).all()


def test_no_pair_of_fluids_is_better_than_one_of_the_two() -> None:
    """Every pair of fluids in every service, on every hose: no fluid makes another harmless."""
    one_each = jobs_at_random(np.random.default_rng(1), 1)
    services, fluids = service_columns(), len(service_columns().fluids)
    alone = np.eye(fluids, dtype=bool)
    first, second = np.triu_indices(fluids, 1)
    for service in range(len(services.names)):
        line = one_each.take(np.zeros(fluids + len(first), dtype=int))
        flows = np.concatenate([alone, alone[first] | alone[second]])
        told = line.change(fluids=flows, service=np.full_like(line.service, service))
        codes = of_fluids(told)
        better = codes[:, fluids:] < np.maximum(codes[:, first], codes[:, second])
        assert not better.any(), pair_told(service, first, second, np.argwhere(better)[0])


def of_fluids(asked: JobColumns) -> Array:
    """Return what the rules of fluids and markings say, shape (rules, jobs, t or m)."""
    rules = [rule for rule in all_rules() if rule.axis == "type" and rule.code[:6] in READ]
    return np.array([one.codes[one.kind] for one in evaluate(asked, hoses(), rules)])


READ = ("fluid-", "markin")


def pair_told(service: int, first: Array, second: Array, place: Array) -> str:
    """Return which pair is better together than one of it."""
    _, pair, hose = (int(one) for one in place)
    own = service_columns()
    names = own.fluids[first[pair]], own.fluids[second[pair]]
    return f"{names} in {own.names[service]} on {hoses().types.name[hose]}"


@pytest.mark.parametrize("column", ["fluids", "drips"])
def test_naming_a_fluid_twice_changes_nothing(column: str) -> None:
    named = table("service_fluids").where(service="crankcase-suction")[0]["fluid"]
    once, twice = (
        read_job({
            "service": "crankcase-suction", column: [named] * times,
            "nipples": {"outside_diameter": "12.7 mm", "bead": "yes"},
        })
        for times in (1, 3)
    )  # fmt: skip
    alike(once, twice)


# --- the two ends ---------------------------------------------------------------------------------

ENDS = ("nipple", "has_bead", "bead", "measured_on", "usable")


def test_it_does_not_matter_which_end_is_called_a() -> None:
    """All figures of the two nipples change places."""
    random = np.random.default_rng(8)
    uneven = jobs().nipple_b + np.round(random.uniform(-1, 1, (COUNT, 1)), 1)
    one = jobs().change(nipple_b=np.where(random.random((COUNT, 1)) < 0.5, uneven, jobs().nipple_b))
    swapped = {f"{name}_{end}": getattr(one, f"{name}_{other}")
               for name in ENDS for end, other in ("ab", "ba")}  # fmt: skip
    assert (by_rule(one) == by_rule(one.change(**swapped))).all()


def tenths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(low * 10), round(high * 10)).map(lambda tenth: tenth / 10)


@st.composite
def runs(draw: st.DrawFn) -> list[Any]:
    """Draw straights and bends by turns, with turns of the plane at some bends."""
    parts: list[Any] = [f"{draw(tenths(20, 200))} mm"]
    for _ in range(draw(st.integers(1, 3))):
        parts += [
            {"bend": f"{draw(tenths(10, 150))} deg", "radius": f"{draw(tenths(30, 250))} mm"},
            f"{draw(tenths(20, 200))} mm",
        ]
    return parts


def on_run(run: list[Any], **nipples: Any) -> Job:
    """Return a job on a run, with nipples that are not alike."""
    return read_job({
        "service": "crankcase-breather", "drips": [],
        "nipple_a": {"outside_diameter": "12.7 mm", "bead": "yes", "usable_length": "22 mm",
                     "measured_on": "plain", "fixed_to": "engine", "engagement": "21 mm"},
        "nipple_b": {"outside_diameter": "12.9 mm", "bead": "yes", "usable_length": "30 mm",
                     "measured_on": "plain", "fixed_to": "engine", "material": "plastic"},
        "route": {"run": run, "low_spot": "no", "fall": "yes"},
        **nipples,
    })  # fmt: skip


@TRIES
@given(runs())
def test_a_run_told_from_the_other_end_is_the_same_run(run: list[Any]) -> None:
    told = on_run(run)
    alike(told, replace(on_run(run[::-1]), nipple_a=told.nipple_b, nipple_b=told.nipple_a))


@TRIES
@given(runs(), st.data())
def test_a_run_told_in_smaller_parts_is_the_same_run(run: list[Any], data: st.DataObject) -> None:
    """A straight is told in two, a bend as two of the same radius, by any share."""
    place = data.draw(st.integers(0, len(run) - 1))
    share = data.draw(st.sampled_from([0.25, 0.5, 0.7]))
    part = run[place]
    if isinstance(part, str):
        whole = float(part.split()[0])
        two: list[Any] = [f"{share * whole!r} mm", f"{(1 - share) * whole!r} mm"]
    else:
        whole = float(part["bend"].split()[0])
        two = [{**part, "bend": f"{piece!r} deg"} for piece in (share * whole, (1 - share) * whole)]
    alike(on_run(run), on_run([*run[:place], *two, *run[place + 1 :]]))


@TRIES
@given(runs())
def test_a_measured_path_with_its_tightest_bend_gets_the_cut_of_its_run(run: list[Any]) -> None:
    """What was bent of wire and what was measured by string agree on one hose."""
    told = on_run(run)
    tip = float(cut_parts(told)[0].length)
    radius = min(float(part["radius"].split()[0]) for part in run[1::2])
    route = {"measured": f"{tip!r} mm", "tightest_radius": f"{radius} mm"}
    by_string = on_run(run, route={**route, "low_spot": "no", "fall": "yes"})
    cuts = job_lengths([told, by_string]).cut
    assert cuts[0] == pytest.approx(cuts[1], abs=1e-6)
    codes = {rule.code: place for place, rule in enumerate(all_rules())}
    said = judged([told, by_string], hoses()).results[codes["bend-radius"]]
    both = said.size_codes(np.arange(2), hoses())
    assert (both[0] == both[1]).all()


# --- words and units ------------------------------------------------------------------------------

NAMES = [(row["service"], row["other_name"]) for row in table("service_names")]


def test_every_other_name_of_a_service_is_that_service() -> None:
    """Whatever language of the trade a line is named in, it is the same line."""
    for service, name in NAMES:
        told = read_job({"service": name, "duty": {"pressure_max": "300 kPa"}})
        assert told.service == service, name


FLUID_NAMES = [(row["fluid"], row["other_name"]) for row in table("fluid_names")]


def test_every_other_name_of_a_fluid_is_that_fluid() -> None:
    for fluid, name in FLUID_NAMES:
        plain, other = (read_job({"service": "drain", "drips": [one]}) for one in (fluid, name))
        assert plain.drips == other.drips, name


SPELLED = [
    {"measured": "612.5 mm"}, {"measured": "612,5 mm"}, {"measured": "61.25 cm"},
    {"measured": "0.6125 m"}, {"measured": "612.5mm"}, {"measured": "612.5 millimetres"},
]  # fmt: skip
HEATS = ["110 degC", "110 °C", "110C", "230 °F", "230F", "383.15 K"]
SUCTIONS = ["-50 kPa", "-0.5 bar", "-500 mbar", "50 kPa vacuum", "0.5 bar vacuum", "-0.05 MPa"]


@pytest.mark.parametrize("values", [
    [{"route": {**one, "movement": 0}} for one in SPELLED],
    [{"duty": {"fluid_steady": one}} for one in HEATS],
    [{"duty": {"pressure_min": one}} for one in SUCTIONS],
])  # fmt: skip
def test_however_a_figure_is_spelled_the_answer_is_the_same(values: list[dict[str, Any]]) -> None:
    base = {"service": "PCV hose", "nipples": {"outside_diameter": "13 mm", "bead": "yes"}}
    alike(*(read_job({**base, **one}) for one in values))


# --- the shelf ------------------------------------------------------------------------------------


def test_the_verdict_of_a_rule_does_not_hang_on_the_rules_beside_it() -> None:
    """Every rule is run alone; together they say the worst, and the first of the worst decides."""
    few = jobs().take(np.arange(200))
    alone = np.array([judge(few, hoses(), [rule]).codes for rule in all_rules()])
    together = judge(few, hoses(), all_rules())
    assert (together.codes == alone.max(axis=0)).all()
    first = alone.argmax(axis=0)
    refused = together.codes > 0
    assert (together.decided_by[refused] == first[refused]).all()
    assert (together.decided_by[~refused] == -1).all()


ROUTES = [
    {"flat": {"distance": "250 mm", "angle_a": "60 deg", "angle_b": "45 deg"}},
    {"offset": {"forward": "220 mm", "up": "40 mm"}, "nipple_a_points": "up",
     "nipple_b_points": "up"},
]  # fmt: skip


@pytest.mark.parametrize("route", ROUTES)
def test_a_closer_tape_never_makes_a_free_route_worse(route: dict[str, Any]) -> None:
    """Verdicts with errors from 20 mm and 15 deg down to 3 mm and 3 deg."""
    said = []
    for tape, angle in ((20, 15), (5, 8), (5, 5), (3, 3)):
        free = {**route, "tape_error": f"{tape} mm", "angle_error": f"{angle} deg"}
        job = read_job({
            "service": "coolant-heater", "drips": [],
            "nipples": {"outside_diameter": "15.9 mm", "bead": "yes", "measured_on": "plain",
                        "usable_length": "30 mm", "fixed_to": "engine"},
            "route": {"free": free},
        })  # fmt: skip
        rows = np.arange(1)
        results = judged([job], hoses()).results
        said.append(np.array([one.size_codes(rows, hoses())[0] for one in results]))
    for rough, close in pairwise(said):
        assert (close <= rough).all()
    assert (said[-1] < said[0]).any()
