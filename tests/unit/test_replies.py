"""Replies as people give them: sizes, lengths, yes and no, choices; nothing offered is refused."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from hoseselect.application.ask import BACK, HELP
from hoseselect.intake.counter_question import Asked, chosen, counter_question
from hoseselect.intake.interview_answers import answered
from hoseselect.intake.interview_state import State, job_of
from hoseselect.intake.replies import figures_in, yes_or_no
from hoseselect.knowledge.errors import InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.read import read_quantity

SERVICES = {
    "fuel": "fuel-return",
    "diesel": "diesel-return",
    "": "coolant-heater",
    "stop": "injection-pressure-unknown",
}


def state_for(field: str, service: str) -> State:
    """Return a state in which a question is put."""
    said = {"nipple_a.outside_diameter": "16 mm", "nipple_a.measured_on": "plain"}
    if field == "nipple_a.outside_diameter":
        said = {}
    free = {}
    if field.startswith("route.free."):
        free = {"route.free.offset": "forward 120 mm; up 80 mm"}
    return State({"service": service, **said, **free})


def examples(question: str) -> list[str]:
    """Return what the words of a question themselves give as a reply."""
    inside = " ".join(re.findall(r"\((?:e\.g\. )?(.*?)\)", question))
    parts = re.split(r";" if ";" in inside else r",", inside)
    return [part.strip().removeprefix("or the word ") for part in parts if part.strip()]


WITH_COMMAS = {
    "route.free.offset": "120 mm forward, 30 mm left, 8 mm up",
    "route.free.movement": "rocks sideways, 8 mm at B",
}
NOT_SAID = {
    "nipple",
    "stub",
    "spigot",
    "barb",
    "bead",
    "string",
    "or its size",
    "string; or the word free",
}


def offered() -> Iterator[tuple[str, str, str]]:
    """Yield every question with every reply that it offers: number, label, word, example."""
    for row in table("counter_questions"):
        field = row["input"]
        for group, service in SERVICES.items():
            asked = counter_question(field, group)
            replies = [str(k) for k in range(1, len(asked.choices) + 1)]
            for choice in asked.choices:
                replies += [choice.label, choice.label.upper(), *choice.words]
            given = [] if field in WITH_COMMAS else examples(row["question"])
            replies += [reply for reply in given if reply not in NOT_SAID]
            if field in {"line.which", "confirm"} or (group == "stop") != (
                field == "duty.pressure_max"
            ):
                continue
            yield from ((field, service, reply) for reply in dict.fromkeys(replies))
    for field, reply in WITH_COMMAS.items():
        assert reply in table("counter_questions").row(input=field)["question"]
        yield field, "coolant-heater", reply


@pytest.mark.parametrize("field", table("counter_questions").column("input"))
def test_nothing_that_a_question_offers_is_refused(field: str) -> None:
    groups = {service: group for group, service in SERVICES.items()}
    tried = 0
    for own, service, reply in offered():
        if own == field:
            asked = counter_question(field, groups[service])
            answered(state_for(field, service), asked, reply)
            assert reply not in HELP | BACK
            tried += 1
    assert tried or field in {"line.which", "confirm"}


@pytest.mark.parametrize(
    ("reply", "millimetres"),
    [
        ("10mm ish", 10), ("10 mm-ish", 10), ("about 10", 10), ("approx. 10 mm", 10), ("~10mm", 10),
        ("3/8", 9.525), ("3/8 barb", 9.525), ("3/8 hose barb", 9.525), ("three eighths", 9.525),
        ("half inch", 12.7), ("half an inch", 12.7), ("quarter inch", 6.35), ("5/8 od", 15.875),
        ("an inch and a quarter", 31.75), ("inch and a half", 38.1),
        ("three quarters of an inch", 19.05),
        ("about a foot", 304.8), ("a foot", 304.8), ("foot and a half", 457.2), ("two feet", 609.6),
        ("half a metre", 500), ("40 cm or so", 400), ("roughly 300mm long", 300),
        ("1 1/4 in", 31.75),
        ("16mm pipe", 16), ("I think 12.7", 12.7), ("8 mm each end", 8), ("13 both ends", 13),
        ("12 mm wide", 12), ("16,5 mm", 16.5), ("2 ft 3 in", 685.8),
    ],
)  # fmt: skip
def test_figures_as_people_say_them(reply: str, millimetres: float) -> None:
    (text,) = figures_in(reply).texts
    assert read_quantity(text, "length", "") == pytest.approx(millimetres)


@pytest.mark.parametrize(
    ("reply", "millimetres"),
    [
        ("2 ft 6", 762), ("2ft6", 762), ("1 foot 6", 457.2), ("about 2 feet 6 long", 762),
        ("1 m 20", 1200), ("1m20", 1200), ("1 metre 20", 1200), ("1 m 5 cm", 1050),
        ("12in (305mm)", 304.8), ("16 mm (5/8 in)", 16), ("5/8 in (16 mm)", 15.875),
        ("16 mm OD", 16), ("16 mm (OD)", 16), ("5/8ths", 15.875), ("5/8th", 15.875),
        ("3 eighths", 9.525), ("2 quarter inch", 57.15),
        ("5 sixteenths", 7.9375), ("1 3 eighths", 34.925), ("3 quarters", 19.05),
        ("3 eighths of an inch", 9.525),
    ],
)  # fmt: skip
def test_what_has_one_meaning_is_read(reply: str, millimetres: float) -> None:
    (text,) = figures_in(reply).texts
    assert read_quantity(text, "length", "") == pytest.approx(millimetres)


def refused(reply: str) -> str:
    """Return how a reply is refused, by itself or where its figures are read."""
    with pytest.raises(InputError) as caught:
        for text in figures_in(reply).texts:
            read_quantity(text, "length", "reply", around_allowed=True)
    return str(caught.value)


@pytest.mark.parametrize(
    "reply",
    [
        "2 ft 14", "2 ft 6 mm", "2 ft 6 or 7", "2 ft 6.5 m", "1.5 ft 6", "2 ft 6 4", "2 ft 123",
        "1 m 5", "1 m 200", "1 m 20 mm", "1.5 m 20", "1 m 20 in", "1 m 120 cm", "1 m 20 30",
        "12in (350mm)", "12in (305)", "12in (305mm", "3/8 in (10 mm)", "1 m (1005 mm)",
        "16 mm (16 mm) (16 mm)", "16 mm (3 bar)", "16 mm (unknown)",
        "5/8thsx", "3 tenths", "9 eighths",
    ],
)  # fmt: skip
def test_what_comes_near_to_it_stays_refused(reply: str) -> None:
    said = refused(reply)
    assert said.startswith("reply: found ")
    assert f"'{reply.split(maxsplit=1)[0]}" in said


@pytest.mark.parametrize("reply", ["16,19", "16, 19", "16 , 19", "about 16,19", "10,12!"])
def test_two_whole_figures_with_a_comma_are_asked_about(reply: str) -> None:
    first, second = re.findall("[0-9]+", reply)
    assert refused(reply) == (
        f"reply: found '{reply}', two sizes or one with a decimal comma; expected"
        f" '{first} and {second}', or '{first}.{second} mm'"
    )


@pytest.mark.parametrize(
    ("reply", "texts"),
    [
        ("16,19 mm", ("16,19 mm",)), ("9,52", ("9,52",)), ("16,5", ("16,5",)),
        ("16,19 both ends", ("16,19",)), ("16 and 19", ("16", "19")), ("15,87", ("15,87",)),
        ("16,00", ("16,00",)), ("12,15", None),
    ],
)  # fmt: skip
def test_one_figure_with_a_decimal_comma_is_one(reply: str, texts: tuple[str, ...] | None) -> None:
    if texts is None:
        assert "decimal comma" in refused(reply)
    else:
        assert figures_in(reply).texts == texts


@pytest.mark.parametrize(
    "reply",
    ["same as the other", "one and a half inch", "the old hose was 40 cm", "two feet six",
     "half of a nipple", "Both 16 of the pipe 3"],
)  # fmt: skip
def test_a_refusal_quotes_what_was_typed(reply: str) -> None:
    assert refused(reply).startswith(f"reply: found '{reply}'")


@pytest.mark.parametrize("reply", ["wide", "thick", "stub", "nipple"])
def test_words_without_a_figure_are_no_figure(reply: str) -> None:
    with pytest.raises(InputError, match="no figure"):
        figures_in(reply)


def test_two_ends_in_one_reply() -> None:
    assert figures_in("16 and 19").texts == ("16", "19")
    assert figures_in("5/8 and 3/4").texts == ("5/8", "3/4")
    assert figures_in("16 one end, 19 mm the other").texts == ("16", "19 mm")
    with pytest.raises(InputError, match="one size with a fraction"):
        figures_in("1 and 1/4")
    said = answered(
        State({"service": "coolant-heater"}),
        counter_question("nipple_a.outside_diameter"),
        "16 and 19",
    ).said
    job = job_of(said)
    assert (job.nipple_a.outside_diameter, job.nipple_b.outside_diameter) == (16, 19)


@pytest.mark.parametrize("reply", ["16", "16 mm", "3/8", "12.7 mm od"])
def test_a_measured_figure_is_no_guess(reply: str) -> None:
    assert not figures_in(reply).guessed


@pytest.mark.parametrize(
    ("reply", "says"),
    [
        ("yep", "yes"), ("yeah", "yes"), ("Y", "yes"), ("yes, a small one", "yes"), ("nope", "no"),
        ("nah", "no"), ("no bead", "no"), ("yes and no", ""), ("no, but one has", ""),
        ("not sure", ""), ("maybe", ""), ("", ""), ("16", ""),
    ],
)  # fmt: skip
def test_yes_and_no(reply: str, says: str) -> None:
    assert yes_or_no(reply) == says


def insert() -> Asked:
    return counter_question("features.insert")


@pytest.mark.parametrize(
    ("reply", "label"),
    [
        ("a little valve", "valve"), ("2", "hard ring"), ("#4", "gauze"), ("3)", "valve"),
        ("nope", "nothing"), ("some gauze in it", "gauze"), ("not a valve", None), ("9", None),
        ("something odd", None),
    ],
)  # fmt: skip
def test_choices_by_number_and_by_words(reply: str, label: str | None) -> None:
    found = chosen(insert(), reply)
    assert (found.label if found else None) == label


def test_words_of_two_choices_are_asked_about() -> None:
    with pytest.raises(InputError, match="several"):
        chosen(insert(), "ring and valve")


@pytest.mark.parametrize(
    ("field", "reply", "said"),
    [
        ("fluids", "E10 and LPG", "E10 and LPG"), ("fluids", "lpg, e10", "lpg, e10"),
        ("fluids", "pump petrol, runs on lpg too", "pump petrol, runs on lpg too"),
        ("fluids", "petrol E10", "petrol-e10"), ("fluids", "it is E10", "petrol-e10"),
        ("drips", "nope, dry", "nothing"), ("drips", "no leaks", "nothing"),
        ("drips", "a bit of oil", "engine-oil"),
        ("drips", "oil and brake fluid", "oil and brake fluid"),
        ("features.insert", "moulded in valve", "moulded-in"),
        ("features.insert", "a valve moulded in", "moulded-in"),
        ("features.insert", "clear all the way through", "none"),
        ("route.tightest_radius", "about a saucer", "75 mm"),
        ("route.tightest_radius", "saucer 150", "75 mm"),
        ("features.turbo", "supercharged", "yes"),
        ("features.turbo", "no, naturally aspirated", "no"),
        ("nipple_a.bead", "smooth pipes", "no"),
    ],
)  # fmt: skip
def test_a_choice_in_words_is_all_that_was_said(field: str, reply: str, said: str) -> None:
    """Or else the whole reply is, for the reader of names to judge."""
    found = answered(state_for(field, "fuel-return"), counter_question(field, "fuel"), reply).said
    assert found[field] == said


@pytest.mark.parametrize(
    ("field", "reply"),
    [
        ("fluids", "e10 with 20% methanol"), ("fluids", "B7 and petrol"),
        ("drips", "no, petrol"), ("drips", "no oil, petrol"), ("drips", "nothing, maybe petrol"),
        ("drips", "dry now, petrol before"), ("features.insert", "no valve"),
        ("route.tightest_radius", "thumb 20 mm"),
        ("route.tightest_radius", "a 30 mm socket"), ("route.tightest_radius", "straight 90 deg"),
        ("route.tightest_radius", "bigger than a thumb"), ("route.movement", "yes 10 mm"),
        ("nipple_a.bead", "no bead, 18 mm"), ("features.turbo", "no, supercharged"),
        ("line.residue", "oily and wet"),
    ],
)  # fmt: skip
def test_what_is_said_beside_a_choice_is_not_dropped(field: str, reply: str) -> None:
    with pytest.raises(InputError):
        answered(state_for(field, "fuel-return"), counter_question(field, "fuel"), reply)


@pytest.mark.parametrize("other", ["fuel rail", "carb", "rocker cover"])
@pytest.mark.parametrize(
    ("part", "stop"),
    [
        ("lpg tank", "gas-fuel"), ("propane tank", "gas-fuel"), ("nitrous tank", "gas-fuel"),
        ("hydrogen tank", "gas-fuel"), ("air brake tank", "air-brakes"),
        ("urea tank", "urea-line"), ("compressed air tank", "compressed-air"),
        ("brake fluid tank", "brake-fluid-reservoir"),
        ("high pressure fuel pump", "high-pressure-injection"),
    ],
)  # fmt: skip
def test_no_end_becomes_a_milder_one(part: str, stop: str, other: str) -> None:
    state = State({}, finding={})
    for field, reply in (("line.end_a", part), ("line.end_b", other), ("line.residue", "dunno")):
        state = answered(state, counter_question(field), reply)
    assert state.service == stop
    turned = State({}, finding={})
    for field, reply in (("line.end_a", other), ("line.end_b", part), ("line.residue", "dunno")):
        turned = answered(turned, counter_question(field), reply)
    assert turned.service == stop


def test_a_part_told_with_idle_words_is_that_part() -> None:
    state = answered(State({}), counter_question("line.end_a"), "the rocker cover on top")
    assert state.finding == {"line.end_a": "rocker cover"}


@pytest.mark.parametrize(
    ("field", "reply", "key", "said"),
    [
        ("route.tightest_radius", ".9 in", "route.tightest_radius", ".9 in"),
        ("route", ".4 m", "route.measured", ".4 m"),
        ("nipple_a.bead", ".7 in", "nipple_a.bead_diameter", ".7 in"),
        ("features.turbo", "no idea", "features.turbo", "unknown"),
        ("route.low_spot", "no clue", "route.low_spot", "unknown"),
        ("route.low_spot", "yes, about 20 mm deep", "route.low_spot", "yes"),
        ("route.tightest_radius", "a spray can", "route.tightest_radius", "25 mm"),
        ("route.tightest_radius", "dead straight", "route.tightest_radius", "400 mm"),
        ("features.insert", "a brass ring", "features.insert", "restrictor"),
        ("features.insert", "wire mesh", "features.insert", "flame-trap"),
        ("drips", "slight oil leak", "drips", "engine-oil"),
        ("drips", "oil film", "drips", "engine-oil"),
        ("route.movement", "both sit on the engine", "nipple_b.fixed_to", "engine"),
        ("nipple_a.bead", "yes, both ends", "nipple_b.bead", "yes"),
        ("nipple_a.outside_diameter", "15,88", "nipple_a.outside_diameter", "15,88"),
        ("nipple_a.outside_diameter", "16,00", "nipple_a.outside_diameter", "16,00"),
    ],
)  # fmt: skip
def test_clear_replies_are_read(field: str, reply: str, key: str, said: str) -> None:
    group = {"fluids": "fuel"}.get(field, "")
    found = answered(state_for(field, "crankcase-suction"), counter_question(field, group), reply)
    assert found.said[key] == said


@pytest.mark.parametrize(
    ("field", "reply"),
    [
        ("route.tightest_radius", "side plate"), ("route.tightest_radius", "small saucer"),
        ("route.tightest_radius", "half a plate"), ("nipple_a.bead", "yes, on A"),
        ("nipple_a.bead", "yes, left side"), ("nipple_a.bead", "yes, except at the heater"),
        ("nipple_a.outside_diameter", "16,19"),
    ],
)  # fmt: skip
def test_replies_about_something_else_are_refused(field: str, reply: str) -> None:
    with pytest.raises(InputError):
        answered(state_for(field, "crankcase-suction"), counter_question(field), reply)
