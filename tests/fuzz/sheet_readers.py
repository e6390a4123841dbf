"""Readers of sheets: of jobs and of suppliers, as text and as workbooks, and their mappings."""

from __future__ import annotations

import io
import tomllib
import zipfile
from functools import cache
from itertools import islice
from pathlib import Path

from hoseselect.application.run_batch import Batch
from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.supplier.assemble import assemble
from hoseselect.catalogue.supplier.mapping import Mapping
from hoseselect.catalogue.supplier.mapping_file import mapping_from, read_mapping
from hoseselect.catalogue.supplier.merge import merge
from hoseselect.catalogue.supplier.rows import read_rows
from hoseselect.catalogue.supplier.sheet import read_sheet
from hoseselect.catalogue.supplier.suggest import suggest_mapping
from hoseselect.files.open_sheet import open_sheet
from hoseselect.intake.heading_map import suggested_headings
from hoseselect.intake.job_sheet import job_sheet
from hoseselect.interfaces.page.upload import read_upload
from hoseselect.interfaces.sheets.template_sheet import write_template
from hoseselect.knowledge.errors import HoseselectError

from .file_readers import CSV_WORDS, TOML_WORDS, shop_in
from .reader import Reader
from .text_readers import small_catalogue

MOST_LINES = 12
ALL_OF_IT = 8
"""Of as many inputs one is judged as well, or gets a draft of a mapping: that takes longest."""
LISTS = ("hoses", "rolls", "hoses", "clamps", "hoses", "fittings")
SHEET = "xl/worksheets/sheet1.xml"


def _answer(path: Path) -> None:
    """Answer the first lines of a sheet of jobs."""
    source = open_sheet(path)
    lines = list(islice(source.lines(), MOST_LINES))
    tomllib.loads(suggested_headings(lines, path.name))
    jobs = job_sheet(lines, path.name, ["*"], source.hidden_columns, source.separator)
    batch = Batch(jobs.uses, small_catalogue(), decimal=jobs.decimal)
    if path.stat().st_size % ALL_OF_IT:
        for line in jobs.lines:
            batch.reader.read(line)
    else:
        batch.block(list(jobs.lines))


def job_text(data: bytes, folder: Path) -> None:
    """Read a sheet of jobs saved as text, as the command and as the page do."""
    path = folder / "jobs.csv"
    path.write_bytes(data)
    try:
        read_upload(data)
    except HoseselectError as error:
        str(error)
    _answer(path)


def job_workbook(data: bytes, folder: Path) -> None:
    """Read a sheet of jobs in a workbook, one part of which is other than it was."""
    path = folder / "jobs.xlsx"
    path.write_bytes(workbook(data))
    _answer(path)


def _import(path: Path, folder: Path) -> None:
    """Suggest a mapping, read it back, and bring the sheet in by it, but write nothing."""
    sheet = read_sheet(path)
    half, rest = divmod(path.stat().st_size, ALL_OF_IT)
    if not rest:
        draft = tomllib.loads(suggest_mapping(sheet, LISTS[half % len(LISTS)]))
        try:
            _bring_in(path, mapping_from(draft, "draft.toml"), folder)
        except HoseselectError as error:
            str(error)
    _bring_in(path, mapping_from(tomllib.loads(MAPPING), "own.toml"), folder)


def _bring_in(path: Path, mapping: Mapping, folder: Path) -> None:
    """Bring a sheet into a small catalogue as far as that goes before anything is written."""
    complaints: list[Complaint] = []
    rows = read_rows(read_sheet(path), mapping, complaints)
    batch, fresh = assemble(rows, set(), mapping)
    merged = merge(shop_in(folder), batch, rows, replace=True)
    for complaint in (*complaints, *fresh, *merged.complaints):
        str(complaint)


def supplier_text(data: bytes, folder: Path) -> None:
    """Read a supplier's sheet saved as text."""
    path = folder / "prices.csv"
    path.write_bytes(data)
    _import(path, folder)


def supplier_workbook(data: bytes, folder: Path) -> None:
    """Read a supplier's workbook, one part of which is other than it was."""
    path = folder / "prices.xlsx"
    path.write_bytes(workbook(data))
    _import(path, folder)


def mapping(data: bytes, folder: Path) -> None:
    """Read a mapping and bring a sheet in by it."""
    path, sheet = folder / "mapping.toml", folder / "prices.csv"
    path.write_bytes(data)
    sheet.write_bytes(PRICES)
    _bring_in(sheet, read_mapping(path), folder)


def workbook(data: bytes) -> bytes:
    """Return a workbook of which one part is given, by a first line with its name; else the data.

    A whole file says nothing of its parts to one who changes bytes of it: they are packed.
    """
    name, mark, content = data.partition(b"\n")
    part = name.decode("latin-1")
    if not mark or part not in _parts():
        return data
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for other, own in _parts().items():
            archive.writestr(other, content if other == part else own)
    return out.getvalue()


@cache
def _parts() -> dict[str, bytes]:
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    rows = (
        ("service", "nipples.outside_diameter", "route.measured", "note", "Type"),
        ("heater hose", 16, "650 mm", "van 7", "A1"),
        ("PCV hose", "1/2 in", 300.5, "=1+1", "A2"),
        ("washer", True, None, "x", "A3"),
    )
    for row in rows:
        sheet.append(row)
    sheet["B2"].number_format = '0" in"'
    sheet.merge_cells("D3:E4")
    sheet.column_dimensions["D"].hidden = True
    out = io.BytesIO()
    book.save(out)
    with zipfile.ZipFile(out) as archive:
        return {part.filename: archive.read(part) for part in archive.infolist()}


def _workbook_seeds() -> list[bytes]:
    kept = (SHEET, "xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml")
    parts = [part.encode() + b"\n" + own for part, own in _parts().items() if part in kept]
    return [*parts, *parts[:1] * 2, workbook(parts[0])]


def _job_seeds() -> list[bytes]:
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as place:
        path = Path(place) / "jobs.csv"
        write_template(path)
        template = path.read_bytes()
    own = (
        b"Job;service;nipples.outside_diameter [mm];route.measured;duty.air_peak [degC];drips\n"
        b"van 7;heater hose;15,9;1 250 mm;110;nothing\nbus;PCV hose;13;300;120,5;engine-oil\n"
    )
    return [template, own, own.replace(b";", b"\t"), own.decode().encode("utf-16")]


MAPPING = (
    '[columns]\nhose_type = {heading = "Type"}\nliner = {heading = "Liner"}\n'
    'bore = {heading = "ID", unit = "mm"}\noutside_diameter = {heading = "OD", unit = "mm"}\n'
    'working_pressure = {heading = "WP", unit = "bar"}\n'
)
PRICES = (
    b"Type,Liner,ID,OD,WP,Temp,Price\nA1,EPDM,9.5,16.5,10,-40 to 125,3.20\n"
    b"A1,EPDM,12.7,20,10,,4.10\nB2,NBR,3/8 in,17,7.5,,5\n"
)
XML_WORDS = (
    *(b"<c ", b"</c>", b"<v>", b't="s"', b't="d"', b't="e"', b'r="ZZZ9"', b's="1"', b"<f>"),
    *(b"<mergeCell ", b"<col ", b'min="1"', b'max="99999"', b"&#0;", b"&x;", b'hidden="1"'),
)
SHEET_READERS = (
    Reader("job-sheet", job_text, _job_seeds, CSV_WORDS, share=0.1),
    Reader("job-workbook", job_workbook, _workbook_seeds, XML_WORDS, share=0.1),
    Reader("supplier-sheet", supplier_text, lambda: [PRICES], CSV_WORDS, share=0.1),
    Reader("supplier-workbook", supplier_workbook, _workbook_seeds, XML_WORDS, share=0.05),
    Reader("mapping", mapping, lambda: [MAPPING.encode()], TOML_WORDS, share=0.1),
)
