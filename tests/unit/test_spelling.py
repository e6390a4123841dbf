"""One character for each meaning: what the door makes of odd typing."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from hoseselect.catalogue.supplier.mapping_file import mapping_from
from hoseselect.intake.job_headings import column_uses
from hoseselect.intake.names import known_fluid, known_service
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.spelling import (
    LONGEST_COMPARED,
    answer,
    is_unknown,
    near_spellings,
    plain_text,
    unit_key,
    without_unseen,
)


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        ("10 3/8”", '10 3/8"'),
        ("10 3/8“", '10 3/8"'),
        ("10 3/8″", '10 3/8"'),
        ("5/16''", '5/16"'),
        ("5/16’’", '5/16"'),
        ("2′ 3″", "2' 3\""),
        ("−40", "-40"),
        ("–40", "-40"),
        ("½ in", "1/2 in"),
        ("1¼ in", "1 1/4 in"),
        ("1 ¼ in", "1 1/4 in"),
        ("1⁄4 in", "1/4 in"),
        ("９．５ ｍｍ", "9.5 mm"),
        ("9.5\u00a0mm", "9.5 mm"),
        ("20\u202f000 kPa", "20 000 kPa"),
        ("\ufeff9.5\u200bmm", "9.5mm"),
        ("  9.5 \t mm ", "9.5 mm"),
        ("110 ℃", "110 °C"),
        ("110 ºC", "110 °C"),
        ("3 m³/h", "3 m^3/h"),
        ("10³", "10^3"),
        ("12 inH₂O", "12 inH2O"),
        ("12 ㎜", "12 mm"),
        ("", ""),
    ],
)
def test_plain_text(typed: str, plain: str) -> None:
    assert plain_text(typed) == plain


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("In. Hg", "inhg"),
        ("N·m", "nm"),
        ("ft-lb", "ftlb"),
        ("litres per minute", "litres/minute"),
        ("m^3/h", "m3/h"),
        ("bar (g)", "barg"),
        ("Upper", "upper"),
    ],
)
def test_unit_key(typed: str, key: str) -> None:
    assert unit_key(typed) == key


@pytest.mark.parametrize(
    "typed",
    [
        *["", " ", "?", "??", "unknown", "Unknown", "UNKNOWN?", "don't know", "don’t know"],
        *["dont know", "I don't know", "do not know", "not known", "not sure", "no idea"],
    ],
)
def test_unknown(typed: str) -> None:
    assert is_unknown(typed)
    assert answer(typed) == "unknown"


@pytest.mark.parametrize("typed", ["0", "none", "n/a", "-", "nan", "no", "know", "30 mm?"])
def test_not_unknown(typed: str) -> None:
    assert not is_unknown(typed)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("y", "yes"),
        ("YES", "yes"),
        (" Yes. ", "yes"),
        ("true", "yes"),
        ("1", "yes"),
        ("n", "no"),
        ("No", "no"),
        ("FALSE", "no"),
        ("0", "no"),
        ("maybe", ""),
        ("yes and no", ""),
        ("2", ""),
    ],
)
def test_answer(typed: str, read: str) -> None:
    assert answer(typed) == read


NAMES = ("EPDM", "EPM", "heater hose", "washer hose", "fuel return")


@pytest.mark.parametrize(
    ("text", "near"),
    [
        ("edpm", ["EPDM"]),
        ("heatr hose", ["heater hose"]),
        ("FUEL RETRUN", ["fuel return"]),
        ("", []),
        ("xyz", []),
    ],
)
def test_a_name_spelled_alike_is_found(text: str, near: list[str]) -> None:
    assert near_spellings(text, NAMES) == near


def test_swapped_letters_count_most() -> None:
    assert near_spellings("edpm", ["EDPMM", "EPDM"], most=None) == ["EPDM", "EDPMM"]


def test_words_in_common_count_where_they_are_asked_for() -> None:
    text = "the hose of the car's heater"
    assert near_spellings(text, NAMES, least=0.75) == []
    found = near_spellings("return of some fuel", NAMES, least=0.75, idle_words=["of"], most=None)
    assert found == ["fuel return"]


def test_a_long_text_is_cut_before_it_is_compared() -> None:
    text = "heater hose " * 1000
    assert near_spellings(text, NAMES) == near_spellings(text[:LONGEST_COMPARED], NAMES)


def _heading(text: str) -> None:
    column_uses(["service", text], ["", ""], 1)


def _mapped(text: str) -> None:
    mapping_from({"columns": {text: {"heading": "ID", "unit": "mm"}}}, "m.toml")


@pytest.mark.parametrize("read", [known_service, known_fluid, _heading, _mapped])
def test_no_text_takes_seconds(read: Callable[[str], object]) -> None:
    text = "heater return ab" * 625
    begun = time.perf_counter()
    with pytest.raises(InputError):
        read(text)
    assert time.perf_counter() - begun < 1.0


def test_near_spellings_have_one_home() -> None:
    package = Path(__file__).parents[2] / "hoseselect"
    homes = [
        path.name
        for path in package.rglob("*.py")
        if re.search(r"\b(from|import) difflib\b", path.read_text(encoding="utf-8"))
    ]
    assert homes == ["spelling.py"]


@pytest.mark.parametrize("space", "\u00a0\u2007\u2009\u202f\u3000")
def test_a_hard_or_thin_space_is_a_space_and_a_control_character_stays(space: str) -> None:
    assert without_unseen(f"16{space}mm") == "16 mm"
    assert without_unseen(f"a\u200bb{space}\x1b[31m\t\u2028\u202e") == "ab \x1b[31m\t\u2028\u202e"
