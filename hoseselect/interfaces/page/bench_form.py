"""The bench's form: how a route is told, and what becomes of it in the address of a job.

What the form leaves as it stood stays told as it was, also where the form has no words for it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from hoseselect.application.ask_on import OF_A_REPLY, RAW, Pair
from hoseselect.intake.counter_question import chosen, counter_question
from hoseselect.intake.interview_answers import AGAIN, SAME
from hoseselect.intake.interview_state import flat, nested
from hoseselect.intake.job_code import decode_job, encode_job
from hoseselect.intake.told_stops import told_stops
from hoseselect.interfaces.page.address import Address
from hoseselect.interfaces.page.around import CLIP, KEEP_OUT, as_pairs, is_around
from hoseselect.interfaces.page.bench_fields import (
    BEAD,
    BEAD_SIZES,
    BEADS,
    ENDS,
    FIXED,
    MOVES,
    NIPPLES,
    SERVICE,
    SHARED,
    USABLE,
    USABLE_LENGTHS,
    WAYS,
    shown_fields,
    shown_text,
    way_of,
)
from hoseselect.knowledge.errors import InputError

FREE_WAYS = ("free", "flat", "wire")
RETOLD = ("route.measured", "route.tightest_radius", "route.run", "route.free")
"""Beginnings of what is told anew with the way in which a hose runs; the rest of a route stays."""
RADIUS, LENGTH, MOVEMENT = "route.tightest_radius", "route.measured", "route.movement"
FAR = "movement.far"
FREE_MOVEMENT = "route.free.movement"


def before_form(address: Address, form: Mapping[str, str]) -> Address:
    """Return the address as it was before the form, whose own fields come last in it."""
    pairs = list(address.pairs)
    for name in (SERVICE, *NIPPLES):
        places = [place for place, pair in enumerate(pairs) if pair[0] == name]
        if name in form and places:
            del pairs[places[-1]]
    return replace(address, pairs=tuple(pairs))


def with_form(address: Address, form: Mapping[str, str]) -> Address:
    """Return the address of a job after the form of the bench.

    What was said of another way in which the hose runs is dropped; a field that is emptied is not
    known.

    Parameters
    ----------
    address : before it
    form : names and texts as sent
    """
    own = unpacked(address)
    told, other_way = _told(address, form)
    kept = _kept(own.pairs, told, other_way)
    new = [(_name(key, text), text) for key, text in told.items() if text]
    new += [(name, form[name].strip()) for name in form if is_around(name) and form[name].strip()]
    pairs = _in_order([*kept, *new])
    hose = form.get("hose", "").strip()
    code = _without(own.code, told, other_way)
    return replace(own, pairs=pairs, code=code, number="", hose=hose)


def _in_order(pairs: Sequence[Pair]) -> tuple[Pair, ...]:
    """Return pairs with the line first, then the sizes of the nipples, on which later replies rest.

    A reply that is read back stays before the one that answers for it.
    """
    groups: list[list[Pair]] = []
    for pair in pairs:
        if groups and pair[0] in OF_A_REPLY:
            groups[-1].append(pair)
        else:
            groups.append([pair])
    groups.sort(key=lambda group: _rank(group[0][0]))
    return tuple(pair for group in groups for pair in group)


def _rank(name: str) -> int:
    key = name.removeprefix(RAW)
    if key == SERVICE:
        return 0
    return 1 if key.startswith(OF_A_LINE) else 2 if key in NIPPLES else 3


def _name(key: str, text: str) -> str:
    """Return the name under which a field stands: a figure for a radius chooses nothing."""
    figure = key == RADIUS and any(letter.isdigit() for letter in text)
    return f"{RAW}{key}" if figure else key


def _sizes(
    address: Address, sent: Mapping[str, str], changed: set[str], values: Mapping[str, Any]
) -> dict[str, str]:
    """Return the sizes that are told anew: those that were changed, and what rests on them.

    Nipple B without a size of its own in the form is as thick as A. One that was told with the
    other, or as the same, is told by itself now, and where it was measured with it.
    """
    a, b = NIPPLES
    own = {name.removeprefix(RAW): text for name, text in address.pairs}
    together = any(key.startswith(f"{SHARED}.") for key in values)
    told = {name: sent.get(name, "") for name in NIPPLES if name in changed}
    if b in changed and not told[b]:
        told[b] = sent.get(a, "")
    rests = b not in own or own[b].casefold().strip(" .") in SAME
    others = ((b, a, rests or together), (a, b, together))
    for name, other, with_it in others:
        if name not in changed and other in changed and with_it:
            text = sent.get(name, "") or (sent.get(a, "") if name == b else "")
            measured = f"{name.partition('.')[0]}.measured_on"
            on = str(values.get(measured, "plain"))
            told |= {name: text} if on == "plain" else {RAW + name: text, RAW + measured: on}
    return told


def _told(address: Address, form: Mapping[str, str]) -> tuple[dict[str, str], str]:
    """Return what the form tells anew by its key, and the way of the route where it is another.

    An empty text takes back what was told before.
    """
    try:
        shown = shown_fields(address)
        values = dict(flat(address.interviewing.values))
    except InputError:
        shown, values = {}, {}
    sent = {name: text.strip() for name, text in form.items()}

    def changed(name: str) -> bool:
        return name in sent and sent[name] != shown.get(name, "")

    told = {SERVICE: sent[SERVICE]} if changed(SERVICE) else {}
    told |= _sizes(address, sent, {name for name in NIPPLES if changed(name)}, values)
    if changed(BEAD) and sent[BEAD] in {"yes", "no", ""}:
        told |= dict.fromkeys((*BEADS, *BEAD_SIZES), "")
        told[BEADS[0]] = sent[BEAD]  # a reply, which says it of both
    if changed(USABLE):
        told |= dict.fromkeys(USABLE_LENGTHS, sent[USABLE])
    if changed(MOVES) and sent[MOVES] in {*ENDS, ""}:
        told |= dict(zip(FIXED, ENDS.get(sent[MOVES], ("", "")), strict=True))
    way = sent.get("way", "free")
    keys = [key for key, _, _ in WAYS.get(way, ())]
    if values and way != way_of(values) and any(sent.get(f"{way}:{key}") for key in keys):
        return told | {key: sent.get(f"{way}:{key}", "") for key in keys}, way
    return told | {key: sent[f"{way}:{key}"] for key in keys if changed(f"{way}:{key}")}, ""


def with_run(address: Address, run: str) -> Address:
    """Return a job with a run of straights and bends in place of what was told of its route."""
    own, way = unpacked(address), "run"
    kept = tuple(pair for pair in own.pairs if not is_told_anew(pair[0], way))
    code = _without(own.code, {}, way)
    return replace(own, pairs=(*kept, ("route.run", run)), code=code, number="")


def replies_to(address: Address) -> dict[str, str]:
    """Return what may be said to the question that waits, and the address in which it is said.

    The reply stands behind the one that it reads back, so that both go together. Who mistyped says
    it again in its field.
    """
    waiting = address.interviewing.unanswered
    if waiting is None:
        return {}
    places = [
        place
        for place, (name, _) in enumerate(address.pairs)
        if name == (waiting.about or SERVICE) or (not waiting.about and name.startswith(OF_A_LINE))
    ]
    place = places[-1] + 1
    found: dict[str, str] = {}
    for number, choice in enumerate(waiting.choices, 1):
        if not choice.then.startswith(AGAIN):
            reply = (waiting.field, str(number))
            pairs = (*address.pairs[:place], reply, *address.pairs[place:])
            found[choice.label] = replace(address, pairs=pairs, number="").query
    return found


def _kept(pairs: Sequence[Pair], told: Mapping[str, str], other_way: str) -> list[Pair]:
    """Return what stays of what was said: a reply that goes takes with it how it was read back."""
    kept: list[Pair] = []
    stays = True
    for name, text in pairs:
        if name not in OF_A_REPLY:
            anew = bool(other_way) and is_told_anew(name, other_way)
            stays = not (_is_told(name, text, told) or anew or is_around(name))
        if stays:
            kept.append((name, text))
    return kept


def _is_told(name: str, text: str, told: Mapping[str, str]) -> bool:
    """Return whether a pair is about something that the form tells."""
    key = name.removeprefix(RAW)
    if SERVICE in told and name.startswith(OF_A_LINE):
        return True
    if name == "route":  # the reply by which a length was told, or that it is free
        return LENGTH in told
    if name == MOVEMENT and FIXED[0] in told:  # the reply that says what both ends sit on
        choice = chosen(counter_question(MOVEMENT), text)
        return choice is not None and any(FIXED[0] == one for one, _ in choice.sets)
    if FREE_MOVEMENT in told and key in {MOVEMENT, FAR}:
        return True
    return any(_is_part(key, one) for one in told)


def _is_part(key: str, told: str) -> bool:
    """Return whether a key is one that is told, a part of it, or says it of both nipples."""
    told = told.removeprefix(RAW)
    end, _, name = told.partition(".")
    shared = f"{SHARED}.{name}" if end in {"nipple_a", "nipple_b"} else told
    return key in {told, shared} or key.startswith(f"{told}.")


OF_A_LINE = "line."
"""Beginning of the questions that find a line without a name."""


def is_told_anew(name: str, way: str) -> bool:
    """Return whether a name in an address is dropped where the way of a route is told anew.

    How near heat is, low spots, fall and supports stay told.
    """
    key = name.removeprefix(RAW)
    moves = way in FREE_WAYS and key in {MOVEMENT, FAR}
    return key == "route" or key.startswith(RETOLD) or moves


def unpacked(address: Address) -> Address:
    """Return the address of a job in which what its code holds stands in words, as far as it can.

    A job that is a stop for sure keeps its code, and so stays one.
    """
    before = address.before
    if not before or told_stops(before):
        return address
    pairs: list[tuple[str, str]] = []
    left: dict[str, Any] = {}
    for key, value in flat(before):
        if key in LISTED:
            found = as_pairs(LISTED[key], value, shown_text)
        elif key in SEVERAL and isinstance(value, list):
            found = [(f"{RAW}{key}", ", ".join(map(str, value)) or "nothing")]
        else:
            text = shown_text(value)
            found = [(f"{RAW}{key}", text)] if text else []
        if found:
            pairs += found
        else:
            left[key] = value
    code = encode_job(nested(left)) if left else ""
    return replace(address, pairs=(*pairs, *address.pairs), code=code)


LISTED = {"route.free.keep_out": KEEP_OUT, "route.free.clip": CLIP}
SEVERAL = ("fluids", "drips")


def _without(code: str, told: Mapping[str, str], other_way: str) -> str:
    """Return a code without what the form tells anew."""
    if not code or told_stops(decode_job(code)):
        return code
    kept = {
        key: value
        for key, value in flat(decode_job(code))
        if not any(_is_part(key, one) for one in told)
        and not (other_way and key.startswith(RETOLD) and key not in LISTED)
    }
    return encode_job(nested(kept)) if kept else ""
