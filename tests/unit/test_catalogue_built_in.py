"""The built-in catalogue and the shelf of the worked scenarios: sound, described, invented."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from hoseselect.catalogue.descriptor import FILE, descriptor
from hoseselect.catalogue.hose_doubts import kink_radius
from hoseselect.catalogue.read import examine, read_catalogue

ROOT = Path(__file__).parents[2]
BUILT_IN = ROOT / "catalog"
SHELF = ROOT / "tests" / "scenarios" / "shelf"


@pytest.mark.parametrize("folder", [BUILT_IN, SHELF], ids=lambda folder: folder.name)
def test_there_is_nothing_to_complain_of(folder: Path) -> None:
    assert [complaint.sentence for complaint in examine(folder, prints=True)[1]] == []


@pytest.mark.parametrize("folder", [BUILT_IN, SHELF], ids=lambda folder: folder.name)
def test_the_descriptor_is_the_one_of_the_form_and_says_invented(folder: Path) -> None:
    stored = json.loads((folder / FILE).read_text(encoding="utf-8"))
    made = descriptor(stored["name"], stored["title"], stored["description"], stored["licenses"][0])
    assert stored == made
    assert "invented" in stored["title"].lower()
    assert "invented" in stored["description"].lower()
    assert all("invented" in entry["description"].lower() for entry in stored["resources"])


def test_every_hose_type_and_fitting_says_invented() -> None:
    catalogue = read_catalogue(BUILT_IN)
    assert all("invented" in remark for remark in catalogue.types.remark)
    assert all("invented" in remark for remark in catalogue.fittings.remark)


def test_the_built_in_catalogue_is_wide_enough() -> None:
    catalogue = read_catalogue(BUILT_IN)
    types, sizes = catalogue.types, catalogue.sizes
    assert len(types) >= 34
    assert len(sizes) >= 230
    assert set(types.reinforcement.tolist()) == {"none", "textile", "textile-and-wire"}
    assert sizes.bore.min() == 3.2
    assert sizes.bore.max() == 51.0
    one_material = [liner == cover for liner, cover in zip(types.liner, types.cover, strict=True)]
    assert any(one_material)
    assert not all(one_material)


def test_no_bend_radius_is_below_the_kink_of_a_plain_tube() -> None:
    sizes = read_catalogue(BUILT_IN).sizes
    assert (sizes.least_bend_radius >= kink_radius(sizes)).all()


def test_the_kink_radius_takes_the_mean_radius_and_the_wall() -> None:
    # Brazier 1927: bore 9.5, wall 3.5 mm gives 22 mm; bore 12.7, wall 4.0 mm gives 32 mm.
    sizes = read_catalogue(SHELF).sizes
    radius = kink_radius(sizes)
    assert radius[sizes.index_of("H01-9.5")] == pytest.approx(22.0, abs=0.5)
    assert radius[sizes.index_of("H01-12.7")] == pytest.approx(32.0, abs=0.5)


def test_clamps_hold_less_pressure_than_crimped_ends() -> None:
    sizes = read_catalogue(BUILT_IN).sizes
    both = ~np.isnan(sizes.working_pressure_clamped) & ~np.isnan(sizes.working_pressure_crimped)
    assert both.sum() > 20
    clamped, crimped = sizes.working_pressure_clamped[both], sizes.working_pressure_crimped[both]
    assert (clamped < crimped).all()


@pytest.mark.parametrize("folder", [BUILT_IN, SHELF], ids=lambda folder: folder.name)
def test_a_screw_and_a_spring_clamp_close_on_every_hose(folder: Path) -> None:
    catalogue = read_catalogue(folder)
    clamps = catalogue.clamps
    for families in (("worm",), ("smooth-band",), ("spring-band",)):
        family = np.isin(clamps.family, families)
        outside = catalogue.sizes.outside_diameter[:, np.newaxis]
        closes = (clamps.range_min[family] <= outside) & (outside <= clamps.range_max[family])
        assert catalogue.sizes.hose_size[~closes.any(axis=1)].tolist() == []


def test_the_clamps_cover_six_to_seventy_millimetres() -> None:
    clamps = read_catalogue(BUILT_IN).clamps
    worm = clamps.family == "worm"
    for diameter in np.arange(6.0, 70.01, 0.25):
        closes = (clamps.range_min[worm] <= diameter) & (diameter <= clamps.range_max[worm])
        assert closes.any()


def test_the_shelf_has_all_its_hoses() -> None:
    catalogue = read_catalogue(SHELF)
    assert catalogue.types.hose_type.tolist() == [f"H{number:02d}" for number in range(1, 25)]
    assert len(catalogue.sizes) == 52
    assert catalogue.rolls.size_index.tolist() == list(range(52))
