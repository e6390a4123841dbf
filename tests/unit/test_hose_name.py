"""Hoses as people name them: in any case, and by their print; radii with the word for it."""

from __future__ import annotations

import datetime

import pytest

from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.intake.hose_name import hose_named, hoses_named
from hoseselect.intake.read_job import read_job
from hoseselect.intake.run_text import run_parts
from hoseselect.knowledge.errors import AmbiguousNameError, InputError


@pytest.fixture(scope="module")
def shop() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}), datetime.date(2026, 1, 15))


@pytest.mark.parametrize("text", ["k04-13", "K04-13", "K04-13"])
def test_names_in_any_case(shop: Catalogue, text: str) -> None:
    assert hoses_named(text, shop) == ("K04-13",)


def test_a_print_names_the_types_that_claim_it(shop: Catalogue) -> None:
    claims = {
        str(name)
        for name, marking in zip(shop.types.hose_type, shop.types.marking, strict=True)
        if "j30-r11" in marking
    }
    assert claims
    assert set(hoses_named("SAE 30R11", shop)) == claims
    assert set(hoses_named("j30 r11", shop)) == claims


def test_a_print_with_a_size_names_the_sizes(shop: Catalogue) -> None:
    for text in ("SAE 30R11 1/2", "SAE J30 R11 12.7 mm", "SAE 30R11 1/2 in 2024"):
        found = hoses_named(text, shop)
        assert found
        for hose in found:
            bore = shop.sizes.bore[shop.sizes.index_of(hose)]
            assert bore == pytest.approx(12.7, abs=0.3)
            assert str(shop.sizes.hose_type[shop.sizes.index_of(hose)]) in hoses_named(
                "SAE 30R11", shop
            )


def test_the_words_of_a_print_without_a_standard(shop: Catalogue) -> None:
    assert hoses_named("liner aem 13 mm", shop)
    assert all(name.endswith("13") for name in hoses_named("liner aem 13 mm", shop))


def test_one_hose_is_asked_for_where_several_bear_the_print(shop: Catalogue) -> None:
    with pytest.raises(AmbiguousNameError) as caught:
        hose_named("SAE 30R11", shop)
    assert set(caught.value.choices) == set(hoses_named("SAE 30R11", shop))


@pytest.mark.parametrize("text", ["SAE 30R77", "Q99", "SAE 30R11 3 in", "", "1/2"])
def test_what_no_hose_bears_is_refused(shop: Catalogue, text: str) -> None:
    with pytest.raises(InputError, match="catalogue"):
        hoses_named(text, shop)


@pytest.mark.parametrize(
    ("text", "radius"),
    [
        ('radius 4"', 101.6),
        ("R100", 100),
        ("r = 100 mm", 100),
        ("60 mm radius", 60),
        ("4 in", 101.6),
    ],
)
def test_a_radius_with_the_word_for_it(text: str, radius: float) -> None:
    route = {"measured": "400 mm", "tightest_radius": text}
    assert read_job({"service": "heater", "route": route}).route.tightest_radius == pytest.approx(
        radius, abs=0.5
    )
    (bend,) = run_parts(f"90 deg {text}") if "radius" in text[:6] or text[0] in "rR" else [None]
    if bend is not None:
        job = read_job({"service": "heater", "route": {"run": ["60", bend, "60"]}})
        assert job.route.run[1].radius == pytest.approx(radius)  # type: ignore[union-attr]


def test_a_word_for_radius_makes_no_length() -> None:
    with pytest.raises(InputError):
        read_job({"service": "heater", "route": {"measured": "R100"}})
    with pytest.raises(InputError):
        read_job({"service": "heater", "route": {"measured": "400", "tightest_radius": "radius"}})
