"""Constants of published formulas, each with its source in `tables/formula_constants.csv`."""

from __future__ import annotations

from functools import cache

from hoseselect.knowledge.load import Row, table


def constant(name: str) -> float:
    """Return one constant in the unit of its formula.

    Parameters
    ----------
    name : name of the constant, as in the table

    Returns
    -------
    the value, in the unit that stands beside it in the table

    Raises
    ------
    KnowledgeError : the constant is not listed
    """
    return _row(name).number("value")


@cache
def _row(name: str) -> Row:
    return table("formula_constants").row(constant=name)
