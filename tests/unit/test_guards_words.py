"""What the house promises of its words: no machine, no package index, nobody who wrote them."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SUFFIXES = {".py", ".md", ".csv", ".toml", ".json", ".txt", ".svg", ".typ", ".yaml", ""}
FORBIDDEN = (
    r"(?<![\w./-])/(?:[w]ork|[r]oot|[h]ome|[m]nt|[o]pt|[U]sers)/",
    r"\b[p]ypi\b",
    r"\b[p]ythonhosted\b",
    r"\b[p]ackage[ -]registr",
    r"\b[i]ssue #?\d+\b",
    r"(?<!reduction )\b(?:sub)?[a]gents?\b",  # an AUS 32 is a reduction agent by its title
    r"(?<!scope=\")\b[s]essions?\b",  # the scope of a fixture is a word of pytest
    r"\b(?:[t]ranscript|[w]orktree|[c]hatbot|[c]oordinator)s?\b",
    r"\b[l]anguage model|\bL" r"LMs?\b|\bA" r"I\b|\bas an assis" r"tant\b",
)


def forbidden_words(text: str) -> list[str]:
    """Return the forbidden words of a text, with their lines."""
    return [
        f"line {number}: {found.group()}"
        for number, line in enumerate(text.splitlines(), start=1)
        for pattern in FORBIDDEN
        for found in re.finditer(pattern, line, re.IGNORECASE)
    ]


def texts() -> Iterator[Path]:
    """Yield every text file of the checkout."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        capture_output=True,
        check=True,
        cwd=ROOT,
    ).stdout.decode()
    for name in listed.split("\0"):
        path = ROOT / name
        if name and path.suffix in SUFFIXES and path.is_file():
            yield path


def read(path: Path) -> str:
    """Return the text of a file; one without an ending may hold bytes that a fuzzer has found."""
    return path.read_text(encoding="utf-8", errors="strict" if path.suffix else "replace")


def test_the_checkout_is_seen() -> None:
    seen = {path.name for path in texts()}
    assert {"README.md", "pick.py", "hose_types.csv", "services.csv"} <= seen


def test_no_text_names_a_machine_or_an_index() -> None:
    odd = {
        str(path.relative_to(ROOT)): found
        for path in texts()
        if (found := forbidden_words(read(path)))
    }
    assert odd == {}


def fetched(hooks: str) -> list[str]:
    """Return the repositories from which a configuration of hooks fetches."""
    return [name for name in re.findall(r"repo:\s*(\S+)", hooks) if name != "local"]


def test_hooks_fetch_nothing_and_the_workflow_calls_the_one_check() -> None:
    assert fetched((ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8")) == []
    assert fetched("- repo: local\n- repo: https://example.org/x\n") == ["https://example.org/x"]
    workflow = (ROOT / ".github" / "workflows" / "ci.yaml").read_text(encoding="utf-8")
    assert re.findall(r"run: (.*)", workflow) == [".ci/run"]


@pytest.mark.parametrize(
    "text",
    [
        "see /" + "home/somebody/file",
        "as asked in is" + "sue 12",
        "fetched from py" + "pi",
        "of the package reg" + "istry",
        "written by an ag" + "ent",
        "seen in this ses" + "sion",
        "# as the trans" + "cript says",
        "a work" + "tree of its own",
        "a language mo" + "del says",
        "made with A" + "I",
    ],
)
def test_the_word_guard_sees_a_planted_word(text: str) -> None:
    assert len(forbidden_words(f"first line\n{text}\n")) == 1


def test_the_word_guard_lets_the_trade_speak() -> None:
    assert forbidden_words("a leak is an issue at 2 bar; n/work per cycle") == []
    assert forbidden_words("reduction agent AUS 32; the registry of rules; in possession") == []
    assert forbidden_words('@pytest.fixture(scope="session")') == []
