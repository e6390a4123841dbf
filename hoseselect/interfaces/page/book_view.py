"""The job book: jobs found again, what became of them, what is to be looked at again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from hoseselect.application.note_fitted import note_fitted
from hoseselect.book.entry import Entry
from hoseselect.book.job_book import JobBook
from hoseselect.book.note import known_text
from hoseselect.interfaces.in_use import today
from hoseselect.interfaces.page.counter_view import MOST_DIGITS
from hoseselect.interfaces.page.kept import day_done, day_told, the_book
from hoseselect.interfaces.page.papers import numbered
from hoseselect.interfaces.page.render import page, words
from hoseselect.interfaces.page.shop import Shop
from hoseselect.interfaces.sheets.book_sheet import book_text
from hoseselect.interfaces.wording import service_words
from hoseselect.knowledge.errors import HoseselectError, InputError

router = APIRouter(include_in_schema=False)
MOST_SHOWN = 100
LONGEST = 200
UNUSABLE = 422


@router.get("/book")
def book(
    request: Request,
    note: str = "",
    service: str = "",
    hose: str = "",
    since: str = "",
    until: str = "",
) -> Response:
    """Show the jobs of which all that was looked for is true, and what is due."""
    shop = _shop(request)
    asked = {"note": note, "service": service, "hose": hose, "since": since, "until": until}
    asked = {name: text[:LONGEST] for name, text in asked.items()}
    values: dict[str, Any] = {"asked": asked, "entries": [], "due": [], "fault": ""}
    values["line_words"] = service_words
    if shop.book is not None:
        try:
            kept = the_book(shop)
            values["due"] = kept.due(today())
            values["entries"] = kept.find(
                note=asked["note"],
                service=asked["service"],
                hose=asked["hose"],
                since=day_told(since, "since") if since.strip() else None,
                until=day_told(until, "until") if until.strip() else None,
                most=MOST_SHOWN,
            )
        except InputError as error:
            values["fault"] = str(error)
    return page(request, "book.html", UNUSABLE if values["fault"] else 200, **values)


@router.get("/book/export.csv")
def export(request: Request) -> Response:
    """Return the book as a CSV sheet."""
    content = book_text(the_book(_shop(request)).find()).encode("utf-8-sig", "replace")
    told = {"Content-Disposition": 'attachment; filename="job-book.csv"'}
    return Response(content, media_type="text/csv; charset=utf-8", headers=told)


@router.get("/book/{number}")
def job(request: Request, number: str, done: str = "") -> Response:
    """Show one job of the book."""
    return _job_page(request, _number(number), words()["book"]["noted"] if done else "")


@router.get("/book/{number}/open")
def reopen(request: Request, number: str) -> Response:
    """Go to the answer to a job of the book, as it is today."""
    told = numbered(_number(number), _shop(request))
    return RedirectResponse(f"/counter?{told.query}", status_code=303)


@router.post("/book/{number}/fitted")
def fitted(
    request: Request,
    number: str,
    answer: str = Form(""),
    hose: str = Form(""),
    on: str = Form(""),
    recheck: str = Form(""),
) -> Response:
    """Note whether a hose was fitted, and which."""

    def change(kept: JobBook, own: int) -> str:
        if answer == "no":
            kept.not_fitted(own)
            return ""
        if answer != "yes":
            raise InputError("fitted", ascii(answer)[:LONGEST], "yes or no")
        again = day_told(recheck, "recheck") if recheck.strip() else None
        told = note_fitted(kept, own, known_text(hose, "hose"), day_done(on), again)
        return "" if told.offered else words()["book"]["not_offered"]

    return _changed(request, number, change)


@router.post("/book/{number}/done")
def looked_at(request: Request, number: str, on: str = Form("")) -> Response:
    """Note that a fitted hose was looked at again."""
    return _changed(request, number, lambda kept, own: kept.done(own, day_done(on)))


@router.post("/book/{number}/note")
def note(request: Request, number: str, text: str = Form("")) -> Response:
    """Write another note beside a job."""
    return _changed(request, number, lambda kept, own: kept.note(own, known_text(text, "note")))


def _changed(
    request: Request, number: str, change: Callable[[JobBook, int], str | None]
) -> Response:
    """Change a line of the book; show it with what there is to say, or that it was noted."""
    own, kept = _number(number), the_book(_shop(request))
    try:
        said = change(kept, own)
    except HoseselectError as error:
        return _job_page(request, own, str(error), UNUSABLE)
    if said:
        return _job_page(request, own, said)
    return RedirectResponse(f"/book/{own}?done=1", status_code=303)


def _job_page(request: Request, number: int, said: str, status: int = 200) -> Response:
    entry: Entry = the_book(_shop(request)).entry(number)
    return page(
        request,
        "book_job.html",
        status,
        entry=entry,
        said=said,
        day=today().isoformat(),
        line_words=service_words,
    )


def _number(text: str) -> int:
    """Return the number of a job.

    Raises
    ------
    InputError
        when it is none.
    """
    if not (text.isascii() and text.isdigit() and len(text) <= MOST_DIGITS):
        raise InputError("job", ascii(text)[:LONGEST], "the number of a job in the book")
    return int(text)


def _shop(request: Request) -> Shop:
    shop: Shop = request.app.state.shop
    return shop
