"""What the house promises of its pages: every file, module and link that they name is there."""

from __future__ import annotations

import re
import subprocess
from functools import cache
from pathlib import Path

import pytest

import hoseselect

ROOT = Path(__file__).parents[2]
PAGES = (ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md")))
FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
QUOTED = re.compile(r"`([^`\n]+)`")
FILE = re.compile(r"[\w./*{}-]+\.(?:py|csv|toml|json|md|typ|txt|yaml|svg)")
FOLDER = re.compile(r"(?:[\w.-]+/)+")
MODULE = re.compile(r"\bhoseselect(?:\.\w+)+")
LINK = re.compile(r"\]\(([^)#:]+)\)")
ROOMS = ("", "hoseselect/", "hoseselect/knowledge/", "docs/", "tests/")
MADE = "pictures/built/"
"""Folder of pictures that the build of the site makes."""
THEIRS = {"job.toml", "config.toml", "route.svg", "pyproject.toml"}
"""Files of those who use the tool, which a page names without showing them."""


@cache
def files() -> frozenset[str]:
    """Return the files of the checkout."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        capture_output=True,
        check=True,
        cwd=ROOT,
    ).stdout.decode()
    return frozenset(name for name in listed.split("\0") if name and (ROOT / name).is_file())


def is_there(name: str) -> bool:
    """Return whether a file or folder that a page names is there.

    A name counts from the top, the package, the tables or the tests; a bare name may lie anywhere.
    A star or a word in braces stands for any name.
    """
    wanted = re.sub(r"\\\*|\\\{\w+\\\}", r"[^/]*", re.escape(name))
    below = ".*" if name.endswith("/") else ""
    rooms = "|".join(map(re.escape, ROOMS)) if "/" in name.rstrip("/") else ".*/|"
    pattern = re.compile(f"(?:{rooms}){wanted}{below}")
    return any(pattern.fullmatch(file) for file in files())


def missing(page: str) -> list[str]:
    """Return what a page names and is not there.

    What stands in a fenced block is run elsewhere; a bare file that such a block names belongs to
    those who use the tool.
    """
    blocks = " ".join(body for _, body in FENCE.findall(page))
    prose = FENCE.sub("", page)
    theirs = THEIRS | {name for name in FILE.findall(blocks) if "/" not in name}
    words = [word for quoted in QUOTED.findall(prose) for word in quoted.split()]
    faults = [
        word
        for word in words
        if (FILE.fullmatch(word) or FOLDER.fullmatch(word))
        and word not in theirs
        and not word.startswith((".venv", "build/"))  # made while working
        and not is_there(word)
    ]
    for name in MODULE.findall(page):
        path = name.replace(".", "/")
        parent = path.rpartition("/")[0]  # the last part may be a function
        known = {f"{path}.py", f"{path}/__init__.py", f"{parent}.py"}
        faults += [] if known & files() or FILE.fullmatch(name) else [name]
    return faults


def broken(page: str, folder: Path) -> list[str]:
    """Return the links of a page to files that are not there, and are not made with the site."""
    links = [link for link in LINK.findall(page) if MADE not in link]
    return [link for link in links if not (folder / link).exists()]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_everything_that_a_page_names_is_there(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    assert missing(text) == []
    assert broken(text, page.parent) == []


def test_the_page_of_changes_begins_with_the_version() -> None:
    changes = (ROOT / "docs" / "changelog.md").read_text(encoding="utf-8")
    first = re.search(r"^## (\S+?),", changes, re.MULTILINE)
    assert first is not None
    assert first[1] == hoseselect.__version__


def test_the_index_leads_to_every_page() -> None:
    index = (ROOT / "docs" / "index.md").read_text(encoding="utf-8")
    docs = ROOT / "docs"
    own = {str(page.relative_to(docs)) for page in PAGES if docs in page.parents} - {"index.md"}
    assert own - set(LINK.findall(index)) == set()


PAGE = """
Look at `{word}`.

```sh
cat mine.csv
```
"""


@pytest.mark.parametrize(
    "word",
    [
        "rules/ghost.py",
        "knowledge/quantities.py",
        "ghosts.csv",
        "hoseselect/ghosts/",
        "tests/unit/test_ghost*.py",
        "hoseselect.rules.ghost",
        "hoseselect.ghosts.rule.bend_radius",
        "hoseselect catalog new ghost.toml",
    ],
)
def test_the_guard_of_pages_sees_a_planted_name(word: str) -> None:
    assert len(missing(PAGE.format(word=word))) == 1


@pytest.mark.parametrize(
    "word",
    [
        "rules/bend.py",
        "tables/rules.csv",
        "limits.csv",
        "hoseselect/rules/",
        "rules/",
        "test_guards*.py",
        "hoseselect.rules.bend",
        "hoseselect.rules.bend.bend_radius",
        "mine.csv",
        "service.csv/duty",
    ],
)
def test_the_guard_of_pages_lets_what_is_there_pass(word: str) -> None:
    assert missing(PAGE.format(word=word)) == []


def test_the_guard_of_links_sees_a_planted_link() -> None:
    page = "[here](reference/rules.md), [made](pictures/built/x.png), [there](ghost.md), [far](https://example.org)"
    assert broken(page, ROOT / "docs") == ["ghost.md"]
