"""Rules run once for jobs that they cannot tell apart: the same as run on each of them."""

from __future__ import annotations

import importlib.util
import random
from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.ask_many import first_questions
from hoseselect.answer.ask_next import ask_next
from hoseselect.answer.report import finding, margins, own_margins, reason
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.cutplan.plan_cut import job_lengths
from hoseselect.intake.read_job import read_job
from hoseselect.intake.run_text import run_parts
from hoseselect.judging.assume import assume
from hoseselect.judging.columns import HoseColumns, JobColumns
from hoseselect.judging.distinct import columns_read, kinds_of
from hoseselect.judging.engine import (
    combine_kinds,
    combine_results,
    evaluate,
    evaluate_kinds,
    judge,
)
from hoseselect.judging.job_columns import job_columns
from hoseselect.judging.registry import Rule, rules
from hoseselect.knowledge.errors import InputError
from hoseselect.rules.stop import stops

LINES = Path(__file__).parents[1] / "cli" / "random_jobs.py"


def job_parts(count: int, seed: int) -> list[JobColumns]:
    """Return random jobs as columns of one row each."""
    spec = importlib.util.spec_from_file_location("random_jobs", LINES)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    chance = random.Random(seed)
    parts: list[JobColumns] = []
    while len(parts) < count:
        try:
            job = read_job(nested(module.random_line(chance)))
        except InputError:
            continue
        if not stops(job):
            parts.append(job_columns(job, *job_lengths(job)))
    return parts


def nested(line: dict[str, str]) -> dict[str, Any]:
    values: dict[str, Any] = {}
    for key, text in line.items():
        *tables, name = key.split(".")
        inner = values
        for table in tables:
            inner = inner.setdefault(table, {})
        inner[name] = run_parts(text) if key == "route.run" else text
    return values


@pytest.fixture(scope="module")
def hoses() -> HoseColumns:
    return hose_columns(read_catalogue(find_catalogue(None, {})))


@pytest.fixture(scope="module")
def parts() -> list[JobColumns]:
    return job_parts(120, 3)


class Recorder:
    """Jobs that remember which of their columns were read."""

    def __init__(self, jobs: JobColumns) -> None:
        self.jobs = jobs
        self.read: set[str] = set()

    def __getattr__(self, name: str) -> Any:
        self.read.add(name)
        return getattr(self.jobs, name)

    def __len__(self) -> int:
        return len(self.jobs)


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.code)
def test_a_rule_reads_no_column_that_nobody_knows_of(
    rule: Rule, parts: list[JobColumns], hoses: HoseColumns
) -> None:
    names = {field.name for field in fields(JobColumns)}
    recorder = Recorder(JobColumns.stack(parts))
    rule.function(recorder, hoses)  # type: ignore[arg-type]
    if rule.alike is not None:
        rule.alike(recorder)  # type: ignore[arg-type]
    assert recorder.read & names <= set(columns_read(rule))


def test_the_recorder_sees_a_column_that_is_read(parts: list[JobColumns]) -> None:
    recorder = Recorder(parts[0])
    assert recorder.turbo is parts[0].turbo
    assert recorder.read == {"turbo"}


@pytest.mark.parametrize("seed", range(3))
def test_shared_evaluation_is_plain_evaluation(hoses: HoseColumns, seed: int) -> None:
    jobs = JobColumns.stack(job_parts(150, seed))
    filled = assume(jobs)
    plain = list(evaluate(jobs, hoses, filled))
    shared = list(evaluate_kinds(jobs, hoses, filled))
    for one, many in zip(plain, shared, strict=True):
        np.testing.assert_array_equal(one.codes, many.codes[many.kind], err_msg=one.rule.code)
    expected = combine_results(iter(plain), hoses)
    told = combine_kinds(shared, hoses)
    np.testing.assert_array_equal(told.codes, expected.codes)
    np.testing.assert_array_equal(told.decided_by, expected.decided_by)
    again = judge(jobs, hoses)
    np.testing.assert_array_equal(again.codes, expected.codes)
    assert sum(len(many.end_codes) for many in shared) < len(shared) * 2 * len(jobs)


def test_findings_and_margins_of_shared_results(
    parts: list[JobColumns], hoses: HoseColumns
) -> None:
    chance = random.Random(1)
    shared = list(evaluate_kinds(JobColumns.stack(parts), hoses))
    for row, part in enumerate(parts[:40]):
        plain = list(evaluate(part, hoses))
        sizes = np.array([chance.randrange(len(hoses.sizes)) for _ in range(4)])
        rows = np.full_like(sizes, row)
        for one, many in zip(plain, shared, strict=True):
            pairs = many.at(rows, sizes, hoses)
            np.testing.assert_array_equal(
                own_margins(pairs)[:, 0], margins(one, hoses)[0, sizes], err_msg=one.rule.code
            )
            for place, size in enumerate(sizes.tolist()):
                expected = finding(one, hoses, 0, size)
                assert repr(finding(many.of_job(row), hoses, 0, size)) == repr(expected)
                assert reason(pairs, place, 0) == expected.reason


def test_first_questions_are_those_of_ask_next(parts: list[JobColumns], hoses: HoseColumns) -> None:
    shared = list(evaluate_kinds(JobColumns.stack(parts), hoses))
    told = first_questions(JobColumns.stack(parts), hoses, shared)
    for part, words in zip(parts, told, strict=True):
        asked = ask_next(part, hoses, tuple(evaluate(part, hoses)))
        expected = f"{asked[0].field}: {asked[0].question}" if asked else ""
        assert words == expected
    assert len(set(told)) > 5


def test_kinds_sort_rows_alike() -> None:
    column = np.array([[2.5], [np.nan], [2.5], [-0.5], [np.nan]])
    kinds = kinds_of(column)
    assert len(kinds) == 3
    np.testing.assert_array_equal(column[kinds.first][kinds.kind], column)
    flags = np.array([[True, False], [False, True], [True, False]])
    assert len(kinds_of(flags)) == 2
    assert len(kinds_of(np.zeros((3, 4)))) == 3
