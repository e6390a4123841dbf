"""Constants of formulas: each is a number with a source."""

from __future__ import annotations

import math

import pytest

from hoseselect.knowledge.constants import constant
from hoseselect.knowledge.errors import KnowledgeError
from hoseselect.knowledge.load import STATUS_WORDS, table

NAMES = table("formula_constants").column("constant")


@pytest.mark.parametrize("name", NAMES)
def test_every_constant_is_a_number_with_a_source(name: str) -> None:
    assert math.isfinite(constant(name))
    words = table("formula_constants").row(constant=name).source
    assert any(status in words for status in STATUS_WORDS.values())


def test_no_constant_twice() -> None:
    assert len(set(NAMES)) == len(NAMES)


def test_unknown_constant_is_refused() -> None:
    with pytest.raises(KnowledgeError, match="no row for constant nothing-like-it"):
        constant("nothing-like-it")
