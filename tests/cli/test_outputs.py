"""Where a result cannot be written: one sentence, exit code 2, and every file as it was."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import hoseselect
from hoseselect.application.demo import FOLDER

Command = Callable[..., Any]

ORDERS = "hose_size,length,count,job\nF06-12.7,500 mm,2,first\n"
JOB = (FOLDER / "counter.toml").read_text(encoding="utf-8")
SHEET = "service,nipple\nPCV hose,13\n"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a list of lengths, a job under several names, a sheet and a folder."""
    (tmp_path / "orders.csv").write_text(ORDERS, encoding="utf-8")
    (tmp_path / "sheet.csv").write_text(SHEET, encoding="utf-8")
    for name in ("job.toml", "job.svg", "job.pdf"):
        (tmp_path / name).write_text(JOB, encoding="utf-8")
    (tmp_path / "link.pdf").symlink_to(tmp_path / "job.pdf")
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "folder.pdf").mkdir()
    monkeypatch.chdir(tmp_path)
    return tmp_path


def kept(folder: Path) -> dict[str, bytes]:
    """Return what stands in a folder."""
    return {
        str(path.relative_to(folder)): path.read_bytes() if path.is_file() else b""
        for path in folder.rglob("*")
    }


PLACES = [
    (("rolls", "orders.csv", "-o", "nowhere/list.csv"), "no folder 'nowhere'"),
    (("rolls", "orders.csv", "-o", "folder.csv"), "found a folder"),
    (("rolls", "orders.csv", "--labels", "folder.pdf", "-o", "list.csv"), "found a folder"),
    (("rolls", "orders.csv", "-o", "orders.csv"), "a file that was read for it"),
    (("rolls", "orders.csv", "--labels", "orders.csv"), "a file that was read for it"),
    (("cut", "job.toml", "--hose", "F06-12.7", "--draw", "job.toml"), "ends in .svg"),
    (("cut", "job.svg", "--hose", "F06-12.7", "--draw", "job.svg"), "a file that was read for it"),
    (("cut", "job.toml", "--hose", "F06-12.7", "--draw", "no/a.svg"), "no folder 'no'"),
    (("card", "job.pdf", "-o", "job.pdf"), "a file that was read for it"),
    (("card", "job.pdf", "-o", "link.pdf"), "a file that was read for it"),
    (("card", "job.toml", "-o", f"{'x' * 300}.pdf"), "ile name too long"),
    (("batch", "sheet.csv", "-o", "sheet.csv"), "a file that was read for it"),
    (("batch", "sheet.csv", "-o", "folder.csv"), "found a folder"),
    (("batch", "--template", "no/a.csv"), "no folder 'no'"),
]


@pytest.mark.parametrize(("arguments", "says"), PLACES)
def test_a_place_that_no_result_can_have(
    command: Command, home: Path, arguments: tuple[str, ...], says: str
) -> None:
    before = kept(home)
    told = command(*arguments)
    assert (told.code, told.out, len(told.err.splitlines())) == (2, "", 1), told.err
    assert says in told.err
    assert kept(home) == before


FULL = [
    ["rolls", "orders.csv", "-o", "list.csv", "--labels", "labels.pdf"],
    ["cut", "job.toml", "--hose", "F06-12.7", "--draw", "cut.svg"],
    ["card", "job.toml", "-o", "card.pdf", "--svg"],
    ["batch", "sheet.csv", "-o", "answers.csv"],
    ["batch", "sheet.csv", "-o", "answers.xlsx"],
    ["batch", "--template", "template.csv"],
    ["batch", "--template", "template.xlsx"],
]
ON_A_FULL_DISK = """
import json, os, resource, signal, sys
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))
from hoseselect.interfaces.cli.main import run
for arguments in json.loads(sys.argv[1]):
    sys.argv = ["hoseselect", *arguments]
    try:
        run()
    except SystemExit as left:
        print(left.code, flush=True)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no such limit")
def test_a_full_disk_gives_one_sentence_and_leaves_what_was_there(home: Path) -> None:
    """No file of the process may grow beyond a hundred bytes; what it says goes into a pipe."""
    for name in ("list.csv", "labels.pdf", "cut.svg", "card.pdf", "answers.csv", "answers.xlsx"):
        (home / name).write_bytes(b"as before")
    before = kept(home)
    ran = subprocess.run(
        [sys.executable, "-B", "-c", ON_A_FULL_DISK, json.dumps(FULL)],
        capture_output=True,
        check=False,
        text=True,
        env={**os.environ, "PYTHONPATH": str(Path(hoseselect.__file__).parents[1])},
    )
    told = ran.stderr.splitlines()
    assert ran.stdout.split() == ["2"] * len(FULL), ran.stderr
    assert len(told) == len(FULL), ran.stderr
    assert all("file too large" in line for line in told), ran.stderr
    assert kept(home) == before
