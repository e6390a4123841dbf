"""The columns of a catalogue as a page: every file, every column, its unit and its meaning."""

from __future__ import annotations

import math
import sys

from hoseselect.catalogue.file_form import CatalogueField
from hoseselect.catalogue.tables import TABLES

START = "<!-- columns: written by hoseselect.interfaces.pages.catalogue_page.column_tables -->"
END = "<!-- end of the columns -->"


def column_tables() -> str:
    """Return a table in Markdown for every file of a catalogue."""
    parts = []
    for table in TABLES:
        kept = "may be missing" if table.optional else "must be there"
        parts.append(f"## {table.file}\n\n{table.title}. The file {kept}.\n")
        lines = [
            "| column | unit | must be stated | what stands there |",
            "| --- | --- | --- | --- |",
        ]
        lines += [
            f"| `{field.name}` | {unit(field)} | {'yes' if field.required else 'no'} | "
            f"{meaning(field)} |"
            for field in table.fields
        ]
        parts.append("\n".join(lines) + "\n")
    return "\n".join(parts)


def unit(field: CatalogueField) -> str:
    """Return the unit of a column as it is written on a page."""
    return {"": "-", "money": "the shop's money"}.get(field.unit, field.unit)


def meaning(field: CatalogueField) -> str:
    """Return what stands in a cell and what may stand there."""
    parts = [field.description.replace("|", "\\|").replace("parted by ;", "parted by `;`")]
    if field.kind == "key":
        parts.append("every name once, without blanks, commas, semicolons and bars")
    if field.refers_to:
        parts.append(f"a name that is in `{field.refers_to}`")
    if field.choices and not field.knowledge:
        parts.append("one of: " + ", ".join(f"`{word}`" for word in field.choices))
    if field.knowledge:
        table, _, column = field.knowledge.partition(":")
        parts.append(f"words of the table `{table}`, column `{column}`")
    limits = [
        f"{word} {value:g}"
        for word, value in (
            ("more than", field.above),
            ("at least", field.minimum),
            ("at most", field.maximum),
        )
        if math.isfinite(value)
    ]
    if limits:
        parts.append(" and ".join(limits))
    return "; ".join(parts)


def with_tables(page: str) -> str:
    """Return a page with its tables of columns written anew between their marks.

    Raises
    ------
    ValueError
        when the marks are missing.
    """
    before, start, rest = page.partition(START)
    _, end, after = rest.partition(END)
    if not start or not end:
        raise ValueError(f"no {START} ... {END} on the page")
    return f"{before}{START}\n\n{column_tables()}\n{END}{after}"


if __name__ == "__main__":
    sys.stdout.write(with_tables(sys.stdin.read()))
