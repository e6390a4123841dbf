"""Which line it is: by its name, or by its two ends and what is left in the old hose."""

from __future__ import annotations

from dataclasses import replace

from hoseselect.intake.counter_question import (
    Asked,
    Choice,
    chosen,
    counter_question,
    numbers,
    with_choices,
)
from hoseselect.intake.interview_state import UNKNOWN, State
from hoseselect.intake.names import ascii_text, known_fluid, known_service, line_name
from hoseselect.knowledge.errors import AmbiguousNameError, InputError
from hoseselect.knowledge.load import table
from hoseselect.quantities.spelling import is_unknown
from hoseselect.rules.name_words import read_words
from hoseselect.rules.stop import STOP_FLUID, is_stop

LINE_KINDS = frozenset({"line", "part", "residue", "which"})
ENDS = ("line.end_a", "line.end_b", "line.residue")
CANDIDATES = "candidates"
MOST_TOLD = 5  # choices that are told with their ends; of more, the names alone
NONE_OF_THESE = "none of these, or not known"


def line_answered(state: State, asked: Asked, reply: str) -> State:
    """Return the state after a reply to one of the questions about which line it is.

    Raises
    ------
    InputError
        when the reply cannot be used.
    """
    match asked.kind:
        case "line":
            return _named(state, reply)
        case "which":
            return _told(state, asked, reply)
        case _:
            return _looked(state, asked, reply)


def _named(state: State, reply: str) -> State:
    if is_unknown(reply):
        return _by_its_ends(state)
    name, fluids = without_fluids(reply)
    try:
        line = known_service(name)
    except AmbiguousNameError as several:
        state = replace(state, finding={CANDIDATES: several.choices, "fluids": fluids})
        return state.asking(_which(several.choices))
    except InputError as error:
        expected = (
            "the line or its two ends (e.g. heater hose; rocker cover to air filter), or dunno"
        )
        raise InputError("reply", error.found, expected) from None
    return _is(state, line, fluids)


def _is(state: State, line: str, fluids: tuple[str, ...] = ()) -> State:
    said = state.saying({"service": line})
    return said.saying({"fluids": list(fluids)}) if fluids else said


def without_fluids(text: str) -> tuple[str, tuple[str, ...]]:
    """Return the name of a line without the fluids that stand beside it, and those.

    Examples
    --------
    >>> without_fluids("fuel return E10")
    ('fuel return', ('petrol-e10',))
    """
    fluids: list[str] = []
    kept: list[str] = []
    foreign = set(read_words(text).unknown)
    for word in text.split():
        fluid = ""
        if word.casefold() in foreign:
            try:
                fluid = known_fluid(word)
            except InputError:
                fluid = ""
        if fluid and not fluid.startswith(STOP_FLUID):
            fluids.append(fluid)
        else:
            kept.append(word)
    return (" ".join(kept), tuple(fluids)) if kept else (text, ())


def _by_its_ends(state: State) -> State:
    if state.asked & set(ENDS):
        return state.saying({"service": UNKNOWN})
    return state.asking(*map(counter_question, ENDS))


def _which(lines: tuple[str, ...]) -> Asked:
    """Return the question which of some lines it is."""
    told = len(lines) <= MOST_TOLD
    choices = [Choice(_shown(line, told=told), (("service", line),)) for line in lines]
    choices.append(Choice(NONE_OF_THESE, (("service", UNKNOWN),), ("none", "none of these")))
    return with_choices(counter_question("line.which"), tuple(choices))


def _shown(line: str, *, told: bool) -> str:
    name = line_name(line)
    if not told or not table("services").has(service=line):
        return name
    residues = [row["residue"] for row in table("line_residues").where(line=line)]
    inside = f"; old hose {' or '.join(residues)} inside" if residues else ""
    return f"{name}: {table('services').row(service=line)['description']}{inside}"


def _told(state: State, asked: Asked, reply: str) -> State:
    """Return the state after one of several lines was chosen, by number or by name."""
    fluids = tuple(state.finding.get("fluids", ()))
    choice = None if is_unknown(reply) else chosen(asked, reply)
    if choice is not None or is_unknown(reply):
        line = UNKNOWN if choice is None else choice.sets[0][1]
        return _by_its_ends(state) if line == UNKNOWN else _is(state, line, fluids)
    try:
        line = known_service(reply)
    except InputError:
        raise InputError("reply", ascii_text(reply), numbers(asked)) from None
    offered = {sets[1] for one in asked.choices for sets in one.sets}
    if line in offered or is_stop(line):
        return _is(state, line, fluids)
    raise InputError("reply", ascii_text(reply), numbers(asked))


def _looked(state: State, asked: Asked, reply: str) -> State:
    """Return the state after an end or the residue was told; after the last the line is sought."""
    choice = None if is_unknown(reply) else chosen(asked, reply)
    if choice is not None:
        found = choice.sets[0][1]
    elif is_unknown(reply):
        found = UNKNOWN
    elif asked.kind == "part" and read_words(reply).senses:
        found = reply  # a part that is not on the list, in words that are known
    else:
        raise InputError("reply", ascii_text(reply), numbers(asked))
    state = replace(state, finding={**state.finding, asked.field: found})
    return _sought(state) if asked.field == ENDS[-1] else state


def _sought(state: State) -> State:
    """Return the state in which the lines that fit what was seen are offered, or none is known."""
    ends = [state.finding[end] for end in ENDS[:2] if state.finding.get(end, UNKNOWN) != UNKNOWN]
    lines: tuple[str, ...] = ()
    if ends:
        try:
            lines = (known_service(" to ".join(ends)),)
        except AmbiguousNameError as several:
            lines = several.choices
        except InputError:
            lines = ()
    if len(lines) == 1 and is_stop(lines[0]):
        return state.saying({"service": lines[0]})
    before = state.finding.get(CANDIDATES, ())
    both = tuple(line for line in lines if line in before)
    fitting = [line for line in both or lines or before if _leaves(line, state)]
    if not fitting:
        return state.saying({"service": UNKNOWN})
    return state.asking(_which(tuple(fitting)))


def _leaves(line: str, state: State) -> bool:
    """Return whether a line may leave in the old hose what was seen there."""
    seen = state.finding.get("line.residue", UNKNOWN)
    known = {row["residue"] for row in table("line_residues").where(line=line)}
    return seen == UNKNOWN or not known or seen in known
