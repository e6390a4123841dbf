"""The door where units come in: what is read, what is asked about, what is refused."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest

from hoseselect.knowledge.errors import InputError, KnowledgeError
from hoseselect.quantities.conversion import definition_figure, registry
from hoseselect.quantities.kinds import KINDS
from hoseselect.quantities.length_words import without_radius
from hoseselect.quantities.read import (
    format_quantity,
    nearest_fraction,
    read_answer,
    read_quantity,
)

INCH = 25.4

LENGTHS = [
    ("3/8 in", 9.525),
    ("3/8in", 9.525),
    ('3/8"', 9.525),
    ("3/8", 9.525),
    ("63/64", 25.003125),
    ("1 1/4", 31.75),
    ('10 3/8"', 263.525),
    ("10 3/8”", 263.525),
    ("5/16''", 7.9375),
    ("5/16’’", 7.9375),
    ("5 / 16 in", 7.9375),
    ("9.5mm", 9.5),
    ("9.5 MM", 9.5),
    ("9,5 mm", 9.5),
    ("0,525 in", 13.335),
    ("1 1/4 in", 31.75),
    ("1-1/4 in", 31.75),
    ("1¼ in", 31.75),
    ("½ in", 12.7),
    ("1/2-in", 12.7),
    ("0.5 inch", 12.7),
    ("0.5 in.", 12.7),
    (".5 inches", 12.7),
    ("5.16 in", 131.064),
    ("11/16 in", 17.4625),
    ("5/4 in", 31.75),
    ("20/4 in", 127.0),
    ("3 m", 3000.0),
    ("1/2 m", 500.0),
    ("65 cm", 650.0),
    ("2 ft", 609.6),
    ("2'", 609.6),
    ("2' 3\"", 685.8),
    ("2’ 3”", 685.8),
    ("2'-3\"", 685.8),
    ("2 ft 3 1/2 in", 698.5),
    ("25.4 mm", 25.4),
    ("９．５ ｍｍ", 9.5),
    ("9.5\u00a0mm", 9.5),
    ("20 000 mm", 20000.0),
    ("20\u202f000", 20000.0),
    ("1.250,5 mm", 1250.5),
    ("1,250.5 mm", 1250.5),
    ("1,250,000 mm", 1250000.0),
    ("1.250 mm", 1.25),
    ("9.525", 9.525),
    ("1e3 mm", 1000.0),
    ("+5 mm", 5.0),
    ("-6 bore", 9.525),
    ("-6 tube", 9.525),
    ("−6 bore", 9.525),
    ("-3.5 bore", 5.55625),
    ("dash 6 bore", 9.525),
    ("dash-16 tube OD", 25.4),
    ("", math.nan),
    ("?", math.nan),
    ("don’t know", math.nan),
    ("unknown", math.nan),
]
PRESSURES = [
    ("100", 100.0),
    ("-65 kPa", -65.0),
    ("−65 kPa", -65.0),
    ("-65kpa", -65.0),
    ("65 kPa vacuum", -65.0),
    ("65 kPa of suction", -65.0),
    ("-65 kPa vacuum", -65.0),
    ("0 kPa vacuum", 0.0),
    ("vacuum of 65 kPa", -65.0),
    ("-0.65 bar", -65.0),
    ("1 bar", 100.0),
    ("1.0 bar g", 100.0),
    ("1 barg", 100.0),
    ("1 bar (g)", 100.0),
    ("1,5 bar", 150.0),
    ("1/2 bar", 50.0),
    ("350 mbar", 35.0),
    ("0.2 MPa", 200.0),
    ("0.2 MPA", 200.0),
    ("20 000 kPa", 20000.0),
    ("20,000 kPa", 20000.0),
    ("-20,000 kPa", -20.0),
    ("0 inHg", 0.0),
]
TEMPERATURES = [
    ("110", 110.0),
    ("110 C", 110.0),
    ("110 °C", 110.0),
    ("110 degC", 110.0),
    ("110 oC", 110.0),
    ("110°", 110.0),
    ("110 degrees Celsius", 110.0),
    ("110 ℃", 110.0),
    ("230 °F", 110.0),
    ("230F", 110.0),
    ("230 degF", 110.0),
    ("32 °F", 0.0),
    ("-40 °F", -40.0),
    ("minus 40 C", -40.0),
    ("−40", -40.0),
    ("383 K", 109.85),
    ("-273.15", -273.15),
]
OTHERS = [
    ("90 deg", "angle", 90.0),
    ("90°", "angle", 90.0),
    ("-45", "angle", -45.0),
    ("50 L/min", "flow", 50.0),
    ("50 litres per minute", "flow", 50.0),
    ("3 m³/h", "flow", 50.0),
    ("1 L/s", "flow", 60.0),
    ("500 mL/min", "flow", 0.5),
    ("4.5 N m", "torque", 4.5),
    ("4.5 Nm", "torque", 4.5),
    ("4,5 N·m", "torque", 4.5),
    ("450 N cm", "torque", 4.5),
    ("20 N", "force", 20.0),
    ("-20", "force", -20.0),
    ("1.2 kN", "force", 1200.0),
    ("65", "hardness", 65.0),
    ("65 Shore A", "hardness", 65.0),
    ("Shore A 65", "hardness", 65.0),
    ("65A", "hardness", 65.0),
    ("4", "count", 4.0),
    ("4 pieces", "count", 4.0),
    ("4.20", "money", 4.2),
    ("4,20", "money", 4.2),
    ("unknown", "money", math.nan),
]
# read against an independent sum, not against the definition file
DERIVED = [
    ("22 inHg vacuum", "pressure", -22 * INCH * 13.5951 * 9.80665e-3),
    ("22 inHg suction", "pressure", -22 * INCH * 13.5951 * 9.80665e-3),
    ("-22 inHg", "pressure", -22 * INCH * 13.5951 * 9.80665e-3),
    ('22" Hg vacuum', "pressure", -22 * INCH * 13.5951 * 9.80665e-3),
    ("22 in. Hg vac.", "pressure", -22 * INCH * 13.5951 * 9.80665e-3),
    ("suction 22 inches of mercury", "pressure", -22 * INCH * 13.5951 * 9.80665e-3),
    ("22 inHg gauge", "pressure", 22 * INCH * 13.5951 * 9.80665e-3),
    ("4 inH2O", "pressure", 4 * INCH * 9.80665e-3),
    ("4 inH₂O suction", "pressure", -4 * INCH * 9.80665e-3),
    ("15 psi", "pressure", 15 * 0.45359237 * 9.80665 / INCH**2 * 1000),
    ("15 psig", "pressure", 15 * 0.45359237 * 9.80665 / INCH**2 * 1000),
    ("15 lbf/in²", "pressure", 15 * 0.45359237 * 9.80665 / INCH**2 * 1000),
    ("1.57 rad", "angle", math.degrees(1.57)),
    ("1 US gal/min", "flow", 231 * INCH**3 / 1e6),
    ("1 imp gal/min", "flow", 4.54609),
    ("1 cfm", "flow", (12 * INCH) ** 3 / 1e6),
    ("40 lbf in", "torque", 40 * 0.45359237 * 9.80665 * INCH / 1000),
    ("10 ft-lb", "torque", 10 * 0.45359237 * 9.80665 * 12 * INCH / 1000),
    ("5 lbf", "force", 5 * 0.45359237 * 9.80665),
]

# typed, kind, words that must stand in the complaint
REFUSED = [
    ("1/3 in", "length", "a range or a fraction"),
    ("11/4", "length", "1 1/4 in"),
    ("11/4 in", "length", "2.75"),
    ("103/8 in", "length", "10 3/8"),
    ("115/16 in", "length", "1 15/16 or 11 5/16"),
    ("5/4", "length", "without a unit"),
    ("3/5", "length", "without a unit"),
    ("3/8 mm", "length", "metric"),
    ("5/16'", "length", "feet"),
    ("1 11/4 in", "length", "below one"),
    ("3/0 in", "length", "division by zero"),
    ("1.5/2 in", "length", "more than one figure"),
    ("-6", "length", "bore or tube?"),
    ("−6", "length", "bore or tube?"),
    ("dash 6", "length", "bore or tube?"),
    ("-6 mm", "length", "at least 0 mm"),
    ("-1/2 in", "length", "at least 0 mm"),
    ("1,250 mm", "length", "1250 or 1.25"),
    ("9,525", "length", "9525 or 9.525"),
    ("20,000 mm", "length", "20000 or 20"),
    ("12 stone", "length", "a mass"),
    ("15 psi", "length", "a pressure"),
    ("110 °C", "length", "a temperature"),
    ("12 furlong", "length", "no known unit"),
    ("30 mm around", "length", "round"),
    ("±5 mm", "length", "tolerance"),
    ("5 +/- 1 mm", "length", "tolerance"),
    ("10-12 mm", "length", "more than one figure"),
    ("10 to 12 mm", "length", "more than one figure"),
    ("9.5 mm (3/8 in)", "length", "more than one figure"),
    ("10³ mm", "length", "more than one figure"),
    ("about 5 mm", "length", "only a figure and a unit"),
    ("<5 mm", "length", "only a figure and a unit"),
    ("2' 13\"", "length", "below 12"),
    ("2' 3", "length", "2 ft 3 in"),
    ("5, mm", "length", "one figure"),
    ("1.2.3 mm", "length", "one figure"),
    ("1,25,000 mm", "length", "one figure"),
    ("nan", "length", "nan"),
    ("NaN mm", "length", "NaN"),
    ("inf", "length", "inf"),
    ("-inf mm", "length", "inf"),
    ("1e999 mm", "length", "ordinary size"),
    ("long", "length", "'unknown'"),
    ("x" * 5000, "length", "..."),
    ("22 inHg", "pressure", "vacuum or a pressure"),
    ("500 mmHg", "pressure", "vacuum or a pressure"),
    ("2 atm", "pressure", "'2 atm gauge'"),
    ("22 inches of vacuum", "pressure", "mercury or water"),
    ('22"', "pressure", "mercury or water"),
    ("22 vacuum", "pressure", "without a unit"),
    ("10 psia", "pressure", "absolute"),
    ("100 kPa abs", "pressure", "-1.3 kPa"),
    ("150 kPa absolute", "pressure", "48.7 kPa"),
    ("2 bar(a)", "pressure", "101.325"),
    ("0.2 mPa", "pressure", "MPa"),
    ("12,500 kPa", "pressure", "12500 or 12.5"),
    ("2,000 bar", "pressure", "2000 or 2"),
    ("1/2", "pressure", "without a unit"),
    ("15 lbs", "pressure", "a mass"),
    ("30 inHg vacuum", "pressure", "perfect vacuum"),
    ("-102 kPa", "pressure", "perfect vacuum"),
    ("3 m", "pressure", "a length"),
    ("-300 C", "temperature", "absolute zero"),
    ("-1 K", "temperature", "absolute zero"),
    ("-460 °F", "temperature", "absolute zero"),
    ("22 inHg vacuum", "temperature", "a pressure"),
    ("1 gpm", "flow", "US or imperial"),
    ("10 L", "flow", "a volume"),
    ("-1 L/min", "flow", "at least 0 L/min"),
    ("5 N", "torque", "a force"),
    ("5 kg", "force", "a mass"),
    ("60 Shore D", "hardness", "another scale"),
    ("60 IRHD", "hardness", "another scale"),
    ("101", "hardness", "at most 100"),
    ("4.5", "count", "whole number"),
    ("-1", "count", "at least 0"),
    ("€4.20", "money", "without a currency"),
]


def same(read: float, expected: float) -> bool:
    if math.isnan(expected):
        return math.isnan(read)
    return math.isclose(read, expected, rel_tol=1e-9, abs_tol=1e-9)


READ = (
    [(typed, "length", value) for typed, value in LENGTHS]
    + [(typed, "pressure", value) for typed, value in PRESSURES]
    + [(typed, "temperature", value) for typed, value in TEMPERATURES]
    + OTHERS
    + DERIVED
)


@pytest.mark.parametrize(("typed", "kind", "value"), READ)
def test_read(typed: str, kind: str, value: float) -> None:
    assert same(read_quantity(typed, kind, "field"), value)


@pytest.mark.parametrize(("typed", "kind", "words"), REFUSED)
def test_refused(typed: str, kind: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        read_quantity(typed, kind, "nipple_a.outside_diameter")
    sentence = str(caught.value)
    assert sentence.startswith("nipple_a.outside_diameter: found ")
    assert words in sentence
    assert "\n" not in sentence
    assert len(sentence) < 300


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("30 mm around", 30 / math.pi),
        ("30 mm round", 30 / math.pi),
        ("30 around", 30 / math.pi),
        ("30 mm circumference", 30 / math.pi),
        ("round 30 mm", 30 / math.pi),
        ("string 30 mm", 30 / math.pi),
        ("circ. 1 1/4 in", 31.75 / math.pi),
        ("1 ft 2 in around", 14 * INCH / math.pi),
        ("ø 12 mm", 12.0),
        ("Ø12", 12.0),
        ("12 mm dia.", 12.0),
        ("12 mm diameter", 12.0),
        ("12 mm", 12.0),
        ("12 mm OD", 12.0),
        ("12 O.D.", 12.0),
        ("12 mm outside diameter", 12.0),
        ("30 mm by string", 30 / math.pi),
        ("30 mm with a string", 30 / math.pi),
        ("5/8 in (16 mm)", 15.875),
        ("16 mm (5/8)", 16.0),
        ("9.5 mm (3/8 in)", 9.5),
    ],
)
def test_diameter(typed: str, value: float) -> None:
    assert same(read_quantity(typed, "length", "field", around_allowed=True), value)


@pytest.mark.parametrize(
    "typed",
    [
        *("30 mm in circumference", "12 mm dia around", "-6 around", "6 mm radius", "13 mm ID"),
        *("12 mm OD around", "12 mm OD ID", "5/8 in (17 mm)", "3/8 in (10 mm)", "16 mm (16)x"),
        *("5/8 in (unknown)", "(16 mm)", "30 mm by hand", "50 mm (16 mm round) OD"),
    ],
)
def test_diameter_refused(typed: str) -> None:
    with pytest.raises(InputError):
        read_quantity(typed, "length", "field", around_allowed=True)


def test_two_sizes_that_disagree_are_both_told() -> None:
    with pytest.raises(InputError) as caught:
        read_quantity("5/8 in (18 mm)", "length", "nipple", around_allowed=True)
    assert str(caught.value) == (
        "nipple: found '5/8 in (18 mm)', which are 15.9 mm and 18 mm; expected one of the two"
    )


def test_a_bore_is_no_outside_diameter_and_a_radius_is_not_measured_by_string() -> None:
    with pytest.raises(InputError):
        read_quantity("16 mm OD", "length", "bore", around_allowed=True, dash_means="bore")
    assert read_quantity("16 in by string", "length", "measured") == pytest.approx(406.4)
    with pytest.raises(InputError, match="round"):
        read_quantity(without_radius("100 mm by string"), "length", "radius")
    with pytest.raises(InputError, match="round"):
        read_quantity("16 in string", "length", "measured")


def test_limits_decide_between_two_readings_of_a_comma() -> None:
    assert read_quantity("13,000 mm", "length", "field", maximum=200) == 13.0
    assert read_quantity("1,250 mm", "length", "field", minimum=10) == 1250.0
    with pytest.raises(InputError, match="at most 1 mm"):
        read_quantity("1,250 mm", "length", "field", maximum=1)


def test_limits_are_part_of_the_question() -> None:
    assert read_quantity("12 mm", "length", "field", maximum=12) == 12.0
    with pytest.raises(InputError, match="at most 11 mm"):
        read_quantity("12 mm", "length", "field", maximum=11)
    with pytest.raises(InputError, match="at least 13 mm"):
        read_quantity("12 mm", "length", "field", minimum=13)
    assert read_quantity("-6", "length", "offset", minimum=-1000) == -6.0
    assert read_quantity("-6 bore", "length", "offset", minimum=-1000) == 9.525


def test_dash_size_must_be_of_what_the_field_is() -> None:
    assert read_quantity("-6 bore", "length", "field", dash_means="bore") == 9.525
    with pytest.raises(InputError, match="dash size of a tube"):
        read_quantity("-6 tube", "length", "field", dash_means="bore")
    with pytest.raises(InputError, match="dash size of a bore"):
        read_quantity("-6 bore", "length", "field", dash_means="tube")


@pytest.mark.parametrize("number", [5, 5.0, 9.525])
def test_numbers_are_in_the_working_unit(number: float) -> None:
    assert read_quantity(number, "length", "field") == number


@pytest.mark.parametrize("number", [True, -6, math.inf, 10**400])
def test_numbers_refused(number: float) -> None:
    with pytest.raises(InputError):
        read_quantity(number, "length", "field")


def test_a_number_may_be_unknown() -> None:
    assert math.isnan(read_quantity(math.nan, "length", "field"))


def test_no_negative_zero() -> None:
    assert str(read_quantity("0 kPa vacuum", "pressure", "field")) == "0.0"


def test_no_such_kind() -> None:
    with pytest.raises(KnowledgeError, match="furlongs"):
        read_quantity("5", "furlongs", "field")


@pytest.mark.parametrize(
    ("typed", "read"),
    [("yes", "yes"), ("N", "no"), (True, "yes"), (0, "no"), (1.0, "yes"), (math.nan, "unknown")],
)
def test_read_answer(typed: str | float, read: str) -> None:
    assert read_answer(typed, "field") == read


@pytest.mark.parametrize("typed", ["maybe", "yes/no", 2, 0.5])
def test_read_answer_refused(typed: str | float) -> None:
    with pytest.raises(InputError, match=r"route.fall: found .* expected 'yes', 'no' or 'unknown'"):
        read_answer(typed, "route.fall")


@pytest.mark.parametrize(
    ("value", "kind", "units", "text"),
    [
        (465.0, "length", "both", "465 mm (18 5/16 in)"),
        (9.525, "length", "both", "9.5 mm (3/8 in)"),
        (9.525, "length", "in", "3/8 in"),
        (25.4, "length", "in", "1 in"),
        (0.5, "length", "both", "0.5 mm (0.02 in)"),
        (0.0, "length", "both", "0 mm (0 in)"),
        (-60.325, "length", "in", "-2 3/8 in"),
        (-74.5, "pressure", "both", "-74.5 kPa (-10.8 psi)"),
        (0.034, "pressure", "mm", "0.034 kPa"),
        (110.0, "temperature", "both", "110 °C (230 °F)"),
        (-40.0, "temperature", "both", "-40 °C (-40 °F)"),
        (90.0, "angle", "both", "90°"),
        (50.0, "flow", "both", "50 L/min (13.2 US gal/min)"),
        (4.5, "torque", "both", "4.5 N m (39.8 lbf in)"),
        (20.0, "force", "both", "20 N (4.5 lbf)"),
        (60.0, "hardness", "both", "60 Shore A"),
        (4.0, "count", "both", "4"),
        (4.2, "money", "both", "4.20"),
        (-0.0, "temperature", "mm", "0 °C"),
        (math.nan, "length", "both", "unknown"),
        (math.inf, "temperature", "both", "no limit"),
    ],
)
def test_format(value: float, kind: str, units: str, text: str) -> None:
    assert format_quantity(value, kind, units) == text


def test_format_decimals() -> None:
    assert format_quantity(9.525, "length", decimals=2) == "9.53 mm"
    assert format_quantity(9.525, "length", decimals=0) == "10 mm"


@pytest.mark.parametrize(
    ("inches", "denominator", "text"),
    [(18.3, 16, "18 5/16"), (0.5, 16, "1/2"), (0.49, 4, "1/2"), (2.99, 16, "3"), (-0.01, 16, "0")],
)
def test_nearest_fraction(inches: float, denominator: int, text: str) -> None:
    assert nearest_fraction(inches, denominator) == text


@pytest.mark.parametrize("kind", [name for name, kind in KINDS.items() if kind.working])
def test_every_unit_word_measures_its_kind(kind: str) -> None:
    asked = KINDS[kind]
    units = registry()
    working = units.get_dimensionality(asked.working)
    for word, unit in asked.words.items():
        assert units.get_dimensionality(unit) == working, word


def test_the_shipped_definitions_have_no_figure_for_nonsense() -> None:
    assert definition_figure("inch") == INCH
    with pytest.raises(KnowledgeError):
        definition_figure("furlong")


@pytest.mark.parametrize(
    ("typed", "kind", "loaded"),
    [
        ("9.5 mm", "length", False),
        ("9,5mm", "length", False),
        ("-65 kPa", "pressure", False),
        ("65 kPa vacuum", "pressure", False),
        ("110 degC", "temperature", False),
        ("50 L/min", "flow", False),
        ("unknown", "length", False),
        ("3/8 in", "length", False),
        ("15 psi", "pressure", True),
    ],
)
def test_working_units_do_not_import_pint(typed: str, kind: str, loaded: bool) -> None:
    program = (
        "import sys\n"
        "from hoseselect.quantities.read import format_quantity, read_quantity\n"
        f"format_quantity(read_quantity({typed!r}, {kind!r}, 'field'), {kind!r}, 'both')\n"
        "print('pint' in sys.modules, 'pandas' in sys.modules)"
    )
    command = [sys.executable, "-c", program]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    assert ran.stdout.split() == [str(loaded), "False"]
