"""Printed lines: markings found and not found, sizes, what is not proved."""

from __future__ import annotations

import json

import pytest

from hoseselect.application.read import LONGEST_PRINT, read_print
from hoseselect.intake.print_words import stops_in
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
        ("SAE J1403 VL", ["j1403-vl"]),
        ("VL 11/32 J1403", ["j1403-vl"]),
        ("SAE J1403 HEAVY", ["j1403-vh"]),
        ("VH 11/32 J1403", ["j1403-vh"]),
        ("DOT 11/32 VL", ["fmvss106-vl"]),
        ("VH 11/32 DOT", ["fmvss106-vh"]),
        ("ISO 11424", ["iso11424"]),
        ("SAE 30R7 SAE J189", ["j30-r7", "j189"]),
    ],
)
def test_published_markings(text: str, markings: list[str]) -> None:
    assert sorted(found(text)) == sorted(markings)
    assert read_print(text).exit_code == (1 if read_print(text).stops else 0)


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


# --- what else stands in a print ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "stop"),
    [
        ("SAE J1401 1/8 HL DOT", "brake-hydraulics"),
        ("DOT HR 3.2 mm", "brake-hydraulics"),
        ("SAE J1402 AIR BRAKE", "air-brakes"),
        ("SAE J2064 R134A", "refrigerant"),
        ("SAE J1527 TYPE A1-15", "boat"),
        ("ISO 7840 A1 MARINE FUEL", "boat"),
        ("EN 853 2SN 3/8", "hydraulics"),
        ("SAE 100R1AT", "hydraulics"),
        ("SAE J517 100R6 3/8", "hydraulics"),
        ("SAE J190", "steering-pressure"),
        ("LPG ECE R67", "gas-fuel"),
        ("SAE J1401 3.2 mm", "brake-hydraulics"),
        ("3.2 mm HL DOT", "brake-hydraulics"),
        ("FMVSS-106 HR", "brake-hydraulics"),
        ("BRAKE FLUID 8 mm", "brake-hydraulics"),
        ("HYDRAULIC BRAKE", "brake-hydraulics"),
        ("AIR BRAKE 3/8", "air-brakes"),
        ("SAE J51", "refrigerant"),
        ("SAE J3062", "refrigerant"),
        ("HFO-1234yf", "refrigerant"),
        ("R744", "refrigerant"),
        ("ISO 8469", "boat"),
        ("BOAT 38 mm", "boat"),
        ("2SN 3/8", "hydraulics"),
        ("ISO 18752", "hydraulics"),
        ("HYDRAULIC 3/8", "hydraulics"),
        ("SAE J2050", "steering-pressure"),
        ("EN 1762", "gas-fuel"),
        ("UN ECE R110", "gas-fuel"),
        ("HYDROGEN 8 mm", "gas-fuel"),
        ("MIL-DTL-8794", "aircraft"),
        ("AIRCRAFT 3/8", "aircraft"),
    ],
)
def test_a_print_of_another_trade_is_a_stop(text: str, stop: str) -> None:
    read = read_print(text)
    assert stop in {row["stop"] for row in stops_in(text)}
    assert read.stops
    assert "no hose and clamps here" in read.stops[0]
    assert read.exit_code == 1


@pytest.mark.parametrize(
    "text",
    [
        "SAE 30R7 3/8", "SAE J30 R12", "SAE J30 R6 7/16", "SAE J20 R1 EC", "SAE J1403 VH",
        "DOT 03/25 3/8 VL", "SAE J189", "SAE J1019", "ISO 11424", "EPDM 16 mm 4 BAR", "30R14T1",
    ],
)  # fmt: skip
def test_the_prints_of_our_own_trade_are_no_stop(text: str) -> None:
    assert read_print(text).stops == ()


def test_every_marking_of_a_stopped_line_and_no_other_is_a_stop() -> None:
    """A marking that suits a line is no stop, whatever else its title holds."""
    suits = {row["marking"] for row in table("service_markings") if row["answer"] == "yes"}
    for row in table("markings"):
        if row["marking"] in suits and row["marking"] != "j517-100r6":
            assert not list(stops_in(row["title"])), row["title"]


@pytest.mark.parametrize(
    ("text", "sizes", "dates"),
    [
        ("SAE 30R7 3/8 03/25", ("3/8",), ("03/25",)),
        ("8X13 2Q24", ("8X13",), ("2Q24",)),
        ("12,7 x 20 mm 2024", ("12,7 x 20 mm",), ("2024",)),
        ("1 1/4 12/2023", ("1 1/4",), ("12/2023",)),
        ("16 mm 3 BAR", ("16 mm",), ()),
        ("3/25", (), ()),
    ],
)
def test_sizes_and_dates_without_words(
    text: str, sizes: tuple[str, ...], dates: tuple[str, ...]
) -> None:
    read = read_print(text)
    assert (read.sizes, read.dates) == (sizes, dates)


def test_polymers_and_pressures_are_told_and_prove_nothing() -> None:
    read = read_print("EPDM / NBR 150 PSI WP BURST 40 BAR")
    assert [text.partition(":")[0] for text in read.polymers] == ["NBR", "EPDM"]
    assert read.pressures[0] == "'150 PSI': stands 1034.2 kPa (150 psi)"
    assert read.pressures[1].startswith("'40 BAR': bursts at 4000 kPa")
    assert any("not that it suits" in note for note in read.notes)
    assert any("held by clamps" in note for note in read.notes)
    assert read.exit_code == 1
    assert read_print("HNBR").polymers[0].startswith("HNBR")
    assert len(read_print("HNBR").polymers) == 1


@pytest.mark.parametrize("text", ["DIN 73379", "DIN 73411", "din73411"])
def test_a_number_alone_is_told_by_its_form(text: str) -> None:
    forms = [form.partition(":")[0] for form in read_print(text).forms]
    assert forms == [text.upper().replace("DIN7", "DIN 7")]


def test_a_standard_that_is_not_known_is_said_to_be() -> None:
    read = read_print("DIN 73379-2A EN 12115 ISO 11424")
    assert [form.partition(":")[0] for form in read.forms] == ["DIN 73379"]
    assert [note for note in read.notes if "not known here" in note] == [
        "EN 12115 is not known here: it proves nothing."
    ]
    assert read_print("DIN 73379").exit_code == 1
