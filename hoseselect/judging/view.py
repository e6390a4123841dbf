"""What a rule sees of jobs: a view that notes what it reads, and answers that are no figures.

What a rule reads is recorded, not declared. Answers are yes, no or unknown: a rule asks which; to
compare them with a figure is an error, so that no unknown passes for a no.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import Any, NoReturn

import numpy as np

from hoseselect.judging.columns import NO, NOT_NAMED, UNKNOWN, YES, Array
from hoseselect.knowledge.errors import KnowledgeError

ANSWERS = frozenset(
    {
        *("fluids_known", "drips_known", "boost_stated", "threaded", "has_bead_a", "has_bead_b"),
        *("measured_on_a", "measured_on_b", "heat_source_shielded", "keep_outs", "low_spot"),
        *("fall", "insert", "turbo", "sees_boost", "submerged", "print_lost"),
        *("sucked_flat", "heat_aged", "attacked"),
    }
)
"""Columns of jobs that are answers."""


class Answers:
    """Answers of jobs to one question, shape (n, 1) or (n, m); each property has that shape.

    Parameters
    ----------
    name : of the column
    codes : 1 yes, 0 no, -1 unknown, 2 something that nobody can name
    """

    __slots__ = ("_codes", "_name")
    __array_ufunc__ = None

    def __init__(self, name: str, codes: Array) -> None:
        self._name = name
        self._codes = codes

    @property
    def yes(self) -> Array:
        """Where the answer is yes."""
        return self._codes == YES

    @property
    def no(self) -> Array:
        """Where the answer is no."""
        return self._codes == NO

    @property
    def unknown(self) -> Array:
        """Where there is no answer."""
        return self._codes == UNKNOWN

    @property
    def unnamed(self) -> Array:
        """Where something was found that nobody can name."""
        return self._codes == NOT_NAMED

    @property
    def possible(self) -> Array:
        """Where the answer is yes or unknown."""
        return self._codes != NO

    @property
    def as_float(self) -> Array:
        """1 for yes, 0 for no, NaN for unknown."""
        return np.where(self._codes == UNKNOWN, np.nan, self._codes)

    def _refuse(self, *_: object) -> NoReturn:
        raise TypeError(
            f"column '{self._name}' is yes, no or unknown: ask .yes, .no, .unknown or .possible"
        )

    def __eq__(self, other: object) -> NoReturn:
        """Raise TypeError: an answer is no figure."""
        self._refuse()

    def __ne__(self, other: object) -> NoReturn:
        """Raise TypeError: an answer is no figure."""
        self._refuse()

    __hash__ = None  # type: ignore[assignment]
    __lt__ = __le__ = __gt__ = __ge__ = __invert__ = __neg__ = _refuse
    __and__ = __rand__ = __or__ = __ror__ = __add__ = __radd__ = __mul__ = __rmul__ = _refuse
    __bool__ = __array__ = __getitem__ = _refuse


class JobView:
    """Columns of some jobs, each of shape (n, 1) unless said otherwise at `JobColumns`.

    Parameters
    ----------
    column : gives the figures of a column by name
    rows : number of jobs
    """

    def __init__(self, column: Callable[[str], Array], rows: int) -> None:
        self.read: set[str] = set()
        self._column = column
        self._rows = rows
        self._open_to: Collection[str] | None = None

    def __len__(self) -> int:
        """Return the number of jobs."""
        return self._rows

    def __getattr__(self, name: str) -> Any:
        """Return a column: an array, or `Answers` where it holds answers."""
        if name.startswith("__"):
            raise AttributeError(name)
        if self._open_to is not None and name not in self._open_to:
            raise KnowledgeError(
                "a rule", f"words that read '{name}', which its figures do not", "the rule reads it"
            )
        values = self._column(name)
        self.read.add(name)
        return Answers(name, values) if name in ANSWERS else values

    def close(self, names: Collection[str]) -> None:
        """Let only some columns be read from now on: the jobs were told apart by those alone."""
        self._open_to = frozenset(names)
