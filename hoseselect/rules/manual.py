"""All rules, in the order that decides."""

from __future__ import annotations

from functools import cache

from hoseselect.judging.registry import Rule, declared_rules
from hoseselect.knowledge.load import table

# A rule declares itself where it stands; the modules are loaded for that.
from hoseselect.rules import (  # noqa: F401
    bend,
    fit,
    flow,
    fluid,
    heat,
    marking,
    pressure,
    route,
    stock,
)


@cache
def all_rules() -> tuple[Rule, ...]:
    """Return every rule, in the order of the table of rules.

    Raises
    ------
    KnowledgeError
        when a rule has no row, or a row no rule.
    """
    return declared_rules(table("rules"))
