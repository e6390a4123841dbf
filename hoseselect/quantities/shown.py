"""Figures for people: in the units of the shop first, no more digits than the measure can tell.

Lengths are tape lengths or diameters: a tape is read to a sixteenth of an inch or a millimetre, a
caliper to a hundredth of an inch or a tenth of a millimetre. A figure that somebody must keep is
rounded to its safe side, never to the nearest.
"""

from __future__ import annotations

import math
from functools import cache

from hoseselect.quantities.conversion import definition_figure
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH
from hoseselect.quantities.figure_text import nearest_fraction

DEGF_PER_DEGC, DEGF_AT_ZERO = 1.8, 32.0
CALIPER_UP_TO = 30.0  # lengths that are taken with a caliper, not with a tape [mm]
SIXTEENTHS, HUNDREDTHS, TENTHS = 16, 100, 10  # steps of tape and caliper
HAIR = 1e-6
AT_MOST, NEAREST, AT_LEAST = -1, 0, 1
"""Which way a figure is rounded: down for the most that may be, up for the least."""
UNKNOWN, UNLIMITED = "not known", "no limit"


def shown(value: float, unit: str, units: str = "mm", side: int = NEAREST) -> str:
    """Return a figure with its unit, as the shop measures.

    Parameters
    ----------
    value : the figure [unit]
    unit : working unit: mm, kPa, degC, or another, which is shown as it is
    units : "mm" or "in"
    side : AT_MOST, NEAREST or AT_LEAST

    Examples
    --------
    >>> shown(84.6, "mm", "mm", AT_LEAST), shown(84.6, "mm", "in", AT_LEAST)
    ('85 mm', '3 3/8 in')
    >>> shown(12.75, "mm", side=AT_MOST), shown(300.0, "kPa", "in"), shown(-40.0, "degC", "in")
    ('12.7 mm', '44 psi', '-40 degF')
    """
    if math.isnan(value):
        return UNKNOWN
    if math.isinf(value):
        return UNLIMITED
    if units == "in" and unit == "mm":
        return f"{_inches(value / MILLIMETRES_PER_INCH, side)} in"
    if units == "in" and unit == "kPa":
        return f"{_decimals(value * _psi_per_kilopascal(), _steps_of_pressure(value), side)} psi"
    if units == "in" and unit == "degC":
        return f"{_decimals(value * DEGF_PER_DEGC + DEGF_AT_ZERO, 1, side)} degF"
    if unit == "kPa":
        return f"{_decimals(value, _steps_of_pressure(value), side)} kPa"
    steps = TENTHS if abs(value) < CALIPER_UP_TO else 1
    return f"{_decimals(value, steps, side)} {unit}".rstrip()


def both(value: float, unit: str, units: str = "mm", side: int = NEAREST) -> str:
    """Return a figure in the units of the shop, then in the other.

    Examples
    --------
    >>> both(150.0, "mm"), both(110.0, "degC", "in")
    ('150 mm (5 7/8 in)', '230 degF (110 degC)')
    """
    other = "mm" if units == "in" else "in"
    if not math.isfinite(value) or unit not in {"mm", "kPa", "degC"}:
        return shown(value, unit, units, side)
    return f"{shown(value, unit, units, side)} ({shown(value, unit, other, side)})"


def metres(length: float, units: str = "mm") -> str:
    """Return what is left on a roll.

    Parameters
    ----------
    length : [m]
    units : "mm" or "in"
    """
    if units == "in":
        inches = length * METRE / MILLIMETRES_PER_INCH
        return f"{math.floor(inches / 12 * TENTHS + HAIR) / TENTHS:g} ft"
    return f"{length:g} m"


@cache
def _psi_per_kilopascal() -> float:
    pound_force = definition_figure("pound") * definition_figure("standard_gravity")  # [N]
    return definition_figure("inch") ** 2 / (METRE * pound_force)


METRE = 1000  # [mm]


def _steps_of_pressure(value: float) -> int:
    return TENTHS if abs(value) < TENTHS else 1


def _inches(inches: float, side: int) -> str:
    caliper = abs(inches) * MILLIMETRES_PER_INCH < CALIPER_UP_TO
    on_tape = inches * SIXTEENTHS
    if not caliper or math.isclose(on_tape, round(on_tape), abs_tol=0.02):
        return nearest_fraction(_stepped(inches, SIXTEENTHS, side))
    return _decimals(inches, HUNDREDTHS, side)


def _stepped(value: float, steps: int, side: int) -> float:
    scaled = value * steps
    if side == NEAREST:
        return round(scaled) / steps
    whole = math.floor(scaled + HAIR) if side == AT_MOST else math.ceil(scaled - HAIR)
    return whole / steps


def _decimals(value: float, steps: int, side: int) -> str:
    """Return a figure on its steps, without zeros that say nothing and never as -0."""
    text = f"{_stepped(value, steps, side):.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
