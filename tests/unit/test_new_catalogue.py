"""A new catalogue folder, its check, and the page about it."""

from __future__ import annotations

import json
import math
from pathlib import Path

import numpy as np
import pytest

from hoseselect.answer.coverage import STRAIGHT, adverse_jobs, coverage, own_bore_verdicts
from hoseselect.application import new_catalogue as module
from hoseselect.application.check_catalogue import check_catalogue
from hoseselect.application.new_catalogue import new_catalogue
from hoseselect.application.pick import pick_hose
from hoseselect.catalogue import write
from hoseselect.catalogue.descriptor import FILE, descriptor
from hoseselect.catalogue.read import read_catalogue
from hoseselect.catalogue.tables import HOSE_SIZES, TABLES
from hoseselect.domain.job import Duty, Features, Job, Nipple, Route
from hoseselect.domain.run_parts import Straight
from hoseselect.domain.verdict import Verdict
from hoseselect.interfaces.pages.catalogue_page import column_tables, with_tables
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import CatalogueError
from hoseselect.knowledge.load import limit, table

ROOT = Path(__file__).parents[2]
BUILT_IN = ROOT / "catalog"


def everything(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_a_new_catalogue_has_every_file_and_no_rows(tmp_path: Path) -> None:
    made = new_catalogue(tmp_path / "shop")
    assert set(made.rows) == {table.file for table in TABLES}
    assert set(made.rows.values()) == {0}
    for form in TABLES:
        text = (tmp_path / "shop" / form.file).read_text(encoding="utf-8")
        assert text == ",".join(form.headings) + "\n"
    assert len(read_catalogue(tmp_path / "shop").sizes) == 0


def test_the_descriptor_is_the_one_of_the_form(tmp_path: Path) -> None:
    new_catalogue(tmp_path / "Our Hoses", title="Our hoses")
    stored = json.loads((tmp_path / "Our Hoses" / FILE).read_text(encoding="utf-8"))
    assert stored["name"] == "our-hoses"
    assert stored["title"] == "Our hoses"
    assert stored == descriptor(
        stored["name"], stored["title"], stored["description"], stored["licenses"][0]
    )


def test_frictionless_finds_the_new_package_valid(tmp_path: Path) -> None:
    frictionless = pytest.importorskip("frictionless")
    new_catalogue(tmp_path / "shop", example=True)
    report = frictionless.validate(str(tmp_path / "shop" / FILE))
    assert report.valid, report.flatten(["type", "note"])


def test_the_examples_are_sound_and_say_that_they_are_invented(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    new_catalogue(folder, example=True)
    found = check_catalogue(folder)
    assert found.complaints == ()
    assert found.types == module.EXAMPLE_TYPES
    assert all("invented" in remark for remark in read_catalogue(folder).types.remark)
    stored = json.loads((folder / FILE).read_text(encoding="utf-8"))
    assert "invented" in stored["title"]
    assert "Invented" in stored["description"]


def test_it_never_overwrites(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    (folder / "notes.txt").write_text("ours")
    with pytest.raises(CatalogueError, match="not empty"):
        new_catalogue(folder)
    assert everything(folder) == {"notes.txt": b"ours"}
    with pytest.raises(CatalogueError, match="a file"):
        new_catalogue(folder / "notes.txt")


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    (tmp_path / "shop").mkdir()
    new_catalogue(tmp_path / "shop")
    assert (tmp_path / "shop" / "hose_types.csv").is_file()


def test_it_is_written_whole_or_not_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plain = Path.write_text

    def fails_at_the_third(self: Path, *given: object, **named: object) -> int:
        if self.name == TABLES[2].file:
            raise OSError(28, "No space left on device")
        return plain(self, *given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(Path, "write_text", fails_at_the_third)
    with pytest.raises(CatalogueError, match="no space left"):
        new_catalogue(tmp_path / "shop")
    assert [path.name for path in tmp_path.iterdir()] == [".shop.lock"]


def test_a_folder_that_cannot_be_exchanged_stays_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "shop"
    new_catalogue(folder, example=True)
    before = everything(folder)
    plain = Path.rename

    def fails_with_the_copy(self: Path, target: Path) -> Path:
        if self.name == "new":
            raise OSError(18, "Invalid cross-device link")
        return plain(self, target)

    monkeypatch.setattr(Path, "rename", fails_with_the_copy)
    monkeypatch.setattr("hoseselect.files.folder.exchanged", lambda one, other: False)
    with pytest.raises(CatalogueError), write.staged(folder) as stage:
        (stage.path / "rolls.csv").write_text("spoilt")
    assert everything(folder) == before
    assert [path.name for path in sorted(tmp_path.iterdir())] == [".shop.lock", "shop"]


def test_an_empty_catalogue_covers_nothing(tmp_path: Path) -> None:
    new_catalogue(tmp_path / "shop")
    found = check_catalogue(tmp_path / "shop")
    assert found.exit_code == 0
    assert not any(service.covered for service in found.coverage)
    assert len(found.coverage) == len(table("services"))


def test_errors_make_the_catalogue_unusable_and_all_are_told(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    new_catalogue(folder, example=True)
    lines = (folder / HOSE_SIZES.file).read_text(encoding="utf-8").splitlines()
    cells = [line.split(",") for line in lines]
    bore, outside = (HOSE_SIZES.headings.index(n) for n in ("bore_mm", "outside_diameter_mm"))
    cells[1][outside] = "2"
    cells[2][bore] = "nine"
    text = "\n".join(",".join(row) for row in cells) + "\n"
    (folder / HOSE_SIZES.file).write_text(text, encoding="utf-8")
    found = check_catalogue(folder)
    assert found.exit_code == 2
    assert {(c.line, c.heading) for c in found.errors} >= {(2, "bore_mm"), (3, "bore_mm")}
    assert found.coverage == ()
    assert found.as_json()["usable"] is False


def trial(service: str, bore: float) -> Job:
    """The trial of a service written as a job, every figure stated."""
    duty = {
        row["field"]: row.number("adverse")
        for row in table("service_duty")
        if row["service"] == service and row["field"] in Duty.__dataclass_fields__
    }
    columns = service_columns()
    row = columns.index[service]
    flows = columns.fluids_always[row] | columns.fluids_default[row]
    nipple = Nipple(
        outside_diameter=bore,
        bead="yes",
        bead_diameter=bore + limit("bead-over-nipple-min"),
        measured_on="plain",
        usable_length=table("questions").row(input="nipple_a.usable_length").number("favourable"),
    )
    return Job(
        service=service,
        fluids=tuple(f for f, on in zip(columns.fluids, flows, strict=True) if on),
        drips=(),
        duty=Duty(**duty),
        nipple_a=nipple,
        nipple_b=nipple,
        route=Route(
            kind="run",
            run=(Straight(STRAIGHT),),
            movement=0.0,
            supports=STRAIGHT,
            low_spot="no",
            fall="yes",
        ),
        features=Features(insert="none", turbo="no", sees_boost="no", submerged="no"),
    )


@pytest.mark.parametrize(
    "service", ["coolant-heater", "fuel-injection-feed", "atf-cooler", "washer"]
)
def test_coverage_says_what_pick_says_of_the_same_job(service: str) -> None:
    catalogue = read_catalogue(BUILT_IN)
    codes, _ = own_bore_verdicts(catalogue, (service,))
    for bore in (7.9, 9.5, 12.7):
        answer = pick_hose(trial(service, bore), catalogue)
        picked = {hose.hose: hose.verdict for hose in answer.hoses if hose.bore == bore}
        assert picked
        for name, verdict in picked.items():
            assert Verdict(int(codes[0, catalogue.sizes.index_of(name)])) == verdict, name


def test_nothing_is_left_to_assume_in_a_trial() -> None:
    services = tuple(table("services").column("service"))
    jobs = adverse_jobs(services)
    for name in ("fluid_steady", "air_peak", "coldest_start", "pressure_min", "pressure_max"):
        assert not np.isnan(getattr(jobs, name)).any(), name
    assert (jobs.fluids_known == 1).all()


def test_a_service_without_a_hose_says_what_most_sizes_lack(tmp_path: Path) -> None:
    new_catalogue(tmp_path / "shop", example=True)  # coolant hose only
    found = {c.service: c for c in coverage(read_catalogue(tmp_path / "shop"))}
    assert found["coolant-heater"].covered
    fuel = found["fuel-injection-feed"]
    assert not fuel.covered
    assert fuel.lacking == "fluid-liner"
    assert math.isnan(fuel.bore_min)
    assert fuel.as_json()["bore_min_mm"] is None


def test_the_page_has_the_columns_of_the_form() -> None:
    page = (ROOT / "docs" / "reference" / "catalogue.md").read_text(encoding="utf-8")
    assert with_tables(page) == page
    assert column_tables().count("\n| `") == sum(len(form.fields) for form in TABLES)


def test_a_page_that_is_out_of_date_is_noticed() -> None:
    page = (ROOT / "docs" / "reference" / "catalogue.md").read_text(encoding="utf-8")
    assert with_tables(page.replace("nominal bore", "bore of some sort")) == page
    with pytest.raises(ValueError, match="no <!--"):
        with_tables("a page without marks")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", "what is no JSON"),
        ("\xff", "what is no JSON"),
        ("[" * 100_000, "what is no JSON"),
        ("[]", "no description of files"),
        ('{"resources": [{"path": "hoses.csv"}]}', "no description of files"),
        (None, "no such file or directory"),
    ],
)
def test_a_descriptor_that_is_none_is_told(tmp_path: Path, text: str | None, found: str) -> None:
    folder = tmp_path / "shop"
    new_catalogue(folder, example=True)
    assert check_catalogue(folder).complaints == ()
    if text is None:
        (folder / FILE).unlink()
    else:
        (folder / FILE).write_bytes(text.encode("latin-1"))
    checked = check_catalogue(folder)
    assert [(one.severity, one.file, one.found) for one in checked.complaints] == [
        ("warning", FILE, found)
    ]
    assert checked.exit_code == 0


def test_a_descriptor_of_other_files_or_columns_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    new_catalogue(folder, example=True)
    text = (folder / FILE).read_text(encoding="utf-8")
    changed = text.replace('"rolls.csv"', '"reels.csv"').replace('"bore_mm"', '"bore_inch"')
    (folder / FILE).write_text(changed, encoding="utf-8")
    assert [one.found for one in check_catalogue(folder).complaints] == [
        "'reels.csv', which is no file of a catalogue",
        "nothing of rolls.csv",
        "other columns of hose_sizes.csv",
    ]
