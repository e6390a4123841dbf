"""What the tool writes, each with the state before it: what a kill may fall into."""

from __future__ import annotations

import csv
import os
import sqlite3
from collections.abc import Callable, Mapping
from contextlib import closing
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from hoseselect.application.correct_catalogue import Spot, correct_cell
from hoseselect.application.import_catalogue import import_catalogue
from hoseselect.application.new_catalogue import new_catalogue
from hoseselect.book.entry import Asked
from hoseselect.book.job_book import JobBook
from hoseselect.interfaces.cli.main import application
from hoseselect.settings.change import set_one

State = Mapping[str, object]
ROOT = Path(__file__).parents[2]
NOON, TODAY = datetime(2031, 5, 30, 12), date(2031, 5, 30)
OLD = b"as it was before\n"


def files(folder: Path) -> State:
    """Return what stands in the files of a folder that one sees, and below it."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not any(one[0] == "." for one in path.relative_to(folder).parts)
    }


def lines_of_book(folder: Path) -> State:
    """Return the lines of a job book, once it is found to be sound."""
    with closing(sqlite3.connect(folder / "jobs.sqlite")) as connection:
        (sound,) = connection.execute("PRAGMA integrity_check").fetchone()
        if sound != "ok":
            return {"integrity": sound}
    return {str(one.number): (one.asked_at, one.asked) for one in JobBook(_book(folder)).find()}


def _book(folder: Path) -> Path:
    return folder / "jobs.sqlite"


def same(again: State, _left: State, new: State) -> bool:
    """Return whether a write that was made once more came to the new state."""
    return again == new


def one_more(again: State, left: State, _new: State) -> bool:
    """Return whether a line more stands in the book than a killed write had left there."""
    return len(again) == len(left) + 1 and left.items() <= again.items()


@dataclass(frozen=True)
class Write:
    """Something that is written.

    Parameters
    ----------
    name : of it
    prepare : makes the state before, in an empty folder
    make : writes, in a folder with that state
    state : what stands there; hidden drafts do not count
    together : whether several files belong together, of which a kill may leave some out
    comes_to : whether the state after the next write is right, by what the kill had left
    """

    name: str
    prepare: Callable[[Path], object]
    make: Callable[[Path], object]
    state: Callable[[Path], State] = files
    together: bool = False
    comes_to: Callable[[State, State, State], bool] = same


def command(*arguments: str) -> Callable[[Path], None]:
    """Return what runs a command in the folder."""

    def run(_folder: Path) -> None:
        os.environ |= {"HOSESELECT_BOOK": "off", "HOSESELECT_TODAY": "2031-05-30"}
        application((arguments[0],))(list(arguments))

    return run


JOB = (
    'service = "heater hose"\ndrips = []\n[nipples]\noutside_diameter = "16 mm"\n'
    'bead_diameter = "17.5 mm"\nengagement = "25 mm"\nfixed_to = "engine"\n'
    '[route]\nrun = ["100 mm", {bend = "90 deg", radius = "110 mm"}, "180 mm"]\n'
)
ORDERS = "hose_size,length,count,job\n" + "C01-14.3,350 mm,3,van 7\nC01-25.4,410 mm,2,bus\n"
SHEET = "Type,Liner,ID,OD\n" + "".join(f"A{k},EPDM,{k + 5}.5,{k + 13}.5\n" for k in range(20))
MAPPING = (
    '[columns]\nhose_type = {heading = "Type"}\nliner = {heading = "Liner"}\n'
    'bore = {heading = "ID", unit = "mm"}\noutside_diameter = {heading = "OD", unit = "mm"}\n'
)


def _job(*there: str) -> Callable[[Path], None]:
    def prepare(folder: Path) -> None:
        (folder / "job.toml").write_text(JOB, encoding="utf-8")
        (folder / "orders.csv").write_text(ORDERS, encoding="utf-8")
        lines = "".join(f"heater hose,{k + 8} mm,{300 + k} mm\n" for k in range(20))
        heading = "service,nipples.outside_diameter,route.measured\n"
        (folder / "jobs.csv").write_text(heading + lines, encoding="utf-8")
        for name in there:
            (folder / name).write_bytes(OLD)

    return prepare


def _shop(folder: Path) -> None:
    new_catalogue(folder / "shop", example=True)
    (folder / "prices.csv").write_text(SHEET, encoding="utf-8")
    (folder / "mapping.toml").write_text(MAPPING, encoding="utf-8")


def _new(folder: Path) -> None:
    if not (folder / "shop").exists():
        new_catalogue(folder / "shop")


def _import(folder: Path) -> None:
    sheet, mapping = folder / "prices.csv", folder / "mapping.toml"
    assert import_catalogue(sheet, mapping, folder / "shop", replace=True).written


def _correct(folder: Path) -> None:
    file = folder / "shop" / "hose_types.csv"
    headings, first, *_ = csv.reader(file.read_text(encoding="utf-8").splitlines())
    column = headings.index("description")
    key, old = first[0], first[column]
    if old != "Heater hose":
        spot = Spot(file.name, 2, column + 1, key, old)
        correct_cell(folder / "shop", spot, "Heater hose", NOON, TODAY)


def _two_jobs(folder: Path) -> None:
    for _ in range(2):
        _add(folder)


def _add(folder: Path) -> None:
    asked = Asked({"service": "heater hose"}, "pick", "coolant-heater", "accept")
    JobBook(_book(folder)).add(asked, NOON)


def _settings(folder: Path) -> None:
    (folder / "config.toml").write_text('# ours\ncurrency = "EUR"\nunits = "mm"\n', "utf-8")


CARD, BATCH = ("card", "job.toml", "-o", "card.pdf"), ("batch", "jobs.csv", "-o", "answers.csv")
ROLLS = ("rolls", "orders.csv", "-o", "cuts.csv", "--labels", "labels.pdf")
DRAWING = ("cut", "job.toml", "--radius", "60 mm", "--draw", "drawing.svg")
WRITES = (
    Write("card", _job("card.pdf"), command(*CARD)),
    Write("card-and-pages", _job("card.pdf"), command(*CARD, "--svg"), together=True),
    Write("batch", _job("answers.csv"), command(*BATCH, "--workers", "1")),
    Write("drawing", _job("drawing.svg"), command(*DRAWING)),
    Write("labels", _job("cuts.csv", "labels.pdf"), command(*ROLLS), together=True),
    Write("catalog-new", lambda _: None, _new),
    Write("catalog-import", _shop, _import),
    Write("catalog-correct", _shop, _correct),
    Write("settings", _settings, lambda place: set_one(place / "config.toml", "units", "in")),
    Write("book", _two_jobs, _add, lines_of_book, comes_to=one_more),
)
