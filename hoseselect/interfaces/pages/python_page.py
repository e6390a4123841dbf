"""The public names of the package, written from their docstrings and types."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from typing import Any

import hoseselect
from hoseselect.interfaces.pages.markdown import code, plain, table

SECTION = re.compile(r"^(\w+)\n-+\n", re.MULTILINE)
"""A heading of a docstring, such as Parameters."""


def python_page() -> str:
    """Return every public name with its docstring, in Markdown."""
    return "\n\n".join(part for name in hoseselect.__all__ for part in _name(name))


def _name(name: str) -> Iterator[str]:
    thing = getattr(hoseselect, name)
    yield f"## {name}"
    yield from _docstring(inspect.getdoc(thing) or "")
    if not inspect.isclass(thing):
        yield code(_signature(name, thing))
        return
    members = list(_members(thing))
    if members:
        yield "*Also has*"
        yield table(("name", "meaning"), members)


def _signature(name: str, thing: Any) -> str:
    """Return how a function is called, one argument a line."""
    signature = inspect.signature(thing)
    lines: list[str] = []
    for argument in signature.parameters.values():
        if argument.kind is argument.KEYWORD_ONLY and "    *," not in lines:
            lines.append("    *,")
        written = str(argument).replace("'", "", 2)
        lines.append(f"    {written},")
    back = str(signature.return_annotation)
    return "\n".join((f"{name}(", *lines, f") -> {back}"))


def _docstring(text: str) -> Iterator[str]:
    """Yield the paragraphs of a docstring, and its sections as tables."""
    head, *sections = SECTION.split(text)
    yield from (plain(paragraph) for paragraph in head.split("\n\n") if paragraph.strip())
    for heading, body in zip(sections[::2], sections[1::2], strict=True):
        rows = [(f"`{name}`", plain(meaning)) for name, meaning in _entries(body)]
        yield f"*{heading}*"
        yield table(("name", "meaning"), rows)


def _entries(body: str) -> Iterator[tuple[str, str]]:
    """Yield name and meaning of each entry of a section; what is indented goes on."""
    found: list[list[str]] = []
    for line in filter(str.strip, body.splitlines()):
        if line.startswith(" "):
            found[-1][1] += f" {line.strip()}"
        else:
            name, _, meaning = line.partition(" : ")
            found.append([name, meaning])
    yield from ((name, meaning) for name, meaning in found)


def _members(kind: type) -> Iterator[tuple[str, str]]:
    """Yield the public properties and methods that a class of ours defines, with their meaning."""
    for name, member in vars(kind).items():
        called = inspect.isfunction(member)
        told = (inspect.getdoc(member) or "").split("\n\n")[0]
        is_property = isinstance(member, property) or type(member).__name__ == "cached_property"
        if told and not name.startswith("_") and (called or is_property):
            yield f"`{name}{'()' if called else ''}`", plain(told)
