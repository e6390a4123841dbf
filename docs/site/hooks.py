"""What the site gets when it is built: pages from the code, checks, answers and pictures."""

from __future__ import annotations

import csv
import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File, Files

from hoseselect.interfaces.pages.markdown import plain, table
from hoseselect.interfaces.pages.written import filled

ROOT = Path(__file__).parents[2]
CHECKS = ROOT / "tests" / "validation"
CHECKS_MARK = "<!-- written from the checks -->"
ANSWERS_MARK = "<!-- written from the schema of answers -->"
DEVELOPERS = "developers.md"
JOB_SHOWN = re.compile(r"^```toml\n(# bench\.toml\n.*?)^```$", re.MULTILINE | re.DOTALL)
"""The job of the tutorial for the bench, as its page shows it."""
OUTSIDE = {"README.md": "index.md", "DEVELOPERS.md": DEVELOPERS}
"""Pages above the folder of the documentation, and what stands for them on the site."""
LOADED = re.compile(
    r"""<(?:script|img|link|iframe|source)\b[^>]*?\b(?:src|href)=["']?(?:https?:)?//[^>]*>"""
    r"""|(?:url\(|@import\s*)["']?(?:https?:)?//[^)"']*""",
)
"""What a browser would fetch from elsewhere by itself."""
COLUMNS = ("publication", "item", "printed value", "our value", "tolerance", "why")


def on_files(files: Files, config: Any) -> Files:
    """Add what is made anew at each build: the page for developers and bench cards."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    files.append(File.generated(config, DEVELOPERS, content=text.replace("](docs/", "](")))
    for name, picture in cards():
        files.append(File.generated(config, f"pictures/built/{name}", content=picture))
    return files


def on_page_markdown(markdown: str, **_: Any) -> str:
    """Put what is written from code, checks and schema in the place of its mark."""
    markdown = re.sub(r"\]\(((?:\.\./)+)(README|DEVELOPERS)\.md", _inside, filled(markdown))
    if CHECKS_MARK in markdown:
        markdown = markdown.replace(CHECKS_MARK, "\n\n".join(checks()))
    if ANSWERS_MARK in markdown:
        markdown = markdown.replace(ANSWERS_MARK, "\n\n".join(answers()))
    return markdown


def on_post_build(config: Any) -> None:
    """Refuse a site that would fetch anything from elsewhere."""
    site = Path(config["site_dir"])
    pages = [path for kind in ("*.html", "*.css") for path in sorted(site.rglob(kind))]
    found = [
        f"{path.relative_to(site)}: {link[0][:100]}"
        for path in pages
        for link in LOADED.finditer(path.read_text(encoding="utf-8"))
    ]
    if found:
        raise PluginError("the site would fetch from elsewhere:\n" + "\n".join(found))


def _inside(link: re.Match[str]) -> str:
    """Return the beginning of a link to what stands for a page above the documentation."""
    return f"]({link[1].removeprefix('../')}{OUTSIDE[f'{link[2]}.md']}"


def cards() -> Iterator[tuple[str, bytes]]:
    """Yield name and picture of the first sheet of the bench card of each job that pages show."""
    tutorial = (ROOT / "docs" / "tutorials" / "bench.md").read_text(encoding="utf-8")
    shown = JOB_SHOWN.search(tutorial)
    if shown is None:
        raise PluginError("tutorials/bench.md: no job")
    breather = (ROOT / "docs" / "jobs" / "breather.toml").read_text(encoding="utf-8")
    for name, job in (("card", breather), ("bench-card", shown[1])):
        with tempfile.TemporaryDirectory() as folder:
            asked = ("card", "job.toml", "-o", f"{name}.pdf", "--png", "--no-book")
            Path(folder, "job.toml").write_text(job, encoding="utf-8")
            run = [sys.executable, "-m", "hoseselect", *asked, "--date", "2026-01-15"]
            subprocess.run(run, check=True, cwd=folder, stdout=subprocess.DEVNULL)
            yield f"{name}.png", Path(folder, f"{name}-1.png").read_bytes()


def checks() -> Iterator[str]:
    """Yield what the record of the checks tells, with what stands on top of each of them."""
    with (CHECKS / "record.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for part, of_part in groupby(rows, lambda row: row["part"]):
        yield f"## {part}"
        for check, of_check in groupby(of_part, lambda row: row["check"]):
            text = (CHECKS / f"{check}.py").read_text(encoding="utf-8")
            yield f"### `{check}.py`"
            yield from (plain(one) for one in text.split('"""')[1].split("\n\n"))
            cells = ([plain(cell) for cell in list(row.values())[2:]] for row in of_check)
            yield table(COLUMNS, cells)


def answers() -> Iterator[str]:
    """Yield a table of keys for each kind of value of the JSON answers."""
    schema = json.loads((ROOT / "docs" / "answer.schema.json").read_text(encoding="utf-8"))
    for name, part in schema["$defs"].items():
        keys = part.get("properties", {})
        if not keys:
            continue
        yield f"## {name}"
        yield plain(part.get("description", ""))
        rows = [
            (f"`{key}`", _kind(value, schema["$defs"]), plain(_meaning(value, schema["$defs"])))
            for key, value in keys.items()
        ]
        yield table(("key", "kind", "meaning"), rows)


def _meaning(value: dict[str, Any], parts: dict[str, Any]) -> str:
    """Return what a key means, or else what the value means that it holds."""
    named = parts.get(value.get("$ref", "").rpartition("/")[2], {})
    return str(value.get("description") or named.get("description", ""))


def _kind(value: dict[str, Any], parts: dict[str, Any]) -> str:
    """Return what kind of value stands under a key, with a link where it has a table."""
    if "$ref" in value:
        name = value["$ref"].rpartition("/")[2]
        return f"[{name}](#{name})" if "properties" in parts[name] else _kind(parts[name], parts)
    if "enum" in value:
        return ", ".join(map(str, value["enum"]))
    several = value.get("oneOf") or value.get("anyOf")
    if several:
        return " or ".join(_kind(one, parts) for one in several)
    kind = value.get("type", "any")
    if kind == "array":
        return f"list of {_kind(value.get('items') or {}, parts)}"
    if kind == "object":
        return f"object: {', '.join(value.get('properties', {}))}"
    return " or ".join(kind) if isinstance(kind, list) else str(kind)
