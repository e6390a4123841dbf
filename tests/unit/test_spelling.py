"""One character for each meaning: what the door makes of odd typing."""

from __future__ import annotations

import pytest

from hoseselect.quantities.spelling import answer, is_unknown, plain_text, unit_key


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
