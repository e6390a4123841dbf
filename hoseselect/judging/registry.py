"""One registry of rules: a function here, a row in the table of rules, nothing else.

The code of a rule is its function's name with hyphens; its docstring is its manual page.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import Literal, Protocol, cast

from hoseselect.judging.columns import Array, HoseColumns, JobColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.knowledge.errors import KnowledgeError
from hoseselect.knowledge.load import Row, table

MODULES = ("fluid", "marking", "heat", "pressure", "fit", "bend", "route", "flow", "stock")


class RuleFunction(Protocol):
    """A function over columns."""

    def __call__(self, jobs: JobColumns, hoses: HoseColumns) -> Comparison:
        """Return demand against limit."""
        ...


@dataclass(frozen=True, eq=False, repr=False)
class Rule:
    """A rule with its row of the table.

    Parameters
    ----------
    code : never used again for another rule
    group : fluid, marking, heat, pressure, fit, bend, route, flow or stock
    axis : whether the columns across are hose types or hose sizes
    needs : the job columns it reads
    function : the rule itself
    alike : what the rule makes of those columns, each of shape (n, 1): jobs alike in it have the
        same figures and sentences; None = the columns themselves
    row : sentences, unit and source
    """

    code: str
    group: str
    axis: Literal["type", "size"]
    needs: tuple[str, ...]
    function: RuleFunction
    alike: Reduction | None
    row: Row

    @property
    def page(self) -> str:
        """The manual page."""
        return (self.function.__doc__ or "").strip()

    @property
    def title(self) -> str:
        """First line of the manual page."""
        return self.page.splitlines()[0]


Reduction = Callable[[JobColumns], tuple[Array, ...]]
_declared: dict[str, tuple[tuple[str, ...], RuleFunction, Reduction | None]] = {}


def rule(*needs: str, alike: Reduction | None = None) -> Callable[[RuleFunction], RuleFunction]:
    """Declare a rule and the job columns it reads.

    Parameters
    ----------
    needs : names of columns of JobColumns
    alike : what the rule makes of them, where many jobs come to the same
    """

    def declare(function: RuleFunction) -> RuleFunction:
        code = cast("str", getattr(function, "__name__", "")).replace("_", "-")
        if code in _declared:
            raise KnowledgeError(code, "a second rule of this code", "one")
        _declared[code] = (needs, function, alike)
        return function

    return declare


@cache
def rules() -> tuple[Rule, ...]:
    """Return every rule, in the order of the table: the order that decides.

    Raises
    ------
    KnowledgeError
        when a rule has no row, or a row no rule.
    """
    for module in MODULES:
        import_module(f"hoseselect.rules.{module}")
    rows = {row["code"]: row for row in table("rules")}
    if set(rows) != set(_declared):
        odd = ", ".join(sorted(set(rows) ^ set(_declared)))
        raise KnowledgeError("rules.csv", f"not on both sides: {odd}", "one row for each rule")
    made = []
    for code, row in rows.items():
        needs, function, alike = _declared[code]
        axis = cast("Literal['type', 'size']", row["axis"])
        made.append(Rule(code, row["group"], axis, needs, function, alike, row))
    return tuple(made)
