"""All rules, in the order that decides."""

from __future__ import annotations

from functools import cache

from hoseselect.judging.registry import Rule, declared_rules
from hoseselect.knowledge.load import table
from hoseselect.rules import bend, fit, flow, fluid, heat, marking, pressure, route, stock

MODULES = (fluid, marking, heat, pressure, fit, bend, route, flow, stock)
"""The modules of rules; a rule declares itself where it stands."""


@cache
def all_rules() -> tuple[Rule, ...]:
    """Return every rule, in the order of the table of rules.

    Raises
    ------
    KnowledgeError
        when a rule has no row, or a row no rule.
    """
    return declared_rules(table("rules"))
