"""Wrong answers found by trying that stand in no other file here, each with the right answer."""

from __future__ import annotations

import io
import math
import tomllib
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from hoseselect.answer.answer import Answer
from hoseselect.application.cut import cut_for_radius
from hoseselect.application.list_catalogue import show
from hoseselect.application.pick import check_hose, pick_hose
from hoseselect.application.read import read_print
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.cli.job_input import UNITS
from hoseselect.interfaces.cli.show_answer import show_answer
from hoseselect.interfaces.paper.bench_card import BenchCard
from hoseselect.interfaces.paper.bench_card_text import CardFrame, card_kind
from hoseselect.knowledge.errors import InputError, ManyFaultsError
from hoseselect.knowledge.load import table

Make = Callable[[dict[str, Any], float], Job]


@cache
def built_in() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


def verdicts(job: Job) -> dict[str, Verdict]:
    answer = pick_hose(job, built_in())
    assert answer.stops == ()
    return {hose.hose: hose.verdict for hose in answer.hoses}


def findings(answer: Answer, hose: str) -> dict[str, str]:
    own = next(own for own in answer.hoses if own.hose == hose)
    return {found.code: found.verdict.word for found in own.findings}


# --- wrong yes ------------------------------------------------------------------------------------


@pytest.mark.parametrize("fluid", ["b20", "b30", "b50", "b100"])
@pytest.mark.parametrize("hose", ["V01-3.2", "V05-3.2"])
def test_y3_silicone_on_a_leak_off_whatever_the_blend(job: Make, fluid: str, hose: str) -> None:
    found = verdicts(job({"service": "injector-leak-off", "fluids": [fluid]}, 3.2))
    assert found[hose] is Verdict.REJECT


@pytest.mark.parametrize("fluid", ["e10", "e15", "e30", "e85", "e100", "m15", "m85"])
@pytest.mark.parametrize("service", ["fuel-return", "fuel-feed-low-pressure"])
def test_y4_silicone_in_petrol_whatever_the_blend(job: Make, service: str, fluid: str) -> None:
    found = verdicts(job({"service": service, "fluids": [fluid]}, 8))
    assert {found[hose] for hose in ("V01-8", "V05-8", "C05-8", "C07-8")} == {Verdict.REJECT}


@pytest.mark.parametrize("fluid", ["e10", "e85", "b7"])
def test_y4_fuel_in_a_dry_vacuum_line_is_asked_about(job: Make, fluid: str) -> None:
    with pytest.raises(ManyFaultsError, match="vacuum"):
        job({"service": "vacuum-control", "fluids": [fluid]}, 8)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_y33_the_units_shown_choose_no_other_hose(units: str) -> None:
    folder = Path(__file__).parents[2] / "docs" / "jobs"
    for file in sorted(folder.glob("*.toml")):
        job = read_job(tomllib.loads(file.read_text(encoding="utf-8")))
        shown = pick_hose(job, built_in(), units=units)
        plain = pick_hose(job, built_in())
        assert shown.hoses[0].hose == plain.hoses[0].hose
        assert [h.verdict for h in shown.hoses if h.verdict is Verdict.ACCEPT] == [
            h.verdict for h in plain.hoses if h.verdict is Verdict.ACCEPT
        ]
        for own in shown.suits:
            if own.cut is not None and not math.isnan(own.cut.window[0]):
                assert own.cut.window[0] <= own.cut.cut <= own.cut.window[1], own.hose


FOREIGN = sorted(
    row["marking"]
    for row in table("marking_families")
    if row["family"] not in {"fuel", "fuel-injection", "fuel-vapour", "oil-cooler", "air"}
)


@pytest.mark.parametrize("mark", FOREIGN)
def test_y38_a_foreign_marking_and_a_claim_on_crankcase_vapour(bench: Any, mark: str) -> None:
    """Whatever its maker claims: hose of which only the wrong use is proved is no accept."""
    cells = {"liner": "", "marking": mark, "family": "", "fluids_claimed": "crankcase-vapour"}
    words = {
        bench.word(code, cells, {"service": "crankcase-breather"})
        for code in ("marking-family", "marking-required", "fluid-liner")
    }
    assert words & {"conditional", "unknown", "reject"}


def test_y39_silicone_that_claims_engine_oil_beside_a_marking_for_charge_air(bench: Any) -> None:
    cells = {"liner": "VMQ", "marking": "iso17324", "family": "", "fluids_claimed": "engine-oil"}
    changes = {"service": "engine-oil-cooler", "duty.fluid_steady": 120, "duty.fluid_peak": 130}
    answer = bench.answer(cells, changes=changes)
    assert answer.hoses[0].verdict is Verdict.REJECT
    found = findings(answer, "H1-1")
    assert found["fluid-liner"] == "reject"
    assert found["marking-family"] == "reject"


@pytest.mark.parametrize("family", ["oil-cooler", "engine-oil", "turbo-oil"])
@pytest.mark.parametrize("liner", ["VMQ", "EPDM", "TPV", "IIR"])
def test_y39_no_claim_makes_an_oil_hose_of_what_oil_swells(
    bench: Any, liner: str, family: str
) -> None:
    cells = {"liner": liner, "family": family, "fluids_claimed": "engine-oil"}
    assert bench.word("fluid-liner", cells, {"service": "engine-oil-cooler"}) == "reject"


@pytest.mark.parametrize(("claimed", "word"), [("coolant", "reject"), ("", "reject")])
def test_y43_a_claim_does_not_lift_what_heat_does_to_nitrile(
    bench: Any, claimed: str, word: str
) -> None:
    cells = {"liner": "NBR", "family": "coolant", "fluids_claimed": claimed}
    changes = {"service": "coolant-heater", "duty.fluid_steady": 110, "duty.fluid_peak": 115}
    assert bench.word("fluid-liner", cells, changes) == word


CRANKCASE = ("crankcase-suction", "crankcase-breather", "crankcase-boosted", "catch-can")


@pytest.mark.parametrize("service", CRANKCASE)
@pytest.mark.parametrize("fuel", ["e85", "e100", "m15", "e30", "b20", "b100"])
def test_y44_an_unusual_fuel_counts_as_vapour_in_the_crankcase(
    bench: Any, service: str, fuel: str
) -> None:
    nitrile = {"liner": "NBR", "family": "crankcase", "fluids_claimed": ""}
    changes = {"service": service, "fluids": [fuel]}
    assert bench.word("fluid-liner", nitrile, {"service": service}) == "accept"
    assert bench.word("fluid-liner", nitrile, changes) == "conditional"
    assert bench.word("fluid-liner", nitrile | {"liner": "FKM"}, changes) == "accept"


@pytest.mark.parametrize("fuel", ["petrol", "e10", "diesel", "b7"])
def test_y44_ordinary_fuel_is_in_crankcase_vapour_already(bench: Any, fuel: str) -> None:
    nitrile = {"liner": "NBR", "family": "crankcase", "fluids_claimed": ""}
    changes = {"service": "crankcase-breather", "fluids": [fuel]}
    assert bench.word("fluid-liner", nitrile, changes) == "accept"


# --- needless no, or no answer --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("service", "word"),
    [("atf-cooler", "conditional"), ("engine-oil-cooler", "reject"), ("turbo-oil-drain", "reject")],
)
def test_n2_steering_return_hose_is_refused_for_its_own_reason(
    job: Make, service: str, word: str
) -> None:
    duty = {"fluid_steady": 95, "fluid_peak": 98}
    answer = pick_hose(job({"service": service, "duty": duty}, 9.5), built_in())
    own = next(hose for hose in answer.hoses if hose.hose == "S02-9.5")
    assert own.verdict.word == word
    assert not any("coolant hose on oil" in found.reason for found in own.findings)
    assert any("power-steering return hose" in found.reason for found in own.worst())


SERVO = {"marking": "fmvss106-vl", "family": "", "fluids_claimed": ""}
ORDER = ("accept", "conditional", "unknown", "reject")


@pytest.mark.parametrize("liner", ["", "ECO", "NBR", "CSM", "NBR/PVC", "HNBR", "CM", "AEM", "CR"])
def test_n6_naming_the_liner_never_harms_a_marked_servo_hose_without_a_fact(
    bench: Any, liner: str
) -> None:
    """What is from memory alone makes it conditional, and refuses nothing."""
    changes = {"service": "brake-servo-vacuum"}
    blank = bench.word("fluid-liner", SERVO | {"liner": ""}, changes)
    named = bench.word("fluid-liner", SERVO | {"liner": liner}, changes)
    refused = [
        row
        for row in table("resistance").where(symbol=liner)
        if row["fluid"] in {"dry-air", "fuel-vapour"} and row["rating"] == "0"
    ]
    assert all(row["status"] == "from-memory" for row in refused)
    assert blank == "accept"
    assert named == ("conditional" if refused else "accept")


@pytest.mark.parametrize("liner", ["EPDM", "VMQ", "EPM"])
def test_n6_a_fact_still_refuses_it(bench: Any, liner: str) -> None:
    changes = {"service": "brake-servo-vacuum"}
    assert bench.word("fluid-liner", SERVO | {"liner": liner}, changes) == "reject"


def test_n7_vapour_hose_with_a_suction_rating_on_a_pcv_line(job: Make) -> None:
    values = {"service": "crankcase-suction", "duty": {"pressure_min": -65}}
    assert verdicts(job(values, 12.7))["F06-12.7"] <= Verdict.CONDITIONAL


def test_n8_coolant_hose_under_an_oil_drip(job: Make) -> None:
    duty = {"fluid_steady": 95, "fluid_peak": 105, "pressure_max": 130}
    values = {"service": "coolant-heater", "drips": ["engine oil"], "duty": duty}
    answer = pick_hose(job(values, 16), built_in())
    assert answer.hoses[0].hose == "C06-15.9"
    assert answer.hoses[0].verdict is Verdict.CONDITIONAL
    own = next(hose for hose in answer.hoses if hose.hose == "C05-16")
    cover = next(found for found in own.findings if found.code == "fluid-cover")
    assert cover.verdict is Verdict.REJECT
    assert "leak" in cover.remedy


TIGHT = {
    "service": "heater hose",
    "nipples": {"outside_diameter": "16 mm", "bead_diameter": "17.5 mm", "engagement": "25 mm"},
    "route": {"run": ["60 mm", {"bend": "90 deg", "radius": "40 mm"}, "80 mm"]},
}


@pytest.mark.parametrize("radius", [0.0, 40.0])
def test_n12_no_length_for_a_bend_that_no_bulk_hose_takes(radius: float) -> None:
    result = cut_for_radius(radius, read_job(TIGHT), "mm")
    assert result.plan is None
    assert result.exit_code == 1
    (reason,) = result.reasons
    assert "formed part" in reason
    assert "40 mm" in reason


def test_n12_a_bend_that_hose_takes_has_its_length() -> None:
    route = {"run": ["60 mm", {"bend": "90 deg", "radius": "57 mm"}, "80 mm"]}
    assert cut_for_radius(0.0, read_job(TIGHT | {"route": route}), "mm").plan is not None


@pytest.mark.parametrize("name", ["c01-15.9", "C01-15.9", "c01"])
def test_n13_a_hose_in_small_letters(job: Make, name: str) -> None:
    values = {"service": "coolant-heater", "duty": {"pressure_max": 100}}
    answer = check_hose(name, job(values, 16), built_in())
    assert {hose.hose_type for hose in answer.hoses} == {"C01"}
    assert show(built_in(), name)["hose_type"] == "C01"


def test_n13_a_name_that_no_hose_has_is_still_refused(job: Make) -> None:
    with pytest.raises(InputError, match="catalogue"):
        check_hose("c1-15.9", job({"service": "coolant-heater"}, 16), built_in())


@pytest.mark.parametrize(
    ("typed", "word"), [("inch", "in"), ("inches", "in"), ("IN", "in"), ("Mm", "mm")]
)
def test_n13_inch_is_a_word_for_in(typed: str, word: str) -> None:
    assert UNITS.parser(typed) == word
    with pytest.raises(InputError):
        UNITS.parser("furlong")


@pytest.mark.parametrize(
    ("text", "marks"),
    [("R9", {"j30-r9"}), ("r-13", {"j30-r13"}), ("R3", {"j30-r3", "j20-r3"}),
     ("R6", {"j30-r6", "j517-100r6"}), ("R99", set())],
)  # fmt: skip
def test_n13_a_bare_letter_and_number_is_told_in_every_standard(text: str, marks: set[str]) -> None:
    told = read_print(text)
    assert {own.marking for own in told.markings} - {"j20"} == marks
    assert any("alone name no standard" in note for note in told.notes) == bool(marks)


@pytest.mark.parametrize(("insert", "kind"), [("something", "not-yet"), ("none", "cut")])
def test_n16_screen_and_card_say_the_same(
    job: Make, capsys: pytest.CaptureFixture[str], insert: str, kind: str
) -> None:
    features = {"insert": insert, "turbo": "no", "sees_boost": "no"}
    made = job({"service": "brake-servo-vacuum", "features": features}, 9.5)
    answer = pick_hose(made, built_in())
    best = next(iter(answer.suits), None)
    show_answer(answer, "mm")
    said = capsys.readouterr().out
    assert card_kind(answer.summary, best) == kind
    assert ("NOT YET" in said) == (kind == "not-yet")
    if kind == "not-yet":
        assert card_kind(answer.summary, answer.hoses[0]) == "not-yet"
        frame = CardFrame("", "2031-05-30")
        card = BenchCard(answer, answer.summary, None, frame, system_fonts=False)
        page = " ".join(PdfReader(io.BytesIO(card.pages()[0])).pages[0].extract_text().split())
        assert "NOT YET" in page
        assert "NOTHING SUITS" not in page


@pytest.mark.parametrize("hose", ["K03-16", "K04-16", "K05-16", "K06-16", "K07-15.9"])
def test_crankcase_hose_on_the_oil_drain_of_a_turbocharger_is_refused(job: Make, hose: str) -> None:
    """Found by trying: exhaust-pressure hose came first on a small drain."""
    values = {"service": "turbo-oil-drain", "duty": {"fluid_steady": 60, "fluid_peak": 70}}
    found = verdicts(job(values, 16))
    assert found[hose] is Verdict.REJECT
    assert found["T02-16"] <= Verdict.CONDITIONAL
    assert verdicts(job(values, 8))["E01-8"] is Verdict.REJECT


# --- what flows beside the line's own -------------------------------------------------------------


@pytest.mark.parametrize("service", ["fuel-return", "fuel-feed-low-pressure"])
def test_oil_in_petrol_is_no_reason_against_fuel_hose(job: Make, service: str) -> None:
    mix = job({"service": service, "fluids": ["two-stroke-mix"]}, 7.9)
    assert verdicts(mix)["F03-7.9"].suits
    assert not verdicts(mix)["O01-7.9"].suits
