"""From a reply at the counter to keys of a job, and to the questions that follow from it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from hoseselect.intake.counter_question import (
    DENIES,
    SPECIAL,
    Asked,
    Choice,
    chosen,
    counter_question,
    more_than,
    names,
    numbers,
    reading_back,
)
from hoseselect.intake.interview_state import FREE_KEY, UNKNOWN, State, job_of
from hoseselect.intake.line_questions import LINE_KINDS, line_answered
from hoseselect.intake.names import ascii_text
from hoseselect.intake.replies import Figures, figures_in, yes_or_no
from hoseselect.intake.unusual_sizes import read_back
from hoseselect.knowledge.errors import InputError
from hoseselect.quantities.read import read_quantity
from hoseselect.quantities.spelling import is_unknown, plain_text

FREE = "free"
FREE_ENDS = tuple(f"{FREE_KEY}{name}" for name in ("offset", "nipple_a_points", "nipple_b_points"))
NIPPLE_A, NIPPLE_B = "nipple_a.outside_diameter", "nipple_b.outside_diameter"
AGAIN = "again:"
BEND = "route.tightest_radius"
SAME = frozenset({"", "same", "the same", "same again", "ditto", "alike", "like a", "same size"})


@dataclass(frozen=True)
class Reply:
    """What a reply says.

    Parameters
    ----------
    values : dotted keys of a job file
    then : questions that follow
    guess : the reply where it is no measurement
    """

    values: Mapping[str, object]
    then: tuple[Asked, ...] = ()
    guess: str = ""


def answered(state: State, asked: Asked, reply: str, units: str = "mm") -> State:
    """Return the state after a reply.

    Parameters
    ----------
    state : before it
    asked : the question
    reply : as typed, neither help nor "back"
    units : "in" where bare pressures and temperatures are asked about

    Raises
    ------
    InputError
        when the reply cannot be used.
    """
    left = tuple(question for question in state.pending if question != asked)
    after = replace(state, pending=left, asked=state.asked | {asked.field})
    if asked.kind in LINE_KINDS:
        return line_answered(after, asked, reply)
    if asked.about and (anew := _said_anew(asked, reply)):
        return answered(after, counter_question(asked.about, state.group), anew, units)
    found = _read(after, asked, reply)
    doubtful = _doubtful(after, asked, found)
    if doubtful is not None:
        return after.asking(_confirm(asked, doubtful, found), *found.then)
    job_of({**after.said, **found.values}, "reply", units)
    if found.guess:
        after = replace(after, guesses={**after.guesses, asked.field: found.guess})
    return _followed(after.saying(found.values), asked).asking(*found.then)


def _said_anew(asked: Asked, reply: str) -> str:
    """Return the reply to the question before where one read back is said anew, else nothing.

    A figure is the new one; who does not know, does not know that.
    """
    if is_unknown(reply):
        return UNKNOWN
    figure = chosen(asked, reply) is None and any(letter.isdigit() for letter in reply)
    return reply if figure else ""


def _doubtful(state: State, asked: Asked, found: Reply) -> tuple[str, tuple[Choice, ...]] | None:
    """Return how a new figure is read back, None where it is usual or was confirmed."""
    if asked.field == "confirm":
        return None
    known = _size(state.said.get(NIPPLE_A, UNKNOWN))
    new = {k: v for k, v in found.values.items() if known is None or _size(v) != known}
    return read_back(state.service, new)


def _size(value: object) -> float | None:
    """Return a size [mm]; None where it is not known or something else is said."""
    try:
        return read_quantity(str(value), "length", NIPPLE_A, around_allowed=True)
    except InputError:
        return None


def _read(state: State, asked: Asked, reply: str) -> Reply:
    """Return what a reply to a question about the job says."""
    choice = chosen(asked, reply) if asked.choices else None
    if choice is None:
        choice = _yes_or_no(asked, reply)
    if choice is not None and _beads_measured(choice, reply):
        return Reply({**dict(choice.sets), **_beads(reply)})
    if choice is not None:
        return _of_choice(state, choice)
    if asked.field == NIPPLE_B and reply.casefold().strip(" .") in SAME:
        same = {NIPPLE_B: NIPPLE_A, "nipple_b.measured_on": "nipple_a.measured_on"}
        return Reply({key: state.said.get(other, UNKNOWN) for key, other in same.items()})
    if is_unknown(reply):
        return _unknown(state, asked)
    match asked.kind:
        case "diameter":
            return _diameter(asked, reply)
        case "bead" if any(c.isdigit() for c in reply) and not DENIES.search(reply.casefold()):
            return Reply(_beads(reply))
        case "length":
            return _length(reply)
        case "radius" | "far" | "movement" if any(c.isdigit() for c in reply):
            worst = "tightest" if asked.kind == "radius" else "furthest"
            figures = _figures(reply, f"one figure, the {worst}")
            key = BEND if asked.kind == "radius" else "route.movement"
            return Reply({key: figures.texts[0]}, guess=reply if figures.guessed else "")
        case "fluids" | "drips" | "offset" | "points" | "rocking" | "pressure":
            return Reply({asked.field: reply})
        case _:
            raise InputError("reply", ascii_text(reply), numbers(asked))


def _yes_or_no(asked: Asked, reply: str) -> Choice | None:
    """Return the choice of a reply that begins with yes or no, None where it says more than that.

    "yes, a small one" is yes; "no, petrol", "yes, 10 mm" and "no, supercharged" say something else.
    """
    says = yes_or_no(reply) or ("yes" if asked.kind == "bead" and YES.match(reply) else "")
    found = next((c for c in asked.choices if says and (says == c.label or says in c.words)), None)
    text = plain_text(reply).casefold()
    if found is None or is_unknown(reply):
        return None
    if _beads_measured(found, reply):
        return found
    if asked.kind in SPECIAL and SPECIAL[asked.kind].search(text):
        return None
    if asked.kind != "yes-no" and any(letter.isdigit() for letter in text):
        return None
    if any(names(other, text) for other in asked.choices if other != found):
        return None
    rest = re.sub(r"^[a-z]+", "", text)
    return None if asked.kind in SAYS_WHAT and more_than(found, rest) else found


SAYS_WHAT = frozenset({"drips", "fluids", "words"})
"""Kinds of question to which whatever follows a yes or no may be the reply itself."""


def _beads_measured(choice: Choice, reply: str) -> bool:
    """Return whether a reply says that both nipples have a bead, and how thick: "yes, 18 mm"."""
    both = {("nipple_a.bead", "yes"), ("nipple_b.bead", "yes")} <= set(choice.sets)
    return both and YES.match(reply) is not None and any(c.isdigit() for c in reply)


def _beads(reply: str) -> dict[str, object]:
    """Return the diameters of both beads, one told for both or one for each."""
    figures = YES.sub("", reply)
    first, *_, last = _figures(figures, "one over each bead", most=2).texts * 2
    return {"nipple_a.bead_diameter": first, "nipple_b.bead_diameter": last}


SAYS_NO = ("no", "nope", "nah", "wrong")
YES = re.compile(r"^\s*(?:yes|yep|yeah|y|both|on both)\b[\s,.:;-]*", re.IGNORECASE)


def _of_choice(state: State, choice: Choice) -> Reply:
    if choice.then.startswith(AGAIN):
        return Reply({}, (counter_question(choice.then.removeprefix(AGAIN), state.group),))
    values: dict[str, object] = dict(choice.sets)
    if BEND in values:
        values[BEND] = _bend(str(values[BEND]), state)
    then = choice.then
    if state.free and then:
        then = f"{FREE_KEY}movement"
    if state.free and "route.movement" in values:
        values = {f"{FREE_KEY}movement": UNKNOWN}
    return Reply(values, (counter_question(then),) if then else ())


def _bend(inside: str, state: State) -> str:
    """Return the centreline radius of a bend round something; hose outgrows a nipple."""
    radius = read_quantity(inside, "length", BEND) if inside != UNKNOWN else 0.0
    stubs = [str(state.said.get(key, UNKNOWN)) for key in (NIPPLE_A, NIPPLE_B)]
    if radius == 0 or UNKNOWN in stubs:
        return inside
    least = min(read_quantity(stub, "length", "", around_allowed=True) for stub in stubs)
    return f"{radius + least / 2:g} mm"


def _unknown(state: State, asked: Asked) -> Reply:
    """Return what "don't know" says: the last choice where it says so, else an unknown value."""
    last = asked.choices[-1] if asked.choices else None
    if last is not None and any(value == UNKNOWN for _, value in last.sets):
        return _of_choice(state, last)
    if asked.field in FREE_ENDS:
        return Reply({})
    key = {"route": "route.measured", "movement.far": "route.movement"}.get(asked.field)
    return Reply({key or asked.field: UNKNOWN})


def _figures(reply: str, expected: str, most: int = 1) -> Figures:
    """Return the figures of a reply; none of them may be dropped unseen.

    Raises
    ------
    InputError
        when there are more of them than are asked for.
    """
    figures = figures_in(reply)
    if len(figures.texts) > most:
        raise InputError("reply", f"'{reply}', {len(figures.texts)} figures", expected)
    return figures


def _diameter(asked: Asked, reply: str) -> Reply:
    if asked.field == NIPPLE_A:
        figures = _figures(reply, "one figure, or one for each nipple", most=2)
    else:
        figures = _figures(reply, "one figure, of this nipple")
    if figures.of_hose:
        expected = "the thickness of the nipple itself (a string round it will do), or dunno"
        raise InputError("reply", f"'{reply}', the bore of a hose", expected)
    if figures.round_or_about:
        return Reply({}, (_round_or_about(asked, figures),))
    on = UNKNOWN if figures.guessed or figures.barb else "plain"
    end = asked.field.partition(".")[0]
    values: dict[str, object] = {asked.field: figures.texts[0], f"{end}.measured_on": on}
    then: tuple[Asked, ...] = ()
    if asked.field == NIPPLE_A:
        if len(figures.texts) > 1 or figures.both:
            values |= {NIPPLE_B: figures.texts[-1], "nipple_b.measured_on": on}
        else:
            then = (counter_question(NIPPLE_B),)
    return Reply(values, then, reply if figures.guessed else "")


def _round_or_about(asked: Asked, figures: Figures) -> Asked:
    """Return the question whether "around 30 mm" is taken round the nipple or across it."""
    (text, *_), end = figures.texts, asked.field.partition(".")[0]
    then = NIPPLE_B if asked.field == NIPPLE_A else ""
    choices = (
        Choice(
            f"about {text} across", ((asked.field, text), (f"{end}.measured_on", UNKNOWN)), (), then
        ),
        Choice(
            f"{text} round it, by string",
            ((asked.field, f"{text} round"), (f"{end}.measured_on", "plain")),
            (),
            then,
        ),
        Choice("I say it again", (), SAYS_NO, f"{AGAIN}{asked.field}"),
    )
    return reading_back(asked, choices, "Across the nipple, or round it?")


def _length(reply: str) -> Reply:
    if reply.strip().casefold() == FREE:
        return Reply({}, tuple(map(counter_question, (*FREE_ENDS, "route.movement"))))
    figures = _figures(reply, "one figure, the length of the hose along its bends")
    return Reply({"route.measured": figures.texts[0]}, guess=reply if figures.guessed else "")


def _confirm(asked: Asked, doubtful: tuple[str, tuple[Choice, ...]], found: Reply) -> Asked:
    """Return the question that reads an unusual figure back."""
    question, readings = doubtful
    rest = tuple((k, str(v)) for k, v in found.values.items())
    choices = [replace(one, sets=tuple(dict((*rest, *one.sets)).items())) for one in readings]
    again = "a typing mistake: I say it again"
    choices.append(Choice(again, (), SAYS_NO, f"{AGAIN}{asked.field}"))
    return reading_back(asked, tuple(choices), question)


def _followed(state: State, asked: Asked) -> State:
    """Return the state without the questions that a reply has made idle."""
    said = state.said
    if asked.field == NIPPLE_A and said.get(NIPPLE_A) == UNKNOWN:
        return state.saying({NIPPLE_B: UNKNOWN})
    if asked.field == "route" and said.get("route.measured", "") == UNKNOWN:
        return replace(state, asked=state.asked | {BEND})
    if asked.field == "route" and "route.measured" not in said:
        return replace(state, asked=state.asked | {BEND, "route.movement"})
    if asked.field in FREE_ENDS and asked.field not in said:
        idle = {*FREE_ENDS, "route.movement"}
        left = tuple(question for question in state.pending if question.field not in idle)
        kept = {key: value for key, value in said.items() if not key.startswith(FREE_KEY)}
        return replace(state, pending=left, said=kept)
    return state
