"""Every word of the page stands in one file; each guard can fail."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hoseselect.interfaces.page import render

TEMPLATES = sorted(Path(render.__file__).with_name("templates").glob("*.html"))
SHOWN = re.compile(r"\{#.*?#\}|\{\{.*?\}\}|\{%.*?%\}", re.DOTALL)
ATTRIBUTES = re.compile(r'\b(?:title|alt|aria-label)="([^"]*)"')


def words_of(template: str) -> list[str]:
    """Return the words that a template itself holds."""
    bare = SHOWN.sub(" ", template)
    told = " ".join(ATTRIBUTES.findall(bare))
    found = re.findall(r"[A-Za-z]{2,}", f"{re.sub('<[^>]*>', ' ', bare)} {told}")
    return [word for word in found if word not in NAMES]


NAMES = ("UTF", "Windows", "mm")
"""What is called the same in every language: encodings and units."""


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_no_template_holds_a_word_of_its_own(path: Path) -> None:
    assert words_of(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("text", ["<p>Reply</p>", '<a aria-label="back">{{ x }}</a>'])
def test_the_guard_sees_a_word(text: str) -> None:
    assert words_of(text)


def used() -> set[tuple[str, str]]:
    """Return view and name of every word that the templates name outright."""
    texts = (path.read_text(encoding="utf-8") for path in TEMPLATES)
    return {pair for text in texts for pair in re.findall(r"\bwords\.(\w+)\.(\w+)", text)}


def test_every_word_that_is_shown_is_there_and_no_name_hides_it() -> None:
    known = render.words()
    for view, name in used():
        assert isinstance(known[view][name], str | dict | list), f"{view}.{name}"
        assert not hasattr(dict, name), f"{view}.{name} is a method of a mapping"
