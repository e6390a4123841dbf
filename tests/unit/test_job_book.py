"""The job book: nothing that was confirmed is lost, no number is given twice."""

from __future__ import annotations

import json
import math
import os
import random
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import pytest

from hoseselect.book.database import STEPS
from hoseselect.book.entry import Asked
from hoseselect.book.job_book import JobBook
from hoseselect.book.place import book_file
from hoseselect.interfaces.sheets.book_sheet import COLUMNS, book_text
from hoseselect.knowledge.errors import InputError

NOON = datetime(2026, 1, 15, 12, 0)
HEATER = Asked(
    job={"service": "heater hose", "nipples": {"outside_diameter": "16 mm"}},
    command="pick",
    service="coolant-heater",
    verdict="conditional",
    hose="C05-16",
    cut=490.0,
    options={"prefer": "margin"},
    note="Blue van, Jürgen",
)

TILL = """
import os, sys
from datetime import datetime
from pathlib import Path
from hoseselect.book.entry import Asked
from hoseselect.book.job_book import JobBook
book, till = JobBook(Path(sys.argv[1])), sys.argv[2]
for place in range(int(sys.argv[3]), int(sys.argv[4])):
    note = f"{till} {place}"
    number = book.add(Asked({"service": "heater"}, "pick", "coolant-heater", "accept", note=note),
                      datetime.now())
    os.write(1, f"{number} {place}\\n".encode())
"""
"""A till: asks jobs one after the other, and tells each number as soon as it has it."""

TILLS, JOBS, KILLED = 10, 400, 12


@pytest.fixture
def book(tmp_path: Path) -> JobBook:
    return JobBook(tmp_path / "shop" / "jobs.sqlite")


@pytest.fixture
def memory() -> Iterator[Path]:
    """A folder in memory where there is one: this is about killed tills, not about power."""
    disk = "/dev/shm" if Path("/dev/shm").is_dir() else None
    with tempfile.TemporaryDirectory(dir=disk) as folder:
        yield Path(folder)


def confirmed(said: Path) -> list[tuple[int, int]]:
    """Return the numbers that a till has told, with the place of the job; whole lines alone."""
    lines = said.read_bytes().split(b"\n")[:-1]
    return [(int(number), int(place)) for number, place in (line.split() for line in lines)]


class Tills:
    """Tills that write one book, each told apart by its number; one that is killed starts again."""

    def __init__(self, folder: Path, jobs: int) -> None:
        self.folder, self.jobs = folder, jobs
        self.file = folder / "jobs.sqlite"
        self.running: dict[int, subprocess.Popen[bytes]] = {}
        self.killed = 0
        for till in range(TILLS):
            self.start(till)

    def said(self, till: int) -> Path:
        return self.folder / f"till-{till}.txt"

    def start(self, till: int) -> None:
        """Start a till where it stopped: a job that was not confirmed is asked again."""
        said = self.said(till)
        done = len(confirmed(said)) if said.exists() else 0
        words = [str(self.file), str(till), str(done), str(self.jobs)]
        with said.open("ab") as stream:
            if said.stat().st_size:  # a line that was cut short is none
                text = said.read_bytes()
                os.truncate(said, text.rfind(b"\n") + 1)
            self.running[till] = subprocess.Popen(
                [sys.executable, "-c", TILL, *words], stdout=stream
            )

    def kill(self, till: int) -> None:
        process = self.running[till]
        if process.poll() is None:
            process.kill()
            process.wait()
            self.killed += 1
            self.start(till)

    def wait(self) -> None:
        for process in self.running.values():
            assert process.wait(timeout=120) == 0


def test_tills_at_once_killed_at_random_lose_nothing_and_give_no_number_twice(memory: Path) -> None:
    chance = random.Random(10)
    tills = Tills(memory, JOBS)
    deadline = time.monotonic() + 100
    while tills.killed < KILLED and time.monotonic() < deadline:
        time.sleep(chance.uniform(0.01, 0.12))
        alive = [till for till, process in tills.running.items() if process.poll() is None]
        if not alive:
            break
        tills.kill(chance.choice(alive))
    tills.wait()
    told = {till: confirmed(tills.said(till)) for till in range(TILLS)}
    assert [len(own) for own in told.values()] == [JOBS] * TILLS
    assert tills.killed >= KILLED // 2
    numbers = [number for own in told.values() for number, _ in own]
    assert len(set(numbers)) == len(numbers) == TILLS * JOBS
    written = {entry.number: entry.asked.note for entry in JobBook(tills.file).find()}
    lost = [
        number
        for till, own in told.items()
        for number, place in own
        if written.get(number) != f"{till} {place}"
    ]
    assert lost == []
    assert TILLS * JOBS <= len(written) <= TILLS * JOBS + tills.killed
    with sqlite3.connect(tills.file) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()


def test_a_job_comes_back_as_it_was_written(book: JobBook) -> None:
    number = book.add(HEATER, NOON)
    entry = book.entry(number)
    assert (entry.number, entry.asked_at, entry.asked) == (1, "2026-01-15 12:00", HEATER)
    unknown = book.add(Asked({"service": "drain"}, "cut", "drain", "none"), NOON)
    assert math.isnan(book.entry(unknown).asked.cut)
    assert book.entry(unknown).as_json()["cut_mm"] is None


def test_jobs_are_found_by_note_service_hose_and_day(book: JobBook) -> None:
    book.add(HEATER, NOON)
    book.add(Asked({"service": "drain"}, "pick", "drain", "stop", name="Red 50 % cart"), NOON)
    book.add(Asked({}, "check", "fuel-return", "reject", "F03-8"), datetime(2026, 2, 1))

    def numbers(**wanted: object) -> list[int]:
        return [entry.number for entry in book.find(**wanted)]  # type: ignore[arg-type]

    assert numbers() == [3, 2, 1]
    assert numbers(most=2) == [3, 2]
    assert numbers(note="JÜRGEN") == numbers(note="blue VAN") == [1]
    assert numbers(note="%") == numbers(note="red") == [2]
    assert numbers(service="coolant heater") == numbers(service="heater") == [1]
    assert numbers(hose="f03") == [3]
    assert numbers(since=date(2026, 1, 16)) == [3]
    assert numbers(until=date(2026, 1, 15), hose="c05") == [1]
    assert numbers(note="x' OR '1'='1") == []


def test_what_was_fitted_is_due_until_it_is_done(book: JobBook) -> None:
    for _ in range(3):
        book.add(HEATER, NOON)
    book.fit(1, "C05-16", date(2026, 1, 16), date(2026, 1, 30))
    book.fit(2, "C02-16", date(2026, 1, 15), date(2026, 1, 29))
    book.not_fitted(3)
    assert [entry.number for entry in book.due(date(2026, 1, 30))] == [2, 1]
    assert [entry.number for entry in book.due(date(2026, 1, 29))] == [2]
    book.done(2, date(2026, 1, 29))
    assert book.entry(2).done_on == "2026-01-29"
    assert [entry.number for entry in book.due(date(2027, 1, 1))] == [1]
    book.not_fitted(1)
    assert book.due(date(2027, 1, 1)) == []
    with pytest.raises(InputError, match="nothing was fitted"):
        book.done(3, date(2026, 1, 30))


def test_a_number_that_was_forgotten_is_never_given_again(book: JobBook) -> None:
    book.add(HEATER, NOON)
    assert book.add(HEATER, NOON) == 2
    book.forget(2)
    with pytest.raises(InputError, match="job 2: found no such job"):
        book.entry(2)
    for change in (book.forget, book.not_fitted):
        with pytest.raises(InputError, match="no such job"):
            change(2)
    assert book.add(HEATER, NOON) == 3


def test_what_is_forgotten_is_no_longer_in_the_file(book: JobBook) -> None:
    book.add(Asked({}, "pick", "drain", "stop", note="a very private person"), NOON)
    book.forget(1)
    files = list(book.file.parent.iterdir())
    assert files
    assert not any(b"very private" in path.read_bytes() for path in files)


def old_book(file: Path, version: int, rows: int) -> None:
    """Write a book of an earlier version."""
    file.parent.mkdir()
    connection = sqlite3.connect(file)
    connection.execute("PRAGMA journal_mode = WAL")
    for step in STEPS[:version]:
        connection.executescript(step)
    connection.execute(f"PRAGMA user_version = {version}")
    told = ("2025-12-31 09:00", "pick", "{}", "mm", "drain", "", "old", '{"service":"drain"}')
    connection.executemany(
        "INSERT INTO jobs (asked_at, command, options, units, service, name, note, job, verdict,"
        " hose) VALUES (?, ?, ?, ?, ?, ?, ?, ?, 'accept', 'C05-16')",
        [told] * rows,
    )
    connection.commit()
    connection.close()


def test_an_older_book_is_brought_up_to_date_and_loses_nothing(book: JobBook) -> None:
    old_book(book.file, 1, 5)
    assert [entry.asked.note for entry in book.find()] == ["old"] * 5
    assert book.add(HEATER, NOON) == 6
    book.fit(1, "C05-16", date(2026, 1, 1), date(2026, 1, 15))
    assert [entry.number for entry in book.due(date(2026, 1, 15))] == [1]


def test_a_later_book_and_a_database_of_something_else_stay_as_they_are(book: JobBook) -> None:
    old_book(book.file, len(STEPS), 1)
    connection = sqlite3.connect(book.file)
    connection.execute(f"PRAGMA user_version = {len(STEPS) + 1}")
    connection.close()
    with pytest.raises(InputError, match=f"of version {len(STEPS) + 1}; expected one of version"):
        book.add(HEATER, NOON)
    other = JobBook(book.file.with_name("other.sqlite"))
    connection = sqlite3.connect(other.file)
    connection.execute("CREATE TABLE recipes (name)")
    connection.commit()
    connection.close()
    with pytest.raises(InputError, match="a database of something else"):
        other.add(HEATER, NOON)


@pytest.mark.parametrize("damage", ["begin", "middle", "other"])
def test_a_damaged_book_is_named_in_a_sentence_and_left_alone(book: JobBook, damage: str) -> None:
    old_book(book.file, len(STEPS), 200)
    text = bytearray(book.file.read_bytes())
    if damage == "begin":
        text[:100] = b"\xff" * 100
    elif damage == "middle":
        text[4096:] = b"\x55" * (len(text) - 4096)
    else:
        text = bytearray(b"service = 'PCV hose'\n" * 100)
    book.file.write_bytes(text)
    with pytest.raises(InputError, match="damaged file") as told:
        book.find()
    assert str(told.value).startswith(f"{book.file}: found a damaged file")
    with pytest.raises(InputError, match="damaged"):
        book.add(HEATER, NOON)
    assert book.file.read_bytes()[:4096] == bytes(text)[:4096]


def test_places_that_cannot_be_used_are_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    for place in (tmp_path / "file" / "jobs.sqlite", tmp_path, Path("a\0b")):
        with pytest.raises(InputError, match="expected a job book that can be read and written"):
            JobBook(place).add(HEATER, NOON)


def test_a_book_that_another_program_holds_is_waited_for_and_then_named(
    book: JobBook, monkeypatch: pytest.MonkeyPatch
) -> None:
    book.add(HEATER, NOON)
    monkeypatch.setattr("hoseselect.book.database.WAIT", 0.05)
    holding = sqlite3.connect(book.file, isolation_level=None)
    holding.execute("BEGIN IMMEDIATE")
    with pytest.raises(InputError, match="another program does not let go"):
        book.add(HEATER, NOON)
    assert len(book.find()) == 1  # reading goes on
    holding.execute("ROLLBACK")
    holding.close()
    assert book.add(HEATER, NOON) == 2


def test_the_book_is_for_the_eyes_of_its_user(book: JobBook) -> None:
    book.add(HEATER, NOON)
    if sys.platform != "win32":
        assert book.file.stat().st_mode & 0o077 == 0
        assert book.file.parent.stat().st_mode & 0o077 == 0


def test_where_the_book_is(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    usual = book_file({})
    assert usual is not None
    assert usual.name == "jobs.sqlite"
    assert book_file({}, kept=False) is None
    for word in ("off", "OFF", "no", "0"):
        assert book_file({"HOSESELECT_BOOK": word}, told="set.sqlite") is None
    assert book_file({"HOSESELECT_BOOK": "own.sqlite"}, kept=False) == Path("own.sqlite")
    assert book_file({"HOSESELECT_BOOK": ""}, told="set.sqlite") == Path("set.sqlite")


def test_the_sheet_of_the_book_runs_nothing(book: JobBook) -> None:
    book.add(Asked({"service": "drain"}, "pick", "drain", "stop", note="=1+1"), NOON)
    headings, line, end = book_text(book.find()).split("\r\n")
    assert headings.split(",") == list(COLUMNS)
    assert line.startswith("1,2026-01-15 12:00,pick,'=1+1,,drain,stop,,,mm,0,")
    assert end == ""
    assert json.dumps({"service": "drain"}).replace('"', '""') in line
