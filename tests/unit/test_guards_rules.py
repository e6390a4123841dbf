"""What the house promises of its rules: documented, without bare numbers, tested by name."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from hoseselect.interfaces.pages.rules_page import HEADINGS, sections
from hoseselect.rules.manual import all_rules

ROOT = Path(__file__).parents[2]
RULES = ROOT / "hoseselect" / "rules"
HARMLESS = (0, 1, 2)


def undocumented(docstring: str) -> list[str]:
    """Return what a rule's docstring lacks: a title, or a heading with text below it."""
    found = sections(docstring)
    missing = [] if found.get("", "").strip() else ["title"]
    return missing + [heading for heading in HEADINGS if not found.get(heading, "").strip()]


def bare_numbers(source: str) -> list[str]:
    """Return the numbers that stand bare in a module of rules.

    Inside functions only 0, 1, 2 (and their negatives) may stand. A constant at module level
    needs a comment beside it or above it that says where it comes from.
    """
    lines = source.splitlines()
    found = []
    for node in ast.parse(source).body:
        told = isinstance(node, ast.Assign | ast.AnnAssign) and (
            "#" in lines[node.lineno - 1] or lines[node.lineno - 2].lstrip().startswith("#")
        )
        found += [
            f"line {part.lineno}: {part.value}"
            for part in ast.walk(node)
            if isinstance(part, ast.Constant)
            and isinstance(part.value, int | float)
            and not isinstance(part.value, bool)
            and part.value not in HARMLESS
            and not told
        ]
    return found


def untested(codes: list[str], tests: str) -> list[str]:
    """Return the codes that no test names, neither with hyphens nor as a function."""
    words = set(re.findall(r"[a-z0-9]+(?:[-_][a-z0-9]+)*", tests))
    named = " ".join(words)
    return [
        code
        for code in codes
        if not re.search(rf"(?<![a-z0-9-]){code}(?![a-z0-9-])", tests)
        and code.replace("-", "_") not in named.split()
    ]


def written_tests() -> str:
    """Return the text of all tests, guards apart."""
    paths = [path for path in (ROOT / "tests").rglob("*.py") if "guard" not in path.name]
    return "\n".join(path.read_text(encoding="utf-8") for path in paths)


@pytest.mark.parametrize("code", [rule.code for rule in all_rules()])
def test_every_rule_is_documented(code: str) -> None:
    page = next(rule.page for rule in all_rules() if rule.code == code)
    assert undocumented(page) == []


def test_the_documentation_guard_sees_a_planted_gap() -> None:
    page = """Title.

    What it checks
        Something.
    Why it matters
    Example
        One.
    """
    assert undocumented(page) == ["Why it matters", "Source"]
    assert undocumented("") == ["title", *HEADINGS]


@pytest.mark.parametrize("path", sorted(RULES.glob("*.py")), ids=lambda path: path.name)
def test_no_number_stands_bare_in_the_rules(path: Path) -> None:
    assert bare_numbers(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    "source",
    [
        "def rule(jobs, hoses):\n    return jobs.demand * 1.15\n",
        "def rule(jobs, hoses):\n    # from a book\n    return jobs.demand > 610\n",
        "\nLIMIT = 610\n",
        "def rule(jobs, most=610):\n    return jobs\n",
    ],
)
def test_the_number_guard_sees_a_planted_figure(source: str) -> None:
    assert len(bare_numbers(source)) == 1


def test_the_number_guard_lets_harmless_numbers_pass() -> None:
    source = "# exact by definition\nZERO = 273.15\ndef f(x):\n    return x[-1] * 2 + 1.0 - 0\n"
    assert bare_numbers(source) == []


@pytest.mark.parametrize("code", [rule.code for rule in all_rules()])
def test_every_rule_is_named_by_a_test(code: str) -> None:
    assert untested([code], written_tests()) == []


def test_the_naming_guard_sees_a_planted_rule() -> None:
    tests = "refuses('fit-loose-2'); assert fit_stretch(jobs, hoses); codes = {'heat-cold'}"
    assert untested(["fit-stretch", "heat-cold"], tests) == []
    assert untested(["fit-loose", "heat-col", "planted-rule"], tests) == [
        "fit-loose",
        "heat-col",
        "planted-rule",
    ]
