"""The page of rules, written from the rules themselves and their table.

`python -m hoseselect.interfaces.pages.rules_page > docs/reference/rules.md` writes the page anew.
"""

from __future__ import annotations

import inspect
import sys
from collections.abc import Iterator
from functools import cache
from types import ModuleType

from hoseselect.answer.coverage import coverage
from hoseselect.catalogue import hose_claims, hose_limits
from hoseselect.catalogue.locate import find_catalogue
from hoseselect.catalogue.read import read_catalogue
from hoseselect.judging import assume
from hoseselect.judging.distinct import COLUMNS
from hoseselect.judging.registry import Rule
from hoseselect.knowledge.load import table
from hoseselect.rules.manual import all_rules
from hoseselect.rules.stop import stop_of, stops

HEADINGS = ("What it checks", "Why it matters", "Example", "Source")
VERDICTS = ("accept", "conditional", "reject", "unknown")

INTRODUCTION = """# Rules

Every rule is held against every hose; none stops the others, and the worst finding decides:
reject, then unknown, then conditional, then accept. `hoseselect explain CODE` shows the same page
for one rule. In the sentences below `{demand}` is what the job asks, `{limit}` what the hose can,
`{note}` what was found, `{lacking}` by how much it misses.

This page is written by `python -m hoseselect.interfaces.pages.rules_page`; do not edit it by hand.
"""

STOPS = """## Stops

Before any hose is looked at, a job is stopped where its service, an end fitting, the place or a
fluid is no job for bulk hose. Nothing else in a job can lift a stop, and a stopped job gets neither
a hose nor a cut length.
"""


GROUNDS = {
    "What is not known": assume,
    "Which markings of a hose count": hose_claims,
    "Which figures of a hose count": hose_limits,
}
"""What every rule rests on, by the module that says it."""


def rules_page() -> str:
    """Return the page of rules, in Markdown."""
    parts = [INTRODUCTION, _contents(), "\n".join(_stops())]
    parts += [f"## {heading}\n\n{_told(module)}" for heading, module in GROUNDS.items()]
    group = ""
    for rule in all_rules():
        if rule.group != group:
            group = rule.group
            parts.append(f"## {group.capitalize()}\n")
        parts.append("\n".join(_rule(rule)))
    return "\n".join(parts)


def _told(module: ModuleType) -> str:
    """Return what the head of a module says, without its first line."""
    _, _, text = inspect.cleandoc(module.__doc__ or "").partition("\n\n")
    return f"{text}\n"


def sections(docstring: str) -> dict[str, str]:
    """Return the paragraphs of a rule's docstring by heading; its first line under "".

    Parameters
    ----------
    docstring : a line, then headings, each with a paragraph indented below it
    """
    found: dict[str, list[str]] = {"": []}
    heading = ""
    for line in inspect.cleandoc(docstring).splitlines():
        if line.startswith(" "):
            found[heading].append(line.strip())
        elif line in HEADINGS:
            heading = line
            found[heading] = []
        elif line:
            found[""].append(line)
    return {name: " ".join(lines) for name, lines in found.items()}


def _contents() -> str:
    lines = ["| code | what it looks at |", "|---|---|"]
    lines += [f"| [{rule.code}](#{rule.code}) | {rule.title} |" for rule in all_rules()]
    return "\n".join(lines) + "\n"


def _rule(rule: Rule) -> Iterator[str]:
    page = sections(rule.page)
    yield f"### {rule.code}\n"
    yield f"{page['']}\n"
    for heading in HEADINGS:
        yield f"**{heading}.** {page.get(heading, '')}\n"
    yield f"Unit: {rule.row['unit']}. Read from the job: {', '.join(_reads()[rule.code])}."
    yield f"Trust: {rule.row.source}.\n"
    yield "| verdict | sentence |"
    yield "|---|---|"
    for verdict in VERDICTS:
        yield f"| {verdict} | {rule.row[verdict]} |"
    yield f"\nRemedy: {rule.row['remedy']}\n"


@cache
def _reads() -> dict[str, tuple[str, ...]]:
    """Return the columns of a job that each rule is seen to read, tried on every service."""
    coverage(read_catalogue(find_catalogue(None, {})))
    return {rule.code: tuple(c for c in COLUMNS if c in rule.reads) for rule in all_rules()}


def _stops() -> Iterator[str]:
    page = sections(stops.__doc__ or "")
    yield STOPS
    for heading in HEADINGS[:2]:
        yield f"**{heading}.** {page[heading]}\n"
    yield "| stop | what it is | reason | who can help | source |"
    yield "|---|---|---|---|---|"
    for code in table("stops").column("stop"):
        stop = stop_of(code)
        yield f"| {code} | {stop.name} | {stop.reason} | {stop.who} | {stop.source} |"
    yield ""


if __name__ == "__main__":
    sys.stdout.write(rules_page())
