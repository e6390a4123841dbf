"""Conversion between units by pint, with the short definition file `units.txt`.

pint is imported when the first value in a foreign unit comes in, never before.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from hoseselect.knowledge.errors import KnowledgeError

if TYPE_CHECKING:
    from pint import UnitRegistry

UNITS_FILE = Path(__file__).with_name("units.txt")

# Decimals of the working unit kept after a conversion; what lies beyond is rounding of the machine.
_DECIMALS_KEPT = 9


@cache
def registry() -> UnitRegistry[float]:
    """Return the units of `units.txt`, read once."""
    from pint import UnitRegistry

    return UnitRegistry(UNITS_FILE)


def convert(value: float, unit: str, target: str) -> float:
    """Convert a value; the result is rounded to the ninth decimal of the target unit.

    Parameters
    ----------
    value : the figure [unit]
    unit : a unit of `units.txt`, or a product of several
    target : unit wanted, in the same form

    Raises
    ------
    pint.errors.DimensionalityError : the two units do not measure the same thing
    pint.errors.UndefinedUnitError : a unit is not in `units.txt`
    """
    if unit == target:
        return value
    factor = direct_factor(unit, target)
    if factor:
        return round(value * factor, _DECIMALS_KEPT)
    return round(float(registry().convert(value, unit, target)), _DECIMALS_KEPT)


@cache
def direct_factor(unit: str, target: str) -> float:
    """Return the factor where a unit is defined as a multiple of the target itself, else 0.

    It spares the import of pint for the commonest units. Temperatures have an offset and are
    never read so.
    """
    text = UNITS_FILE.read_text(encoding="utf-8")
    pattern = rf"^{re.escape(unit)} = ([0-9.]+) \* {re.escape(target)} *(?:#.*)?$"
    found = re.search(pattern, text, flags=re.MULTILINE)
    return float(found[1]) if found else 0.0


@cache
def definition_figure(name: str) -> float:
    """Return the first figure of a definition in `units.txt`, without importing pint.

    Examples
    --------
    >>> definition_figure("inch")
    25.4

    Raises
    ------
    KnowledgeError : there is no such definition, or it starts with no figure
    """
    text = UNITS_FILE.read_text(encoding="utf-8")
    found = re.search(rf"^{re.escape(name)} = ([0-9.]+) \*", text, flags=re.MULTILINE)
    if found is None:
        raise KnowledgeError("units.txt", f"no figure for {name}", f"a line '{name} = ... * ...'")
    return float(found[1])
