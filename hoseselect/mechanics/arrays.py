"""Small helpers shared by the mechanics: numbers in, arrays of floats out."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Numbers = npt.ArrayLike


def floats(*values: Numbers) -> list[Floats]:
    """Turn numbers or arrays of numbers into arrays of floats; shapes are left alone.

    Parameters
    ----------
    values : numbers or arrays, any shape

    Returns
    -------
    list of arrays of floats, one for each value
    """
    return [np.asarray(value, dtype=np.float64) for value in values]


def where_known(condition: npt.ArrayLike, values: Numbers) -> Floats:
    """Keep values where the condition holds, NaN (unknown) elsewhere.

    Parameters
    ----------
    condition : truth values, broadcast against the values
    values : numbers, any shape

    Returns
    -------
    array of floats of the common shape
    """
    kept: Floats = np.where(condition, np.asarray(values, dtype=np.float64), np.nan)
    return kept
