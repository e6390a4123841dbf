"""What a shop sets: read, changed, and counted where a job is silent and nowhere else."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from hoseselect.answer.assumptions import SHOP_SETTING
from hoseselect.application.answer_many import answer_many
from hoseselect.catalogue.columns import NO_USUAL, Catalogue
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.domain.job import Job, Usual
from hoseselect.domain.verdict import Verdict
from hoseselect.intake.read_job import read_job
from hoseselect.judging.assume import assume, duty_range
from hoseselect.judging.job_columns import job_columns
from hoseselect.judging.services import service_columns
from hoseselect.knowledge.errors import InputError, ManyFaultsError
from hoseselect.knowledge.load import limit, table
from hoseselect.settings.change import set_one, settings_of, unset
from hoseselect.settings.settings import MEANINGS, Settings

SILENT: dict[str, Any] = {
    "nipples": {"outside_diameter": "12.7 mm", "bead_diameter": "14.5 mm"},
    "route": {"run": ["60 mm", {"bend": "90 deg", "radius": "250 mm"}, "180 mm"]},
}
TOLD: dict[str, Any] = {
    **SILENT,
    "fluids": ["petrol-e10"],
    "duty": {"coldest_start": "-15 degC", "pressure_max": "20 kPa"},
}
MILD = Usual(coldest_start=-10.0, cap_pressure=90.0, fuels=("petrol-e0", "diesel"))
HARSH = Usual(coldest_start=-50.0, cap_pressure=900.0, fuels=("petrol-e85", "diesel-b100"))


@cache
def shelf() -> Catalogue:
    return read_catalogue(find_catalogue(None, {}))


@cache
def verdicts(usual: Usual) -> tuple[bytes, ...]:
    """Return the verdicts on every hose for a job of every service that tells little."""
    jobs = [read_job({"service": row["service"], **SILENT}) for row in table("services")]
    told = answer_many(jobs, replace(shelf(), usual=usual))
    return tuple(answer.verdicts for answer in told)


def test_a_harsher_setting_never_gives_a_better_verdict_and_none_a_plain_accept() -> None:
    steps = (MILD, NO_USUAL, HARSH)
    changed = 0
    for milder, harsher in pairwise(steps):
        for one, other in zip(verdicts(milder), verdicts(harsher), strict=True):
            assert all(better <= worse for better, worse in zip(one, other, strict=True))
            changed += one != other
    assert changed > 5
    accept = list(Verdict).index(Verdict.ACCEPT)
    assert not any(accept in own for usual in steps for own in verdicts(usual))


def test_each_single_setting_is_monotone_too() -> None:
    for name in ("coldest_start", "cap_pressure", "fuels"):
        pair = [replace(NO_USUAL, **{name: getattr(own, name)}) for own in (MILD, HARSH)]
        sides = [verdicts(usual) for usual in pair]
        assert sides[0] != sides[1], name
        for one, other in zip(*sides, strict=True):
            assert all(better <= worse for better, worse in zip(one, other, strict=True)), name


def test_what_a_job_tells_is_never_overridden() -> None:
    services = ("fuel-return", "coolant-heater", "crankcase-suction")
    jobs = [read_job({"service": name, **TOLD}) for name in services[:1]]
    water = {**TOLD, "fluids": ["coolant"]}
    jobs += [read_job({"service": name, **water}) for name in services[1:2]]
    plain = answer_many(jobs, shelf())
    for usual in (MILD, HARSH):
        own = answer_many(jobs, replace(shelf(), usual=usual))
        assert [one.verdicts for one in own] == [one.verdicts for one in plain]
        assert not any(a.source == SHOP_SETTING for one in own for a in one.assumptions)


def test_a_stop_stays_a_stop() -> None:
    (answer,) = answer_many([read_job({"service": "brake hose"})], replace(shelf(), usual=MILD))
    assert answer.stops
    assert answer.exit_code == 1


def filled(service: str, usual: Usual) -> Any:
    job: Job = replace(read_job({"service": service}), usual=usual)
    return assume(job_columns([job]))


def test_the_cap_is_a_share_of_the_pressure_and_the_pump_adds_its_own() -> None:
    place = service_columns().index["coolant-heater"]
    adverse = float(duty_range("pressure_max")[1][place])
    ends = filled("coolant-heater", replace(NO_USUAL, cap_pressure=110.0))
    assert float(ends.adverse.pressure_max[0, 0]) == adverse - limit("cap-pressure-usual") + 110.0
    favourable = float(duty_range("pressure_max")[0][place])
    assert float(ends.favourable.pressure_max[0, 0]) == favourable < 110.0
    without = filled("fuel-return", NO_USUAL).adverse.pressure_max
    assert (filled("fuel-return", HARSH).adverse.pressure_max == without).all()


def fuels(service: str, *sold: str) -> set[str]:
    names, usual = service_columns().fluids, replace(NO_USUAL, fuels=sold)
    row = filled(service, usual).adverse.fluids[0]
    return {name for name, flows in zip(names, row, strict=True) if flows}


def test_a_fuel_counts_on_lines_of_its_kind_alone() -> None:
    assert fuels("fuel-return", "petrol-e0") == {"petrol"}
    assert fuels("fuel-return", "petrol-e85", "diesel-b7") == {
        *("petrol", "petrol-e10", "petrol-e30", "petrol-e85"),
    }
    assert fuels("diesel-return", "petrol-e85", "diesel-b20") == {
        *("diesel", "diesel-b7", "diesel-b20"),
    }
    assert fuels("diesel-return", "petrol-e85") == fuels("diesel-return")
    for service in ("coolant-heater", "crankcase-suction", "steering-return", "vacuum-control"):
        assert fuels(service, "petrol-e85", "diesel-b100") == fuels(service)


def test_the_coldest_start_takes_the_place_of_the_usual_one() -> None:
    for start in (-50.0, -20.0, 5.0):
        ends = filled("coolant-heater", replace(NO_USUAL, coldest_start=start))
        assert float(ends.adverse.coldest_start[0, 0]) == start
        assert float(ends.favourable.coldest_start[0, 0]) >= start


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "configuration" / "config.toml"


def test_without_a_file_nothing_is_set(file: Path) -> None:
    assert settings_of(file) == Settings()
    assert settings_of(file).usual == NO_USUAL or math.isnan(NO_USUAL.coldest_start)
    unset(file, "paper")
    assert not file.exists()


def test_what_is_set_is_read_and_what_else_stands_there_stays(file: Path) -> None:
    file.parent.mkdir()
    file.write_text('# our shop\ncatalog = "hoses"  # on the shelf\n', encoding="utf-8")
    for key, value in {
        "coldest_start": "-4 degF",
        "fuel": "E10, B7",
        "cap_pressure": "1.1 bar",
        "units": "IN",
        "paper": "Letter",
        "currency": "EUR",
        "language": "en",
        "book": "off",
        "book_file": "jobs.sqlite",
    }.items():
        set_one(file, key, value)
    own = settings_of(file)
    assert own.usual.coldest_start == pytest.approx(-20.0)
    assert own.usual.cap_pressure == pytest.approx(110.0)
    assert own.usual.fuels == ("petrol-e10", "diesel-b7")
    assert (own.units, own.paper, own.currency, own.book) == ("in", "letter", "EUR", False)
    assert file.read_text("utf-8").startswith('# our shop\ncatalog = "hoses"  # on the shelf\n')
    unset(file, "units")
    assert settings_of(file).units == "mm"
    assert set(MEANINGS) >= {"coldest_start", "catalog"}


@pytest.mark.parametrize(
    ("line", "at", "found"),
    [
        ("coldest_start = -20", "2:1: coldest_start", "-20; expected a figure with its unit"),
        ('coldest_start = "-20 deg"', "2:1: coldest_start", "expected a figure with its unit"),
        ('coldest_start = "20 degC"', "2:1: coldest_start", "20 degC; expected a winter's"),
        ('coldest_start = "unknown"', "2:1: coldest_start", "not known"),
        ('cap_pressure = "15"', "2:1: cap_pressure", "'15'; expected a figure with its unit"),
        ('cap_pressure = "11 kPa"', "2:1: cap_pressure", "11 kPa; expected what the cap"),
        ('fuel = ["petrol-e10", "coolant"]', "2:1: fuel", "'coolant'; expected fuels"),
        ("fuel = []", "2:1: fuel", "nothing; expected fuels"),
        ('  units = "furlong"', "2:3: units", "'furlong'; expected 'mm' or 'in'"),
        ('language = "de"', "2:1: language", "'de'; expected 'en'"),
        ("book = 3", "2:1: book", "3; expected on or off"),
        ('currency = "\\u001b[31m"', "2:1: currency", "expected short text without control"),
        ('speed = "fast"', "2:1: speed", "a key that no setting has; expected one of coldest"),
        ("[units]", "2:1: units", "expected 'mm' or 'in'"),
        ('paper = "a4', "2:12", "expected a TOML file"),
        ("units = 'mm'\nunits = 'in'", "3:13", "cannot overwrite a value; expected a TOML file"),
    ],
)
def test_a_fault_is_told_with_its_place(file: Path, line: str, at: str, found: str) -> None:
    file.parent.mkdir()
    file.write_text(f"# our shop\n{line}\n", encoding="utf-8")
    with pytest.raises(InputError) as told:
        settings_of(file)
    sentence = str(told.value)
    assert sentence.startswith(f"{file}:{at}: found "), sentence
    assert found in sentence
    assert "\n" not in sentence


def test_several_faults_are_told_at_once(file: Path) -> None:
    file.parent.mkdir()
    file.write_text('paper = "a3"\nspeed = 1\nunits = "mm"\n', encoding="utf-8")
    with pytest.raises(ManyFaultsError) as told:
        settings_of(file)
    assert [fault.place.rpartition(":")[2].strip() for fault in told.value.faults] == [
        *("paper", "speed")
    ]


@pytest.mark.parametrize(
    ("key", "value"), [("speed", "1"), ("units", "furlong"), ("cap_pressure", "15"), ("a\0b", "1")]
)
def test_what_cannot_be_used_is_never_written(file: Path, key: str, value: str) -> None:
    with pytest.raises(InputError):
        set_one(file, key, value)
    assert not file.exists()


def test_what_is_no_toml_is_never_written_over(file: Path) -> None:
    file.parent.mkdir()
    file.write_text("units = mm\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"config\.toml:1:9"):
        set_one(file, "paper", "a4")
    assert file.read_text("utf-8") == "units = mm\n"


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(InputError, match="file"):
        set_one(tmp_path / "file" / "config.toml", "paper", "a4")


@pytest.mark.parametrize("start", [-50.0, -20.0, -10.0, 5.0, 10.0])
def test_a_setting_that_alone_is_not_told_stays_an_assumption(start: float) -> None:
    """Also one as mild as the milder end of what is usual in the trade."""
    told = {
        "service": "heater hose",
        "drips": "nothing",
        "duty": {
            "fluid_steady": "90 degC", "fluid_peak": "100 degC", "air_steady": "80 degC",
            "air_peak": "90 degC", "pressure_max": "150 kPa", "pressure_min": "0 kPa",
        },
        "nipples": {
            "outside_diameter": "16 mm", "bead_diameter": "17 mm", "measured_on": "plain",
            "usable_length": "25 mm", "fixed_to": "engine",
        },
        "route": {
            "measured": "400 mm", "tightest_radius": "200 mm", "movement": "0 mm",
            "low_spot": "no", "heat_source": {"distance": "300 mm"},
        },
        "features": {"insert": "none", "submerged": "no", "turbo": "no"},
    }  # fmt: skip
    (known,) = answer_many(
        [read_job({**told, "duty": {**told["duty"], "coldest_start": f"{start} degC"}})], shelf()
    )
    (silent,) = answer_many([read_job(told)], replace(shelf(), usual=Usual(coldest_start=start)))
    assert known.summary.word == "USE"
    assert silent.summary.word == "USE IF"
    assert silent.summary.settings.startswith("coldest start")
