"""What comes first of hoses that may be offered: made for it, in stock, no grave condition ..."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest

from hoseselect.answer.ranking import gravest, gravity
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import hose_columns, special_purpose
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.load import table

HEATER = {
    "service": "coolant-heater",
    "drips": ["unknown"],
    "nipples": {"outside_diameter": "16 mm", "bead": "yes", "measured_on": "plain"},
    "route": {"measured": "400 mm", "tightest_radius": "200 mm"},
}


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}), date(2026, 1, 15))


def test_every_rule_has_a_gravity_and_what_has_none_is_the_gravest() -> None:
    gravities = table("condition_gravity")
    for row in table("rules"):
        assert gravities.has(of=row["code"]) or gravities.has(of=row["group"])
    assert gravity("fluid-liner", "fluid") > gravity("fluid-cover", "fluid")
    assert gravity("fluid-cover", "fluid") > gravity("fit-stretch", "fit")
    assert gravity("fit-stretch", "fit") > gravity("bend-radius", "bend")
    assert gravity("of-tomorrow", "of-tomorrow") == gravity("fluid-liner", "fluid")


def test_the_ordinary_hose_comes_before_that_for_special_purposes(catalogue: Catalogue) -> None:
    suiting = pick_hose(read_job(HEATER), catalogue).suiting
    kinds = [
        special_purpose(catalogue.types.liner[int(catalogue.sizes.type_index[place])])
        for place in (catalogue.sizes.index_of(name) for name in suiting)
    ]
    assert set(kinds) == {False, True}
    assert kinds == sorted(kinds)


def test_every_hose_stands_where_its_keys_put_it(catalogue: Catalogue) -> None:
    """In stock, gravity, special purpose: each decides only among those alike before it."""
    answer = pick_hose(read_job(HEATER), catalogue)
    said, columns = answer.judged, hose_columns(catalogue)
    places = np.array([catalogue.sizes.index_of(name) for name in answer.suiting])
    grave = gravest(said, np.zeros(len(places), dtype=int), places).tolist()
    left = {int(place) for place in columns.rolls.size_index.tolist()}
    special = columns.types.special[columns.sizes.type_index[places]].tolist()
    made = columns.types.family_answer[int(said.jobs.service[0, 0])]
    made_for = (made[columns.sizes.type_index[places]] == 2).tolist()
    keys = [
        (int(said.judgement.codes[0, place]), not own, place not in left, weight, odd)
        for place, own, weight, odd in zip(places.tolist(), made_for, grave, special, strict=True)
    ]
    assert keys == sorted(keys)
    assert len(set(keys)) > 1


def test_a_hose_whose_cover_stands_oil_comes_before_one_that_must_be_guarded(bench: Any) -> None:
    catalogue, _ = bench.shop({"cover": "EPDM"}, {"cover": "FKM"})
    answer = pick_hose(bench.job({"drips": ["unknown"]}), catalogue)
    assert answer.suiting == ("H2-1", "H1-1")
