"""Figures for people: in the units of the shop first, no more digits than the measure can tell.

Lengths are tape lengths or diameters: a tape is read to a sixteenth of an inch or a millimetre, a
caliper to a hundredth of an inch or a tenth of a millimetre. A figure that somebody must keep is
rounded to its safe side, never to the nearest.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache

from hoseselect.quantities.conversion import definition_figure
from hoseselect.quantities.exact import MILLIMETRES_PER_INCH
from hoseselect.quantities.figure_text import nearest_fraction

DEGF_PER_DEGC, DEGF_AT_ZERO = 1.8, 32.0
SMALL = 30.0  # below it lengths are taken with a caliper [mm], and other figures shown in tenths
ON_TAPE = 0.02  # how far from a sixteenth a figure is still one, in sixteenths
SIXTEENTHS, HUNDREDTHS, TENTHS = 16, 100, 10  # steps of tape and caliper
HAIR = 1e-6
DECIMALS = 5  # beyond what any step needs
AT_MOST, NEAREST, AT_LEAST = -1, 0, 1
"""Which way a figure is rounded: down for the most that may be, up for the least."""
UNKNOWN, UNLIMITED = "not known", "no limit"


@lru_cache(maxsize=16384)
def shown(
    value: float, unit: str, units: str = "mm", side: int = NEAREST, *, finer: int = 0
) -> str:
    """Return a figure with its unit, as the shop measures.

    Parameters
    ----------
    value : the figure [unit]
    unit : working unit: mm, kPa, degC, or another, which is shown as it is
    units : "mm" or "in"
    side : AT_MOST, NEAREST or AT_LEAST
    finer : how many more digits are shown, to tell two figures apart

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
    more = TENTHS**finer
    if units == "in" and unit == "mm":
        return f"{_inches(value / MILLIMETRES_PER_INCH, side, finer)} in"
    if units == "in" and unit == "kPa":
        psi = value * _psi_per_kilopascal()
        return f"{_decimals(psi, _steps(psi) * more, side)} psi"
    if units == "in" and unit == "degC":
        return f"{_decimals(value * DEGF_PER_DEGC + DEGF_AT_ZERO, more, side)} degF"
    steps = HUNDREDTHS if not unit and abs(value) < 1 else _steps(value)
    steps = 1 if unit == "degC" else steps
    return f"{_decimals(value, steps * more, side)} {unit}".rstrip()


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


def _steps(value: float) -> int:
    """Return in how many steps a whole is shown: tenths of small figures."""
    return TENTHS if abs(value) < SMALL else 1


def _inches(inches: float, side: int, finer: int) -> str:
    """Return inches as a tape or a caliper shows them."""
    on_tape = inches * SIXTEENTHS
    if finer:
        return _decimals(inches, HUNDREDTHS * TENTHS ** (finer - 1), side)
    near = ON_TAPE if side == NEAREST else HAIR
    if abs(inches) * MILLIMETRES_PER_INCH >= SMALL or abs(on_tape - round(on_tape)) < near:
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
    text = f"{_stepped(value, steps, side):.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
