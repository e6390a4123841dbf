"""What holds for all tests: no example fails by the clock, a busy machine proves nothing."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("no clock", deadline=None)
settings.load_profile("no clock")
