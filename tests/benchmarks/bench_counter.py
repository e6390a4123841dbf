"""What a customer at the counter waits for, and what the job book adds to an answer.

Processor time, so that other work of the machine does not count:

    python tests/benchmarks/bench_counter.py
"""

from __future__ import annotations

import importlib.util
import io
import os
import sys
import time
from contextlib import redirect_stdout, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import typer

from hoseselect.interfaces.cli.main import application

HERE = Path(__file__).parent
LONGEST_WAIT = 1.5  # s, from the first reply to the end of the answer
ROUNDS = 9
JOB = ("pick", "-s", "heater hose", "-n", "16 mm", "--measured", "400 mm")


def customers() -> Any:
    """Return the module of the customers at a terminal."""
    file = HERE.parent / "cli" / "test_customers.py"
    spec = importlib.util.spec_from_file_location("customers", file)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["customers"] = module
    spec.loader.exec_module(module)
    return module


def spent(*more: str) -> float:
    """Return the processor time of one answer [s]."""
    begun = time.process_time()
    with redirect_stdout(io.StringIO()), suppress(SystemExit, typer.Exit):
        application(("pick",))([*JOB, *more], standalone_mode=False)
    return time.process_time() - begun


def main() -> None:
    """Print both."""
    said = customers()
    for name, lines in said.CUSTOMERS.items():
        heard = said.talk([reply for _, reply in lines])
        sys.stdout.write(f"{name:28} waited {heard.waited:5.2f} s of {LONGEST_WAIT} s\n")
    with TemporaryDirectory() as folder:
        os.environ["HOSESELECT_BOOK"] = str(Path(folder) / "book.sqlite")
        spent(), spent("--no-book")
        pairs = [(spent(), spent("--no-book")) for _ in range(ROUNDS)]
    kept, left = (min(own) for own in zip(*pairs, strict=True))
    sys.stdout.write(
        f"an answer with the book {kept:.3f} s, without {left:.3f} s: {kept / left:.2f} times\n"
    )


if __name__ == "__main__":
    main()
