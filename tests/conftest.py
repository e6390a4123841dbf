"""What holds for all tests: no example fails by the clock, a busy machine proves nothing.

No test writes the job book of whoever runs it, nor does a process that a test starts.
"""

from __future__ import annotations

import gc
import os

import pytest
from hypothesis import settings

OBJECTS = 50_000
"""New objects after which waste is looked for, as the command line has it."""

settings.register_profile("no clock", deadline=None)
settings.load_profile("no clock")

os.environ["HOSESELECT_BOOK"] = "off"
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # else each process compiles the package anew


def pytest_collection_finish() -> None:
    """Look for no waste among what is loaded: modules and tests stay to the end."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(OBJECTS)


@pytest.fixture
def unadvised(monkeypatch: pytest.MonkeyPatch) -> None:
    """Look for nothing that would help where no length works: it takes longest.

    For tests of what is refused and why; what helps has tests of its own.
    """
    monkeypatch.setattr("hoseselect.application.cut.cut_advice", lambda *_: ())
    monkeypatch.setattr("hoseselect.answer.free_way_out.what_helps", lambda *_: [])
