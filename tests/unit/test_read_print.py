"""Printed lines: markings found and not found, sizes, what is not proved."""

from __future__ import annotations

import json

import pytest

from hoseselect.application.read import LONGEST_PRINT, read_print
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table


def found(text: str) -> list[str]:
    return [marking.marking for marking in read_print(text).markings]


@pytest.mark.parametrize(
    ("text", "markings"),
    [
        ("SAE 30R7", ["j30-r7"]),
        ("sae j30 r9 5/16 in", ["j30-r9"]),
        ("SAE 30R6KX", ["j30-r6"]),
        ("SAE J30R14T2", ["j30-r14"]),
        ("SAE J20R3", ["j20-r3"]),
        ("SAE J20 R3 CLASS D-1", ["j20-r3", "j20-class-d1"]),
        ("SAE J1532 TYPE A", ["j1532-a"]),
        ("SAE J1532 TYPE B", ["j1532-b"]),
        ("SAE J1532", ["j1532"]),
        ("SAE J189", ["j189"]),
        ("SAE J1402", ["j1402"]),
        ("ISO 11424", ["iso11424"]),
        ("SAE 30R7 SAE J189", ["j30-r7", "j189"]),
    ],
)
def test_published_markings(text: str, markings: list[str]) -> None:
    assert sorted(found(text)) == sorted(markings)
    assert read_print(text).exit_code == 0


@pytest.mark.parametrize(
    "text",
    [
        "SAE J30R70",
        "130R7",
        "SAE J1890",
        "SAE J30R1",
        "FUEL HOSE 8 mm",
        "HEAT RESISTANT",
        "MADE IN 1987",
        "30 R",
        "J2",
    ],
)
def test_what_is_no_published_marking(text: str) -> None:
    read = read_print(text)
    assert read.markings == ()
    assert read.exit_code == 1
    assert "No published marking" in read.notes[0]


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ('SAE 30R7 3/8"', ('3/8"',)),
        ("1 1/4 in hose", ("1 1/4 in",)),
        ("8mm", ("8mm",)),
        ("6,3 mm x 12.5 mm", ("6,3 mm", "12.5 mm")),
        ("SAE 30R7", ()),
        ("2024/25", ()),
    ],
)
def test_sizes(text: str, sizes: tuple[str, ...]) -> None:
    assert read_print(text).sizes == sizes


def test_every_marking_of_the_table_has_its_own_reading() -> None:
    """A title printed as it stands leads to the marking, or the pattern could never be met."""
    missed = []
    for row in table("markings"):
        markings = found(row["title"])
        if row["marking"] not in markings:
            missed.append((row["marking"], row["title"], markings))
    assert missed == []


@pytest.mark.parametrize("text", ["", "   ", "x" * (LONGEST_PRINT + 1)])
def test_no_text_and_too_much_text_are_refused(text: str) -> None:
    with pytest.raises(InputError):
        read_print(text)


def test_a_line_of_the_longest_kind_is_read() -> None:
    assert read_print("x" * LONGEST_PRINT).exit_code == 1


def test_what_a_marking_means_and_does_not_prove() -> None:
    marking = read_print("SAE 30R7").markings[0]
    row = table("markings").row(marking="j30-r7")
    assert (marking.title, marking.meaning) == (row["title"], row["meaning"])
    assert marking.does_not_prove
    assert marking.source == row.source
    assert "fuel-injection-feed" in marking.never
    assert "fuel-return" in marking.suits
    assert not set(marking.suits) & set(marking.never)
    assert all(figure.endswith("]") for figure in marking.figures)


def test_a_marking_that_suits_in_part_is_not_said_to_suit() -> None:
    assert "atf-cooler" not in read_print("SAE J1532 TYPE B").markings[0].suits


def test_an_unmarked_print_is_refused_as_the_rules_refuse_it() -> None:
    """marking-identity refuses a hose that nobody can name, for every service."""
    notes = read_print("BLACK HOSE").notes[0]
    assert "not known for the rest" not in notes


def test_a_reading_is_json() -> None:
    plain = json.loads(json.dumps(read_print("SAE  30R7\t3/8 in").as_json()))
    assert plain["text"] == "SAE 30R7 3/8 in"
    assert plain["markings"][0]["marking"] == "j30-r7"
