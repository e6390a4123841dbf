"""Crankcase gas against SAE 760563 (1976), abstract, and the KGK article on acrylic rubber.

NOx in crankcase gas 8.7 to 376 ppm, NO2 0.3 to 125 ppm, partly formed in the crankcase; used oil
of engines with hardened acrylic gaskets held acids, alcohol, fuel and water. So crankcase vapour
is oil mist and a gas that attacks in its own way: oil resistance is needed, but is not enough.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from hoseselect.judging.services import constituents
from hoseselect.knowledge.load import table

Judge = Callable[..., Any]
CRANKCASE = ("crankcase-suction", "crankcase-breather", "crankcase-boosted")


def test_crankcase_vapour_is_oil_and_blow_by() -> None:
    assert set(constituents("crankcase-vapour")) == {"engine-oil", "blow-by"}
    assert "8.7-376 ppm" in table("fluids").row(fluid="blow-by")["locator"]


@pytest.mark.parametrize("service", CRANKCASE)
def test_oil_resistance_is_not_enough(judge: Judge, service: str) -> None:
    """Ordinary ACM: suits hot oil, but only within limits where the gas of the crankcase comes."""
    acm = {"liner": "ACM"}
    assert judge(acm, "engine-oil-cooler").finding("fluid-liner").verdict.word == "accept"
    found = judge(acm, service).finding("fluid-liner")
    assert found.verdict.word == "conditional"
    assert "blow-by" in found.reason
    assert "engine oil" not in found.reason


@pytest.mark.parametrize("service", CRANKCASE)
@pytest.mark.parametrize("symbol", ["NR", "SBR", "IIR", "EPDM"])
def test_oil_resistance_is_necessary(judge: Judge, symbol: str, service: str) -> None:
    assert "fluid-liner" in judge({"liner": symbol}, service).refused_by


@pytest.mark.parametrize("service", CRANKCASE)
@pytest.mark.parametrize("symbol", ["AEM", "FKM"])
def test_rubbers_tested_in_acid_condensate_pass(judge: Judge, symbol: str, service: str) -> None:
    """ACS Rubber Division, October 2011, paper 7: AEM and FKM are tested in such condensate."""
    assert judge({"liner": symbol}, service).finding("fluid-liner").verdict.word == "accept"


@pytest.mark.parametrize("liner", ["ECO", "NBR"])
def test_usual_breather_construction_is_not_rejected(judge: Judge, liner: str) -> None:
    """US patent 6,408,892, background: breather hose is ECO or NBR inside and CSM outside."""
    judged = judge({"liner": liner, "cover": "CSM"}, "crankcase-breather")
    assert judged.word == "accept"


def test_no_liner_is_better_on_a_crankcase_than_in_oil(judge: Judge) -> None:
    """A mixture is never milder than a constituent, for every polymer of the table."""
    for symbol in dict.fromkeys(table("resistance").column("symbol")):
        if not table("resistance").has(symbol=symbol, fluid="engine-oil"):
            continue
        in_oil = judge({"liner": symbol}, "engine-oil-cooler").finding("fluid-liner").verdict
        in_gas = judge({"liner": symbol}, "crankcase-breather").finding("fluid-liner").verdict
        assert in_gas >= in_oil
