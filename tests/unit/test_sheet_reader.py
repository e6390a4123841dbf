"""Lines of a sheet as jobs: a key of the form reaches a sheet without further code."""

from __future__ import annotations

import math
from typing import Annotated, Literal

import pytest

from hoseselect.domain.job import Job
from hoseselect.intake.door import Length, Word, YesNo
from hoseselect.intake.job_form import FeaturesForm, Form, JobForm
from hoseselect.intake.job_headings import ColumnUse, column_uses
from hoseselect.intake.job_sheet import SheetLine
from hoseselect.intake.read_job import read_job
from hoseselect.intake.sheet_keys import lists_of_tables, sheet_keys
from hoseselect.intake.sheet_reader import LineFault, SheetReader
from hoseselect.knowledge.errors import ManyFaultsError


class PlantedFeatures(FeaturesForm):
    """Features with a key that no job has."""

    colour: Annotated[Literal["red", "blue", "unknown"], Word] = "unknown"


class PlantedTable(Form):
    """A table that no job has."""

    depth: Length = math.nan
    wet: YesNo = "unknown"


class PlantedForm(JobForm):
    """A form with keys that no job has: at the top, in a table, in a table of its own."""

    shade: Length = math.nan
    features: PlantedFeatures = PlantedFeatures()
    bath: PlantedTable = PlantedTable()


PLANTED = {"shade": "2 in", "features.colour": "Red", "bath.depth": "40 mm", "bath.wet": "y"}


def planted_reader() -> SheetReader:
    keys = ["service", *PLANTED]
    return SheetReader([ColumnUse(key, key) for key in keys], PlantedForm)


def test_a_key_added_to_the_form_reaches_job_file_and_sheet() -> None:
    in_file = PlantedForm.model_validate(
        {
            "service": "washer",
            "shade": "2 in",
            "features": {"colour": "Red"},
            "bath": {"depth": "40 mm", "wet": "y"},
        }
    )
    in_sheet = planted_reader().form_of(["washer", *PLANTED.values()])
    assert in_sheet == in_file
    assert in_file.features.colour == "red"
    assert (in_file.shade, in_file.bath.depth, in_file.bath.wet) == (50.8, 40.0, "yes")


def test_a_planted_key_has_a_column_with_its_kind() -> None:
    assert set(sheet_keys(PlantedForm)) - set(sheet_keys()) == set(PLANTED)
    assert sheet_keys(PlantedForm)["bath.depth"].unit == "mm"
    assert sheet_keys(PlantedForm)["features.colour"].words == ("red", "blue", "unknown")


def test_a_fault_of_a_planted_key_names_its_cell() -> None:
    (fault,) = planted_reader().read(SheetLine(7, ["washer", "", "pink", "", ""])) or ()
    assert isinstance(fault, LineFault)
    assert (fault.cells, fault.key, fault.found) == (("C7",), "features.colour", "'pink'")
    assert "'red'" in fault.expected


@pytest.mark.parametrize("key", lists_of_tables())
@pytest.mark.parametrize("end", ["", ".name"])
def test_what_fits_in_no_cell_is_refused_by_name(key: str, end: str) -> None:
    with pytest.raises(ManyFaultsError) as told:
        column_uses(["service", f"{key}{end}"], ["", ""], 1)
    (fault,) = told.value.faults
    assert fault.place == "B1"
    assert key in fault.found
    assert "a job file" in fault.expected


def test_a_heading_of_the_old_name_names_the_new_one() -> None:
    with pytest.raises(ManyFaultsError, match="piece, the length of a piece"):
        column_uses(["service", "cut_length"], ["", ""], 1)


def line_of(cells: dict[str, str]) -> Job | tuple[LineFault, ...] | None:
    reader = SheetReader(column_uses(list(cells), [""] * len(cells), 1))
    return reader.read(SheetLine(2, list(cells.values())))


FREE = {
    "service": "PCV hose",
    "nipple": "9.5 mm",
    "route.free.offset": "forward 120 mm; up 80 mm",
    "route.free.nipple_a_points": "up",
    "route.free.nipple_b_points": "forward and 30 deg up",
    "route.free.movement": "forward 5 mm",
}


def test_a_free_route_stands_in_a_sheet() -> None:
    free = {
        "offset": {"forward": "120 mm", "up": 80},
        "nipple_a_points": "up",
        "nipple_b_points": "forward and 30 deg up",
        "movement": {"forward": "5 mm"},
    }
    nipples = {"outside_diameter": "9.5 mm"}
    job = read_job({"service": "PCV hose", "nipples": nipples, "route": {"free": free}})
    assert repr(line_of(FREE)) == repr(job)


def test_a_wire_and_a_flat_route_stand_in_a_sheet() -> None:
    flat = {f"route.free.flat.{key}": "60" for key in ("distance", "angle_a", "angle_b")}
    told = line_of({"service": "PCV hose", **flat})
    assert isinstance(told, Job)
    assert told.route.kind == "free"
    told = line_of({"service": "PCV hose", "route.free.wire": "80; 90 deg at 60; 120"})
    assert isinstance(told, Job)
    assert told.route.free is not None
    assert told.route.free.mouth_b == pytest.approx((140.0, 0.0, 180.0))


@pytest.mark.parametrize(
    ("change", "cells", "found"),
    [
        ({"route.free.offset": ""}, ("C2",), "0 descriptions"),
        ({"route.free.nipple_b_points": "sidewards"}, ("E2",), "'sidewards'"),
        ({"route.measured": "300 mm"}, ("C2", "D2", "E2", "F2", "G2"), "free beside run"),
        ({"duty.fluid_steady": "90", "duty.fluid_peak": "80"}, ("G2", "H2"), "fluid_steady 90"),
    ],
)
def test_a_fault_keeps_its_cells(
    change: dict[str, str], cells: tuple[str, ...], found: str
) -> None:
    told = line_of({**FREE, **change})
    assert isinstance(told, tuple)
    (fault,) = told
    assert fault.cells == cells
    assert found in fault.found


def test_lines_alike_share_what_was_read() -> None:
    reader = SheetReader(column_uses(["service", "name", "turbo"], [""] * 3, 1))
    first, second = (reader.read(SheetLine(n, ["PCV hose", f"{n}", "no"])) for n in (2, 3))
    assert isinstance(first, Job)
    assert isinstance(second, Job)
    assert first.features is second.features
    assert (first.name, second.name) == ("2", "3")


def test_a_name_in_any_script_stands_in_a_sheet_and_a_service_does_not_hide_in_one() -> None:
    name = "\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645"
    read = line_of({"service": "washer", "name": name})
    assert isinstance(read, Job)
    assert read.name == name
    hidden = line_of({"service": "bra\u200dke li\u00adne", "route.measured": "6\u200b50 mm"})
    assert isinstance(hidden, Job)
    assert (hidden.service, hidden.route.measured) == ("brake-hydraulics", 650.0)
