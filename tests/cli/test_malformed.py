"""What cannot be used: one clear sentence for each fault, exit code 2, nothing else."""

from __future__ import annotations

import csv
import io
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
SHELF = HERE.parent / "scenarios" / "shelf"
FILE = tomllib.loads((HERE / "malformed.toml").read_text(encoding="utf-8"))
CASES, CELLS = FILE["case"], FILE["cell"]
SENTENCE = re.compile(r"[^:].*: found .+; expected .+")
STAND_INS = {"DIGITS": "9" * 5000, "NESTED": "[" * 20000}
LONG = "x" * 10_000


def names(cases: list[dict[str, Any]]) -> list[str]:
    return [case["name"] for case in cases]


def prepare(case: dict[str, Any], folder: Path) -> list[str]:
    """Write the job file of a case; return its arguments."""
    file = folder / "job.toml"
    if "hex" in case:
        file.write_bytes(bytes.fromhex(case["hex"]))
    elif "job" in case:
        text = case["job"]
        for word, stands_for in STAND_INS.items():
            text = text.replace(word, stands_for)
        file.write_text(text, encoding="utf-8")
    words = {"JOB": str(file), "LONG": LONG}
    return [words.get(argument, argument) for argument in case["arguments"]]


def check_sentences(case: dict[str, Any], err: str) -> None:
    """Hold what was said against the case: count, form, the field, no jargon."""
    lines = err.strip().splitlines()
    if case.get("questions"):
        lines = lines[-1:]
        lines[0] = lines[0].removeprefix("> ")
    if case.get("usage"):
        said = [line for line in lines if line.startswith("Error: ")]
        assert len(said) == 1, err
    else:
        said = lines
        assert len(lines) == case.get("sentences", 1), err
        assert all(SENTENCE.fullmatch(line) for line in lines), err
    for words in case["says"]:
        assert words in " ".join(said), err
    for words in ("Traceback", "\x1b", *case.get("never", ())):
        assert words not in err, err
    assert all(len(line) < 500 for line in lines), "a sentence without end"


def test_there_are_enough_cases_and_no_name_twice() -> None:
    assert len(CASES) + len(CELLS) >= 80
    assert len(set(names(CASES) + names(CELLS))) == len(CASES) + len(CELLS)


@pytest.mark.parametrize("case", CASES, ids=names(CASES))
def test_malformed(case: dict[str, Any], command: Callable[..., Any], tmp_path: Path) -> None:
    told = command(*prepare(case, tmp_path))
    assert told.out == ""
    assert told.code == 2, told.err
    check_sentences(case, told.err)


def shelf_with(cell: dict[str, Any], folder: Path) -> Path:
    """Copy the shelf with one cell of its first row replaced."""
    for file in SHELF.iterdir():
        if file.suffix == ".csv":
            (folder / file.name).write_bytes(file.read_bytes())
    path = folder / cell["file"]
    rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))
    rows[1][rows[0].index(cell["heading"])] = cell["text"].strip('"')
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    return folder


@pytest.mark.parametrize("cell", CELLS, ids=names(CELLS))
def test_malformed_cell(cell: dict[str, Any], command: Callable[..., Any], tmp_path: Path) -> None:
    told = command("pick", "-s", "PCV hose", "--catalog", str(shelf_with(cell, tmp_path)))
    assert told.out == ""
    assert told.code == 2, told.err
    assert told.err.count("found") >= 1
    assert "Traceback" not in told.err
    assert "\x1b" not in told.err
    for words in cell["says"]:
        assert words in told.err, told.err


def test_the_shelf_without_a_malformed_cell_is_used(command: Callable[..., Any]) -> None:
    assert command("catalog", "list", "--catalog", str(SHELF)).code == 0


def test_no_letters_of_an_answer_break_the_interview(command: Callable[..., Any]) -> None:
    told = command("ask", given=b"\xff\xfe\n")
    assert told.code == 2
    assert "Traceback" not in told.err
    assert told.out == ""


@pytest.mark.parametrize(
    "arguments",
    [
        ["pick", "-s", os.fsdecode(b"\xff")],
        ["pick", "-s", "PCV hose", "--turbo", os.fsdecode(b"\xff")],
        ["pick", "-s", "PCV hose", "-n", os.fsdecode(b"9.5\xff")],
        ["pick", os.fsdecode(b"\xff.toml")],
        ["explain", os.fsdecode(b"\xff")],
        ["catalog", "show", os.fsdecode(b"\xff")],
    ],
)
def test_arguments_that_are_no_text(arguments: list[str], command: Callable[..., Any]) -> None:
    told = command(*arguments)
    assert told.code == 2
    assert "found" in told.err
    assert told.out == ""


def test_print_and_name_that_are_no_text_give_no_traceback(command: Callable[..., Any]) -> None:
    assert command("read", os.fsdecode(b"SAE 30R7 \xff")).code in {0, 2}
    name = os.fsdecode(b"name=\xff")
    assert command("pick", "-s", "brake hose", "--set", name).code in {1, 2}


REAL = [
    (["pick"], "service"),
    (["pick", "-s", "heater hose", "-n", "11/4"], "outside_diameter"),
    (["pick", "no-such-job.toml"], "no-such-job.toml"),
    (["check", "nope", "-s", "PCV hose"], "nope"),
    (["pick", "-s", "PCV hose", "--set", "drips=oyl"], "drips"),
]


@pytest.mark.parametrize(("arguments", "field"), REAL)
def test_malformed_in_a_process_of_its_own(arguments: list[str], field: str) -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "hoseselect", *arguments], capture_output=True, check=False
    )
    assert ran.returncode == 2
    assert ran.stdout == b""
    said = ran.stderr.decode()
    assert len(said.strip().splitlines()) == 1
    assert field in said


def test_a_terminal_that_knows_no_umlauts_gets_no_traceback() -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "hoseselect", "pick", "-s", "brake hose", "--set", "name=Öl"],
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert ran.returncode == 1
    assert b"Traceback" not in ran.stderr
    assert b"STOP" in ran.stdout


@pytest.mark.parametrize("space", ["\u00a0", "\u202f", "\u2009"])
def test_pasted_spaces_are_spaces_everywhere(
    command: Callable[..., Any], tmp_path: Path, space: str
) -> None:
    words = ["-s", "heater hose", "-n", "16 mm", "-r", "60 mm; 90 deg at 110 mm; 180 mm",
             "-f", "engine coolant", "--bead", "yes", "--set", "nipples.engagement=25 mm",
             "--note", "blue van"]  # fmt: skip
    plain = command("pick", *words)
    assert (plain.code, plain.err) == (0, "")
    pasted = [word.replace(" ", space) for word in words]
    assert command("pick", *pasted) == plain
    named = ["check", f"SAE J20 R3{space}16 mm", *pasted]
    assert command(*named) == command("check", "SAE J20 R3 16 mm", *words)
    told = command("pick", "-s", f"brake{space}hose", "--set", "service=heater hose")
    assert told.code == 1
    assert "STOP" in told.out
    job = tmp_path / "job.toml"
    job.write_text(f'service = "heater hose"\n[nipples]\noutside_diameter = "16{space}mm"\n')
    assert command("pick", str(job)).code == 0
    replies = "heater hose\n16 mm\nsame\n40 cm\nyes\n" + 9 * "dunno\n"
    plain = command("ask", "--json", given=replies.encode())
    assert plain.code == 0
    assert command("ask", "--json", given=replies.replace(" ", space).encode()).out == plain.out


@pytest.mark.parametrize("sign", ["\t", "\x07", "\x1b[31m", "\u2028", "\x85"])
def test_control_characters_stay_refused(command: Callable[..., Any], sign: str) -> None:
    told = command("pick", "-s", "heater hose", "-n", f"16{sign}mm")
    assert (told.code, told.out) == (2, "")
    assert "text without control characters" in told.err
