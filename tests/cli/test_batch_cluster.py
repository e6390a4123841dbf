"""A sheet on the workers of a Dask scheduler is the sheet of this process, whatever ends there."""

from __future__ import annotations

import os
import random
import signal
import socket
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from random_jobs import random_line

from hoseselect.application.run_batch import run_batch
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.files.sheet_line import SheetLine
from hoseselect.intake.job_sheet import job_sheet
from hoseselect.interfaces.cli import cluster
from hoseselect.interfaces.cli.cluster import on_cluster
from hoseselect.knowledge.errors import InputError

distributed = pytest.importorskip("distributed")
Command = Callable[..., Any]
LINES = 40
HEADS = ("note", "service", "nipples.outside_diameter", "route.measured", "duty.fluid_steady")


@pytest.fixture(scope="module")
def local() -> Iterator[Any]:
    """Two workers on this machine, each a process of one thread, on loopback alone."""
    found = distributed.LocalCluster(
        n_workers=2,
        threads_per_worker=1,
        processes=True,
        host="127.0.0.1",
        dashboard_address=None,
        silence_logs="CRITICAL",
    )
    yield found
    with suppress(TimeoutError):  # a busy machine: what is left ends with this process
        found.close(timeout=30)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


def answered(catalogue: Catalogue, mapped: Any = map, met: Callable[[int], Any] = id) -> list[Any]:
    """Return the rows of the answers to some lines; `met` is told how many were handed out.

    Every line has a note of its own; what they say repeats, so that it takes little time.
    """
    chance = random.Random(17)
    jobs = [[random_line(chance).get(key, "") for key in HEADS[1:]] for _ in range(8)]
    rows = [HEADS, *((f"line {number}", *jobs[number % len(jobs)]) for number in range(LINES))]

    def lines() -> Iterator[SheetLine]:
        for number, cells in enumerate(rows, start=1):
            met(number)
            yield SheetLine(number, list(cells))

    told: list[Any] = []
    run_batch(job_sheet(lines(), "jobs.csv"), catalogue, told.extend, mapped=mapped)
    return told


def test_a_worker_that_is_killed_costs_nothing(
    local: Any, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hoseselect.application.answer_many.AT_ONCE", 4)
    expected = answered(catalogue)
    with distributed.Client(local.scheduler_address, set_as_default=False) as client:
        first = dict(client.run(os.getpid))
        killed: list[int] = []

        def kill_one(lines: int) -> None:
            if lines > LINES / 2 and not killed:  # while both have work
                killed.append(next(iter(first)))
                os.kill(first[killed[0]], signal.SIGKILL)

        with on_cluster(local.scheduler_address) as mapped:
            told = answered(catalogue, mapped, kill_one)
        assert killed
        assert killed[0] not in client.nthreads()
    assert told == expected
    assert [row[0] for row in told[1:]] == [f"line {number}" for number in range(LINES)]


def test_a_sheet_is_written_by_a_cluster_as_by_one_process(
    local: Any, command: Command, tmp_path: Path
) -> None:
    text = "service,nipple,measured\n" + "heater hose,16 mm,400 mm\nPCV hose,13 mm,300 mm\n" * 5
    (tmp_path / "jobs.csv").write_text(text, encoding="utf-8")
    ways = {"one.csv": ("--workers", "1"), "many.csv": ("--scheduler", local.scheduler_address)}
    for name, way in ways.items():
        told = command("batch", str(tmp_path / "jobs.csv"), "-o", str(tmp_path / name), *way)
        assert told.code == 0, told.err
    one, many = (tmp_path / name for name in ways)
    assert one.read_bytes() == many.read_bytes()


def test_a_worker_of_another_version_is_told(
    local: Any, catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = {**cluster.versions(), "hoseselect": "0.0.1"}
    monkeypatch.setattr(cluster, "versions", lambda: other)
    with (
        on_cluster(local.scheduler_address) as mapped,
        pytest.raises(
            InputError, match=r"a worker with hoseselect .*; expected hoseselect 0\.0\.1"
        ),
    ):
        answered(catalogue, mapped)


def test_what_goes_wrong_in_a_line_of_work_keeps_its_kind(local: Any) -> None:
    with on_cluster(local.scheduler_address) as mapped:
        assert list(mapped(abs, range(-9, 9))) == [abs(number) for number in range(-9, 9)]
        with pytest.raises(ValueError, match="invalid literal"):
            list(mapped(int, ["1", "x", "3"]))


@pytest.mark.parametrize("address", ["closed", "silent", "worker", "nonsense", "ftp://x:1", ":"])
def test_no_scheduler_is_one_sentence_within_seconds(
    local: Any,
    command: Command,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    address: str,
) -> None:
    monkeypatch.setattr(cluster, "WITHIN", 0.5 if address == "silent" else cluster.WITHIN)
    (tmp_path / "jobs.csv").write_text("service\nPCV hose\n", encoding="utf-8")
    with socket.create_server(("127.0.0.1", 0)) as silent, socket.socket() as closed:
        closed.bind(("127.0.0.1", 0))
        asked = {
            "closed": f"tcp://127.0.0.1:{closed.getsockname()[1]}",
            "silent": f"tcp://127.0.0.1:{silent.getsockname()[1]}",
            "worker": local.workers[0].worker_address,
        }.get(address, address)
        start = time.monotonic()
        out = ("-o", str(tmp_path / "answers.csv"))
        told = command("batch", str(tmp_path / "jobs.csv"), *out, "--scheduler", asked)
        assert time.monotonic() - start < 4 * cluster.WITHIN + 5
    assert told.code == 2
    assert told.err.count("; expected ") == 1, told.err
    assert "--scheduler: found" in told.err
    assert [path.name for path in tmp_path.iterdir()] == ["jobs.csv"]


def test_without_the_library_one_sentence_says_what_to_install(
    command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "jobs.csv").write_text("service\nPCV hose\n", encoding="utf-8")
    asked = ("batch", str(tmp_path / "jobs.csv"), "-o", str(tmp_path / "answers.csv"))
    told = command(*asked, "--scheduler", "tcp://127.0.0.1:1", "--workers", "2")
    assert (told.code, told.err.strip()) == (
        2,
        "--workers: found --scheduler beside it; expected one of them",
    )
    monkeypatch.setitem(sys.modules, "distributed", None)
    told = command(*asked, "--scheduler", "tcp://127.0.0.1:1")
    assert told.code == 2
    assert "expected pip install 'hoseselect[cluster]'" in told.err
