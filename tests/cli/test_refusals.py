"""How the command line refuses: one sentence, wrapped at a terminal, with a code of its own."""

from __future__ import annotations

import errno
import io
import json
import shutil
import sys
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


@pytest.mark.parametrize("asked", [("pick",), ("check", "C01-12.7"), ("ask",)])
def test_hoses_are_counted_in_json_alone(asked: tuple[str, ...], command: Command) -> None:
    told = command(*asked, "-s", "PCV hose", "--top", "2")
    assert (told.code, told.out) == (2, "")
    assert told.err.rstrip().endswith("--top: found 2 without --json; expected --json beside it")
