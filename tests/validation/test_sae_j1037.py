"""SAE J1037, scope: unreinforced washer tube; bores 2.29-2.79, 3.56-4.37 and 5.16-5.97 mm."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.application.read import read_print
from hoseselect.catalogue.columns import Catalogue
from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
BORES = ((2.29, 2.79), (3.56, 4.37), (5.16, 5.97))  # [mm]


def test_bores_as_printed() -> None:
    row = table("marking_figures").row
    ours = tuple(
        tuple(
            row(marking="j1037", figure=f"bore-{k}-{end}").number("value") for end in ("min", "max")
        )
        for k in (1, 2, 3)
    )
    assert ours == BORES


def marked(catalogue: Catalogue) -> list[int]:
    """Return the sizes of the catalogue that claim J1037."""
    claims = ["j1037" in marking for marking in catalogue.types.marking]
    return [k for k in range(len(catalogue.sizes)) if claims[catalogue.sizes.type_index[k]]]


def test_washer_tube_of_the_catalogue_has_these_bores(catalogue: Catalogue) -> None:
    sizes = catalogue.sizes
    rows = marked(catalogue)
    assert len(rows) == 2
    assert {(sizes.bore_min[k], sizes.bore_max[k]) for k in rows} <= set(BORES)
    assert all(sizes.bore_min[k] < sizes.bore[k] < sizes.bore_max[k] for k in rows)


def test_no_reinforcement(catalogue: Catalogue) -> None:
    kinds = {
        catalogue.types.reinforcement[catalogue.sizes.type_index[k]] for k in marked(catalogue)
    }
    assert kinds == {"none"}


def test_accepted_on_a_washer_line(judge_stock: Judge, catalogue: Catalogue) -> None:
    for k in marked(catalogue):
        size = str(catalogue.sizes.hose_size[k])
        assert judge_stock(size, "washer", pressure_max=200).word == "accept"


@pytest.mark.parametrize(
    "service", ["crankcase-breather", "fuel-return", "engine-oil-cooler", "brake-servo-vacuum"]
)
def test_the_mark_proves_nothing_else(judge_stock: Judge, service: str) -> None:
    """Scope is washer tube: refused on oil, fuel and servo lines."""
    assert judge_stock("W01-5.6", service).word == "reject"


def test_print_names_only_the_washer() -> None:
    (marking,) = read_print("SAE J1037 4 MM").markings
    assert marking.suits == ("washer",)
