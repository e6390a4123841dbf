"""The command line called in one process, with what it writes as real byte streams."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from hoseselect.interfaces.cli.main import run


@dataclass(frozen=True)
class Told:
    """What a command wrote, and its exit code."""

    code: int
    out: str
    err: str


Command = Callable[..., Told]


def written(stream: io.TextIOWrapper) -> str:
    """Return all that was written to a stream."""
    stream.flush()
    stream.seek(0)
    return stream.read()


@pytest.fixture
def command(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Command]:
    """Return a function that calls the command line as the installed script does."""
    monkeypatch.delenv("HOSESELECT_CATALOG", raising=False)
    monkeypatch.setenv("HOSESELECT_TODAY", "2026-01-15")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "no-configuration"))

    def call(*arguments: str, given: bytes = b"") -> Told:
        out = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
        err = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", errors="backslashreplace")
        code: object = 0
        with monkeypatch.context() as patch:
            patch.setattr(sys, "argv", ["hoseselect", *arguments])
            patch.setattr(sys, "unraisablehook", sys.unraisablehook)  # put back at the end
            patch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given), encoding="utf-8"))
            patch.setattr(sys, "stdout", out)
            patch.setattr(sys, "stderr", err)
            try:
                run()
            except SystemExit as left:
                code = left.code
        return Told(int(str(code or 0)), written(out), written(err))

    yield call
