"""Units do not change a value, what is printed can be read back, and no text breaks the door."""

from __future__ import annotations

import math

from hypothesis import example, given, settings
from hypothesis import strategies as st

from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.conversion import convert
from hoseselect.quantities.kinds import KINDS
from hoseselect.quantities.read import format_quantity, nearest_fraction, read_quantity
from hoseselect.quantities.spelling import plain_text

MEASURED = [name for name, kind in KINDS.items() if kind.working]
# "mpa" alone needs its capital letter: mPa is asked about
WORDS = {
    name: [(word.replace("mpa", "MPa"), unit) for word, unit in KINDS[name].words.items()]
    for name in MEASURED
}
FIGURES = st.decimals(-10000, 10000, allow_nan=False, places=3)
TYPED = st.text(alphabet="0123456789.,/-+ '\"°½¼³−±inmftbarpsHgkPacuodeh?x\u00a0()")


def read_any(typed: str, kind: str) -> float:
    """Read without the natural limits of the kind."""
    return read_quantity(typed, kind, "field", minimum=-math.inf, maximum=math.inf)


def gauge(kind: str) -> str:
    """Return the word that settles pressure or vacuum."""
    return " gauge" if kind == "pressure" else ""


@settings(deadline=None)  # the first reading loads the table of units
@given(st.sampled_from(MEASURED), FIGURES, st.data())
def test_a_figure_read_in_any_unit_converts_back_to_itself(
    kind: str, figure: float, data: st.DataObject
) -> None:
    spelled, unit = data.draw(st.sampled_from(WORDS[kind]))
    typed = f"{figure} {spelled}{gauge(kind)}"
    read = read_any(typed, kind)
    back = convert(read, KINDS[kind].working, unit)
    # readings are kept to 1e-9 of the working unit
    step = abs(convert(1.0, KINDS[kind].working, unit) - convert(0.0, KINDS[kind].working, unit))
    assert math.isclose(back, float(figure), rel_tol=1e-12, abs_tol=1e-9 + 1e-9 * step)


@given(st.sampled_from(MEASURED), FIGURES, st.data())
def test_the_unit_does_not_change_the_value(kind: str, figure: float, data: st.DataObject) -> None:
    asked = KINDS[kind]
    spelled, unit = data.draw(st.sampled_from(WORDS[kind]))
    respelled, other = data.draw(st.sampled_from(WORDS[kind]))
    elsewhere = convert(float(figure), unit, other)
    read = read_any(f"{figure} {spelled}{gauge(kind)}", kind)
    reread = read_any(f"{elsewhere:.15g} {respelled}{gauge(kind)}", kind)
    # `elsewhere` is kept to 1e-9 of its own unit
    step = abs(convert(1.0, other, asked.working) - convert(0.0, other, asked.working))
    assert math.isclose(read, reread, rel_tol=1e-12, abs_tol=1e-8 + 1e-9 * step)


@given(
    st.sampled_from([name for name in KINDS if name not in {"count", "money"}]),
    st.sampled_from(["mm", "in"]),
    st.floats(-9000, 9000, allow_nan=False),
)
@example("length", "in", 0.5)
@example("pressure", "in", -74.5)
def test_what_is_printed_is_read_back(kind: str, units: str, value: float) -> None:
    text = format_quantity(value, kind, units)
    read = read_any(text, kind)
    # one step of what is printed, in the working unit; rounding is half a step
    inch_step = {
        "length": 25.4 / 16,
        "pressure": 0.1 * 6.894757,
        "temperature": 0.1 / 1.8,
        "flow": 0.1 * 3.785412,
        "torque": 0.1 * 0.1129848,
        "force": 0.1 * 4.448222,
    }
    step = inch_step.get(kind, 0.1) if units == "in" else 0.1
    assert abs(read - value) <= 0.5 * step * (1 + 1e-6) + 1e-9
    # below one, two figures count: half a unit of the second is 5 % at most
    if abs(value) < 1 and units == "mm":
        assert abs(read - value) <= 0.051 * abs(value) + 1e-9


@given(st.integers(0, 10000))
def test_counts_are_read_back(value: int) -> None:
    assert read_quantity(format_quantity(value, "count"), "count", "field") == value


@given(st.integers(0, 99999), st.integers(0, 99))
def test_a_decimal_comma_is_a_decimal_point(whole: int, part: int) -> None:
    comma = read_quantity(f"{whole},{part:02d} mm", "length", "field")
    assert comma == read_quantity(f"{whole}.{part:02d} mm", "length", "field")
    assert comma == float(f"{whole}.{part:02d}")


@given(st.integers(1, 999), st.integers(0, 999))
def test_three_digits_after_a_comma_are_never_guessed(whole: int, part: int) -> None:
    try:
        read_quantity(f"{whole},{part:03d} mm", "length", "field")
    except InputError as error:
        assert "comma" in str(error)
    else:
        raise AssertionError("read without asking")


@given(st.integers(0, 40), st.integers(1, 6), st.data())
def test_fractions_of_the_rule(whole: int, power: int, data: st.DataObject) -> None:
    bottom = 2**power
    top = data.draw(st.integers(1, bottom - 1))
    value = (whole + top / bottom) * 25.4
    mixed = f"{whole} {top}/{bottom}"
    for typed in (f"{mixed} in", f'{whole}-{top}/{bottom}"', mixed):
        assert math.isclose(read_quantity(typed, "length", "field"), value, rel_tol=1e-9)


@given(st.floats(-1000, 1000), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_the_nearest_fraction_is_near_and_reduced(inches: float, denominator: int) -> None:
    text = nearest_fraction(inches, denominator)
    *whole, last = text.removeprefix("-").split(" ")
    top, _, bottom = last.partition("/")
    value = int(whole[0]) if whole else 0
    value_read = value + int(top) / int(bottom or 1)
    assert abs(abs(inches) - value_read) <= 0.5 / denominator + 1e-12
    assert bottom == "" or (int(top) % 2 == 1 and int(top) < int(bottom))
    assert text.startswith("-") == (inches < 0 and value_read > 0)


@given(st.one_of(TYPED, st.text()), st.sampled_from(list(KINDS)), st.booleans())
def test_any_text_is_read_or_refused_in_one_sentence(text: str, kind: str, around: bool) -> None:
    try:
        read = read_quantity(text, kind, "field", around_allowed=around)
    except InputError as error:
        assert str(error).startswith("field: found ")
        assert len(str(error)) < 500
    else:
        asked = KINDS[kind]
        assert math.isnan(read) or asked.minimum <= read <= asked.maximum


@given(st.text())
def test_plain_text_is_plain(text: str) -> None:
    assert plain_text(plain_text(text)) == plain_text(text)
