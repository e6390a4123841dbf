"""What a rule reads is recorded; doubt is derived; an answer is no figure. Faults are planted."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from hoseselect.domain.verdict import Verdict
from hoseselect.judging.assume import assume
from hoseselect.judging.columns import JobColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.distinct import DistinctJobs
from hoseselect.judging.engine import combine, evaluate, run_rule
from hoseselect.judging.registry import Rule
from hoseselect.judging.view import ANSWERS, Answers, JobView
from hoseselect.knowledge.errors import KnowledgeError
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

UNKNOWN_TURBO = {"service": "crankcase-suction", "features.turbo": "unknown"}


def planted(function: Any, of: Any = None, axis: Any = "size") -> Rule:
    """Return a rule that stands in no table."""
    return Rule("planted-rule", "route", axis, function, table("rules").row(code="route-fall"), of)


def limit(jobs: Any, figures: Any) -> Comparison:
    return Comparison(figures, np.full((1, 1), 500.0))


def test_a_rule_is_in_doubt_by_what_it_reads_whatever_it_declares(bench: Any) -> None:
    """It declares nothing at all; the movement is assumed to be 0 or 38 mm."""
    _, hoses = bench.shop({})
    rule = planted(lambda jobs, _hoses: limit(jobs, jobs.movement))
    jobs = bench.columns({"route.movement": "unknown"})
    result = run_rule(rule, DistinctJobs(assume(jobs)), hoses)
    assert rule.reads == {"movement"}
    assert result.codes[result.kind[0]].tolist() == [Verdict.CONDITIONAL]
    assert result.doubted(0).all()
    known = run_rule(rule, DistinctJobs(assume(bench.columns({}))), hoses)
    assert known.codes[known.kind[0]].tolist() == [Verdict.ACCEPT]


def test_a_hard_doubt_makes_unknown(bench: Any) -> None:
    _, hoses = bench.shop({})
    rule = planted(lambda jobs, _hoses: Comparison(jobs.fluid_steady, np.full((1, 1), 100.0)))
    jobs = bench.columns({"service": "atf-cooler", "duty.fluid_steady": "unknown"})
    jobs = jobs.change(fluid_peak=np.full((1, 1), np.nan))
    ends = assume(jobs)
    assert ends.favourable.fluid_steady[0, 0] < 100 < ends.adverse.fluid_steady[0, 0]
    assert combine(evaluate(jobs, hoses, [rule], ends), hoses).codes[0, 0] == Verdict.UNKNOWN


def test_a_column_read_for_some_jobs_only_is_recorded_and_the_rule_run_again(bench: Any) -> None:
    """Two jobs alike in what the rule read at first must not share a result for that."""

    def sometimes(jobs: Any, _hoses: Any) -> Comparison:
        figures = jobs.piece
        if np.isnan(figures).any():
            figures = np.where(np.isnan(figures), jobs.tip_length, figures)
        return limit(jobs, figures)

    _, hoses = bench.shop({})
    rule = planted(sometimes)
    run_rule(rule, DistinctJobs(assume(bench.columns({"piece": 300}))), hoses)
    assert rule.reads == {"piece"}
    lengths = (400.0, 600.0, 450.0)
    jobs = JobColumns.stack(
        [bench.columns({"route.measured": n, "route.run": []}) for n in lengths]
    )
    result = run_rule(rule, DistinctJobs(assume(jobs)), hoses)
    assert rule.reads == {"piece", "tip_length"}
    assert result.codes[result.kind, 0].tolist() == [0, 3, 0]


def test_words_that_read_what_the_figures_do_not_are_recorded_or_refused(bench: Any) -> None:
    def always(jobs: Any, _hoses: Any) -> Comparison:
        comparison = limit(jobs, jobs.tip_length)
        return Comparison(
            comparison.demand, comparison.limit, note=lambda row, _c: f"{jobs.nipple_a[row, 0]:g}"
        )

    def later(jobs: Any, _hoses: Any) -> Comparison:
        return Comparison(
            jobs.tip_length,
            np.full((1, 1), 500.0),
            note=lambda row, _c: f"{jobs.nipple_a[row, 0]:g}" if row else "",
        )

    _, hoses = bench.shop({})
    wide = {"nipples.outside_diameter": 10.5, "nipples.bead_diameter": 12}
    parts = [bench.columns({}), bench.columns(wide)]
    result = run_rule(rule := planted(always), DistinctJobs(assume(JobColumns.stack(parts))), hoses)
    assert rule.reads == {"tip_length", "nipple_a"}
    note = result.comparison.note
    assert note is not None
    assert [note(int(place), 0) for place in result.place] == ["10", "10.5"]
    parts.append(bench.columns({"route.run": [], "route.measured": 200}))
    odd = run_rule(planted(later), DistinctJobs(assume(JobColumns.stack(parts))), hoses)
    assert odd.comparison.note is not None
    with pytest.raises(KnowledgeError, match="nipple_a"):
        odd.comparison.note(1, 0)


def test_a_rule_that_compares_an_unknown_word_is_an_error_that_names_it(bench: Any) -> None:
    _, hoses = bench.shop({})
    jobs = DistinctJobs(assume(bench.columns(UNKNOWN_TURBO)))
    rule = planted(lambda jobs, _hoses: limit(jobs, (jobs.turbo == 1).astype(float)))
    with pytest.raises(TypeError, match="turbo"):
        run_rule(rule, jobs, hoses)


@pytest.mark.parametrize(
    "use",
    [
        lambda turbo: turbo == 1,
        lambda turbo: turbo != 0,
        lambda turbo: turbo > 0,
        lambda turbo: np.where(turbo, 1, 0),
        lambda turbo: np.array([[1]]) == turbo,
        lambda turbo: np.array([[True]]) & turbo,
        lambda turbo: ~turbo,
        lambda turbo: turbo * 2.0,
        lambda turbo: turbo[0, 0],
        bool,
        np.asarray,
    ],
)
def test_an_answer_cannot_be_used_as_a_figure(use: Any) -> None:
    with pytest.raises(TypeError, match="turbo"):
        use(Answers("turbo", np.array([[1], [0], [-1]])))


def test_an_answer_is_asked() -> None:
    turbo = Answers("turbo", np.array([[1], [0], [-1]]))
    assert turbo.yes[:, 0].tolist() == [True, False, False]
    assert turbo.no[:, 0].tolist() == [False, True, False]
    assert turbo.unknown[:, 0].tolist() == [False, False, True]
    assert turbo.possible[:, 0].tolist() == [True, False, True]
    np.testing.assert_array_equal(turbo.as_float[:, 0], [1, 0, np.nan])


def test_every_whole_number_but_the_service_is_an_answer(bench: Any) -> None:
    jobs = bench.columns({})
    whole = {name for name, column in vars(jobs).items() if column.dtype.kind == "i"}
    assert whole - {"service"} == ANSWERS


def test_every_rule_reads_columns_that_jobs_have(bench: Any) -> None:
    _, hoses = bench.shop({})
    evaluate(bench.columns({}), hoses, all_rules())
    names = set(JobColumns.__dataclass_fields__)
    assert [rule.code for rule in all_rules() if not rule.reads or not rule.reads <= names] == []


def test_a_view_of_a_column_that_does_not_exist_is_an_error() -> None:
    view = JobView(lambda name: {"service": np.zeros((1, 1))}[name], 1)
    with pytest.raises(KeyError):
        _ = view.frobnication
