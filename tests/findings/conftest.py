"""The bench for rules, shared with the tests of single rules."""

from __future__ import annotations

import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

NAME = "bench_for_rules"
_spec = spec_from_file_location(NAME, Path(__file__).parents[1] / "unit" / "conftest.py")
assert _spec is not None
assert _spec.loader is not None
_module = module_from_spec(_spec)
sys.modules[NAME] = _module
_spec.loader.exec_module(_module)
bench = _module.bench
