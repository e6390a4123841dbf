"""Every command with its options, written from the command line itself."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from itertools import groupby
from typing import Any

import typer

from hoseselect.interfaces.cli.main import application
from hoseselect.interfaces.pages.markdown import code, plain, table

ANY_KEY = "--set"
"""The option by which a command is known that takes a job."""
HELP = "--help"

Record = tuple[str, str]


def commands_page() -> str:
    """Return every command and group, with what it takes, in Markdown."""
    group = typer.main.get_command(application())
    found = list(_commands(group, typer.Context(group, info_name="hoseselect")))
    records = {name: _records(context) for name, context in found}
    telling = [rows for rows in records.values() if any(ANY_KEY in left for left, _ in rows)]
    shared = [row for row in telling[0] if all(row in rows for rows in telling)]
    parts = [
        "## Options that tell a job",
        "They are the same in every command that takes a job, and win over a job file.",
        _options(shared),
    ]
    for name, context in found:
        own = [row for row in records[name] if row not in shared]
        parts += [f"## {name}", *_help(context), code(_usage(context))]
        if len(own) < len(records[name]):
            parts.append("Takes the [options that tell a job](#options-that-tell-a-job).")
        parts.append(_options(own))
    return "\n\n".join(part for part in parts if part)


def _commands(group: Any, context: Any) -> Iterator[tuple[str, Any]]:
    """Yield name and context of each command of a group and of the groups in it."""
    for name, command in group.commands.items():
        inner = typer.Context(command, info_name=name, parent=context)
        if getattr(command, "commands", None):
            yield from _commands(command, inner)
        else:
            yield inner.command_path, inner


def _records(context: Any) -> list[Record]:
    """Return what a command takes: arguments and options with their meaning."""
    made = (one.get_help_record(context) for one in context.command.get_params(context))
    return [record for record in made if record and HELP not in record[0]]


def _usage(context: Any) -> str:
    pieces = context.command.collect_usage_pieces(context)
    return " ".join((context.command_path, *pieces))


def _help(context: Any) -> Iterator[str]:
    """Yield the paragraphs of a command's help; what is indented there is an example."""
    paragraphs = inspect.cleandoc(context.command.help or "").split("\n\n")
    for is_example, several in groupby(paragraphs, lambda one: one.startswith("  ")):
        if is_example:
            yield code("\n".join(one.strip() for one in several))
        else:
            yield from map(plain, several)


def _options(rows: list[Record]) -> str:
    cells = [(f"`{' '.join(left.split())}`", plain(meaning)) for left, meaning in rows]
    return table(("argument or option", "meaning"), cells) if cells else ""
