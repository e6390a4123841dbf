"""A catalogue that holds everything twice answers as the one that holds it once."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from large_catalogue import repeat_catalogue
from random_jobs import random_jobs

from hoseselect.answer.judged import Judged, judged
from hoseselect.application.answer_many import answer_many
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job
from hoseselect.intake.read_job import read_job

TODAY = date(2031, 5, 1)


@pytest.fixture(scope="module")
def built_in() -> Catalogue:
    """The invented catalogue."""
    return read_catalogue(find_catalogue(None, {}), today=TODAY)


@pytest.fixture(scope="module")
def twice(built_in: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    """The same hoses, each a second time with another name."""
    folder = tmp_path_factory.mktemp("large") / "twice"
    return read_catalogue(repeat_catalogue(Path(built_in.folder), folder, 2), today=TODAY)


def test_columns_of_a_hose_are_the_same_wherever_it_stands(
    built_in: Catalogue, twice: Catalogue
) -> None:
    once, again = hose_columns(built_in), hose_columns(twice)
    for part in ("types", "sizes", "rolls"):
        for name, column in vars(getattr(once, part)).items():
            if not isinstance(column, np.ndarray) or name in {"name", "type_index", "size_index"}:
                continue
            axis = column.shape.index(len(getattr(once, part).name))
            doubled = np.concatenate([column, column], axis=axis)
            assert np.array_equal(
                doubled, getattr(getattr(again, part), name), equal_nan=column.dtype.kind == "f"
            ), name


def test_a_hose_that_stands_there_twice_is_told_the_same(
    built_in: Catalogue, twice: Catalogue
) -> None:
    values: dict[str, Any] = {
        "service": "heater hose",
        "nipples": {"outside_diameter": "16 mm", "bead": "yes"},
        "route": {"measured": "300 mm"},
    }
    job = read_job(values, "job")
    alone, both = pick_hose(job, built_in), pick_hose(job, twice)
    assert both.verdicts == alone.verdicts * 2
    assert both.hoses_in_all == 2 * alone.hoses_in_all == len(both.hoses)
    for hose in alone.suits:
        assert _told(both.hose(hose.hose).as_json()) == _told(hose.as_json())
        assert hose.hose in both.suiting and f"X1-{hose.hose}" in both.suiting


def test_no_more_pairs_are_judged_together_than_memory_holds(
    twice: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    jobs = list(islice(random_jobs(31), 20))
    whole = answer_many(jobs, twice)
    together: list[int] = []

    def counted(some: Sequence[Job], *others: Any) -> Judged:
        together.append(len(some))
        return judged(some, *others)

    monkeypatch.setattr("hoseselect.application.answer_many.judged", counted)
    monkeypatch.setattr("hoseselect.application.answer_many.PAIRS", 4 * len(twice.sizes) - 1)
    assert answer_many(jobs, twice) == whole
    assert max(together) == 3
    monkeypatch.setattr("hoseselect.application.answer_many.PAIRS", 1)
    assert answer_many(jobs[:2], twice) == whole[:2]


def _told(hose: dict[str, Any]) -> Any:
    return {key: value for key, value in hose.items() if key not in {"hose", "hose_type"}}
