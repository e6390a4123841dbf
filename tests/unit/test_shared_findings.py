"""A finding that hoses share is the one that each of them would have got by itself."""

from __future__ import annotations

from itertools import islice

import pytest
from random_jobs import random_jobs

from hoseselect.answer.hose_answer import comparable
from hoseselect.answer.report import finding
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue

JOBS = 4


@pytest.mark.parametrize("units", ["mm", "in"])
def test_what_is_shared_is_what_each_hose_would_be_told(units: str) -> None:
    shop = read_catalogue(find_catalogue(None, {}))
    asked = 0
    for job in islice(random_jobs(29), JOBS):
        answer = pick_hose(job, shop, units=units)
        if answer.stops:
            continue
        asked += 1
        for hose in answer.hoses[::9]:
            alone = tuple(
                finding(result, answer.columns, 0, hose.place, units)
                for result in answer.judged.results
            )
            assert comparable(hose.findings) == comparable(alone), hose.hose
        made = sum(len(own.kept) for own in answer.shared.of_rules)
        assert made < len(answer.hoses) * len(answer.judged.results) / 9
    assert asked > JOBS / 2
