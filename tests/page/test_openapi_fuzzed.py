"""Requests made from the OpenAPI document by an independent tool: no answer is a fault of ours."""

from __future__ import annotations

import os
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from hoseselect.interfaces.page.access import LOOPBACK_NAMES, Access
from hoseselect.interfaces.page.application import page_application
from hoseselect.interfaces.page.shop import Shop

schemathesis = pytest.importorskip(
    "schemathesis", reason="schemathesis is an extra: pip install 'hoseselect[browser]'"
)

checks = pytest.importorskip("schemathesis.specs.openapi.checks")
CHECKS = [
    checks.response_schema_conformance,
    checks.content_type_conformance,
    checks.status_code_conformance,
]
EXAMPLES = 15
"""Requests to each operation; the deep run of the benchmarks makes more."""
HOSTS = Access((*LOOPBACK_NAMES, "testserver"))
schema = schemathesis.openapi.from_asgi("/api/openapi.json", page_application(Shop(), HOSTS))


@schema.parametrize()
@settings(
    max_examples=int(os.environ.get("HOSESELECT_FUZZED", EXAMPLES)),
    derandomize=True,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
def test_no_request_makes_a_fault_of_ours(
    case: Any, book: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    if isinstance(case.body, dict) and isinstance(case.body.get("job"), dict):
        case.body["job"].setdefault("service", "heater hose")
    told = case.call()
    assert told.status_code < 500
    case.validate_response(told, checks=CHECKS)
