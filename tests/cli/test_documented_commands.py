"""Every command that README and docs show is run, and what they show of its output is compared.

In a block fenced as `console` a line that begins with `$ hoseselect` is run, with the exit code
that stands beside it (`# exit 1`; none means 0). The lines below it must stand in the output, in
this order; `...` stands for lines left out. The commands of a page about what the tool keeps, the
job book or settings, are run one after the other. A block fenced as `toml` or `text` whose first
line is `# NAME` is a file that the commands of the same page find in their folder.

A block fenced as `python` is a program. It is run, and must print what the block of `text`
below it shows. A picture that a command writes under the name of one in `docs/pictures/` is that
one.
"""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
PAGES = (ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md")))
FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
PROGRAM = re.compile(r"^```python\n(.*?)^```$\n+^```text\n(.*?)^```$", re.MULTILINE | re.DOTALL)
LEFT_OUT = "..."


@dataclass(frozen=True)
class Shown:
    """A command as a page shows it, with its exit code and the lines of its output."""

    words: tuple[str, ...]
    given: str
    code: int
    lines: tuple[str, ...]


def files(page: str) -> dict[str, str]:
    """Return the files that a page shows."""
    found = {}
    for kind, body in FENCE.findall(page):
        name = re.match(r"# ([\w.-]+)\n", body)
        if kind == "toml" and name:
            found[name[1]] = body
        elif kind == "text" and name:
            found[name[1]] = body.partition("\n")[2]
    return found


def commands(page: str) -> Iterator[Shown]:
    """Yield the commands that a page shows."""
    for kind, body in FENCE.findall(page):
        if kind != "console":
            continue
        for part in re.split(r"^\$ ", body.replace("\\\n", " "), flags=re.MULTILINE)[1:]:
            line, _, output = part.partition("\n")
            line, _, beside = line.partition("  # ")
            words = shlex.split(line)
            if words[0] != "hoseselect":
                continue
            given = ""
            if "<" in words:
                given = words[words.index("<") + 1]
                words = words[: words.index("<")]
            code = int(beside.removeprefix("exit ")) if beside else 0
            yield Shown(tuple(words[1:]), given, code, shown_lines(output))


def shown_lines(output: str) -> tuple[str, ...]:
    """Return the lines that a page shows of an output."""
    shown = [text.strip() for text in output.splitlines()]
    return tuple(text for text in shown if text and text != LEFT_OUT)


def programs(page: str) -> Iterator[Shown]:
    """Yield the programs that a page shows, with what they print."""
    for body, output in PROGRAM.findall(page):
        yield Shown(("-c", body), "", 0, shown_lines(output))


def unlike(shown: Shown, code: int, output: str) -> list[str]:
    """Return how a run differs from what the page shows."""
    faults = [] if code == shown.code else [f"exit code {code}, shown {shown.code}"]
    rest = [" ".join(line.split()) for line in output.splitlines()]
    for line in shown.lines:
        wanted = " ".join(line.split())
        if wanted not in rest:
            faults.append(f"not in the output, or not in this order: {line}")
            continue
        rest = rest[rest.index(wanted) + 1 :]
    return faults


def as_published(drawn: Path) -> bool:
    """Return whether a picture is the one of its name that the pages show, if they show one."""
    shown = ROOT / "docs" / "pictures" / drawn.name
    return not shown.exists() or shown.read_bytes() == drawn.read_bytes()


KEEPING = {"book", "settings"}
"""Commands after which others answer differently."""


def together(page: str) -> Iterator[tuple[Shown, ...]]:
    """Yield what is run one after the other: each command of a page by itself, or all of them."""
    found = tuple(commands(page))
    if KEEPING & {shown.words[0] for shown in found}:
        yield found
    else:
        yield from ((shown,) for shown in found)


ALL = [
    pytest.param(page, several, id=f"{page.stem}: {' '.join(several[0].words)}"[:70])
    for page in PAGES
    for several in together(page.read_text(encoding="utf-8"))
]


@pytest.mark.parametrize(("page", "several"), ALL)
def test_a_documented_command_does_what_the_page_shows(
    page: Path,
    several: tuple[Shown, ...],
    command: Callable[..., Any],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    written = files(page.read_text(encoding="utf-8"))
    for name, body in written.items():
        (tmp_path / name).write_text(body, encoding="utf-8")
    for shown_files in ("jobs", "pictures"):
        shutil.copytree(ROOT / "docs" / shown_files, tmp_path / "docs" / shown_files)
    monkeypatch.chdir(tmp_path)
    if len(several) > 1:
        monkeypatch.setenv("HOSESELECT_BOOK", str(tmp_path / "jobs.sqlite"))
    for shown in several:
        told = command(*shown.words, given=written.get(shown.given, "").encode())
        assert unlike(shown, told.code, told.out + told.err) == [], shown.words
        assert "Traceback" not in told.err
    assert [path.name for path in tmp_path.glob("*.svg") if not as_published(path)] == []


PROGRAMS = [
    pytest.param(shown, id=page.name)
    for page in PAGES
    for shown in programs(page.read_text(encoding="utf-8"))
]


@pytest.mark.parametrize("shown", PROGRAMS)
def test_a_documented_program_prints_what_the_page_shows(shown: Shown) -> None:
    done = subprocess.run(
        [sys.executable, *shown.words], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert unlike(shown, done.returncode, done.stdout) == [], done.stderr


def test_every_program_of_a_page_is_run() -> None:
    blocks = sum(page.read_text("utf-8").count("```python\n") for page in PAGES)
    assert len(PROGRAMS) == blocks > 0


def test_the_pages_show_every_answering_command() -> None:
    first = {shown.words[0] for page in PAGES for shown in commands(page.read_text("utf-8"))}
    assert first >= {"demo", "pick", "check", "cut", "ask", "read", "explain", "catalog"}


PAGE = """
```console
$ hoseselect pick job.toml \\
    --units in  # exit 1
first line
...
  second   line
$ other command
$ hoseselect ask < answers.txt
```
```toml
# job.toml
service = "PCV hose"
```
```python
print("one")
print("two")
```

```text
one
...
```
"""


def test_a_planted_picture_is_not_the_published_one(tmp_path: Path) -> None:
    for name, text, same in (("wire.svg", "<svg/>", False), ("other.svg", "<svg/>", True)):
        (tmp_path / name).write_text(text, encoding="utf-8")
        assert as_published(tmp_path / name) is same


def test_commands_that_keep_something_are_run_one_after_the_other() -> None:
    assert [len(several) for several in together(PAGE)] == [1, 1]
    kept = "```console\n$ hoseselect book list\n$ hoseselect pick 1\n```\n"
    assert [len(several) for several in together(kept)] == [2]


def test_a_page_is_read_as_it_is_written() -> None:
    pick, ask = commands(PAGE)
    assert pick == Shown(
        ("pick", "job.toml", "--units", "in"), "", 1, ("first line", "second   line")
    )
    assert (ask.words, ask.given, ask.code) == (("ask",), "answers.txt", 0)
    assert list(programs(PAGE)) == [Shown(("-c", 'print("one")\nprint("two")\n'), "", 0, ("one",))]
    assert files(PAGE) == {"job.toml": '# job.toml\nservice = "PCV hose"\n'}


@pytest.mark.parametrize(
    ("code", "output"),
    [
        (0, "first line\nsecond line"),
        (1, "first line"),
        (1, "second line\nfirst line"),
        (1, "first line\nsecond lines"),
    ],
)
def test_the_comparison_sees_a_planted_difference(code: int, output: str) -> None:
    pick, _ = commands(PAGE)
    assert len(unlike(pick, code, output)) == 1
    assert unlike(pick, 1, "x\nfirst line\ny\nsecond line\n") == []
