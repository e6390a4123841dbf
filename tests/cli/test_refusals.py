"""How the command line refuses: one sentence, wrapped at a terminal, with a code of its own."""

from __future__ import annotations

import errno
import io
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hoseselect.catalogue.locate import find_catalogue
from hoseselect.interfaces.cli import main

Command = Callable[..., Any]


class Terminal(io.StringIO):
    """A stderr that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def fails_with(error: Exception) -> Callable[..., Any]:
    def application(names: object) -> Callable[[], None]:
        def call() -> None:
            raise error

        return call

    return application


def test_what_nobody_foresaw_has_its_own_code(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(main, "application", fails_with(KeyError("x\x1b]0;y")))
    told = command("pick", "-s", "PCV hose")
    assert told.code == 3
    assert told.out == ""
    assert "fault of the tool itself" in told.err
    assert len(told.err.splitlines()) == 1
    assert "\x1b" not in told.err
    monkeypatch.setenv(main.TRACEBACK, "1")
    with pytest.raises(KeyError):
        command("pick", "-s", "PCV hose")


def test_what_cannot_be_written_is_no_fault_of_the_tool(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    full = OSError(errno.ENOSPC, "No space left on device")
    monkeypatch.setattr(main, "application", fails_with(full))
    told = command("pick", "-s", "PCV hose")
    assert told.code == 2
    assert told.err == "output: No space left on device; nothing more is written\n"


def test_a_refusal_is_wrapped_at_a_terminal_only(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = ("pick", "-s", "fuel hose")
    (sentence,) = command(*asked).err.splitlines()
    assert len(sentence) > 80
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setattr(sys, "argv", ["hoseselect", *asked])
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with pytest.raises(SystemExit):
        main.run()
    lines = terminal.getvalue().splitlines()
    assert max(map(len, lines)) <= 80
    assert " ".join(lines) == sentence


def test_a_setting_that_cannot_be_is_refused_by_its_name(command: Command, tmp_path: Path) -> None:
    told = command("settings", "set", "catalog", str(tmp_path / "nowhere"))
    assert told.code == 2
    assert told.err.startswith("catalog: ")
    assert command("settings", "set", "cap_pressure", "0.5").err.startswith("cap_pressure: ")
    assert command("settings").out.count("nowhere") == 0


@pytest.mark.parametrize("option", ["--measured", "--radius", "--tightest-radius"])
def test_a_length_below_nothing_is_no_dash_size(command: Command, option: str) -> None:
    told = command("cut", "-s", "PCV hose", "-n", "13", option, "-5")
    assert told.code == 2
    assert "at least 0" in told.err
    assert "dash" not in told.err


@pytest.mark.parametrize("reply", ["I do not know", "i have no idea", "no idea", "don't know"])
def test_not_known_is_taken_at_the_first_question(command: Command, reply: str) -> None:
    told = command("ask", given=f"{reply}\n".encode())
    assert "Not understood" not in told.err + told.out
    assert "rocker cover" in told.err + told.out


def test_no_escape_sequence_reaches_the_terminal(command: Command) -> None:
    told = command("read", "SAE J30 R7 \x1b[2J\x07")
    assert "\x1b" not in told.out
    assert "\x07" not in told.out


def test_of_a_file_that_is_missing_nothing_else_is_said(command: Command, tmp_path: Path) -> None:
    shutil.copytree(find_catalogue(None, {}), tmp_path / "shop")
    (tmp_path / "shop" / "hose_types.csv").unlink()
    told = command("pick", "-s", "PCV hose", "--catalog", str(tmp_path / "shop"))
    assert told.code == 2
    assert "hose_types.csv: found no such file" in told.err
    assert "is in hose_types.csv" not in told.err


def test_an_answer_names_the_catalogue_that_gave_it(command: Command, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shutil.copytree(find_catalogue(None, {}), shop)
    asked = ("pick", "-s", "PCV hose", "--shelf", "K03")
    for given, named in (((), "built-in, invented"), (("--catalog", str(shop)), str(shop))):
        assert named in json.loads(command(*asked, *given, "--json").out)["catalogue"]
        told = "".join(command(*asked, *given, "--full").out.split())
        assert "Catalogue:" + "".join(named.split()) in told


def test_a_link_to_nothing_is_no_missing_file(command: Command, tmp_path: Path) -> None:
    shop = tmp_path / "shop"
    shutil.copytree(find_catalogue(None, {}), shop)
    (shop / "rolls.csv").unlink()
    assert command("pick", "-s", "PCV hose", "--catalog", str(shop)).code in {0, 1}
    (shop / "rolls.csv").symlink_to(shop / "gone.csv")
    told = command("pick", "-s", "PCV hose", "--catalog", str(shop))
    assert told.code == 2
    assert "rolls.csv: found a link to nothing" in told.err


@pytest.mark.parametrize(
    "arguments",
    [("pick", "-s", "PCV hose", "-n", "13"), ("card", "--help"), ("batch", "--schema")],
)
@pytest.mark.skipif(sys.platform == "win32", reason="no such pipes")
def test_a_reader_who_leaves_is_no_refusal(
    command: Command, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...]
) -> None:
    """Exit code 1 would say that nothing suits."""
    assert command(*arguments).code == 0
    read, write = os.pipe()
    os.close(read)
    monkeypatch.setattr(sys, "argv", ["hoseselect", *arguments])
    monkeypatch.setattr(sys, "unraisablehook", sys.unraisablehook)  # put back at the end
    with os.fdopen(write, "w", encoding="utf-8") as out:
        monkeypatch.setattr(sys, "stdout", out)
        with pytest.raises(SystemExit) as left:
            main.run()
    assert left.value.code == 141


@pytest.mark.skipif(sys.platform == "win32", reason="no such pipes")
def test_a_reader_who_leaves_in_the_middle_is_seen() -> None:
    """Of one long write of a process the rest is lost without an error."""
    words = ("pick", "-s", "PCV hose", "-n", "13", "--json", "--top", "40")
    run = subprocess.Popen(
        [sys.executable, "-m", "hoseselect.interfaces.cli.main", *words], stdout=subprocess.PIPE
    )
    assert run.stdout is not None
    assert run.stdout.read(1) == b"{"
    run.stdout.close()
    assert run.wait() == 141


@pytest.mark.parametrize("name", ["stdin", "stdout", "stderr"])
def test_a_stream_that_is_closed_gives_one_sentence(
    command: Command, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    told = io.StringIO()
    for stream in ("stdin", "stdout", "stderr"):
        monkeypatch.setattr(sys, stream, None if stream == name else told)
    monkeypatch.setattr(sys, "argv", ["hoseselect", "ask"])
    monkeypatch.setattr(sys, "unraisablehook", sys.unraisablehook)  # put back at the end
    with pytest.raises(SystemExit) as left:
        main.run()
    if name != "stdout":
        getattr(sys, name).close()
    assert left.value.code == 2
    assert "fault of the tool" not in told.getvalue()


def test_of_many_faults_the_first_are_told_and_the_rest_counted(
    command: Command, tmp_path: Path
) -> None:
    job, sheet = tmp_path / "job.toml", tmp_path / "sheet.csv"
    keys = "".join(f"key{number} = 1\n" for number in range(3000))
    job.write_text(f'service = "PCV hose"\n{keys}', encoding="utf-8")
    heads = ",".join(f"heading {number} [kPa]" for number in range(3000))
    sheet.write_text(f"service,{heads}\nPCV hose\n", encoding="utf-8")
    start = time.process_time()
    for arguments in (("pick", str(job)), ("batch", str(sheet), "-o", str(tmp_path / "out.csv"))):
        told = command(*arguments)
        lines = told.err.splitlines()
        assert (told.code, told.out, len(lines)) == (2, "", 21)
        assert lines[-1] == "... and 2980 more"
    assert time.process_time() - start < 2.0


LONG_WORD = "x" * 50_000


@pytest.mark.parametrize(
    "arguments",
    [
        ("pick", "-s", "PCV hose", "--units", LONG_WORD),
        ("pick", "-s", "PCV hose", "--set", f"{LONG_WORD}=1"),
        ("pick", "-s", "PCV hose", "--code", LONG_WORD),
        ("pick", "-s", LONG_WORD),
        ("check", LONG_WORD, "-s", "PCV hose"),
        ("rolls", f"{LONG_WORD[:4000]}.csv"),
    ],
)
def test_a_sentence_has_an_end_whatever_was_typed(
    command: Command, arguments: tuple[str, ...]
) -> None:
    start = time.process_time()
    told = command(*arguments)
    assert (told.code, told.out) == (2, "")
    assert len(told.err) < 1000
    assert time.process_time() - start < 2.0


@pytest.mark.parametrize("asked", [("pick",), ("check", "C01-12.7"), ("ask",)])
def test_hoses_are_counted_in_json_alone(asked: tuple[str, ...], command: Command) -> None:
    told = command(*asked, "-s", "PCV hose", "--top", "2")
    assert (told.code, told.out) == (2, "")
    assert told.err.rstrip().endswith("--top: found 2 without --json; expected --json beside it")
