"""The pages of the documentation name what the code can write; the site leads to each of them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hoseselect.application.explain import explain_code
from hoseselect.interfaces.cli.main import COMMANDS
from hoseselect.interfaces.pages.written import MARK, WRITTEN, filled
from hoseselect.knowledge.load import table

DOCS = Path(__file__).parents[2] / "docs"
MADE = {"developers.md"}
"""Pages that only the build makes."""


def pages() -> dict[str, str]:
    """Return every page by its place."""
    paths = sorted(DOCS.rglob("*.md"))
    return {str(path.relative_to(DOCS)): path.read_text(encoding="utf-8") for path in paths}


def strange(marks: list[str]) -> list[str]:
    """Return the marks that name nothing, and what no mark or more than one names."""
    return [name for name in marks if name not in WRITTEN] + [
        name for name in WRITTEN if marks.count(name) != 1
    ]


def test_every_mark_names_what_is_written_and_each_stands_once() -> None:
    marks = [name for page in pages().values() for name in MARK.findall(page)]
    assert strange(marks) == []


def test_planted_marks_are_seen() -> None:
    marks = [*WRITTEN, "ghosts", "limits"]
    assert strange(marks) == ["ghosts", "limits"]
    assert strange(sorted(WRITTEN)[1:]) == sorted(WRITTEN)[:1]


def test_a_page_is_filled_where_its_mark_stands() -> None:
    page = filled("# Words\n\n<!-- written from the code: words -->\n\nend\n")
    assert page.startswith("# Words\n\n## ")
    assert page.endswith("\n\nend\n")
    assert "<!--" not in page


def test_the_navigation_leads_to_every_page_and_to_no_other() -> None:
    site = (DOCS / "site" / "mkdocs.yml").read_text(encoding="utf-8")
    named = re.findall(r": (\S+\.md)$", site.partition("\nnav:\n")[2], re.MULTILINE)
    assert sorted(named) == sorted({*pages(), *MADE})


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("services", table("services").column("service")),
        ("stops", table("stops").column("stop")),
        ("fluids", table("fluids").column("fluid")),
        ("markings", table("markings").column("marking")),
        ("polymers", table("polymers").column("symbol")),
        ("words", table("glossary").column("term")),
    ],
)
def test_each_kind_is_told_whole(name: str, expected: list[str]) -> None:
    headings = re.findall(r"^## (.+)$", WRITTEN[name](), re.MULTILINE)
    assert headings == [one for one in expected if explain_code(one).code == one]
    assert set(expected) - set(headings) <= {"unknown-service"}


@pytest.mark.parametrize("name", ["limits", "constants", "sources", "cautions", "checks"])
def test_each_table_is_told_whole(name: str) -> None:
    own = "formula_constants" if name == "constants" else name
    lines = WRITTEN[name]().splitlines()
    assert len(lines) == 2 + len(table(own))
    assert len({len(re.split(r"(?<!\\)\|", line)) for line in lines}) == 1


def test_every_command_is_told() -> None:
    headings = re.findall(r"^## hoseselect (\w+)", WRITTEN["commands"](), re.MULTILINE)
    assert set(headings) == set(COMMANDS)
