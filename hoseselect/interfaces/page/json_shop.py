"""The JSON interface to what a shop holds: its catalogue and its job book."""

from __future__ import annotations

from enum import Enum
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request

from hoseselect.application.check_catalogue import check_catalogue
from hoseselect.application.list_catalogue import list_sizes, list_types, show
from hoseselect.application.note_fitted import note_fitted
from hoseselect.book.note import known_text
from hoseselect.interfaces.in_use import today
from hoseselect.interfaces.page.json_forms import (
    FAULTS,
    DoneAsked,
    FittedAsked,
    Kept,
    NoteAsked,
    Number,
    Roll,
)
from hoseselect.interfaces.page.kept import day_done, day_told, the_book
from hoseselect.interfaces.page.shop import Shop

router = APIRouter(prefix="/api", responses=FAULTS)
CATALOGUE: list[str | Enum] = ["catalogue"]
BOOK: list[str | Enum] = ["job book"]
MOST = 100
"""Lines of the book that are told where nobody asks for more."""
Word = Annotated[str, Query(max_length=200)]
DayOf = Annotated[str, Query(max_length=10, description="A day as 2031-05-30.")]
Plain = dict[str, Any]


def _shop(request: Request) -> Shop:
    shop: Shop = request.app.state.shop
    return shop


@router.get("/catalogue", tags=CATALOGUE)
def catalogue(request: Request) -> list[Plain]:
    """List the hose types."""
    return list_types(_shop(request).catalogue)


@router.get("/catalogue/sizes", tags=CATALOGUE)
def sizes(request: Request, hose_type: Word) -> list[Plain]:
    """List the sizes of a hose type."""
    return list_sizes(_shop(request).catalogue, hose_type)


@router.get("/catalogue/hose", tags=CATALOGUE)
def hose(request: Request, name: Word) -> Plain:
    """Tell all that the catalogue states of a hose type or size."""
    return show(_shop(request).catalogue, name)


@router.get("/catalogue/check", tags=CATALOGUE)
def checked(request: Request) -> Plain:
    """Say all that is wrong with the catalogue, and which services it covers."""
    return check_catalogue(_shop(request).folder, today()).as_json()


@router.get("/catalogue/rolls", tags=CATALOGUE)
def rolls(request: Request) -> list[Roll]:
    """List the rolls in stock, with what is left on each."""
    held = _shop(request).catalogue.rolls
    return [
        Roll(
            roll=str(held.roll[k]),
            hose_size=str(held.hose_size[k]),
            length_m=float(held.length_m[k]),
            place=held.place[k],
            date_made=held.date_made[k],
        )
        for k in range(len(held))
    ]


@router.get("/book", tags=BOOK, response_model=list[Kept])
def jobs(
    request: Request,
    words: Word = "",
    service: Word = "",
    hose: Word = "",
    since: DayOf = "",
    until: DayOf = "",
    most: Annotated[int, Query(ge=1, le=10_000)] = MOST,
) -> list[Plain]:
    """Find jobs of the book by words of the note, service, hose and day; newest first."""
    found = the_book(_shop(request)).find(
        note=words,
        service=service,
        hose=hose,
        since=day_told(since, "since") if since else None,
        until=day_told(until, "until") if until else None,
        most=most,
    )
    return [entry.as_json() for entry in found]


@router.get("/book/due", tags=BOOK, response_model=list[Kept])
def due(request: Request, by: DayOf = "") -> list[Plain]:
    """List fitted hoses that are to be looked at again by a day; empty = today."""
    return [entry.as_json() for entry in the_book(_shop(request)).due(day_told(by, "by"))]


@router.get("/book/{number}", tags=BOOK, response_model=Kept)
def entry(request: Request, number: Number) -> Plain:
    """Tell one job of the book."""
    return the_book(_shop(request)).entry(number).as_json()


@router.post("/book/{number}/fitted", tags=BOOK, response_model=Kept)
def fitted(request: Request, number: Number, asked: FittedAsked) -> Plain:
    """Note whether a hose was fitted, and which."""
    book = the_book(_shop(request))
    if asked.fitted:
        day = day_done(asked.on)
        again = day_told(asked.recheck, "recheck") if asked.recheck else None
        note_fitted(book, number, known_text(asked.hose, "hose"), day, again)
    else:
        book.not_fitted(number)
    return book.entry(number).as_json()


@router.post("/book/{number}/done", tags=BOOK, response_model=Kept)
def done(request: Request, number: Number, asked: DoneAsked) -> Plain:
    """Note that a fitted hose was looked at again."""
    book = the_book(_shop(request))
    book.done(number, day_done(asked.on))
    return book.entry(number).as_json()


@router.post("/book/{number}/note", tags=BOOK, response_model=Kept)
def note(request: Request, number: Number, asked: NoteAsked) -> Plain:
    """Write another note beside a job."""
    book = the_book(_shop(request))
    book.note(number, known_text(asked.note, "note"))
    return book.entry(number).as_json()
