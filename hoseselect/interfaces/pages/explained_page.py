"""What `hoseselect explain` tells of every service, fluid, liner and so on, one after the other."""

from __future__ import annotations

from collections.abc import Iterator

from hoseselect.application.explain import Page, explain_code
from hoseselect.interfaces.pages.markdown import plain, table
from hoseselect.knowledge import load

COMMA = ", "
ELSEWHERE = ("Cautions", "Checks")
"""What has a page of its own."""


def explained_page(kind: str) -> str:
    """Return every page of a kind, in Markdown.

    Parameters
    ----------
    kind : a heading of the list that `hoseselect explain` shows
    """
    names = dict(explain_code("").sections)[kind][0].split(COMMA)
    return "\n\n".join(part for name in names for part in _page(explain_code(name)))


def figures_page(name: str, key: str) -> str:
    """Return a table of figures with their sources.

    Parameters
    ----------
    name : of the published table
    key : its column of names
    """
    rows = []
    for row in load.table(name):
        value = row["value"] if row["unit"] == "-" else f"{row['value']} {row['unit']}"
        meaning = (plain(row["meaning"]),) if "meaning" in row.cells else ()
        rows.append((f"`{row[key]}`", plain(value), *meaning, plain(row.source)))
    heading = ("name", "value", "meaning", "source")
    return table(heading if len(rows[0]) == len(heading) else ("name", "value", "source"), rows)


def said_page(name: str) -> str:
    """Return the cautions or checks: for which jobs, at which stage, what, and from where."""
    rows = [
        tuple(map(plain, (row["applies_to"], row["stage"], row["text"], row.source)))
        for row in load.table(name)
    ]
    return table(("applies to", "stage", "what is said", "source"), rows)


def sources_page() -> str:
    """Return every source: what it is, who wrote it, which edition, how many figures rest on it."""
    rested = _rows_of_sources()
    rows = [
        (
            f"`{row['source_id']}`",
            *(plain(row[column]) for column in ("title", "author_or_body", "edition", "kind")),
            str(rested.count(row["source_id"])),
        )
        for row in load.table("sources")
    ]
    return table(("code", "title", "by", "edition", "kind", "rows that name it"), rows)


def trust_page() -> str:
    """Return how many rows of the published tables have which status."""
    found = [row["status"] for row in _rows()]
    rows = [(word, f"{found.count(status):,}") for status, word in load.STATUS_WORDS.items()]
    return table(("status", "rows"), rows)


def _page(page: Page) -> Iterator[str]:
    yield f"## {page.code}"
    title = page.title.removeprefix(f"{page.code}: ")
    yield f"**{plain(title)}**"
    yield from (plain(paragraph) for paragraph in page.paragraphs)
    for heading, lines in page.sections:
        if heading in ELSEWHERE:
            continue
        if len(lines) == 1:
            yield f"*{heading}:* {plain(lines[0])}"
        elif lines:
            yield f"*{heading}*"
            yield "\n".join(f"- {plain(line)}" for line in lines)


def _rows() -> Iterator[load.Row]:
    for path in sorted(load.TABLES_FOLDER.glob("*.csv")):
        yield from (row for row in load.table(path.stem) if "status" in row.cells)


def _rows_of_sources() -> list[str]:
    return [row["source_id"] for row in _rows()]
