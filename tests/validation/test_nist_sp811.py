"""Conversions against NIST Special Publication 811 (2008), Guide for the Use of the SI, Appendix B.

The printed factors are quoted from memory; the text was not at hand. They have seven figures, so
the tolerance is half a unit of the last figure; exact ones (set in bold there) have none but the
rounding of the machine. A second, independent check is against `scipy.constants`.
"""

from __future__ import annotations

import math

import pytest
from scipy import constants

from hoseselect.quantities.conversion import definition_figure
from hoseselect.quantities.read import read_quantity

MACHINE = 1e-12
# kind, typed unit, printed factor in units of SI, SI unit in our working unit, printed figures
# that count after the first (0 where the factor is exact)
PRINTED = [
    ("length", "in", 2.54e-2, 1e3, 0),
    ("length", "ft", 3.048e-1, 1e3, 0),
    ("pressure", "psi", 6.894757e3, 1e-3, 6),
    ("pressure", "kgf/cm2", 9.80665e4, 1e-3, 0),
    ("pressure", "bar", 1e5, 1e-3, 0),
    ("pressure", "atm gauge", 1.01325e5, 1e-3, 0),
    ("pressure", "torr gauge", 1.333224e2, 1e-3, 6),
    ("pressure", "mmHg gauge", 1.333224e2, 1e-3, 6),  # conventional
    ("pressure", "inHg gauge", 3.386389e3, 1e-3, 6),  # conventional
    ("pressure", "mmH2O", 9.80665, 1e-3, 0),  # conventional
    ("pressure", "inH2O", 2.490889e2, 1e-3, 6),  # conventional
    ("force", "lbf", 4.448222, 1.0, 6),
    ("force", "kgf", 9.80665, 1.0, 0),
    ("torque", "lbf ft", 1.355818, 1.0, 6),
    ("torque", "lbf in", 1.129848e-1, 1.0, 6),
    ("torque", "kgf m", 9.80665, 1.0, 0),
    ("flow", "US gal/min", 6.309020e-5, 6e4, 6),
    ("flow", "cfm", 4.719474e-4, 6e4, 6),
]


@pytest.mark.parametrize(("kind", "unit", "printed", "factor", "figures"), PRINTED)
def test_printed_factor(kind: str, unit: str, printed: float, factor: float, figures: int) -> None:
    # a thousand of the unit, so that the nine decimals kept do not limit the comparison
    read = read_quantity(f"1000 {unit}", kind, "field") / 1000 / factor
    last = 10.0 ** (math.floor(math.log10(printed)) - figures)
    allowed = 0.5 * last if figures else MACHINE * printed
    assert abs(read - printed) <= allowed * (1 + 1e-6)


def test_temperature_formulas() -> None:
    """SP 811 B.9: t/degC = (t/degF - 32)/1.8; t/degC = T/K - 273.15; exact."""
    for typed, celsius in [("212 °F", 100.0), ("32 °F", 0.0), ("-40 °F", -40.0), ("0 K", -273.15)]:
        read = read_quantity(typed, "temperature", "field")
        assert math.isclose(read, celsius, rel_tol=MACHINE, abs_tol=1e-9)


INDEPENDENT = [
    ("length", "in", constants.inch, 1e3),
    ("length", "ft", constants.foot, 1e3),
    ("pressure", "psi", constants.psi, 1e-3),
    ("pressure", "bar", constants.bar, 1e-3),
    ("pressure", "atm gauge", constants.atm, 1e-3),
    ("pressure", "torr gauge", constants.torr, 1e-3),
    ("pressure", "kgf/cm2", constants.kgf / constants.centi**2, 1e-3),
    ("force", "lbf", constants.lbf, 1.0),
    ("force", "kgf", constants.kgf, 1.0),
    ("torque", "lbf ft", constants.lbf * constants.foot, 1.0),
    ("torque", "lbf in", constants.lbf * constants.inch, 1.0),
    ("flow", "US gal/min", constants.gallon / constants.minute, 6e4),
    ("flow", "imp gal/min", constants.gallon_imp / constants.minute, 6e4),
    ("flow", "m3/h", 1 / constants.hour, 6e4),
    ("flow", "L/s", constants.liter, 6e4),
    ("angle", "rad", 1 / constants.degree, 1.0),
]


@pytest.mark.parametrize(("kind", "unit", "reference", "factor"), INDEPENDENT)
def test_independent_program(kind: str, unit: str, reference: float, factor: float) -> None:
    read = read_quantity(f"1000 {unit}", kind, "field") / 1000
    assert math.isclose(read, reference * factor, rel_tol=1e-11)


def test_mercury_column_against_independent_torr() -> None:
    """One torr is 1/760 atmosphere, a conventional millimetre of mercury 13.5951 times 9.80665 Pa.

    The two differ by 1.5e-7 by definition, hence the tolerance.
    """
    read = read_quantity("1000 inHg vacuum", "pressure", "field", minimum=-math.inf)
    assert math.isclose(read, -25.4 * constants.torr, rel_tol=1.5e-7)
    assert not math.isclose(read, -25.4 * constants.torr, rel_tol=1.3e-7)


@pytest.mark.parametrize("fahrenheit", [-40.0, 0.0, 32.0, 230.0, 257.0])
def test_temperature_against_independent_program(fahrenheit: float) -> None:
    reference = float(constants.convert_temperature(fahrenheit, "F", "C"))
    read = read_quantity(f"{fahrenheit} °F", "temperature", "field")
    assert math.isclose(read, reference, rel_tol=1e-11, abs_tol=1e-9)


def test_constants_that_are_printed_with() -> None:
    """The figures read without pint are those of the independent program."""
    for name, reference in [
        ("inch", constants.inch * 1000),
        ("pound", constants.pound),
        ("standard_gravity", constants.g),
        ("standard_atmosphere", constants.atm / 1000),
        ("us_gallon", constants.gallon / constants.inch**3),
    ]:
        assert math.isclose(definition_figure(name), reference, rel_tol=MACHINE), name
