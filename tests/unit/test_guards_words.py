"""What the house promises of its words: no path of a machine, no host of a package index."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SUFFIXES = {".py", ".md", ".csv", ".toml", ".json", ".txt", ".svg", ""}
FORBIDDEN = (
    r"(?<![\w./-])/(?:[w]ork|[r]oot|[h]ome|[m]nt|[o]pt|[U]sers)/",
    r"\b[p]ypi\b",
    r"\b[p]ythonhosted\b",
    r"\b[i]ssue \d+\b",
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


def test_the_checkout_is_seen() -> None:
    seen = {path.name for path in texts()}
    assert {"README.md", "pick.py", "hose_types.csv", "services.csv"} <= seen


def test_no_text_names_a_machine_or_an_index() -> None:
    odd = {
        str(path.relative_to(ROOT)): found
        for path in texts()
        if (found := forbidden_words(path.read_text(encoding="utf-8")))
    }
    assert odd == {}


@pytest.mark.parametrize(
    "text",
    ["see /" + "home/somebody/file", "as asked in is" + "sue 12", "fetched from py" + "pi"],
)
def test_the_word_guard_sees_a_planted_word(text: str) -> None:
    assert len(forbidden_words(f"first line\n{text}\n")) == 1


def test_the_word_guard_lets_the_trade_speak() -> None:
    assert forbidden_words("a leak is an issue at 2 bar; n/work per cycle") == []
