"""What a rule is: a function over columns, and a row in the table of rules; nothing is declared.

The code of a rule is its function's name with hyphens; its docstring is its manual page.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Literal, Protocol, cast

from hoseselect.judging.columns import Array, HoseColumns
from hoseselect.judging.comparison import Comparison
from hoseselect.judging.view import JobView
from hoseselect.knowledge.errors import KnowledgeError
from hoseselect.knowledge.load import KnowledgeTable, Row


class RuleFunction(Protocol):
    """A function over columns: those of jobs, or what the rule's reduction made of them."""

    def __call__(self, jobs: Any, hoses: HoseColumns, /) -> Comparison:
        """Return demand against limit."""
        ...


Reduction = Callable[[JobView], tuple[Array, ...]]


@dataclass(frozen=True, eq=False, repr=False)
class Rule:
    """A rule with its row of the table.

    Parameters
    ----------
    code : never used again for another rule
    group : fluid, marking, heat, pressure, fit, bend, route, flow or stock
    axis : whether the columns across are hose types or hose sizes
    function : the rule itself
    row : sentences, unit and source
    of : what is made of the columns of jobs, each of shape (n, 1), where many jobs come to the
        same; the rule then sees that and nothing else of the jobs
    reads : the job columns that it was seen to read so far
    """

    code: str
    group: str
    axis: Literal["type", "size"]
    function: RuleFunction
    row: Row
    of: Reduction | None = None
    reads: set[str] = field(default_factory=set)

    @property
    def page(self) -> str:
        """The manual page.

        Raises
        ------
        KnowledgeError
            when Python was told to leave it out.
        """
        page = (self.function.__doc__ or "").strip()
        if not page:
            expected = "python without -OO, and no PYTHONOPTIMIZE=2"
            raise KnowledgeError(self.code, "a rule without its manual page", expected)
        return page

    @property
    def title(self) -> str:
        """First line of the manual page."""
        return self.page.splitlines()[0]


@dataclass(frozen=True, eq=False, repr=False)
class Declared:
    """A function that was declared a rule."""

    function: RuleFunction
    of: Reduction | None


_declared: dict[str, Declared] = {}


def rule(*, of: Reduction | None = None) -> Callable[[RuleFunction], RuleFunction]:
    """Declare a rule.

    Parameters
    ----------
    of : makes a few columns of those of the jobs, where many jobs come to the same; the rule gets
        them in place of the jobs
    """

    def declare(function: RuleFunction) -> RuleFunction:
        code = cast("str", getattr(function, "__name__", "")).replace("_", "-")
        if code in _declared:
            raise KnowledgeError(code, "a second rule of this code", "one")
        _declared[code] = Declared(function, of)
        return function

    return declare


def declared_rules(rows: KnowledgeTable) -> tuple[Rule, ...]:
    """Return the declared rules with their rows, in the order of the table: the order that decides.

    Raises
    ------
    KnowledgeError
        when a rule has no row, or a row no rule.
    """
    codes = [row["code"] for row in rows]
    if set(codes) != set(_declared):
        odd = ", ".join(sorted(set(codes) ^ set(_declared)))
        raise KnowledgeError("rules.csv", f"not on both sides: {odd}", "one row for each rule")
    made = []
    for row in rows:
        own = _declared[row["code"]]
        axis = cast("Literal['type', 'size']", row["axis"])
        made.append(Rule(row["code"], row["group"], axis, own.function, row, own.of))
    return tuple(made)
