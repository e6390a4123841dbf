"""The page tells the length of a cut as the first screen does, and none that rests on a guess."""

from __future__ import annotations

import re

import pytest
from length_jobs import JOBS, bare_lengths
from starlette.testclient import TestClient

from hoseselect import Catalogue, pick, read_catalogue, read_job
from hoseselect.intake.job_code import encode_job
from hoseselect.interfaces.wording import cut_words

from .seen import seen

SLIDER = re.compile("<output.*?</output>")
"""The length at which the hose is drawn; whoever moves it is told that it rests on a guess."""


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue()


@pytest.mark.parametrize("name", JOBS)
def test_the_page_tells_the_length_of_the_first_screen(
    client: TestClient, catalogue: Catalogue, name: str
) -> None:
    told = pick(read_job(JOBS[name]), catalogue).summary
    code = encode_job(JOBS[name])
    asked = {"code": code, "hose": told.hose}
    pages = {path: client.get(path, params=asked) for path in ("/counter", "/bench", "/answer")}
    shown = {path: seen(SLIDER.sub("", page.text)) for path, page in pages.items()}
    assert cut_words(told, "mm") in shown["/counter"]
    assert cut_words(told, "mm") in shown["/bench"]
    if told.cut_most > 0:
        found = {path: bare_lengths(text, told.cut_most, "mm") for path, text in shown.items()}
        assert {path: bare for path, bare in found.items() if bare} == {}
