"""Every documented command and option: what it writes, in which form, with which exit code."""

from __future__ import annotations

import datetime
import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Callable
from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest

import hoseselect
from hoseselect.application.cut import cut_for_hose, cut_for_radius
from hoseselect.application.pick import check_hose, pick_hose
from hoseselect.application.read import read_print
from hoseselect.catalogue.columns import Catalogue
from hoseselect.catalogue.hose_columns import special_purpose
from hoseselect.catalogue.locate import BUILT_IN
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules

SHELF = Path(__file__).parents[1] / "scenarios" / "shelf"
TODAY = datetime.date(2026, 1, 15)
BOXES = re.compile(r"[\u2500-\u259f\x1b]")
Command = Callable[..., Any]

CRANKCASE = """
name = "crankcase line of a four-cylinder engine"
service = "PCV hose"
drips = []
[duty]
fluid_steady = "100 degC"
fluid_peak = "115 degC"
air_steady = "95 degC"
air_peak = "110 degC"
coldest_start = "-20 degC"
pressure_min = "-60 kPa"
pressure_max = "0 kPa"
[nipples]
outside_diameter = "9.5 mm"
bead = "yes"
bead_diameter = "11 mm"
measured_on = "plain"
usable_length = "25 mm"
material = "metal"
fixed_to = "engine"
[route]
run = ["60 mm", {bend = "60 deg", radius = "110 mm"}, "120 mm"]
low_spot = "no"
[features]
insert = "none"
turbo = "no"
end_fitting = "plain"
"""
OPTIONS = [
    *("-s", "PCV hose", "--drips", "nothing", "--fluid-steady", "100 degC"),
    *("--fluid-peak", "115 degC", "--air-steady", "95 degC", "--air-peak", "110 degC"),
    *("--coldest-start", "-20 degC", "--pressure-min", "-60 kPa", "--pressure-max", "0"),
    *("-n", "9.5 mm", "--bead", "11 mm", "--run", "60; 60 deg at 110 mm; 120"),
    *("--insert", "none", "--turbo", "no", "--set", "route.low_spot=no"),
    *("--set", "nipples.measured_on=plain", "--set", "nipples.usable_length=25 mm"),
    *("--set", "nipples.material=metal", "--set", "nipples.fixed_to=engine"),
    *("--set", "features.end_fitting=plain", "--set", "nipples.bead=yes"),
    *("--set", "name=crankcase line of a four-cylinder engine"),
]


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_catalogue(next(folder for folder in BUILT_IN if folder.is_dir()), TODAY)


@pytest.fixture
def job_file(tmp_path: Path) -> str:
    path = tmp_path / "crankcase.toml"
    path.write_text(CRANKCASE, encoding="utf-8")
    return str(path)


def plain_paper(text: str) -> None:
    """Assert that a text can be piped, printed in black and white and read in 80 columns."""
    assert text.endswith("\n")
    assert not BOXES.search(text)
    assert max(len(line) for line in text.splitlines()) <= 80
    assert [line for line in text.splitlines() if line != line.rstrip()] == []


def data(told: Any) -> Any:
    assert told.err == ""
    return json.loads(told.out, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))


# --- pick -----------------------------------------------------------------------------------------


def test_pick_with_a_file_and_with_options_gives_one_answer(
    command: Command, job_file: str, catalogue: Catalogue
) -> None:
    by_file, by_options = command("pick", job_file), command("pick", *OPTIONS)
    assert by_file.code == by_options.code == 0
    assert by_file.err == by_options.err == ""
    assert by_file.out == by_options.out
    plain_paper(by_file.out)
    assert re.search(r"^USE {6}\w", by_file.out, re.MULTILINE)
    assert re.search(r"^cut {6}\d", by_file.out, re.MULTILINE)
    in_full = command("pick", job_file, "--full")
    plain_paper(in_full.out)
    assert "[+] USE" in in_full.out
    assert "CUT " in in_full.out


def test_pick_as_json_equals_the_python_result(
    command: Command, job_file: str, catalogue: Catalogue
) -> None:
    answer = pick_hose(read_job(tomllib.loads(CRANKCASE)), catalogue)
    told = command("pick", job_file, "--json")
    plain = json.loads(json.dumps(answer.as_json()))
    assert data(told) == {"number": None, **plain}
    assert told.code == answer.exit_code == 0


def test_json_of_pick_has_what_is_promised(command: Command, job_file: str) -> None:
    found = data(command("pick", job_file, "--json"))
    assert {
        *("job", "stop", "assumptions", "ask_next", "hoses", "way_out"),
        *("cautions", "checklist", "sources"),
    } <= set(found)
    best = found["hoses"][0]
    assert {"hose", "bore_mm", "verdict", "findings", "looks", "cut"} <= set(best)
    assert [f["code"] for f in best["findings"]] == [rule.code for rule in all_rules()]
    for finding in best["findings"]:
        assert set(finding) == {
            *("code", "verdict", "demand", "limit", "unit", "margin"),
            *("reason", "remedy", "source", "check"),
        }
        assert finding["reason"]
        assert finding["source"]
    assert {
        *("tip_mm", "bare_mm", "cut_mm", "parts", "tolerance_mm", "window_mm"),
        *("tightest_radius_mm", "tightest_at_mm", "end_angles"),
    } <= set(best["cut"])
    assert found["job"]["service"] == "crankcase-suction"
    assert found["job"]["units"]["pressure"] == "kPa gauge"
    assert all(hose["cut"] is None for hose in found["hoses"] if hose["verdict"] == "reject")


def test_hoses_come_best_first(command: Command, job_file: str) -> None:
    hoses = data(command("pick", job_file, "--json"))["hoses"]
    order = [Verdict[hose["verdict"].upper()] for hose in hoses]
    assert order == sorted(order)
    shop = read_catalogue(BUILT_IN[-1])
    stock = set(shop.rolls.hose_size.tolist())
    types = zip(shop.types.hose_type.tolist(), shop.types.liner, shop.types.cover, strict=True)
    exotic = {name for name, liner, cover in types if special_purpose((*liner, *cover))}
    keys = [
        (hose["hose"] not in stock, hose["hose"].partition("-")[0] in exotic, -hose["margin"])
        for hose in hoses
        if hose["verdict"] == "accept"
    ]
    assert len({key[:2] for key in keys}) > 2
    assert keys == sorted(keys)


@pytest.mark.parametrize("preference", ["margin", "price", "stock"])
def test_pick_prefers(command: Command, job_file: str, preference: str) -> None:
    told = command("pick", job_file, "--prefer", preference, "--json")
    hoses = data(told)["hoses"]
    if preference == "price":
        prices = [hose["price_per_m"] for hose in hoses if hose["verdict"] == "accept"]
        assert len(prices) > 1
        assert prices == sorted(prices)
    plain = data(command("pick", job_file, "--json"))["hoses"]
    assert {h["hose"]: h["verdict"] for h in hoses} == {h["hose"]: h["verdict"] for h in plain}


def test_pick_by_stock_puts_the_longest_rolls_first(
    command: Command, job_file: str, catalogue: Catalogue
) -> None:
    hoses = data(command("pick", job_file, "--prefer", "stock", "--json"))["hoses"]
    length = dict.fromkeys((str(name) for name in catalogue.sizes.hose_size), 0.0)
    for name, metres in zip(catalogue.rolls.hose_size, catalogue.rolls.length_m, strict=True):
        length[str(name)] += float(metres)
    in_stock = [length[hose["hose"]] for hose in hoses if hose["verdict"] == "accept"]
    assert in_stock == sorted(in_stock, reverse=True)


def test_pick_from_a_shelf(command: Command, job_file: str) -> None:
    told = command("pick", job_file, "--shelf", "O02", "--shelf", "C01-9.5", "--json")
    hoses = data(told)["hoses"]
    assert {hose["hose_type"] for hose in hoses} == {"O02", "C01"}
    assert [hose["hose"] for hose in hoses if hose["hose_type"] == "C01"] == ["C01-9.5"]
    all_of_them = data(command("pick", job_file, "--json"))["hoses"]
    by_name = {hose["hose"]: hose for hose in all_of_them}
    assert all(hose == by_name[hose["hose"]] for hose in hoses)


def test_nothing_on_the_shelf_suits(command: Command, job_file: str) -> None:
    told = command("pick", job_file, "--shelf", "C01")
    assert told.code == 1
    assert re.search(r"^NO {7}C01-[0-9.]+: liner is attacked by", told.out, re.MULTILINE)
    assert "\ninstead  Order" in told.out
    in_full = command("pick", job_file, "--shelf", "C01", "--full")
    assert "nothing on the shelf suits" in in_full.out
    assert "What to do instead" in in_full.out
    for text in (told.out, in_full.out):
        assert not re.search(r"cut +\d", text, re.IGNORECASE)
        plain_paper(text)


def test_pick_shows_every_hose_that_does_not_suit(command: Command, job_file: str) -> None:
    hoses = data(command("pick", job_file, "--json"))["hoses"]
    refused = [hose["hose"] for hose in hoses if hose["verdict"] in {"reject", "unknown"}]
    told = command("pick", job_file, "--all")
    plain_paper(told.out)
    assert told.code == 0
    assert [name for name in refused if f" {name}:" not in told.out] == []


def test_pick_in_inches(command: Command, job_file: str) -> None:
    in_mm, in_inches = command("pick", job_file), command("pick", job_file, "--units", "in")
    plain_paper(in_inches.out)
    assert re.search(r"cut +\d+ mm \(", in_mm.out)
    assert re.search(r"cut +\d+( \d+/\d+)? in \(\d+(\.\d)? mm\)", in_inches.out)
    cut = data(command("pick", job_file, "--units", "in", "--json"))["hoses"][0]["cut"]["cut_mm"]
    assert cut / 25.4 * 4 == pytest.approx(round(cut / 25.4 * 4), abs=1e-6)


def test_options_win_over_the_file(command: Command, job_file: str) -> None:
    told = command("pick", job_file, "-n", "16 mm", "--bead", "18 mm", "--json")
    assert data(told)["job"]["nipple_a"]["outside_diameter"] == 16
    assert data(told)["job"]["duty"]["fluid_steady"] == 100


@pytest.mark.parametrize(
    ("option", "text", "place"),
    [
        ("--fluid-steady", "101 degC", ("duty", "fluid_steady", 101)),
        ("--fluid-peak", "121 degC", ("duty", "fluid_peak", 121)),
        ("--air-steady", "212 degF", ("duty", "air_steady", 100)),
        ("--air-peak", "111 degC", ("duty", "air_peak", 111)),
        ("--coldest-start", "-13 degF", ("duty", "coldest_start", -25)),
        ("--pressure-min", "15 inHg vacuum", ("duty", "pressure_min", -50.796)),
        ("--pressure-max", "1 bar", ("duty", "pressure_max", 100)),
        ("--nipple-a", "3/8 in", ("nipple_a", "outside_diameter", 9.525)),
        ("--nipple-b", "30 mm around", ("nipple_b", "outside_diameter", 9.549)),
        ("--movement", "1/2 in", ("route", "movement", 12.7)),
        ("--insert", "check-valve", ("features", "insert", "check-valve")),
        ("--turbo", "y", ("features", "turbo", "yes")),
        ("--set", "duty.pressure_spike=2 bar", ("duty", "pressure_spike", 200)),
        ("--set", "features.place=boat", ("features", "place", "boat")),
        ("--set", "route.supports=1 ft", ("route", "supports", 304.8)),
    ],
)
def test_every_option_lands_in_its_field(
    command: Command, job_file: str, option: str, text: str, place: tuple[str, str, Any]
) -> None:
    table_name, key, value = place
    job = data(command("pick", job_file, option, text, "--shelf", "O02-9.5", "--json"))["job"]
    found = job[table_name][key]
    assert found == value if isinstance(value, str) else found == pytest.approx(value, abs=1e-3)


def test_what_is_said_of_one_nipple_wins_over_both(command: Command, job_file: str) -> None:
    told = command("check", "O02-9.5", job_file, "--set", "nipple_a.bead=no", "--json")
    job = data(told)["job"]
    assert (job["nipple_a"]["bead"], job["nipple_a"]["bead_diameter"]) == ("no", None)
    assert (job["nipple_b"]["bead"], job["nipple_b"]["bead_diameter"]) == ("yes", 11)
    options = ("--set", "nipples.engagement=25", "--set", "nipple_b.usable_length=20", "--json")
    parts = data(command("cut", job_file, "--hose", "O02-9.5", *options))["cut"]["parts"]
    assert {part["name"]: part["length_mm"] for part in parts}["engagement B"] == 20


def test_measured_route_and_lists(command: Command) -> None:
    told = command(
        *("pick", "-s", "carburettor fuel hose", "-f", "E85", "-f", "diesel"),
        *("--drips", "oil", "--drips", "coolant", "--measured", "12 in"),
        *("--tightest-radius", "80 mm", "-n", "8", "--shelf", "F04", "--json"),
    )
    job = data(told)["job"]
    assert job["fluids"] == ["petrol-e85", "diesel-b7"]
    assert job["drips"] == ["engine-oil", "coolant"]
    assert job["route"]["kind"] == "measured"
    assert job["route"]["measured"] == pytest.approx(304.8)
    assert job["route"]["tightest_radius"] == 80


@pytest.mark.parametrize("word", ["unknown", "don't know", "don’t know", "?", "not sure", ""])
def test_every_field_may_be_unknown(command: Command, word: str) -> None:
    fields_of = {
        "duty": read_job({"service": "PCV hose"}).duty,
        "nipple_a": read_job({"service": "PCV hose"}).nipple_a,
    }
    keys = [f"{name}.{field.name}" for name, value in fields_of.items() for field in fields(value)]
    keys += [f"route.{name}" for name in ("measured", "tightest_radius", "movement", "low_spot")]
    keys += [f"features.{name}" for name in ("turbo", "sees_boost", "submerged")]
    keys += ["fluids", "drips", "original_bore", "piece"]
    options = [part for key in keys for part in ("--set", f"{key}={word}")]
    told = command("pick", "-s", "PCV hose", *options, "--shelf", "O02-9.5", "--json")
    assert told.err == ""
    assert data(told)["hoses"][0]["verdict"] == "unknown"
    assert told.code == 1


@pytest.mark.parametrize("word", ["unknown", "don't know", "don’t know", "I don't know", "?"])
def test_an_unknown_service_is_stopped(command: Command, word: str) -> None:
    told = command("pick", "-s", word, "-n", "9.5")
    assert told.code == 1
    assert "\nSTOP " in told.out
    assert "\ncut" not in told.out


# --- check and cut --------------------------------------------------------------------------------


@pytest.mark.parametrize(("hose", "code"), [("O02-9.5", 0), ("C01-9.5", 1), ("O02", 0)])
def test_check_shows_every_finding(
    command: Command, job_file: str, hose: str, code: int, catalogue: Catalogue
) -> None:
    told = command("check", hose, job_file, "--full")
    assert told.code == code
    assert told.err == ""
    plain_paper(told.out)
    joined = re.sub(r"-\n\s+", "-", told.out)  # a code may be broken at its hyphen
    assert [rule.code for rule in all_rules() if rule.code not in joined] == []
    answer = check_hose(hose, read_job(tomllib.loads(CRANKCASE)), catalogue)
    plain = json.loads(json.dumps(answer.as_json()))
    assert data(command("check", hose, job_file, "--json")) == {"number": None, **plain}


def test_coolant_hose_on_a_crankcase_line_is_refused_for_its_liner(
    command: Command, job_file: str
) -> None:
    told = command("check", "C01-9.5", job_file)
    assert "\nNO       C01-9.5: liner is attacked by" in told.out
    told = command("check", "C01-9.5", job_file, "--full")
    assert "[x] NO  C01-9.5" in told.out
    assert re.search(r"\[x\] fluid-liner: liner is attacked by .*", told.out)


def test_cut_for_a_hose(command: Command, job_file: str, catalogue: Catalogue) -> None:
    told = command("cut", job_file, "--hose", "O02-9.5", "--full")
    assert told.code == 0
    plain_paper(told.out)
    first = command("cut", job_file, "--hose", "O02-9.5")
    plain_paper(first.out)
    result = cut_for_hose("O02-9.5", read_job(tomllib.loads(CRANKCASE)), catalogue, "mm")
    found = data(command("cut", job_file, "--hose", "O02-9.5", "--json"))
    assert found == {"number": None, **json.loads(json.dumps(result.as_json()))}
    assert f"Cut {found['cut']['cut_mm']:.0f} mm" in told.out
    assert f"\ncut      {found['cut']['cut_mm']:.0f} mm" in first.out
    assert sum(part["length_mm"] for part in found["cut"]["parts"]) == pytest.approx(
        found["cut"]["cut_mm"], abs=0.01
    )
    low, high = found["cut"]["window_mm"]
    assert low <= found["cut"]["cut_mm"] <= high


def test_no_cut_for_a_hose_that_does_not_suit(command: Command, job_file: str) -> None:
    told = command("cut", job_file, "--hose", "C01-9.5")
    assert told.code == 1
    assert "\nNO       C01-9.5" in told.out
    assert not re.search(r"cut +\d", told.out, re.IGNORECASE)
    assert "No cut length" in command("cut", job_file, "--hose", "C01-9.5", "--full").out
    assert data(command("cut", job_file, "--hose", "C01-9.5", "--json"))["cut"] is None


def test_cut_for_a_radius(command: Command) -> None:
    options = ("-s", "PCV hose", "-n", "13", "--run", "60; 90 deg at 110 mm; 180")
    told = command("cut", *options, "--radius", "80 mm")
    assert told.code == 0
    plain_paper(told.out)
    job = read_job(
        {
            "service": "PCV hose",
            "nipples": {"outside_diameter": 13},
            "route": {"run": [60, {"bend": 90, "radius": 110}, 180]},
        }
    )
    found = data(command("cut", *options, "--radius", "80 mm", "--json"))
    plain = json.loads(json.dumps(cut_for_radius(80, job, "mm").as_json()))
    assert found == {"number": None, **plain}
    tight = command("cut", *options, "--radius", "120 mm")
    assert tight.code == 1
    assert "R 120 mm needed: it kinks" in tight.out
    assert not re.search(r"cut +\d", tight.out, re.IGNORECASE)


@pytest.mark.parametrize("command_name", ["pick", "cut"])
def test_a_stopped_job_gives_no_length(command: Command, command_name: str) -> None:
    told = command(command_name, "-s", "brake hose", "-n", "9.5", "--run", "60; 90 deg at 110; 60")
    assert told.code == 1
    assert "\nSTOP     No hose and no length" in told.out
    assert "\ngo to    qualified brake technician" in told.out
    in_full = command(
        *(command_name, "-s", "brake hose", "-n", "9.5", "--run", "60; 90 deg at 110; 60"), "--full"
    )
    assert "[!] STOP" in in_full.out
    assert "Go to: " in in_full.out
    for text in (told.out, in_full.out):
        assert not re.search(r"cut +\d", text, re.IGNORECASE)
        plain_paper(text)


# --- ask ------------------------------------------------------------------------------------------


def test_interview_asks_again_after_a_reply_it_cannot_use(command: Command) -> None:
    replies = "heter hose\n1\n-6\n16 mm\n" + "\n" * 12
    told = command("ask", given=replies.encode())
    assert told.code in {0, 1}
    assert told.err.count("What is the line called") == 1
    assert "1 heater feed or return" in told.err
    assert "bore or tube" in told.err
    assert told.out.lstrip().startswith("Heater")
    plain_paper(told.out)


KNOWN = (
    "PCV hose", "no", "9.5 mm", "same", "300 mm", "yep", "dinner plate", "nothing", "1", "nothing",
)  # fmt: skip


def test_interview_of_two_minutes_finds_a_hose(command: Command) -> None:
    """A counter that knows the usual things gets a hose from at most eight things asked."""
    told = command("ask", given="".join(f"{reply}\n" for reply in KNOWN).encode())
    assert "Not understood" not in told.err
    assert told.code == 0, told.out
    assert re.search(r"^USE(?: IF)? +\w", told.out, re.MULTILINE)
    assert re.search(r"^cut {6}(?:between )?\d", told.out, re.MULTILINE)


def test_interview_of_a_stopped_service_asks_nothing_more(command: Command) -> None:
    told = command("ask", given=b"brake hose\n")
    assert told.code == 1
    assert told.err.count("> ") == 1
    assert "\nSTOP " in told.out


def test_interview_without_any_knowledge_passes_nothing(command: Command) -> None:
    told = command("ask", given=b"PCV hose\n" + b"don't know\n" * 20)
    assert told.code == 1
    assert "\nNOT YET " in told.out
    assert told.err.count("> ") <= 9
    stopped = command("ask", given=b"\n" * 4)
    assert stopped.code == 1
    assert "\nSTOP " in stopped.out


def test_interview_ends_with_its_input(command: Command) -> None:
    told = command("ask", given=b"heater hose\n16 mm\n")
    assert told.code == 2
    assert told.out == ""
    assert "the end of the answers" in told.err.splitlines()[-1]


def test_interview_as_json(command: Command) -> None:
    told = command("ask", "--json", given=b"PCV hose\n" + b"\n" * 20)
    assert json.loads(told.out)["job"]["service"] == "crankcase-suction"
    assert told.code == 1


def test_one_added_answer_needs_no_more_than_itself(command: Command) -> None:
    """The command that an interview ends with asks only for what was not known."""
    replies = [
        reply if reply != "300 mm" else "dunno" for reply in KNOWN if reply != "dinner plate"
    ]
    told = command("ask", given="".join(f"{reply}\n" for reply in replies).encode())
    assert not re.search(r"^cut {6}(?:between )?\d", told.out, re.MULTILINE)
    line = told.out.split("To add or change an answer:")[1]
    arguments = shlex.split(line)
    assert arguments[:3] == ["hoseselect", "ask", "--code"]
    more = command(*arguments[1:], given=b"300 mm\ndinner plate\n1\n" + b"\n" * 8)
    assert more.err.splitlines()[1].startswith("How long is it")
    assert "How thick" not in more.err
    assert re.search(r"^cut {6}(?:between )?\d", more.out, re.MULTILINE)


def test_a_guess_is_told_beside_the_answer(command: Command) -> None:
    replies = [reply if reply != "300 mm" else "about a foot" for reply in KNOWN]
    told = command("ask", given="".join(f"{reply}\n" for reply in replies).encode())
    assert 'Measure before you cut: "about a foot" is no measurement.' in told.out


# --- read, explain, catalog, demo -----------------------------------------------------------------


def test_read_a_print(command: Command) -> None:
    told = command("read", "SAE 30R7 3/8 in 2024")
    assert told.code == 0
    plain_paper(told.out)
    assert "fuel-injection-feed" in told.out.split("never for")[1]
    assert "3/8 in" in told.out
    expected = read_print("SAE 30R7 3/8 in 2024").as_json()
    assert data(command("read", "SAE 30R7 3/8 in 2024", "--json")) == json.loads(
        json.dumps(expected)
    )


def test_a_print_that_says_nothing(command: Command) -> None:
    told = command("read", "SUPER FUEL HOSE 10 BAR")
    assert told.code == 1
    assert "No published marking" in told.out
    plain_paper(told.out)


def codes() -> list[str]:
    """Return every code that the index of `explain` lists."""
    listed = [rule.code for rule in all_rules()] + ["job"]
    for name, key in (
        ("services", "service"),
        ("stops", "stop"),
        ("fluids", "fluid"),
        ("polymers", "symbol"),
        ("markings", "marking"),
        ("sources", "source_id"),
    ):
        listed += table(name).column(key)
    return listed


def test_the_index_lists_every_code(command: Command) -> None:
    told = command("explain")
    plain_paper(told.out)
    assert told.code == 0
    index = set(re.split(r"[,\s]+", told.out))
    # a code broken at its hyphen by the end of a line still counts
    joined = re.sub(r"-\n\s+", "-", told.out)
    index |= set(re.split(r"[,\s]+", joined))
    assert [code for code in codes() if " " not in code and code not in index] == []


@pytest.mark.parametrize("code", codes())
def test_explain_every_code(command: Command, code: str) -> None:
    told = command("explain", code)
    assert told.code == 0
    assert told.err == ""
    assert len(told.out) > 60
    plain_paper(told.out)
    assert data(command("explain", code, "--json"))


def test_the_schema_of_a_job_file_is_published(command: Command, job_file: str) -> None:
    jsonschema = pytest.importorskip("jsonschema_rs")
    schema = data(command("explain", "job", "--json"))
    jsonschema.meta.validate(schema)
    assert schema["properties"].keys() >= {"service", "duty", "nipple_a", "route", "features"}


def test_a_job_file_obeys_the_published_schema(command: Command) -> None:
    jsonschema = pytest.importorskip("jsonschema_rs")
    schema = data(command("explain", "job", "--json"))
    jsonschema.validate(schema, tomllib.loads(CRANKCASE))
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(schema, {"service": "PCV hose", "colour": "black"})


def test_catalog_list(command: Command, catalogue: Catalogue) -> None:
    told = command("catalog", "list")
    assert told.code == 0
    plain_paper(told.out)
    rows = data(command("catalog", "list", "--json"))
    assert [row["hose_type"] for row in rows] == [str(name) for name in catalogue.types.hose_type]
    sizes = data(command("catalog", "list", "O02", "--json"))
    assert "O02-9.5" in {row["hose_size"] for row in sizes}
    plain_paper(command("catalog", "list", "O02").out)


@pytest.mark.parametrize("hose", ["O02", "O02-9.5"])
def test_catalog_show(command: Command, hose: str) -> None:
    told = command("catalog", "show", hose)
    assert told.code == 0
    plain_paper(told.out)
    assert data(command("catalog", "show", hose, "--json"))["liner"] == "AEM"


def test_demo(command: Command) -> None:
    told = command("demo")
    assert told.code == 0
    assert told.err == ""
    plain_paper(told.out)
    assert told.out.count("--- Demo ") == 3
    assert "\nSTOP " in told.out
    shown = data(command("demo", "--json"))
    assert len(shown) == 3
    assert [bool(one["answer"]["stop"]) for one in shown].count(True) == 1
    assert any(hose["cut"] for one in shown for hose in one["answer"]["hoses"])


# --- the tool as a whole --------------------------------------------------------------------------


COMMANDS = ["demo", "pick", "check", "cut", "ask", "read", "explain", "catalog"]


@pytest.mark.parametrize("name", COMMANDS)
@pytest.mark.parametrize("flag", ["-h", "--help"])
def test_help(command: Command, name: str, flag: str) -> None:
    told = command(name, flag)
    assert told.code == 0
    assert told.err == ""
    assert re.match(rf"Usage: .*hoseselect {name} ", told.out)
    assert not BOXES.search(told.out)
    assert max(len(line) for line in told.out.splitlines()) <= 80


@pytest.mark.parametrize("name", ["pick", "check", "cut", "read", "explain"])
def test_help_shows_examples(command: Command, name: str) -> None:
    assert f"hoseselect {name} " in command(name, "--help").out.split("Example", 1)[1]


@pytest.mark.parametrize("name", ["pick", "check", "cut", "explain"])
def test_the_examples_of_the_help_work(
    command: Command, name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import shlex

    (tmp_path / "job.toml").write_text(CRANKCASE, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    text = command(name, "--help").out.split("Example", 1)[1]
    text = re.sub(r"(?<=\S)\n +(?=\S)", " ", text)
    examples = re.findall(rf"hoseselect ({name} [^\n]*)", text)
    assert examples
    for example in examples:
        told = command(*shlex.split(example.split(" (")[0]))
        assert told.code in {0, 1}, (example, told.err)


def test_the_tool_alone_shows_its_help(command: Command) -> None:
    told = command()
    assert re.search(r"Usage: .*hoseselect ", told.out + told.err)
    assert [name for name in COMMANDS if name not in told.out + told.err] == []


def test_version(command: Command) -> None:
    told = command("--version")
    assert told.code == 0
    assert told.out.strip() == f"hoseselect {hoseselect.__version__}"


def in_a_process(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "hoseselect", *arguments],
        capture_output=True,
        check=False,
        encoding="utf-8",
        env={**os.environ, **environment},
    )


def test_as_a_module_in_a_pipe() -> None:
    ran = in_a_process("pick", *OPTIONS, FORCE_COLOR="", TERM="xterm-256color", COLUMNS="200")
    assert ran.returncode == 0
    assert ran.stderr == ""
    plain_paper(ran.stdout)
    assert in_a_process("--version").stdout.startswith("hoseselect ")


def test_a_closed_pipe_gives_no_traceback() -> None:
    ran = subprocess.run(
        f"{sys.executable} -m hoseselect explain job --json | head -c 1",
        shell=True,
        capture_output=True,
        check=False,
    )
    assert b"Traceback" not in ran.stderr
    assert b"Exception" not in ran.stderr


def test_shell_completion(monkeypatch: pytest.MonkeyPatch) -> None:
    # The shell is named here: without a shell above the tests there is none to be detected.
    monkeypatch.setenv("_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION", "1")
    ran = in_a_process("--show-completion", "bash")
    assert ran.returncode == 0
    assert "hoseselect" in ran.stdout
    assert "complete " in ran.stdout


def test_shell_completes_commands() -> None:
    script = shutil.which("hoseselect") or str(Path(sys.executable).parent / "hoseselect")
    if not Path(script).exists():
        pytest.skip("the script is not installed")
    ran = subprocess.run(
        [script],
        capture_output=True,
        check=False,
        encoding="utf-8",
        env={
            **os.environ,
            "_HOSESELECT_COMPLETE": "complete_bash",
            "COMP_WORDS": "hoseselect ca",
            "COMP_CWORD": "1",
        },
    )
    assert ran.stdout.split() == ["card", "catalog"]


def test_the_environment_names_the_catalogue(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOSESELECT_CATALOG", str(SHELF))
    named = data(command("catalog", "list", "--json"))
    assert named == data(command("catalog", "list", "--catalog", str(SHELF), "--json"))
    built_in = next(folder for folder in BUILT_IN if folder.is_dir())
    by_option = data(command("catalog", "list", "--catalog", str(built_in), "--json"))
    assert by_option != named


def test_environment_through_the_command(
    command: Command, job_file: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    built_in = {h["hose"] for h in data(command("pick", job_file, "--json"))["hoses"]}
    shelf = {
        h["hose"]
        for h in data(command("pick", job_file, "--catalog", str(SHELF), "--json"))["hoses"]
    }
    assert not built_in & shelf


def test_a_hose_size_of_a_cutting_list_is_named_by_its_cell_and_taken_in_any_case(
    command: Command, tmp_path: Path
) -> None:
    orders = tmp_path / "orders.csv"
    orders.write_text("hose_size,length,count\nk04-13,350 mm,1\n", encoding="utf-8")
    assert "K04-13 (optimal)" in command("rolls", str(orders)).out
    orders.write_text("hose_size,length,count\nk04-13,350 mm,1\nXX,3 m,1\n", encoding="utf-8")
    told = command("rolls", str(orders))
    assert (told.code, told.out) == (2, "")
    assert told.err.startswith("orders.csv:3:1: found 'XX'; expected a hose size of the catalogue")
