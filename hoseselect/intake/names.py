"""Other names of services, stops and fluids, as people say them."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, lru_cache

from hoseselect.knowledge.errors import AmbiguousNameError, InputError
from hoseselect.knowledge.load import Row, table
from hoseselect.quantities.spelling import is_unknown, near_spellings, without_unseen
from hoseselect.rules.name_words import (
    FLOWS,
    NOTHING,
    NameWords,
    danger_of,
    known_words,
    lines_with,
    read_words,
)
from hoseselect.rules.stop import STOP_FLUID, is_stop


def plain(text: str) -> str:
    """Return a name as it is compared: lower case, one space between words."""
    return " ".join(text.lower().replace("-", " ").replace("_", " ").split())


@cache
def _services() -> dict[str, str]:
    names: dict[str, str] = {}
    for name, key in (("stop_names", "stop"), ("service_names", "service")):
        for row in table(name):
            names[plain(row["other_name"])] = row[key]
    for name, key in (("services", "service"), ("stops", "stop")):
        for row in table(name):
            names |= dict.fromkeys((plain(row["name"]), plain(row[key])), row[key])
    return names


@cache
def _fluids() -> dict[str, str]:
    names = {plain(row["other_name"]): row["fluid"] for row in table("fluid_names")}
    for row in table("fluids"):
        names |= dict.fromkeys((plain(row["name"]), plain(row["fluid"])), row["fluid"])
    return names


# A person who says "petrol" or "diesel" means what the pump sells, not the pure hydrocarbon.
AS_SOLD = {"petrol": "petrol-e10", "diesel": "diesel-b7"}


def listed_line(text: str) -> str:
    """Return the service or stop that is listed under just this name; an empty text if none is."""
    return "unknown-service" if is_unknown(text) else _services().get(plain(text), "")


def known_service(text: object) -> str:
    """Return the id of a service or stop.

    A name that stands in the tables counts as it stands. Any other is read by the meaning of its
    words: a danger first, then what flows, then the parts that are joined.

    Raises
    ------
    AmbiguousNameError
        when several lines may be meant, or a word is not known; its choices are lines.
    InputError
        when nobody calls a line so.
    """
    if not isinstance(text, str) or not text.strip():
        raise InputError("service", repr(text), "what the line does, such as 'PCV hose'")
    text = without_unseen(text)
    if listed_line(text):
        return listed_line(text)
    words = read_words(text)
    stop, lifted = danger_of(words.senses)
    if stop:
        return stop
    if not words.unknown and words.senses in _by_senses():
        return _by_senses()[words.senses]
    lines = lines_with(words.senses)
    if lifted and not lines:
        return lifted
    if len(lines) == 1 and words.of_kind(TELLING) and not words.unknown:
        return lines[0]
    choices = _choices(words, lines)
    if not choices:
        expected = "a service: which two parts it joins and what runs in it, such as 'heater hose'"
        raise InputError("service", ascii_text(text), expected)
    told = map(_shown, choices) if len(choices) <= MOST_EXPLAINED else choices
    numbered = ", ".join(f"{k} {line}" for k, line in enumerate(told, 1))
    raise AmbiguousNameError("service", ascii_text(text), f"one of: {numbered}", choices)


MOST_EXPLAINED = 6  # choices that are told with their names; of more, the ids alone
TELLING = frozenset({"flow", "stopped-fluid", "part"})


def _choices(words: NameWords, lines: tuple[str, ...]) -> tuple[str, ...]:
    """Return the lines that may be meant; words near known ones count, another flow never."""
    if words.unknown:
        spelled = frozenset().union(*map(_spelled_right, words.unknown[:MOST_SPELLED]))
        senses = words.senses | spelled
        one = danger_of(senses)[0] or _by_senses().get(senses, "")
        nearer = (one,) if one else lines_with(senses)
        lines = nearer or lines
    return lines or lines_with(words.of_kind(FLOWS))


MOST_SPELLED = 6  # words of one name whose spelling is looked into
MOST_NEAR = 3  # known words that are looked at for one that is not
LONGEST_WORD = 20
ALIKE = 0.8


@lru_cache(maxsize=4096)
def _spelled_right(word: str) -> frozenset[str]:
    """Return what the known words say that are spelled almost so; nothing where they differ."""
    if len(word) > LONGEST_WORD:
        return frozenset()
    single = _single_words()
    near = near_spellings(word, single, least=ALIKE, most=MOST_NEAR)
    meanings = {single[name] for name in near}
    return meanings.pop() - {NOTHING} if len(meanings) == 1 else frozenset()


@cache
def _single_words() -> dict[str, frozenset[str]]:
    return {run[0]: senses for run, senses in known_words().items() if len(run) == 1}


def line_name(line: str) -> str:
    """Return the name of a service or stop in plain words."""
    kind = "services" if table("services").has(service=line) else "stops"
    return table(kind).row(**{kind.removesuffix("s"): line})["name"]


def _shown(line: str) -> str:
    return f"{line} ({line_name(line)})"


@cache
def _by_senses() -> dict[frozenset[str], str]:
    """Return the services by what their known names say, where that is said of one line alone."""
    meant: dict[frozenset[str], set[str]] = {}
    for name, line in _services().items():
        words = read_words(name)
        if words.senses and not words.unknown:
            meant.setdefault(words.senses, set()).add(line)
    return {
        senses: line
        for senses, lines in meant.items()
        for line in lines
        if len(lines) == 1 and not is_stop(line)
    }


def known_fluid(text: str, *, as_sold: bool = True) -> str:
    """Return the id of a fluid.

    Parameters
    ----------
    text : its id or another name
    as_sold : whether "petrol" and "diesel" mean what the pump sells

    Raises
    ------
    InputError
        when nobody calls a fluid so; near names are offered.
    """
    text = without_unseen(text)
    if as_sold and plain(text) in AS_SOLD:
        return AS_SOLD[plain(text)]
    if plain(text) in _fluids():
        return _fluids()[plain(text)]
    if plain(text) in _fluid_questions():
        row = _fluid_questions()[plain(text)]
        choices = tuple(row["choices"].split(";"))
        expected = f"{' or '.join(choices)}. {row['question']}"
        raise AmbiguousNameError("fluid", ascii_text(text), expected, choices)
    stop = _services().get(plain(text), "") or danger_of(_flows(text))[0]
    if stop in FLUID_OF_STOP:
        return FLUID_OF_STOP[stop]
    if table("stops").has(stop=stop):
        return f"{STOP_FLUID}{stop}"
    near = " or ".join(_near_fluids(plain(text)))
    expected = f"a fluid: {near or 'what runs in the line, such as coolant, petrol or engine oil'}"
    raise InputError("fluid", ascii_text(text), expected)


@cache
def _fluid_questions() -> dict[str, Row]:
    return {plain(row["other_name"]): row for row in table("fluid_questions")}


# Who names the steering where a fluid is asked for means its fluid.
FLUID_OF_STOP = {"steering-unknown-side": "power-steering-fluid"}


def _flows(text: str) -> frozenset[str]:
    """Return the fluids that only a stop knows and that the words of a text name."""
    return read_words(text).of_kind(frozenset({"stopped-fluid"}))


def ascii_text(text: str) -> str:
    """Return a typed text in quotes, with what no terminal can show written out."""
    short = text if len(text) <= LONGEST_SHOWN else f"{text[:LONGEST_SHOWN]}..."
    return f"'{short}'" if short.isprintable() else ascii(short)


LONGEST_SHOWN = 60


def _near_fluids(wanted: str) -> list[str]:
    """Return the fluids that are spelled almost so; none where a figure tells a blend apart."""
    if len(wanted) > LONGEST_SHOWN or any(letter.isdigit() for letter in wanted):
        return []
    near = near_spellings(wanted, _fluids(), most=OFFERED, least=ALIKE)
    return list(dict.fromkeys(AS_SOLD.get(name, _fluids()[name]) for name in near))


OFFERED = 6


@cache
def _failures() -> dict[str, str]:
    names: dict[str, str] = {}
    for row in table("failures"):
        for name in (row["failure"], row["name"], *row["other_names"].split("|")):
            names[plain(name)] = row["failure"]
    return names


def known_failure(text: object) -> str:
    """Return how an old hose failed, as people say it; "unknown" where they do not know.

    Raises
    ------
    InputError
        when nobody says so; every failure is listed, the nearest first.
    """
    if not isinstance(text, str) or not text.strip():
        raise InputError("condition", repr(text), _expected_failure(()))
    if is_unknown(text):
        return "unknown"
    if plain(text) in _failures():
        return _failures()[plain(text)]
    near = near_spellings(plain(text), _failures())
    raise InputError("condition", ascii_text(text), _expected_failure(near))


def _expected_failure(near: Iterable[str]) -> str:
    meant = [f"'{name}'" for name in near]
    names = ", ".join(row["name"] for row in table("failures"))
    return f"{f'{meant[0]}? ' if meant else ''}one of: {names}; or unknown"
