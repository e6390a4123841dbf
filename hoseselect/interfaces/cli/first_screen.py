"""The first screen of an answer: at most 24 lines, the verdict first, by the summary alone."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import PurePath
from textwrap import wrap

from hoseselect.answer.summary import NOT_YET, STOP, Summary
from hoseselect.catalogue.locate import BUILT_IN_NAME
from hoseselect.interfaces.wording import cut_words, money
from hoseselect.quantities.shown import metres

LINES, COLUMNS = 24, 80
LABEL = 9
"""Columns of the label at the left."""
SHORT = 2
"""Lines of what may be cut off, where the whole of it stands behind `--full`."""
CUT_OFF = " ..."
Rows = list[str]
Piece = tuple[str, Rows]
DROPPED_FIRST = ("blank", "typed", "from", "job", "set here", "stock", "as usual", "clamps")
"""What goes where a screen is short; verdict, cut, print, checks and what could injure stay."""


def first_screen(
    told: Summary,
    units: str,
    width: int = COLUMNS,
    lines: int = LINES,
    number: int | None = None,
) -> Rows:
    """Return the lines of the first screen.

    What must be known before anything flows always stands there, whole, even where a screen is
    too short for it; the rest as far as there is room.

    Parameters
    ----------
    told : what is told first
    units : "mm" or "in", shown first
    width, lines : of the terminal, at least 80 and 24
    number : of the job in the book
    """
    foot = [] if number is None else labelled("job", f"{number}, in the book", width)
    pieces = [
        *_head(told, width),
        *_verdict(told, units, width),
        *_checks(told, width),
        *((label, labelled(label, text, width)) for label, text in _last(told)),
        ("room", []),
        ("job", foot),
    ]
    for name in DROPPED_FIRST:
        if _count(pieces) > lines:
            pieces = [piece for piece in pieces if piece[0] != name]
    room = lines - _count(pieces)
    for label, text in _if_room(told):
        own = labelled(label, text, width, SHORT)
        if len(own) <= room:
            next(rows for name, rows in pieces if name == "room").extend(own)
            room -= len(own)
    return [row for _, rows in pieces for row in rows]


def _count(pieces: list[Piece]) -> int:
    return sum(len(rows) for _, rows in pieces)


def _head(told: Summary, width: int) -> Iterator[Piece]:
    """Yield the line, with the catalogue beside or below it, and what was typed of it."""
    title = f"{told.name}: {told.service}" if told.name else told.service
    title = _short(title if told.name else title[:1].upper() + title[1:], width)
    named = f"catalogue: {_few_words(told.catalogue)}" if told.catalogue else ""
    gap = width - len(title) - len(named)
    beside = bool(named) and gap >= GAP
    yield "title", [f"{title}{' ' * gap}{named}" if beside else title]
    if told.understood:
        yield "typed", _wrapped(told.understood, width, SHORT)
    if named and not beside:
        yield "from", [named]
    yield "blank", [""]


GAP = 2
FEW = 40  # letters


def _few_words(catalogue: str) -> str:
    """Return the name of a catalogue: that of its folder, the end of it where it is long."""
    name = "built-in, invented" if catalogue == BUILT_IN_NAME else PurePath(catalogue).name
    return name if len(name) <= FEW else f"...{name[-FEW:]}"


def _verdict(told: Summary, units: str, width: int) -> Iterator[Piece]:
    """Yield the verdict, then hose, cut, clamps and print, or why there is none."""
    if not told.offers:
        yield told.word, labelled(told.word, _refused(told), width, REASONS)
        choices = enumerate(_choices(told), start=1)
        yield "choices", [f"{'':{LABEL}}{number}  {choice}" for number, choice in choices]
        if told.go_to:
            label = "go to" if told.word == STOP else "instead"
            yield label, labelled(label, told.go_to, width, SHORT)
        return
    yield told.word, labelled(told.word, f"{told.hose}   {told.description}", width, SHORT)
    yield "stock", labelled("stock", _stock(told, units), width)
    yield "cut", labelled("cut", cut_words(told, units), width)
    if told.clamps:
        yield "clamps", labelled("clamps", "; ".join(told.clamps), width, SHORT)
    if told.print_line:
        yield "print", labelled("print", f"on the hose: {told.print_line}", width, SHORT)


REASONS = 10
"""Lines of the reasons against a job."""


def _refused(told: Summary) -> str:
    if told.word == NOT_YET and told.question:
        return told.question
    return f"No hose and no length: {told.why}" if told.word == STOP else told.why


def _choices(told: Summary) -> tuple[str, ...]:
    """Return the replies to the question, with one for who cannot tell."""
    return (*told.choices, CANNOT_TELL) if told.choices else ()


CANNOT_TELL = "cannot tell"


def _stock(told: Summary, units: str) -> str:
    """Return where the hose hangs, and what it costs."""
    where = "to order"
    if told.roll or told.place:
        named = ", ".join(text for text in (told.place, f"roll {told.roll}") if text)
        where = f"{named}, {metres(told.metres_left, units)} left"
    if math.isnan(told.price_per_m):
        return where
    price = f"{money(told.price_per_m, told.currency)} a metre"
    cost = "" if math.isnan(told.cost) else f", {money(told.cost, told.currency)} for it"
    return f"{where}   {price}{cost}"


def _checks(told: Summary, width: int) -> Iterator[Piece]:
    """Yield what must hold before anything flows, and what the hose itself leaves open."""
    for number, check in enumerate(told.checks):
        label = "only if" if number == 0 else ""
        yield "checks", labelled(label, f"[ ] {check}", width)
    if told.conditions:
        yield "and only", labelled("and only", "; ".join(told.conditions), width, CONDITIONS)


CONDITIONS = 5


def _last(told: Summary) -> Iterator[tuple[str, str]]:
    """Yield what was taken as usual, and what could injure somebody."""
    if told.usual and told.word != STOP:
        yield "as usual", told.usual
    if told.settings and told.word != STOP:
        yield "set here", told.settings
    if told.injury:
        yield "care", told.injury


def _if_room(told: Summary) -> Iterator[tuple[str, str]]:
    """Yield what is told where there is room, the most useful first."""
    if told.offers:
        yield "measure", " ".join(told.measure)
        yield "why", _clauses(told.why, SHORT * (COLUMNS - LABEL) - SLACK)
    yield "tell", " ".join(told.tell)
    yield "not", "; ".join(f"{family} ({reason})" for family, reason in told.not_these)
    yield "else", ", ".join(told.also)
    if not told.offers and told.word == NOT_YET and told.question:
        yield "why", told.why


SLACK = 15
"""Columns that wrapping may lose."""


def _clauses(text: str, most: int) -> str:
    """Return as many clauses of a sentence as have room."""
    told = text.split("; ")
    while len(told) > 1 and len("; ".join(told)) > most:
        told.pop()
    return "; ".join(told)


def labelled(label: str, text: str, width: int, most: int = 0) -> Rows:
    """Return a text beside its label, cut off after some lines; 0 = all of it."""
    rows = _wrapped(text, width - LABEL, most)
    return [f"{label if number == 0 else '':{LABEL}}{row}" for number, row in enumerate(rows)]


def _wrapped(text: str, width: int, most: int = 0) -> Rows:
    rows = wrap(
        text,
        width,
        subsequent_indent="    " if text.startswith("[") else "",
        break_on_hyphens=False,
    )
    if most and len(rows) > most:
        rows = [*rows[: most - 1], _short(rows[most - 1].ljust(width) + CUT_OFF, width)]
    return rows


def _short(text: str, width: int) -> str:
    """Return a text cut off where it is too long."""
    return text if len(text) <= width else text[: width - len(CUT_OFF)].rstrip() + CUT_OFF
