"""The job book on the command line: numbers, jobs found and altered, and no answer stopped."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hoseselect.intake.job_code import decode_job

Command = Callable[..., Any]
HEATER = ("-s", "heater hose", "-n", "16 mm", "--measured", "400 mm", "--shelf", "C05")
RUN = ("-s", "PCV hose", "-n", "13", "--run", "60; 90 deg at 110 mm; 180")
ENGAGED = ("--set", "nipples.engagement=25", "--set", "route.movement=0 mm")
STOPPED = ("-s", "brake hose")


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return the place of the book that the commands of a test keep."""
    file = tmp_path / "data" / "jobs.sqlite"
    monkeypatch.setenv("HOSESELECT_BOOK", str(file))
    return file


NUMBER = re.compile(r"^[Jj]ob +(\d+), in the book", re.MULTILINE)


def numbered(out: str) -> int:
    """Return the number that stands below an answer."""
    (number,) = NUMBER.findall(out)
    return int(number)


def answer_in(out: str) -> str:
    """Return the answer without the number below it."""
    lines = out.splitlines()
    assert NUMBER.match(lines[-1])
    return "\n".join(lines[:-1]) + "\n"


def test_every_asked_job_gets_the_next_number(command: Command, book: Path, tmp_path: Path) -> None:
    card = str(tmp_path / "card.pdf")
    asked = (
        ("pick", *HEATER),
        ("check", "C05-16", *HEATER[:-2]),
        ("cut", *RUN, *ENGAGED, "--radius", "80 mm"),
        ("pick", *STOPPED),
        ("card", *STOPPED, "-o", card),
    )
    for number, words in enumerate(asked, start=1):
        told = command(*words)
        assert numbered(told.out) == number, told.err
        assert told.err == ""
    told = command("ask", given=b"brake hose\n")
    assert numbered(told.out) == 6
    told = command("pick", *STOPPED, "--json")
    assert json.loads(told.out)["number"] == 7
    listed = json.loads(command("book", "list", "--json").out)
    assert [(one["number"], one["command"]) for one in listed] == [
        *((7, "pick"), (6, "ask"), (5, "card"), (4, "pick"), (3, "cut"), (2, "check"), (1, "pick"))
    ]
    assert [one["verdict"] for one in listed[-4:]] == ["stop", "none", "conditional", "conditional"]
    assert [one["cut_mm"] for one in listed[-3:]] == [465.0, None, None]


def test_a_number_stands_for_a_job_file(command: Command, book: Path, tmp_path: Path) -> None:
    first = command("pick", *HEATER, "--note", "blue van")
    again = command("pick", "1", "--shelf", "C05")
    assert again.out == first.out
    assert command("pick", "#1", "--shelf", "C05").out == first.out
    assert command("cut", "1", "--hose", "C05-16").code == 0
    assert command("check", "C05-16", "1").code == 0
    assert len(json.loads(command("book", "list", "--json").out)) == 1
    altered = command("pick", "1", "--coldest-start", "-10 degC", "--shelf", "C05")
    assert numbered(altered.out) == 2
    second = json.loads(command("book", "show", "2", "--json").out)
    assert (second["entry"]["altered_from"], second["entry"]["note"]) == (1, "blue van")
    assert second["answer"]["job"]["duty"]["coldest_start"] == -10.0
    command("pick", "1", "--note", "green van", "--shelf", "C05")
    assert json.loads(command("book", "show", "1", "--json").out)["entry"]["note"] == "green van"
    assert "job 9: found no such job" in command("pick", "9").err
    assert command("pick", "1", "--code", "H873P").code == 2


def test_what_is_replied_to_questions_about_a_job_gets_a_number(
    command: Command, book: Path
) -> None:
    command("pick", *STOPPED)
    assert numbered(command("ask", "1").out) == 1
    command("pick", "-s", "heater hose", "-n", "16 mm", "--measured", "400 mm")
    told = command("ask", "2", given=b"\n" * 30)
    assert numbered(told.out) == 3, told.err
    entry = json.loads(command("book", "show", "3", "--json").out)["entry"]
    assert (entry["altered_from"], entry["command"]) == (2, "ask")
    assert "unknown" in json.dumps(entry["job"])


def test_a_file_that_is_called_like_a_number_is_asked_about(
    command: Command, book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    command("pick", *STOPPED)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "1").write_text('service = "PCV hose"\n', encoding="utf-8")
    told = command("pick", "1")
    assert (told.code, told.out) == (2, "")
    assert "which is a file too" in told.err
    assert command("pick", "#1").code == 1


def test_the_answer_again_is_the_answer(command: Command, book: Path) -> None:
    first = command("pick", *HEATER)
    shown = command("book", "show", "1")
    assert shown.code == 0
    head, answer = shown.out.split("\n\n", 1)
    assert head.startswith("Job 1, asked 2026-01-15 ")
    assert answer == answer_in(first.out)
    cut = command("cut", *RUN, *ENGAGED, "--radius", "80 mm")
    assert answer_in(cut.out) in command("book", "show", "2").out
    check = command("check", "C05-16", *HEATER[:-2])
    assert answer_in(check.out) in command("book", "show", "3").out


def test_another_answer_than_then_is_said(command: Command, book: Path) -> None:
    command("pick", *HEATER)
    assert "[!] Answered then" not in command("book", "show", "1").out
    command("settings", "set", "coldest_start", "-60 degC")
    told = command("book", "show", "1").out
    assert "[!] Answered then: USE IF C05-16." in told


def test_one_answer_is_altered_and_all_is_answered_again(command: Command, book: Path) -> None:
    command("pick", *HEATER, "--note", "blue van")
    told = command("book", "alter", "1", "duty.coldest_start=-30 degC", "route.measured=500 mm")
    assert numbered(told.out) == 2
    assert "between 520 mm and 590 mm: measure first" in told.out
    entry = json.loads(command("book", "show", "2", "--json").out)["entry"]
    assert (entry["altered_from"], entry["note"], entry["command"]) == (1, "blue van", "pick")
    assert entry["options"]["shelf"] == ["C05"]
    assert command("book", "alter", "1", "duty.coldest_start").code == 2
    assert command("book", "alter", "1", "no.such.key=3").code == 2
    assert len(json.loads(command("book", "list", "--json").out)) == 2


def test_nothing_altered_turns_a_stopped_job_into_a_length(command: Command, book: Path) -> None:
    command("pick", "-s", "heater hose", "--set", "features.end_fitting=crimped")
    told = command("book", "alter", "1", "features.end_fitting=plain", "route.measured=400 mm")
    assert told.code == 1
    assert "STOP     No hose and no length" in told.out
    assert not re.search(r"^cut ", told.out, re.MULTILINE)


def test_fitted_due_done_and_found(command: Command, book: Path) -> None:
    command("pick", *HEATER, "--note", "blue van")
    command("pick", *STOPPED)
    told = command("book", "fitted", "1", "yes")
    assert told.out == "Job 1: C05-16 fitted; to be looked at again by 2026-01-29.\n"
    assert command("book", "due").out == "No such job in the book.\n"
    assert "C05-16" in command("book", "due", "--by", "2026-01-29").out
    other = command("book", "fitted", "1", "y", "--hose", "C02-16", "--recheck", "2026-01-15")
    assert "[!] It is not what was offered" in other.out
    assert json.loads(command("book", "due", "--json").out)[0]["fitted_hose"] == "C02-16"
    assert command("book", "done", "1").code == 0
    assert json.loads(command("book", "due", "--json").out) == []
    assert command("book", "fitted", "2", "yes").code == 2
    assert command("book", "fitted", "2", "dunno").code == 2
    assert command("book", "fitted", "1", "yes", "--recheck", "2020-01-01").code == 2
    assert command("book", "fitted", "2", "no").code == 0
    for words in (("BLUE",), ("--service", "heater hose"), ("--hose", "C02"), ("blue", "--since",
                  "2026-01-15", "--until", "2026-01-15")):  # fmt: skip
        found = command("book", "search", *words, "--json")
        expected = [] if words[-1] == "heater hose" else [1]
        assert [one["number"] for one in json.loads(found.out)] == expected, words
    assert command("book", "search", "--since", "yesterday").code == 2


def test_the_book_leaves_as_a_sheet(command: Command, book: Path, tmp_path: Path) -> None:
    command("pick", *STOPPED, "--note", "=1+1")
    sheet = tmp_path / "book.csv"
    assert command("book", "export", str(sheet)).out == f"{sheet}: 1 jobs.\n"
    (row,) = csv.DictReader(sheet.read_text("utf-8-sig").splitlines())
    assert (row["number"], row["note"], row["verdict"]) == ("1", "'=1+1", "stop")
    assert command("book", "export", str(book)).code == 2


def test_the_long_code_still_works(command: Command, book: Path, tmp_path: Path) -> None:
    first = command("pick", *HEATER)
    code = command("book", "code", "1").out
    assert decode_job(code)["service"] == "heater hose"
    assert command("pick", "--code", code, "--shelf", "C05").out == first.out.replace("1,", "2,")
    for name in ("code.svg", "code.png"):
        told = command("book", "code", "1", "--square", str(tmp_path / name))
        assert told.code == 0
        assert (tmp_path / name).stat().st_size > 200
    assert command("book", "code", "1", "--square", str(tmp_path / "code.gif")).code == 2


def test_the_book_is_deleted_as_it_says(command: Command, book: Path) -> None:
    command("pick", *STOPPED)
    told = command("book", "where").out
    assert told.startswith(f"{book}\n")
    assert "delete this file" in " ".join(told.split())
    assert json.loads(command("book", "where", "--json").out) == {"file": str(book)}
    assert command("book", "forget", "1").code == 0
    assert command("book", "show", "1").code == 2


def test_a_job_may_stay_out_of_the_book(
    command: Command, book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain = command("pick", *STOPPED, "--no-book")
    assert "in the book" not in plain.out
    assert not book.exists()
    monkeypatch.setenv("HOSESELECT_BOOK", "off")
    assert command("pick", *STOPPED).out == plain.out
    assert json.loads(command("pick", *STOPPED, "--json").out)["number"] is None
    told = command("book", "list")
    assert (told.code, told.out) == (2, "")
    assert "switched off" in told.err
    assert command("book", "where").out == "No job book is kept: it is switched off.\n"
    monkeypatch.delenv("HOSESELECT_BOOK")
    monkeypatch.setenv("XDG_DATA_HOME", str(book.parent))
    command("settings", "set", "book", "off")
    assert command("pick", *STOPPED).out == plain.out
    command("settings", "set", "book", "on")
    command("settings", "set", "book_file", str(book))
    assert numbered(command("pick", *STOPPED).out) == 1
    assert book.exists()


@pytest.mark.parametrize("fault", ["damaged", "folder", "unwritable"])
def test_a_book_that_cannot_be_used_stops_no_answer(
    command: Command, book: Path, fault: str
) -> None:
    plain = command("pick", *STOPPED, "--no-book")
    if fault == "damaged":
        book.parent.mkdir()
        book.write_bytes(b"no book at all\n" * 100)
    elif fault == "folder":
        book.mkdir(parents=True)
    else:
        book.parent.write_text("", encoding="utf-8")
    told = command("pick", *STOPPED)
    assert (told.code, told.out) == (plain.code, plain.out)
    assert told.err.count("\n") == 1
    assert told.err.startswith(f"This job has no number, the job book cannot be used: {book}: ")
    assert json.loads(command("pick", *STOPPED, "--json").out)["number"] is None
    listed = command("book", "list")
    assert (listed.code, listed.out) == (2, "")
    assert listed.err.count("\n") == 1


def test_what_nobody_foresaw_in_the_book_stops_no_answer(
    command: Command, book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*words: object) -> int:
        raise RuntimeError

    monkeypatch.setattr("hoseselect.book.job_book.JobBook.add", broken)
    told = command("pick", *STOPPED)
    assert told.code == 1
    assert "STOP     No hose and no length" in told.out
    assert told.err == "This job has no number, the job book cannot be used: RuntimeError\n"


@pytest.mark.parametrize("note", ["a\x1b[31mred", "x" * 201, "two\nlines"])
def test_a_note_that_no_terminal_can_show_is_refused(
    command: Command, book: Path, note: str
) -> None:
    told = command("pick", *STOPPED, "--note", note)
    assert (told.code, told.out) == (2, "")
    assert told.err.startswith("--note: found")
    assert not book.exists()


def test_no_other_line_and_no_fitted_hose_on_a_job_that_is_stopped(
    command: Command, book: Path
) -> None:
    """Whoever asks about another line asks anew; what was never offered is not fitted."""
    command("pick", *STOPPED)
    for words in (
        ("book", "alter", "1", "service=heater hose"),
        ("pick", "1", "-s", "heater hose", "-n", "16 mm", "--measured", "400 mm"),
        ("pick", *STOPPED, "--set", "service=heater hose"),
    ):
        told = command(*words)
        assert told.code == 1
        assert "STOP" in told.out
        assert "cut" not in told.out
    told = command("book", "fitted", "1", "yes", "--hose", "C01-15.9")
    assert (told.code, told.out) == (2, "")
    assert "no job for hose and clamps" in told.err
    assert command("book", "fitted", "1", "no").code == 0


def test_a_line_that_nobody_knew_may_be_named_later(command: Command, book: Path) -> None:
    command("pick", "-s", "unknown", "-n", "16 mm", "--measured", "400 mm")
    assert "USE IF" in command("book", "alter", "1", "service=heater hose").out


def test_a_card_of_another_answer_than_then_is_told(
    command: Command, book: Path, tmp_path: Path
) -> None:
    """Because of settings that changed, or of a shelf that the card does not know."""
    alone = HEATER[: HEATER.index("--shelf")]
    command("pick", *alone)
    card = ("card", "1", "--output", str(tmp_path / "card.pdf"))
    assert "[!] Answered then" not in command(*card).err
    command("settings", "set", "coldest_start", "-60 degC")
    assert "[!] Answered then: USE IF C01-15.9." in command(*card).err
    command("settings", "set", "coldest_start", "-20 degC")
    command("pick", *HEATER)
    assert "[!] Answered then: USE IF C05-16." in command("card", "2", *card[2:]).err
