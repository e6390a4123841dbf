"""Each write killed now and then; `python -m tests.fuzz.kill` does so many times more."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

if sys.platform == "win32":
    pytest.skip("no such way to split a process off", allow_module_level=True)

from hoseselect.files.write_files import write_files

from .kill import killed
from .writes import WRITES, Write, files

QUICK = ("catalog-new", "catalog-import", "settings", "book")
"""Writes that take little time; the others are made of the same parts."""


@pytest.mark.parametrize(
    "write", [one for one in WRITES if one.name in QUICK], ids=lambda w: w.name
)
def test_old_or_new_is_there_whole(write: Write) -> None:
    found = killed(write, 2, seed=3)
    assert found.wrong == []
    assert sum(found.fell.values()) == 2


def half_written(folder: Path) -> None:
    with (folder / "file").open("wb") as stream:
        for _ in range(200):
            stream.write(b"n" * 5000)
            stream.flush()


def at_once(folder: Path) -> None:
    write_files({folder / "file": b"n" * 1_000_000})


@pytest.mark.parametrize(("make", "whole"), [(half_written, False), (at_once, True)])
def test_a_write_that_a_kill_leaves_half_done_is_seen(
    make: Callable[[Path], None], whole: bool
) -> None:
    def old(folder: Path) -> None:
        (folder / "file").write_bytes(b"as before")

    found = killed(Write("planted", old, make, files), 8, seed=1)
    assert (found.wrong == []) == whole, found
