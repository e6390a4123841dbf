"""Shop settings on the command line: set once, told where they count, overridden by the job."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Command = Callable[..., Any]
HEATER = ("-s", "heater hose", "-n", "16 mm", "--measured", "400 mm", "--shelf", "C05")
FUEL = ("-s", "fuel return", "-n", "8 mm", "--measured", "400 mm", "--shelf", "F03")
STOPPED = ("-s", "brake hose")


@pytest.fixture
def file(command: Command, tmp_path: Path) -> Path:
    """Return the place of the settings of a test."""
    return tmp_path / "no-configuration" / "hoseselect" / "config.toml"


def test_what_is_set_is_shown_and_taken_away(command: Command, file: Path) -> None:
    assert "(not there yet)" in command("settings").out
    told = command("settings", "set", "Coldest-Start", "-20 degC")
    assert (told.code, told.err) == (0, "")
    assert "  coldest_start = -20 degC\n" in told.out
    command("settings", "set", "fuel", "E10, B7")
    assert file.read_text("utf-8") == 'coldest_start = "-20 degC"\nfuel = "E10, B7"\n'
    shown = json.loads(command("settings", "--json").out)
    assert (shown["file"], shown["fuel"], shown["units"]) == (str(file), "E10, B7", None)
    command("settings", "unset", "fuel")
    assert file.read_text("utf-8") == 'coldest_start = "-20 degC"\n'
    assert command("settings", "set", "speed", "1").code == 2
    assert command("settings", "unset", "speed").code == 2


def test_a_setting_is_told_in_one_line_where_it_counts(command: Command, file: Path) -> None:
    plain = command("pick", *HEATER).out
    assert "set here" not in plain
    command("settings", "set", "coldest_start", "-20 degC")
    command("settings", "set", "cap_pressure", "15 psi")
    command("settings", "set", "fuel", "E85")
    told = " ".join(command("pick", *HEATER).out.split())
    assert "set here pressure up to 254 kPa; coldest start -20 degC" in told
    in_full = " ".join(command("pick", *HEATER, "--full").out.split())
    assert "Shop settings: pressure up to 254 kPa; coldest start -20 degC." in in_full
    assert "coldest start -40 degC" not in told
    fuel = " ".join(command("pick", *FUEL).out.split())
    assert (
        "set here petrol without alcohol, petrol with up to 10 % ethanol, petrol with 31 to 85"
        in fuel
    )
    both = ("--coldest-start", "-10 degC", "--pressure-max", "100 kPa")
    assert "set here" not in command("pick", *HEATER, *both).out
    assert "set here" not in command("pick", *STOPPED).out


def test_json_names_what_the_shop_has_set(command: Command, file: Path) -> None:
    command("settings", "set", "coldest_start", "-20 degC")
    answer = json.loads(command("pick", *HEATER, "--json").out)
    assert answer["job"]["usual"] == {"coldest_start": -20.0, "cap_pressure": None, "fuels": []}
    assert answer["job"]["duty"]["coldest_start"] is None
    (cold,) = (own for own in answer["assumptions"] if own["field"] == "duty.coldest_start")
    assert cold == {
        "field": "duty.coldest_start",
        "value": "-20",
        "unit": "degC",
        "source": "shop setting",
    }
    told = json.loads(command("pick", *HEATER, "--json", "--coldest-start", "-30 degC").out)
    assert not any(own["source"] == "shop setting" for own in told["assumptions"])
    assert told["job"]["duty"]["coldest_start"] == -30.0


def test_units_and_currency_as_set_and_an_option_wins(command: Command, file: Path) -> None:
    metric, inches = (command("pick", *HEATER, "--units", unit).out for unit in ("mm", "in"))
    assert metric != inches
    assert command("settings", "set", "units", "in").code == 0
    assert command("pick", *HEATER).out == inches
    assert command("pick", *HEATER, "--units", "mm").out == metric
    command("settings", "set", "currency", "EUR")
    assert " EUR\n" in command("catalog", "show", "C05-16").out


def test_the_paper_as_set(command: Command, file: Path, tmp_path: Path) -> None:
    from pypdf import PdfReader

    card = tmp_path / "card.pdf"
    for paper, tall in (("letter", 279.4), ("a4", 297.0)):
        command("settings", "set", "paper", paper)
        assert command("card", *STOPPED, "-o", str(card)).code == 1
        height = float(PdfReader(card).pages[0].mediabox.height) * 25.4 / 72
        assert height == pytest.approx(tall, abs=0.5)


def test_one_loader_and_the_order_of_catalogues(
    command: Command, file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("set", "option"):
        assert command("catalog", "new", str(tmp_path / name), "--example").code == 0
    command("settings", "set", "catalog", str(tmp_path / "set"))
    own = command("catalog", "list").out
    assert own != command("catalog", "list", "--catalog", str(tmp_path / "nowhere")).out
    monkeypatch.setenv("HOSESELECT_CATALOG", str(tmp_path / "nowhere"))
    assert command("catalog", "list").code == 2
    assert command("catalog", "list", "--catalog", str(tmp_path / "option")).out == own


@pytest.mark.parametrize("words", [("pick", *HEATER), ("catalog", "list"), ("settings",)])
def test_a_file_that_cannot_be_used_is_told_by_its_place(
    command: Command, file: Path, words: tuple[str, ...]
) -> None:
    file.parent.mkdir(parents=True)
    file.write_text('units = "mm"\n cap_pressure = 15\n', encoding="utf-8")
    told = command(*words)
    assert (told.code, told.out) == (2, "")
    assert told.err == (
        f"{file}:2:2: cap_pressure: found 15; expected a figure with its unit, such as '-20 degC'"
        " or '15 psi'\n"
    )
    command("settings", "set", "cap_pressure", "15 psi")
    assert command(*words).code == 0


def test_prices_are_told_in_the_money_of_the_shop(command: Command, file: Path) -> None:
    assert " EUR" not in command("pick", *HEATER).out
    command("settings", "set", "currency", "EUR")
    assert re.search(r"\d EUR a metre, [\d.]+ EUR for it", command("pick", *HEATER).out)
