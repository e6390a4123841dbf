"""The engine says what the model says, and a fault in either is found."""

from __future__ import annotations

import importlib
import random
import re
from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.intake.job_keys import job_keys

from .compare import ORDER
from .differ import Tally, compare
from .jobs import random_values
from .registry import RULES
from .tables import ROOT, rows
from .verdict import codes

PAIRS = 20_000
SEED = 2026
PLANTED_PAIRS = 1200

NEVER = {
    "fluid-permeation": {"reject": "vapour through a liner refuses no hose: it rates 1 at least"},
    "fluid-submerged": {"unknown": "a hose that does not say it is made for fuel is not"},
    "marking-identity": {
        "conditional": "a name is there or not",
        "unknown": "a name is there or not",
    },
    "marking-electrochemical": {
        "unknown": "what the print does not say is not tested",
        "reject": "it is a condition, on any hose",
    },
    "marking-print": {
        "accept": "it has nothing to say of a piece that bears its print",
        "unknown": "print that may be lost counts as lost",
    },
    "marking-proof": {
        "accept": "where something is to be proved no hose does without",
        "unknown": "it is known of every line",
        "reject": "it is a condition, on any hose",
    },
    "heat-source": {"unknown": "a distance that is not known can be measured"},
    "pressure-check-valve": {
        "accept": "where a line sees boost no hose does without the proof",
        "unknown": "a line of which nobody knows is asked about by another rule",
        "reject": "it is a condition, on any hose",
    },
    "pressure-unsupported": {
        "unknown": "a length that is not known is clipped",
        "reject": "a long run can be clipped",
    },
    "pressure-boost": {"reject": "boost of which nobody knows is no refusal"},
    "fit-ends": {
        "conditional": "ends are threaded or not",
        "unknown": "ends of which nothing is told are taken for nipples",
    },
    "fit-clamps": {"unknown": "the supplier can be asked"},
    "fit-largest-bore": {
        "unknown": "the roll in hand can be measured",
        "reject": "the roll in hand can be measured",
    },
    "fit-measured": {
        "unknown": "somebody can look where it was measured",
        "reject": "a nipple measured on its bead is judged by what lies behind it",
    },
    "bend-lead": {"reject": "it is looked at"},
    "bend-margin": {"reject": "it is looked at"},
    "bend-set": {"reject": "the hose can be turned"},
    "bend-second-shape": {"conditional": "a shape is wide enough or not"},
    "bend-weight": {
        "unknown": "a weight that is not known is not judged",
        "reject": "it is clipped",
    },
    "route-excess": {"reject": "it can be trimmed"},
    "route-low-spot": {"unknown": "somebody can look", "reject": "a sag can be taken out"},
    "route-fall": {"unknown": "somebody can look"},
    "route-insert": {"reject": "what sat in it goes into the new one"},
    "route-movement": {"unknown": "somebody can look"},
    "route-clearance": {"conditional": "a hose keeps clear or not"},
    "route-measuring": {"reject": "the gap is measured once it is fitted"},
    "flow-loss": {"unknown": "without the original bore it is not judged"},
    "stock-roll": {"unknown": "without a cut it is not judged"},
    "stock-age": {"unknown": "a roll without a date is not judged", "reject": "never from memory"},
}
"""Verdicts that a rule cannot give, and why; every other one is to be seen in the comparison."""


@pytest.fixture(scope="session")
def tally() -> Tally:
    *_, last = compare(PAIRS, SEED)
    return last


def test_the_engine_says_what_the_model_says(tally: Tally) -> None:
    assert tally.pairs >= PAIRS
    assert [(m.what, m.model, m.engine, m.job, m.hose) for m in tally.mismatches[:3]] == []


@pytest.mark.parametrize("code", codes())
def test_each_rule_is_seen_in_each_verdict_that_it_can_give(tally: Tally, code: str) -> None:
    seen = {verdict for verdict in ORDER if tally.verdicts[code, verdict]}
    assert seen == set(ORDER) - set(NEVER.get(code, {}))


def test_every_rule_has_its_function_and_reads_what_its_page_says() -> None:
    assert list(RULES) and set(RULES) == set(codes())
    page = (ROOT / "docs" / "reference" / "rules.md").read_text(encoding="utf-8")
    told = dict(re.findall(r"\n### (\S+)\n.*?Read from the job: ([^.]*)\.", page, re.DOTALL))
    reads = {code: set(own.reads) for code, own in RULES.items()}
    assert reads == {
        code: set(names.replace("\n", " ").split(", ")) for code, names in told.items()
    }


def test_jobs_have_every_service_and_every_key_of_the_form() -> None:
    chance = random.Random(1)
    services, keys = set(), set()
    for _ in range(4000):
        values = random_values(chance, 13.0)
        services.add(values["service"])
        keys |= set(flat(values))
    assert services >= {row["service"] for row in rows("services")}
    assert {key for key in job_keys() if not key.startswith("route.free")} <= keys


def flat(values: dict[str, Any], before: str = "") -> list[str]:
    """Return the keys of a job file, those of either nipple as those of both."""
    found = []
    for key, value in values.items():
        name = before + key.replace("nipple_a", "nipples").replace("nipple_b", "nipples")
        found += flat(value, f"{name}.") if isinstance(value, dict) else [name]
    return found


def higher(name: str, by: float) -> Callable[[Any], Any]:
    """Return a fault: one limit a little higher."""
    return lambda limit: lambda asked: limit(asked) + (by if asked == name else 0.0)


FAULTS = {
    "a limit": ("hoseselect.rules.fit", "limit", higher("stretch-textile-accept", 0.5)),
    "a clearance": ("hoseselect.rules.heat", "limit", higher("heat-source-growth", -2.0)),
    "the worse end forgotten": (
        "hoseselect.judging.engine",
        "of_both_ends",
        lambda _: lambda adverse, favourable, doubted, hard: favourable,
    ),
    "a comparison the other way round": (
        "hoseselect.rules.heat",
        "Comparison",
        lambda made: lambda *told, **more: made(*told, **{**more, "sense": "at_most"}),
    ),
    "an unknown weakest": (
        "hoseselect.rules.fluid",
        "weakest",
        lambda weakest: lambda demanded, ratings: weakest(demanded, (ratings > 0) * 2.0),
    ),
    "a cut without its movement": (
        "hoseselect.cutplan.plan_cut",
        "limit",
        higher("movement-unknown", -5.0),
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_planted_fault_is_found(fault: str, monkeypatch: pytest.MonkeyPatch) -> None:
    module, name, changed = FAULTS[fault]
    place = importlib.import_module(module)
    monkeypatch.setattr(place, name, changed(getattr(place, name)))
    for found in compare(PLANTED_PAIRS, SEED):
        if found.mismatches:
            return
    pytest.fail("not found")
