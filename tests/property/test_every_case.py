"""The logic that decides, tried on every case there is, against a plain statement of it.

A comparison only asks which of two figures is the greater: five figures and "not known" hold every
order that demand, limit and caution can stand in. What is listed here is therefore a proof.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product
from typing import Any

import numpy as np
import pytest

from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Duty, Features, Job
from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import of_both_ends
from hoseselect.judging.columns import NO, NOT_NAMED, UNKNOWN, YES
from hoseselect.judging.comparison import Comparison, verdicts
from hoseselect.judging.engine import RuleResult, combine
from hoseselect.judging.registry import Rule
from hoseselect.judging.view import Answers
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules
from hoseselect.rules.stop import FEATURES, STOP_FLUID, stops

ACCEPT, CONDITIONAL, NOT_KNOWN, REJECT = Verdict
FIGURES = (1.0, 2.0, 3.0, 4.0, 5.0, None)
FLAGS = (None, False, True)

# --- demand against limit -------------------------------------------------------------------------


def plainly(
    demand: float | None,
    limit: float | None,
    caution: float | None,
    *,
    band: bool,
    estimated: bool | None,
    measurable: bool | None,
    applies: bool | None,
) -> Verdict:
    """Say what a demand that must be at most the limit gets, in words of the manual."""
    if applies is False:
        return ACCEPT
    without_a_word = demand is not None and caution is not None and demand <= caution
    if band and without_a_word:
        found = ACCEPT  # also where the limit is not known: it lies beyond
    elif demand is None or limit is None:
        found = NOT_KNOWN
    elif demand > limit:
        found = REJECT
    elif not band:
        found = ACCEPT
    else:
        found = NOT_KNOWN if caution is None else CONDITIONAL
    if estimated and found <= CONDITIONAL:
        found = CONDITIONAL if without_a_word or not band else NOT_KNOWN
    if measurable and found is NOT_KNOWN:
        found = CONDITIONAL
    return found


def array(values: list[Any], kind: type) -> Any:
    made = np.array([np.nan if value is None else value for value in values], dtype=kind)
    return made[:, None]


@pytest.mark.parametrize("sense", ["at_most", "at_least"])
@pytest.mark.parametrize("band", [False, True])
@pytest.mark.parametrize("flags", list(product(FLAGS, repeat=3)))
def test_every_order_of_demand_limit_and_caution(
    sense: Any, band: bool, flags: tuple[bool | None, ...]
) -> None:
    """At least is at most with the order turned round."""
    names = ("estimated", "measurable", "applies")
    told = dict(zip(names, flags, strict=True))
    cases = [
        (demand, limit, caution)
        for demand, limit, caution in product(FIGURES, repeat=3)
        # what is accepted without a word is never beyond what is refused
        if caution is None or limit is None or caution <= limit
    ]
    turned = 1.0 if sense == "at_most" else -1.0
    columns = [
        array([None if one is None else turned * one for one in column], float)
        for column in zip(*cases, strict=True)
    ]
    everywhere = {
        name: None if flag is None else np.full((len(cases), 1), flag)
        for name, flag in told.items()
    }
    comparison = Comparison(
        columns[0], columns[1], sense, caution=columns[2] if band else None, **everywhere
    )
    wanted = [plainly(*case, band=band, **told) for case in cases]
    assert verdicts(comparison)[:, 0].tolist() == wanted


@pytest.mark.parametrize("sense", ["at_most", "at_least"])
@pytest.mark.parametrize("band", [False, True])
def test_many_demands_against_many_limits_compare_as_one_by_one(sense: Any, band: bool) -> None:
    """A column against a row takes another way through the engine, with the same result."""
    figures = np.array([np.nan if one is None else one for one in FIGURES])
    down = np.append(figures, [np.inf, -np.inf])[:, None]
    across = np.append(figures, np.inf if sense == "at_most" else -np.inf)[None, :]  # no limit
    caution = (across - 1 if sense == "at_most" else across + 1) if band else None
    together = verdicts(Comparison(down, across, sense, caution=caution))
    whole = np.broadcast_to(across, together.shape)
    spread = None if caution is None else np.broadcast_to(caution, together.shape)
    single = verdicts(Comparison(
        np.ascontiguousarray(np.broadcast_to(down, together.shape)), whole, sense, caution=spread
    ))  # fmt: skip
    assert (together == single).all()


def test_a_figure_as_typed_is_within_a_limit_as_typed() -> None:
    """A hair of a billionth is rounding, a millionth is beyond."""
    for figure in (0.3, 3.5 * 1.2, 104.0, 1e-12, -0.7, 1e6):
        hair = max(abs(figure), 1.0)
        near, far = np.array([[figure + 1e-10 * hair]]), np.array([[figure + 1e-6 * hair]])
        limit = np.array([[figure]])
        assert verdicts(Comparison(near, limit)) == ACCEPT
        assert verdicts(Comparison(far, limit)) == REJECT


# --- the two ends of what is not known ------------------------------------------------------------

ENDS = list(product(Verdict, repeat=2))


def both(adverse: Verdict, favourable: Verdict, doubted: bool, hard: bool) -> Verdict:
    one = np.array([[adverse]]), np.array([[favourable]]), np.array([[doubted]]), np.array([[hard]])
    return Verdict(int(of_both_ends(*one)[0, 0]))


@pytest.mark.parametrize(("adverse", "favourable"), ENDS)
def test_every_pair_of_ends(adverse: Verdict, favourable: Verdict) -> None:
    """What holds at both ends holds; an assumption never yields a plain accept."""
    assert both(adverse, favourable, False, False) is adverse
    assert both(adverse, favourable, False, True) is adverse
    worse, better = max(adverse, favourable), min(adverse, favourable)
    for hard in (False, True):
        said = both(adverse, favourable, True, hard)
        assert said is not ACCEPT
        assert said >= better
        assert said <= max(worse, CONDITIONAL)
        if adverse is favourable:
            assert said is max(adverse, CONDITIONAL)
        if better >= NOT_KNOWN:
            assert not said.suits
        if worse <= CONDITIONAL:
            assert said is CONDITIONAL
    if worse > CONDITIONAL >= better:  # one end passes and the other does not
        assert both(adverse, favourable, True, True) is NOT_KNOWN
        assert both(adverse, favourable, True, False) is CONDITIONAL


@pytest.mark.parametrize(("adverse", "favourable"), ENDS)
@pytest.mark.parametrize("hard", [False, True])
def test_a_worse_end_is_never_a_better_verdict(
    adverse: Verdict, favourable: Verdict, hard: bool
) -> None:
    said = both(adverse, favourable, True, hard)
    for worse in Verdict:
        if worse > adverse:
            assert both(worse, favourable, True, hard) >= said
        if worse > favourable:
            assert both(adverse, worse, True, hard) >= said
    assert both(adverse, favourable, True, True) >= both(adverse, favourable, True, False)


@pytest.mark.parametrize(("code", "is_yes", "is_no", "is_unknown", "may_be"), [
    (YES, True, False, False, True),
    (NO, False, True, False, False),
    (UNKNOWN, False, False, True, True),
    (NOT_NAMED, False, False, False, True),
])  # fmt: skip
def test_every_answer_is_exactly_what_it_says(
    code: int, is_yes: bool, is_no: bool, is_unknown: bool, may_be: bool
) -> None:
    """What is not known may be so and is neither yes nor no."""
    answer = Answers("turbo", np.array([[code]]))
    assert bool(answer.yes[0, 0]) is is_yes
    assert bool(answer.no[0, 0]) is is_no
    assert bool(answer.unknown[0, 0]) is is_unknown
    assert bool(answer.possible[0, 0]) is may_be
    assert bool(answer.unnamed[0, 0]) is (code == NOT_NAMED)
    assert bool(np.isnan(answer.as_float[0, 0])) is is_unknown


# --- the worst decides ----------------------------------------------------------------------------


def result(rule: Rule, codes: Any) -> RuleResult:
    """Return a rule's word on a few jobs, every job a kind of its own."""
    count = np.arange(len(codes))
    nothing = np.zeros(len(codes), dtype=bool)
    figures = Comparison(np.zeros((len(codes), 1)), np.zeros((1, 1)))
    return RuleResult(rule, figures, count, count, codes, codes, count, nothing, nothing)


@pytest.mark.parametrize("axes", list(product(["type", "size"], repeat=3)))
def test_the_worst_of_every_triple_of_verdicts_decides_and_the_first_of_the_worst_is_named(
    axes: tuple[str, ...],
) -> None:
    hoses = hose_columns(read_catalogue())
    across = {"type": len(hoses.types.name), "size": len(hoses.sizes)}
    by_axis = {axis: next(rule for rule in all_rules() if rule.axis == axis) for axis in across}
    triples = np.array(list(product(Verdict, repeat=3)), dtype=np.int8)
    told = [
        result(by_axis[axis], np.repeat(triples[:, place : place + 1], across[axis], axis=1))
        for place, axis in enumerate(axes)
    ]
    found = combine(told, hoses)
    for row, triple in enumerate(triples.tolist()):
        assert (found.codes[row] == max(triple)).all()
        first = -1 if max(triple) == ACCEPT else triple.index(max(triple))
        assert (found.decided_by[row] == first).all()


def test_the_order_of_verdicts() -> None:
    assert ACCEPT < CONDITIONAL < NOT_KNOWN < REJECT
    assert [verdict.suits for verdict in Verdict] == [True, True, False, False]


# --- stops ----------------------------------------------------------------------------------------

SERVICES = tuple(row["service"] for row in table("services"))
STOPS = tuple(row["stop"] for row in table("stops"))
FLUIDS = (
    *(row["fluid"] for row in table("fluids")),
    *(STOP_FLUID + row["stop"] for row in table("stops")),
)
NOTHING = (Features(),)
TOLD = tuple(Features(**{name: word}) for name, words in FEATURES.items() for word in words)
THREADED = (Features(end_fitting="threaded"), Features(end_fitting="plain"))
PRESSURES = (Duty(), *(Duty(pressure_max=figure) for figure in (0.0, 60.0, 400.0, 1200.0, 9000.0)))


def codes(job: Job) -> frozenset[str]:
    return frozenset(stop.code for stop in stops(job))


@pytest.mark.parametrize("service", [*SERVICES, *STOPS])
def test_nothing_lifts_a_stop_and_every_stop_is_named(service: str) -> None:
    """Every fluid, drip, feature and pressure, two by two: the stops of both together, none less.

    More pressure than nothing is known of may tell that an injection feed is one that may be; so
    the pressure is the same on both sides; pairs are tried where none is told.
    """
    for duty in PRESSURES:
        line = Job(service, duty=duty, drips=())
        alone = codes(line)
        assert (service in STOPS) <= (service in alone)
        fluids = {fluid: codes(replace(line, fluids=(fluid,))) for fluid in FLUIDS}
        drips = {fluid: codes(replace(line, drips=(fluid,))) for fluid in FLUIDS}
        features = {
            told: codes(replace(line, features=told)) for told in (*NOTHING, *TOLD, *THREADED)
        }
        for found in (*fluids.values(), *drips.values(), *features.values()):
            assert found >= alone
        for told in TOLD:
            assert features[told] > alone or FEATURE_STOPS[told] in alone
        if duty != PRESSURES[0]:
            continue
        for fluid, told in product(FLUIDS, features):
            both_told = codes(replace(line, fluids=(fluid,), features=told))
            assert both_told == fluids[fluid] | features[told]
            dripped = codes(replace(line, drips=(fluid,), features=told))
            assert dripped == drips[fluid] | features[told]
        for first, second in combinations(FLUIDS, 2):
            pair = codes(replace(line, fluids=(second, first)))
            assert pair == fluids[first] | fluids[second]


FEATURE_STOPS = {
    Features(**{name: word}): stop
    for name, words in FEATURES.items()
    for word, stop in words.items()
}
