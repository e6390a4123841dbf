"""Every word that the nomenclature quotes is a name: of a class, column, key or option."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest
import typer

from hoseselect.catalogue.tables import TABLES
from hoseselect.intake.job_keys import job_keys
from hoseselect.interfaces.cli.main import application

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "hoseselect"
SECTION = re.compile(r"^## (.+)\n((?:(?!^## ).*\n?)*)", re.MULTILINE)
ROW = re.compile(r"^\|([^|\n]*)\|([^|\n]*)\|", re.MULTILINE)
QUOTED = re.compile(r"`([^`]+)`")
PLACES = {
    "The job": ("domain",),
    "The hose": ("catalogue",),
    "The finding": ("domain",),
    "The cut plan": ("domain",),
    "The answer": ("answer",),
}
"""Rooms in which the words of a section are names."""


@cache
def named(room: str) -> frozenset[str]:
    """Return the names of a room: classes, their fields and properties."""
    found = set()
    for path in (PACKAGE / room).rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.ClassDef):
                continue
            found.add(node.name)
            for part in node.body:
                if isinstance(part, ast.AnnAssign) and isinstance(part.target, ast.Name):
                    found.add(part.target.id)
                elif isinstance(part, ast.FunctionDef):
                    found.add(part.name)
    return frozenset(found)


@cache
def options() -> frozenset[str]:
    """Return every option of every command."""
    left, found = [typer.main.get_command(application())], set()
    while left:
        command = left.pop()
        left += getattr(command, "commands", {}).values()
        found |= {name for option in command.params for name in option.opts}
    return frozenset(found)


def known(section: str) -> set[str]:
    """Return the names that the words of a section may be."""
    found = {name for room in PLACES.get(section, ()) for name in named(room)}
    if section == "The job":
        found |= {part for key in job_keys() for part in key.split(".")}
    if section == "The hose":
        found |= {field.name for table in TABLES for field in table.fields}
    return found | (set(options()) if section == "Options" else set())


def strange(page: str) -> list[str]:
    """Return the words quoted in the first column of a table that are the name of nothing."""
    faults: list[str] = []
    for section, body in SECTION.findall(page):
        for words, second in ROW.findall(body):
            names = known(section)
            if section == "In the program":
                room = second.strip()
                names = set(named(room)) if room in rooms() else set()
            faults += [f"{section}: {word}" for word in absent(QUOTED.findall(words), names)]
    return faults


def rooms() -> set[str]:
    """Return the rooms of the package."""
    return {path.parent.name for path in PACKAGE.glob("*/__init__.py")}


def absent(words: Iterable[str], names: set[str]) -> list[str]:
    """Return the words that are none of the names."""
    return [word for word in words if word not in names]


def test_every_word_of_the_nomenclature_is_a_name() -> None:
    assert (
        strange((ROOT / "docs" / "reference" / "nomenclature.md").read_text(encoding="utf-8")) == []
    )


def test_every_section_that_names_words_is_looked_at() -> None:
    page = (ROOT / "docs" / "reference" / "nomenclature.md").read_text(encoding="utf-8")
    assert {*PLACES, "Options", "In the program"} <= {name for name, _ in SECTION.findall(page)}


@pytest.mark.parametrize(
    ("section", "row"),
    [
        ("The job", "| `pressure_mean` | p | kPa |"),
        ("The hose", "| `bore`, `girth` | d | mm |"),
        ("The finding", "| `guess` | | |"),
        ("The cut plan", "| `offcut` | | mm |"),
        ("The answer", "| `opinion` | |"),
        ("Options", "| `--ghost` | x |"),
        ("In the program", "| `Ticket` | interfaces | x |"),
        ("In the program", "| `Verdict` | judging | x |"),
        ("In the program", "| `Verdict` | nowhere | x |"),
        ("A section of its own", "| `verdict` | x |"),
    ],
)
def test_the_guard_of_words_sees_a_planted_one(section: str, row: str) -> None:
    assert len(strange(f"# Page\n\n## {section}\n\n| word | x | y |\n|---|---|---|\n{row}\n")) == 1


def test_the_guard_of_words_lets_names_pass() -> None:
    page = "## The job\n\n| `nipple_a`, `usable_length` | x |\n\n## Options\n\n| `--json` | x |\n"
    assert strange(page) == []
