"""Which fractions of a unit the trade writes; every other "18/22" may as well be a range."""

from __future__ import annotations

RULE_DENOMINATORS = frozenset({2, 4, 8, 16, 32, 64})
"""Divisions of an inch rule (common practice, no source)."""

QUARTERS = frozenset({2, 4})
IN_QUARTERS = frozenset({"bar", "foot", "meter"})
"""Units of which a half and a quarter alone are usual (common practice, no source)."""


def trade_denominators(unit: str, *, mixed: bool) -> frozenset[int]:
    """Return the denominators that a fraction of a unit may have; empty where it may be a range.

    Parameters
    ----------
    unit : as in `units.txt`
    mixed : whether a whole number stands before the fraction, as in "22 1/2": that is no range

    Examples
    --------
    >>> sorted(trade_denominators("bar", mixed=False))
    [2, 4]
    >>> sorted(trade_denominators("degree_Celsius", mixed=False))
    []
    """
    if unit == "inch":
        return RULE_DENOMINATORS
    if unit in IN_QUARTERS:
        return QUARTERS
    return QUARTERS if mixed else frozenset()
