"""A sheet on several workers is the sheet of one; nothing is left of one that is ended."""

from __future__ import annotations

import csv
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from random_jobs import random_line

from hoseselect.application.run_batch import Batch
from hoseselect.intake.sheet_keys import sheet_keys
from hoseselect.interfaces.cli.workers import on_workers
from hoseselect.knowledge.errors import InputError

Command = Callable[..., Any]
LINES = 60
PROCESSES = 4
"""This one, two workers, and the library's own that clears up after them."""


def write_lines(path: Path, count: int, times: int = 1) -> Path:
    """Write a sheet of random lines, over and over."""
    chance, keys = random.Random(12), list(sheet_keys())
    lines = [random_line(chance) for _ in range(count)]
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(keys)
        for _ in range(times):
            writer.writerows([line.get(key, "") for key in keys] for line in lines)
    return path


def test_two_workers_write_the_same_sheet(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hoseselect.application.answer_many.AT_ONCE", 20)
    sheet = write_lines(tmp_path / "jobs.csv", LINES)
    told = {}
    for workers in ("1", "2"):
        out = tmp_path / f"answers{workers}.csv"
        told[workers] = command("batch", str(sheet), "-o", str(out), "--workers", workers)
        assert told[workers].code == 0
    one, two = (tmp_path / f"answers{workers}.csv" for workers in told)
    assert one.read_bytes() == two.read_bytes()
    assert len(one.read_text(encoding="utf-8-sig").splitlines()) > LINES
    counted = [told[workers].out.splitlines()[1:] for workers in told]
    assert counted[0] == counted[1]


def test_a_worker_that_dies_costs_the_sheet_one_sentence(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hoseselect.application.answer_many.AT_ONCE", 10)
    monkeypatch.setattr(Batch, "__reduce__", lambda _: (os._exit, (9,)))
    sheet = write_lines(tmp_path / "jobs.csv", 30)
    told = command("batch", str(sheet), "-o", str(tmp_path / "o.csv"), "--workers", "2")
    assert (told.code, told.out) == (2, "")
    assert "--workers: found a worker that was ended" in told.err
    assert [path.name for path in tmp_path.iterdir()] == ["jobs.csv"]


def test_results_keep_their_order_and_a_fault_its_kind() -> None:
    numbers = range(-9, 9)
    with on_workers(2) as mapped:
        assert list(mapped(abs, numbers)) == [abs(number) for number in numbers]
        assert list(mapped(abs, [])) == []
        with pytest.raises(ValueError, match="invalid literal"):
            list(mapped(int, ["1", "x", "3"]))
    with pytest.raises(InputError, match="--workers 1"), on_workers(2) as mapped:
        list(mapped(os._exit, [1, 1, 1]))


def test_a_single_item_needs_no_worker() -> None:
    with on_workers(2) as mapped:
        assert list(mapped(lambda number: number + os.getpid(), [1])) == [1 + os.getpid()]


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are listed in /proc")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGKILL])
def test_nothing_outlives_a_sheet_that_is_ended(number: int, tmp_path: Path) -> None:
    write_lines(tmp_path / "jobs.csv", 200, 100)
    words = ["-m", "hoseselect", "batch", "jobs.csv", "-o", "o.csv", "--workers", "2"]
    with subprocess.Popen(
        [sys.executable, *words],
        cwd=tmp_path,
        start_new_session=True,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(map(os.path.abspath, sys.path))},
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),  # noqa: PLW1509
    ) as run:
        assert _within(20, lambda: len(_alive(run.pid)) == PROCESSES)
        if number == signal.SIGINT:
            os.killpg(run.pid, number)  # as a terminal does
        else:
            run.send_signal(number)
        assert run.wait(20) != 0
        assert run.stderr is not None
        said = run.stderr.read().decode()
    assert _within(10, lambda: not _alive(run.pid))
    assert "Traceback" not in said or number == signal.SIGKILL
    left = {path.name for path in tmp_path.iterdir()} - {"jobs.csv"}
    assert "o.csv" not in left
    assert not left or number == signal.SIGKILL


def _within(seconds: float, holds: Callable[[], bool]) -> bool:
    end = time.monotonic() + seconds
    while not (held := holds()) and time.monotonic() < end:
        time.sleep(0.05)
    return held


def _alive(group: int) -> list[int]:
    """Return the processes of a group that have not ended."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            state, _, own, *_ = stat.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(own) == group and state not in "ZX":
            found.append(int(stat.parent.name))
    return found
