"""Read a catalogue folder into columns, or say all that is wrong with it."""

from __future__ import annotations

import gc
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from hoseselect.catalogue import claim_doubts, figures, hose_doubts, stock_doubts, words
from hoseselect.catalogue.cells import Cells, read_cells
from hoseselect.catalogue.columns import (
    Catalogue,
    CatalogueClamps,
    CatalogueFittings,
    CatalogueRolls,
    CatalogueSizes,
    CatalogueTypes,
    WordArray,
)
from hoseselect.catalogue.complaint import Complaint, unusable
from hoseselect.catalogue.doubt import Doubt
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.tables import CLAMPS, FITTINGS, HOSE_SIZES, HOSE_TYPES, ROLLS


def read_catalogue(folder: Path | str | None = None, today: date | None = None) -> Catalogue:
    """Return the catalogue of a folder, or the one in use.

    Parameters
    ----------
    folder : folder with hose_types.csv, hose_sizes.csv and, where kept, clamps.csv, fittings.csv
        and rolls.csv; None = the one that the command line takes without `--catalog`
    today : to which the age of rolls is counted; None = nothing is said of their age

    Raises
    ------
    CatalogueError
        when no folder is given and the one in use cannot be found.
    ManyFaultsError
        when there is any fault of severity "error"; its `faults` are all of them.
    KnowledgeError
        when a published table of allowed words is damaged.
    """
    place = find_catalogue(None, os.environ) if folder is None else Path(folder)
    with _nothing_is_waste():
        catalogue, complaints = examine(place, today=today)
    errors = [complaint for complaint in complaints if complaint.severity == "error"]
    if errors:
        raise unusable(str(place), errors)
    return catalogue


@contextmanager
def _nothing_is_waste() -> Iterator[None]:
    """Look for no waste: all that is made of a large catalogue stays, and looking takes longest."""
    looking = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if looking:
            gc.enable()


def examine(
    folder: Path, *, prints: bool = False, today: date | None = None
) -> tuple[Catalogue, list[Complaint]]:
    """Return the columns as far as they can be read, and every complaint.

    Parameters
    ----------
    folder : as for `read_catalogue`
    prints : compare what is claimed with print, marking and rubber too; takes longer than all
        the rest
    today : to which the age of rolls is counted; None = nothing is said of their age
    """
    found: list[Complaint] = []
    type_cells = read_cells(folder, HOSE_TYPES, found)
    size_cells = read_cells(folder, HOSE_SIZES, found)
    clamp_cells = read_cells(folder, CLAMPS, found)
    fitting_cells = read_cells(folder, FITTINGS, found)
    roll_cells = read_cells(folder, ROLLS, found)

    types = read_types(type_cells, found)
    sizes = read_sizes(size_cells, types.hose_type, type_cells.unread, found)
    clamps = read_clamps(clamp_cells, found)
    fittings = read_fittings(fitting_cells, found)
    rolls = read_rolls(roll_cells, sizes.hose_size, size_cells.unread, found)

    bad = {(complaint.file, complaint.line, complaint.column) for complaint in found}
    for cells, doubts in (
        (type_cells, hose_doubts.type_doubts(types, sizes, all_sizes=size_cells.complete)),
        (size_cells, hose_doubts.size_doubts(types, sizes)),
        (clamp_cells, stock_doubts.clamp_doubts(clamps)),
        (fitting_cells, stock_doubts.fitting_doubts(fittings)),
        (roll_cells, stock_doubts.roll_doubts(rolls, sizes, types, today)),
    ):
        found.extend(
            complaint
            for doubt in doubts
            for complaint in doubt.complaints(cells)
            if (complaint.file, complaint.line, complaint.column) not in bad
        )
    if prints:
        _add_claims(found, (type_cells, claimed(types)))
        _add_claims(found, (size_cells, claim_doubts.wall_doubts(types, sizes)))
    found.sort(key=lambda complaint: complaint.order)
    return Catalogue(folder, types, sizes, clamps, fittings, rolls, today), found


def _add_claims(found: list[Complaint], doubted: tuple[Cells, list[Doubt]]) -> None:
    """Add doubts about claims, for each cell the first, where nothing else is wrong with it."""
    cells, doubts = doubted
    bad = {(complaint.file, complaint.line, complaint.column) for complaint in found}
    for doubt in doubts:
        for complaint in doubt.complaints(cells):
            place = complaint.file, complaint.line, complaint.column
            if place not in bad:
                found.append(complaint)
                bad.add(place)


def claimed(types: CatalogueTypes) -> list[Doubt]:
    """Return what types state beyond what print, marking and rubber bear out."""
    return [
        *claim_doubts.contradiction_doubts(types),
        *hose_doubts.print_doubts(types),
        *claim_doubts.heat_doubts(types),
        *claim_doubts.liner_doubts(types),
        *claim_doubts.reinforcement_doubts(types),
    ]


def read_types(cells: Cells, found: list[Complaint]) -> CatalogueTypes:
    """Return the hose types."""
    return CatalogueTypes(
        hose_type=words.keys(cells, found),
        description=words.texts(cells, "description", found),
        liner=words.lists(cells, "liner", found),
        reinforcement=words.choices(cells, "reinforcement", found),
        cover=words.lists(cells, "cover", found),
        marking=words.lists(cells, "marking", found),
        print_line=words.texts(cells, "print_line", found),
        temperature_continuous=figures.numbers(cells, "temperature_continuous_degc", found),
        temperature_short_time=figures.numbers(cells, "temperature_short_time_degc", found),
        temperature_cold=figures.numbers(cells, "temperature_cold_degc", found),
        hardness_shore_a=figures.numbers(cells, "hardness_shore_a", found),
        fluids_claimed=words.lists(cells, "fluids_claimed", found),
        made_for_clamps=words.choices(cells, "made_for_clamps", found),
        submersible=words.choices(cells, "submersible", found),
        family=words.lists(cells, "family", found),
        not_for=words.lists(cells, "not_for", found),
        only_for=words.lists(cells, "only_for", found),
        remark=words.texts(cells, "remark", found),
    )


def read_sizes(
    cells: Cells, type_names: WordArray, dropped: frozenset[str] | None, found: list[Complaint]
) -> CatalogueSizes:
    """Return the hose sizes."""
    hose_type, type_index = words.references(cells, "hose_type", type_names, dropped, found)
    return CatalogueSizes(
        hose_size=words.keys(cells, found),
        hose_type=hose_type,
        type_index=type_index,
        bore=figures.numbers(cells, "bore_mm", found),
        bore_min=figures.numbers(cells, "bore_min_mm", found),
        bore_max=figures.numbers(cells, "bore_max_mm", found),
        outside_diameter=figures.numbers(cells, "outside_diameter_mm", found),
        least_bend_radius=figures.numbers(cells, "least_bend_radius_mm", found),
        working_pressure_clamped=figures.numbers(cells, "working_pressure_clamped_kpa", found),
        working_pressure_crimped=figures.numbers(cells, "working_pressure_crimped_kpa", found),
        suction_limit_cold=figures.numbers(cells, "suction_limit_cold_kpa", found),
        suction_limit_hot=figures.numbers(cells, "suction_limit_hot_kpa", found),
        roll_length_m=figures.numbers(cells, "roll_length_m", found),
        price_per_m=figures.numbers(cells, "price_per_m", found),
    )


def read_clamps(cells: Cells, found: list[Complaint]) -> CatalogueClamps:
    """Return the clamps."""
    return CatalogueClamps(
        clamp=words.keys(cells, found),
        family=words.choices(cells, "family", found),
        range_min=figures.numbers(cells, "range_min_mm", found),
        range_max=figures.numbers(cells, "range_max_mm", found),
        band_width=figures.numbers(cells, "band_width_mm", found),
        price=figures.numbers(cells, "price", found),
    )


def read_fittings(cells: Cells, found: list[Complaint]) -> CatalogueFittings:
    """Return the fittings."""
    return CatalogueFittings(
        fitting=words.keys(cells, found),
        kind=words.choices(cells, "kind", found),
        nipple_a=figures.numbers(cells, "nipple_a_mm", found),
        nipple_b=figures.numbers(cells, "nipple_b_mm", found),
        angle_deg=figures.numbers(cells, "angle_deg", found),
        centreline_radius=figures.numbers(cells, "centreline_radius_mm", found),
        length=figures.numbers(cells, "length_mm", found),
        material=words.texts(cells, "material", found),
        suits=words.lists(cells, "suits", found),
        remark=words.texts(cells, "remark", found),
        price=figures.numbers(cells, "price", found),
    )


def read_rolls(
    cells: Cells, size_names: WordArray, dropped: frozenset[str] | None, found: list[Complaint]
) -> CatalogueRolls:
    """Return the rolls in stock."""
    hose_size, size_index = words.references(cells, "hose_size", size_names, dropped, found)
    return CatalogueRolls(
        roll=words.keys(cells, found),
        hose_size=hose_size,
        size_index=size_index,
        length_m=figures.numbers(cells, "length_m", found),
        place=words.texts(cells, "place", found),
        date_made=words.texts(cells, "date_made", found),
    )
