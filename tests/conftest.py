"""What holds for all tests: no example fails by the clock, a busy machine proves nothing.

No test writes the job book of whoever runs it, nor does a process that a test starts.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("no clock", deadline=None)
settings.load_profile("no clock")

os.environ["HOSESELECT_BOOK"] = "off"
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)  # else each process compiles the package anew
