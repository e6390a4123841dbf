"""Readers of files: job, settings, mappings, catalogue, descriptor, book, photo, taps, orders."""

from __future__ import annotations

import io
import json
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import replace
from datetime import date, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from hoseselect.application.check_catalogue import complaint_json
from hoseselect.application.new_catalogue import new_catalogue
from hoseselect.application.pick import pick_hose
from hoseselect.application.trace import Shot, trace
from hoseselect.book.entry import Asked
from hoseselect.book.job_book import COLUMNS, JobBook
from hoseselect.catalogue.descriptor import FILE
from hoseselect.catalogue.descriptor_doubts import descriptor_doubts
from hoseselect.catalogue.read import examine, read_catalogue
from hoseselect.catalogue.tables import TABLES
from hoseselect.files.picture_file import Picture, picture_of
from hoseselect.intake.heading_map import read_headings
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.cli.job_input import job_file
from hoseselect.interfaces.page.photo_view import read_taps
from hoseselect.interfaces.sheets.order_sheet import read_orders
from hoseselect.interfaces.sheets.points_sheet import read_points
from hoseselect.knowledge.errors import InputError
from hoseselect.settings.change import set_one, settings_of

from .reader import Reader

ROOT = Path(__file__).parents[2]
TODAY = date(2031, 5, 30)


def job(data: bytes, folder: Path) -> None:
    """Read a job file."""
    path = folder / "job.toml"
    path.write_bytes(data)
    read_job(job_file(path), path.name)


def settings(data: bytes, folder: Path) -> None:
    """Read settings; one is set, and stands there afterwards as the rest did."""
    path = folder / "config.toml"
    path.write_bytes(data)
    before = settings_of(path)
    set_one(path, "units", "in")
    assert settings_of(path) == replace(before, units="in")


def headings(data: bytes, folder: Path) -> None:
    """Read what a shop's own headings stand for."""
    path = folder / "headings.toml"
    path.write_bytes(data)
    read_headings(path)


@cache
def _shop() -> dict[str, bytes]:
    """Return the files of a small catalogue."""
    with TemporaryDirectory() as place:
        folder = Path(place) / "shop"
        new_catalogue(folder, example=True)
        return {path.name: path.read_bytes() for path in folder.iterdir()}


def shop_in(folder: Path) -> Path:
    """Return a small catalogue in a folder, made where it is not there."""
    shop = folder / "shop"
    if not shop.is_dir():
        shop.mkdir()
        for name, content in _shop().items():
            (shop / name).write_bytes(content)
    return shop


JOB = {"service": "heater hose", "nipples": {"outside_diameter": "16 mm"}}


def catalogue(data: bytes, folder: Path) -> None:
    """Read a catalogue of which one file is other than it was; the first line names it."""
    name, _, content = data.partition(b"\n")
    files = [table.file for table in TABLES]
    file = name.decode("latin-1") if name.decode("latin-1") in files else files[0]
    shop = shop_in(folder)
    try:
        (shop / file).write_bytes(content)
        for complaint in examine(shop, prints=True, today=TODAY)[1]:
            json.dumps(complaint_json(complaint))
        json.dumps(pick_hose(read_job(JOB), read_catalogue(shop, TODAY)).as_json(1))
    finally:
        (shop / file).write_bytes(_shop()[file])


def descriptor(data: bytes, folder: Path) -> None:
    """Look at a descriptor."""
    shop = shop_in(folder)
    try:
        (shop / FILE).write_bytes(data)
        descriptor_doubts(shop)
    finally:
        (shop / FILE).write_bytes(_shop()[FILE])


def book(data: bytes, folder: Path) -> None:
    """Read a job book; behind a star, a sound one whose cells are those of a list in JSON."""
    file = folder / "jobs.sqlite"
    for left in folder.glob("jobs.sqlite*"):
        left.unlink()
    file.write_bytes(data)
    if data[:1] == b"*":
        file.write_bytes(_book())
        try:
            cells = json.loads(data[1:].decode("utf-8", "replace"))
            _put(file, cells)
        except (ValueError, RecursionError, OverflowError, sqlite3.Error, AttributeError):
            raise InputError("cells", "what no cell can hold", "others") from None
    read = JobBook(file)
    for entry in (*read.find(), *read.due(TODAY), read.entry(1)):
        json.dumps(entry.as_json())
    read.note(1, "another")


def _put(file: Path, cells: dict[str, object]) -> None:
    with closing(sqlite3.connect(file)) as connection, connection:
        for column, value in cells.items():
            if column in (*COLUMNS, "fitted", "recheck_on"):
                text = json.dumps(value) if isinstance(value, list | dict) else value
                connection.execute(f"UPDATE jobs SET {column} = ?", (text,))


@cache
def _book() -> bytes:
    with TemporaryDirectory() as place:
        made = JobBook(Path(place) / "jobs.sqlite")
        for number in range(3):
            asked = Asked(
                job=JOB,
                command="pick",
                service="coolant-heater",
                verdict="accept",
                cut=345.0 + number,
            )
            made.add(asked, datetime(2031, 5, 30, 9, number))
        made.fit(1, "C01-15.9", TODAY, TODAY)
        made.forget(3)
        return made.file.read_bytes()


PICTURE = Picture("photo", (1200, 900), 26.0, cropped=False, data=b"")


def photo(data: bytes, _: Path) -> None:
    """Open a photo, and look at its grey where it is small."""
    picture = picture_of(data, "photo")
    if picture.size[0] * picture.size[1] < 1_000_000:
        picture.grey()


def taps(data: bytes, folder: Path) -> None:
    """Read points tapped in a photo, as a sheet and as a form sends them, and measure by them."""
    path = folder / "points.csv"
    path.write_bytes(data)
    for read in (lambda: read_points(path), lambda: read_taps(data.decode("utf-8", "replace"))):
        try:
            points = read()
        except InputError as error:
            str(error)
        else:
            for kind in ("a4", "card"):
                try:
                    traced = trace(Shot(PICTURE, points), sheet=kind, outside_diameter=20.0)
                    json.dumps(traced.as_json(), allow_nan=False)
                except InputError as error:
                    str(error)


def orders(data: bytes, folder: Path) -> None:
    """Read a list of lengths to cut."""
    path = folder / "orders.csv"
    path.write_bytes(data)
    read_orders(path)


def _job_seeds() -> list[bytes]:
    jobs = sorted((ROOT / "docs" / "jobs").glob("*.toml"))
    jobs += sorted((ROOT / "tests" / "scenarios" / "jobs").rglob("*.toml"))[:12]
    plain = b'service = "heater hose"\nfluids = ["coolant"]\n[route]\nmeasured = "650 mm"\n'
    wire = b'service = "PCV hose"\n[route.free]\nwire = ["60 mm", "90 deg at 50 mm", 40]\n'
    return [plain, wire, *(path.read_bytes() for path in jobs)]


def _catalogue_seeds() -> list[bytes]:
    seeds = []
    for table in TABLES:
        content = _shop()[table.file]
        seeds += [b"\n".join([table.file.encode(), *content.split(b"\n")[:9]])]
        seeds += [table.file.encode() + b"\n" + content]
    return seeds


def _photo_seeds() -> list[bytes]:
    from PIL import Image

    seeds = []
    for form in ("JPEG", "PNG", "WEBP"):
        image, out = Image.new("RGB", (24, 18), "white"), io.BytesIO()
        notes = image.getexif()
        notes[274] = 6
        notes.get_ifd(34665).update({41989: 26, 40962: 24, 40963: 18})
        image.save(out, form, exif=notes)
        seeds.append(out.getvalue())
    return seeds


def _tap_seeds() -> list[bytes]:
    corners = ((300, 250), (597, 260), (600, 680), (290, 660))
    hose = [(200 + 40 * k, 300 + 3 * k * k) for k in range(12)]
    lines = [("corner", *one) for one in corners] + [("hose", *one) for one in hose]
    sheet = "kind,x,y\n" + "".join(f"{kind},{x},{y}\n" for kind, x, y in lines)
    plain = "".join(f"{kind} {x} {y}\n" for kind, x, y in lines)
    return [sheet.encode(), plain.encode(), sheet.replace(",", ";").encode(), b"kind\tx\ty\n"]


def _settings_seeds() -> list[bytes]:
    return [
        b'units = "in"\ncurrency = "EUR"\ncoldest_start = "-25 degC"\n# a remark\n',
        b'book = "off"\nfuels = ["petrol-e10", "diesel-b7"]\ncap_pressure = "15 psi"\n',
        b'"units" = "mm"\nbook_file = "jobs.sqlite"\ncatalog = "shop"\n',
    ]


def _once(content: Callable[[], bytes | Sequence[bytes]]) -> Callable[[], list[bytes]]:
    def made() -> list[bytes]:
        found = content()
        return [found] if isinstance(found, bytes) else list(found)

    return made


BOOK_CELLS = (
    *(
        b'*{"job": {"service": "heater hose"}, "options": {"prefer": "margin"}}',
        b'*{"cut_mm": "x"}',
    ),
    *(b'*{"asked_at": "2031-05-30 09:00", "units": 3, "note": null}', b'*{"altered_from": "1"}'),
    *(b'*{"job": [1], "options": "[", "fitted": "yes", "recheck_on": "2030-01-01"}',),
)
TOML_WORDS = (b"[route.free]\n", b" = ", b'"', b"[[", b"]]", b"{", b"}", b"unknown", b"\n")
CSV_WORDS = (b",", b'"', b"\n", b"nan", b"EPDM", b"1e300", b"|", b";", b"mm")
HEADINGS = b'[headings]\n"Stub" = "nipples.outside_diameter [mm]"\n"Customer" = "keep"\n'
ORDERS = b"hose_size,length,count,job\nC01-15.9,350 mm,3,van 7\nC01-9.5,13 3/4 in,1,\n"
FILE_READERS = (
    Reader("job", job, _job_seeds, TOML_WORDS, share=0.5),
    Reader("settings", settings, _settings_seeds, TOML_WORDS, share=0.3),
    Reader("headings", headings, _once(lambda: HEADINGS), TOML_WORDS),
    Reader("catalogue", catalogue, _catalogue_seeds, CSV_WORDS, share=0.05),
    Reader("descriptor", descriptor, _once(lambda: _shop()[FILE]), (b'"name"', b"{", b"["), 0.5),
    Reader("book", book, _once(lambda: [_book(), *BOOK_CELLS]), (b'"job": ', b"null"), share=0.3),
    Reader("photo", photo, _photo_seeds, (b"Exif\x00\x00", b"IHDR", b"VP8X")),
    Reader("taps", taps, _tap_seeds, (b"corner,", b"hose,", b"edge,", b"\n"), share=0.15),
    Reader("orders", orders, _once(lambda: ORDERS), CSV_WORDS),
)
