"""Names of lines as people say them: the service, the stop or the one question each leads to.

The names and what each must lead to stand in line_names_expected.csv, written by hand before the
code that reads them. What flows is told here in plain words, apart from the tables of the package.
"""

from __future__ import annotations

import csv
import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from hoseselect.intake.names import known_service
from hoseselect.intake.read_job import read_job
from hoseselect.knowledge.errors import AmbiguousNameError, InputError, ManyFaultsError
from hoseselect.knowledge.load import table
from hoseselect.rules.name_words import read_words
from hoseselect.rules.stop import is_stop

with (Path(__file__).parent / "line_names_expected.csv").open(encoding="utf-8") as stream:
    NAMES = list(csv.DictReader(stream))

COOLANT = {row["service"] for row in table("services") if row["group"] == "coolant"}
PETROL_LINES = {row["service"] for row in table("services") if row["group"] == "fuel"}
DIESEL_LINES = {row["service"] for row in table("services") if row["group"] == "diesel"}
FUEL_STOPS = {"high-pressure-injection", "fuel-fired-heater-fuel", "quick-connect-tube"}
# A word of a name, and the lines it may lead to; any other line would be another fluid.
FLUID_OF_WORD = {
    r"coolant|antifreeze|cooling": COOLANT | {"traction-battery-loop"},
    r"radiat[oe]r|rad|degas|expansion|header|thermostat": COOLANT,
    r"(?:petrol|gasoline)(?! (?:engine|turbo|car)\b)|carb\w*": PETROL_LINES
    | FUEL_STOPS
    | {"coolant-throttle-body"},
    r"diesel (?!exhaust|vacuum|heater|engine|turbo)|deisel": DIESEL_LINES
    | FUEL_STOPS
    | {"fuel-filler-and-vent"},
    r"atf|transmission|trans|cvt|dct": {"atf-cooler", "axle-breather"},
    r"steering|pas": {row["stop"] for row in table("stops") if "steering" in row["stop"]}
    | {"steering-return", "steering-suction"},
    r"washer|wash|screenwash|windscreen": {"washer", "headlamp-washer"},
    r"vac|vacuum": {row["service"] for row in table("services") if row["group"] == "vacuum"}
    | {"crankcase-suction", "fuel-vapour-purge", "clutch-hydraulics", "gas-fuel"},
    r"lpg|cng|lng|propane|butane|hydrogen|autogas": {"gas-fuel", "coolant-to-gas-vaporiser"},
}
# What a danger word may lead to beside a stop, and which words must stand with it.
LIFTED = {
    r"brakes?|breaks?": r"servo|booster|vac|vacuum",
    r"clutch": r"servo vacuum",
    r"a/?c|air ?con|air conditioning": r"drain",
    r"lpg|cng|lng|propane|butane|hydrogen|autogas|vaporiser|vaporizer": r"coolant|water|hose",
    r"high.pressure": r"never lifted",
    r"common rail|gdi|direct injection": r"never lifted",
    r"steering|pas": r"return|reservoir|cooler|pump|feed|low pressure",
    r"exhaust(?! fluid)|egr": r"sensor|pressure|coolant|water|vacuum|cooler|brake",
}


def meant(name: str) -> tuple[str, tuple[str, ...]]:
    """Return how a name is read, as one word, and the lines it leads to."""
    try:
        line = known_service(name)
    except AmbiguousNameError as asked:
        return "question", asked.choices
    except InputError:
        return "none", ()
    return ("stop" if is_stop(line) else "service"), (line,)


def wanted(row: dict[str, str]) -> tuple[str, set[str]]:
    """Return what a row of the list wants."""
    kind, _, lines = row["expected"].partition(":")
    return kind, set(filter(None, lines.split("|")))


def test_there_are_300_names_and_each_stands_once() -> None:
    names = [row["name"].lower() for row in NAMES]
    assert len(names) >= 300
    assert len(set(names)) == len(names)
    assert all(row["reason"] for row in NAMES)


@pytest.mark.parametrize("row", NAMES, ids=lambda row: row["name"])
def test_a_name_leads_where_it_must(row: dict[str, str]) -> None:
    kind, lines = meant(row["name"])
    assert (kind, set(lines)) == wanted(row)


@pytest.mark.parametrize("row", NAMES, ids=lambda row: row["name"])
def test_no_name_leads_across_fluids(row: dict[str, str]) -> None:
    _, lines = meant(row["name"])
    for words, allowed in FLUID_OF_WORD.items():
        if re.search(rf"\b(?:{words})\b", f"{row['name'].lower()} "):
            odd = {line for line in lines if not is_stop(line)} - allowed
            assert not odd, words


def test_the_guard_of_fluids_sees_a_planted_line() -> None:
    found = [w for w, allowed in FLUID_OF_WORD.items() if "fuel-return" not in allowed]
    assert any(re.search(words, "coolant hose") for words in found)


@pytest.mark.parametrize("row", NAMES, ids=lambda row: row["name"])
def test_a_danger_word_is_a_stop_unless_the_meaning_is_clear(row: dict[str, str]) -> None:
    kind, lines = meant(row["name"])
    text = row["name"].lower()
    for danger, lifting in LIFTED.items():
        if re.search(rf"\b(?:{danger})\b", text) and not re.search(rf"\b(?:{lifting})\b", text):
            assert kind in {"stop", "question", "none"}, danger
            assert kind != "question" or any(map(is_stop, lines))


RIGHT_AS_IT_STANDS = {"car heater pipe"}  # slips of "carb heater pipe" that are names themselves


def one_letter_dropped(text: str) -> list[str]:
    return [text[:place] + text[place + 1 :] for place in range(1, len(text) - 1)]


def two_letters_swapped(text: str) -> list[str]:
    return [
        text[:place] + text[place + 1] + text[place] + text[place + 2 :]
        for place in range(1, len(text) - 2)
    ]


@pytest.mark.parametrize("spoil", [one_letter_dropped, two_letters_swapped])
def test_no_slip_of_the_finger_leads_to_another_line(spoil: Callable[[str], list[str]]) -> None:
    """A misspelt name leads to its own line, to a question or to nothing: never elsewhere."""
    odd = []
    for row in NAMES:
        kind, lines = wanted(row)
        for text in spoil(row["name"]):
            found, line = meant(text)
            if text in RIGHT_AS_IT_STANDS:
                continue
            if found == "service" and not (kind in {"service", "question"} and set(line) <= lines):
                odd.append((row["name"], text, line))
    assert odd == []


@pytest.mark.parametrize("words", ["the {} of my car", "{}s", " {}, please "])
def test_idle_words_and_plurals_change_no_line(words: str) -> None:
    for row in NAMES:
        kind, lines = wanted(row)
        found, choices = meant(words.format(row["name"].upper()))
        assert found in {kind, "question", "none"}, row["name"]
        assert found != "service" or set(choices) == lines, row["name"]


@pytest.mark.parametrize("kind", ["service", "stop"])
def test_every_line_is_a_choice_of_some_name(kind: str) -> None:
    """Each can be reached by words, not only by its listed names."""
    told = {row["line"] for row in table("line_senses")} | set(table("name_dangers").column("stop"))
    lines = set(table(f"{kind}s").column(kind))
    assert lines - told <= {"unknown-service", "injection-pressure-unknown"}


def test_the_words_of_the_tables_are_words() -> None:
    senses = set(table("name_senses").column("sense"))
    for row in table("name_words"):
        assert read_words(row["words"]).unknown == (), row["words"]
        assert row["words"] == " ".join(row["words"].lower().split())
    lines = set(table("services").column("service")) | set(table("stops").column("stop"))
    assert set(table("line_senses").column("line")) <= lines
    for row in table("name_dangers"):
        cells = row["senses"].split(";") + [s for s in row["unless"].split(";") if s]
        assert set(cells) <= senses


def test_an_ambiguous_name_asks_one_question_with_numbered_choices() -> None:
    with pytest.raises(AmbiguousNameError) as caught:
        known_service("thermostat hose")
    assert caught.value.choices == ("coolant-heater", "coolant-bypass", "radiator")
    assert str(caught.value) == (
        "service: found 'thermostat hose'; expected one of: 1 coolant-heater (heater feed or "
        "return), 2 coolant-bypass (coolant by-pass), 3 radiator (radiator hose, straight pieces)"
    )
    with pytest.raises(ManyFaultsError) as refused:
        read_job({"service": "thermostat hose"})
    (fault,) = refused.value.faults
    assert isinstance(fault, AmbiguousNameError)
    assert fault.choices == caught.value.choices


def test_a_name_whose_words_are_not_all_known_is_asked_about() -> None:
    assert meant("heater hose") == ("service", ("coolant-heater",))
    assert meant("heater hose of a spaceship")[0] == "question"
    assert "coolant-heater" in meant("heater hose of a spaceship")[1]


@pytest.mark.parametrize(
    "text", ["x" * 10_000, "fuel " * 2_000, "ab cd " * 1_700, "brakx " * 1_700, "a" * 10_000 + " b"]
)
def test_a_long_text_is_read_fast(text: str) -> None:
    meant("heater hose")
    start = time.perf_counter()
    meant(text)
    assert time.perf_counter() - start < 1.0


@pytest.mark.parametrize("words", ["{} pipe", "front {}", "{} assembly", "my {} please"])
def test_a_listed_stop_stays_one_with_idle_words(words: str) -> None:
    odd = []
    for row in table("stop_names"):
        kind, lines = meant(words.format(row["other_name"]))
        if kind == "service" or (kind == "question" and not any(map(is_stop, lines))):
            odd.append((row["other_name"], kind, lines))
    assert odd == []


@pytest.mark.parametrize("words", ["{} pipe", "front {}", "{} assembly"])
def test_a_listed_service_leads_to_itself_with_idle_words(words: str) -> None:
    odd = []
    for row in table("service_names"):
        kind, lines = meant(words.format(row["other_name"]))
        idle = not read_words(row["other_name"]).senses  # "top hose" is a name only as it stands
        if row["service"] not in lines and not idle:
            odd.append((row["other_name"], kind, lines))
    assert odd == []
