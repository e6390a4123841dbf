"""Rules run once for jobs that they cannot tell apart: the same as run on each of them."""

from __future__ import annotations

import random
from itertools import islice

import numpy as np
import pytest
from random_jobs import random_jobs

from hoseselect.answer.ask_next import ask_next
from hoseselect.answer.judged import judged_columns
from hoseselect.answer.report import finding, margins
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.judging.columns import HoseColumns, JobColumns
from hoseselect.judging.distinct import kinds_of
from hoseselect.judging.engine import combine, evaluate
from hoseselect.judging.job_columns import job_columns
from hoseselect.rules.manual import all_rules
from hoseselect.rules.stop import stops


def job_parts(count: int, seed: int) -> list[JobColumns]:
    """Return random jobs that no stop has met as columns of one row each."""
    jobs = (job for job in random_jobs(seed) if not stops(job))
    return [job_columns([job], job_lengths([job])) for job in islice(jobs, count)]


@pytest.fixture(scope="module")
def hoses() -> HoseColumns:
    return hose_columns(read_catalogue(find_catalogue(None, {})))


@pytest.fixture(scope="module")
def parts() -> list[JobColumns]:
    return job_parts(120, 3)


@pytest.mark.parametrize("seed", range(3))
def test_many_jobs_are_judged_as_each_alone(hoses: HoseColumns, seed: int) -> None:
    parts = job_parts(60, seed)
    together = evaluate(JobColumns.stack(parts), hoses, all_rules())
    told = combine(together, hoses)
    for row, part in enumerate(parts):
        alone = evaluate(part, hoses, all_rules())
        for one, many in zip(alone, together, strict=True):
            np.testing.assert_array_equal(
                one.codes[one.kind[0]], many.codes[many.kind[row]], err_msg=one.rule.code
            )
        own = combine(alone, hoses)
        np.testing.assert_array_equal(own.codes[0], told.codes[row])
        np.testing.assert_array_equal(own.decided_by[0], told.decided_by[row])
    assert sum(len(many.end_codes) for many in together) < len(together) * 2 * len(parts)


def test_the_worst_decides_and_the_first_of_it(parts: list[JobColumns], hoses: HoseColumns) -> None:
    results = evaluate(JobColumns.stack(parts), hoses, all_rules())
    every = np.arange(len(parts))
    codes = np.stack([result.size_codes(every, hoses) for result in results])
    told = combine(results, hoses)
    np.testing.assert_array_equal(told.codes, codes.max(axis=0))
    first = np.where(codes.max(axis=0) > 0, codes.argmax(axis=0), -1)
    np.testing.assert_array_equal(told.decided_by, first)


def test_findings_and_margins_of_many_jobs_are_those_of_each_alone(
    parts: list[JobColumns], hoses: HoseColumns
) -> None:
    chance = random.Random(1)
    together = evaluate(JobColumns.stack(parts), hoses, all_rules())
    for row, part in enumerate(parts[:40]):
        sizes = np.array([chance.randrange(len(hoses.sizes)) for _ in range(4)])
        rows = np.zeros_like(sizes)
        for one, many in zip(evaluate(part, hoses, all_rules()), together, strict=True):
            np.testing.assert_array_equal(
                margins(many, hoses, rows + row, sizes),
                margins(one, hoses, rows, sizes),
                err_msg=one.rule.code,
            )
            for size in sizes.tolist():
                expected = finding(one, hoses, 0, size)
                assert repr(finding(many, hoses, row, size)) == repr(expected)


def test_questions_to_many_jobs_are_those_to_each_alone(
    parts: list[JobColumns], hoses: HoseColumns
) -> None:
    told = ask_next(judged_columns(JobColumns.stack(parts), hoses))
    for part, asked in zip(parts, told, strict=True):
        assert ask_next(judged_columns(part, hoses)) == [asked]
    assert len({asked[0].field for asked in told if asked}) > 5


def test_kinds_sort_rows_alike() -> None:
    column = np.array([[2.5], [np.nan], [2.5], [-0.5], [np.nan]])
    kinds = kinds_of(column)
    assert len(kinds) == 3
    np.testing.assert_array_equal(column[kinds.first][kinds.kind], column)
    flags = np.array([[True, False], [False, True], [True, False]])
    assert len(kinds_of(flags)) == 2
    assert len(kinds_of(np.zeros((3, 4)))) == 3
