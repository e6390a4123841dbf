"""Papers and the job book: card and slip as PDF, a job kept under a number and found again."""

from __future__ import annotations

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from hoseselect import __version__
from hoseselect.answer.answer import Answer
from hoseselect.application.pick import check_hose
from hoseselect.intake.job_code import encode_job
from hoseselect.interfaces.in_use import today
from hoseselect.interfaces.page.address import CODE, HOSE, NOTE, NUMBER, UNITS, Address, address_of
from hoseselect.interfaces.page.counter_view import MOST_DIGITS, answer_of, told_address
from hoseselect.interfaces.page.kept import the_book, written_down
from hoseselect.interfaces.page.render import page
from hoseselect.interfaces.page.shop import Shop
from hoseselect.interfaces.paper.bench_card_text import CardFrame
from hoseselect.interfaces.paper.made_card import hose_of, made_card
from hoseselect.interfaces.wording import guess_words
from hoseselect.knowledge.errors import InputError

router = APIRouter(include_in_schema=False)
PDF = "application/pdf"


@router.get("/card.pdf")
def card(request: Request) -> Response:
    """Return the bench card."""
    return _paper(request, slip=False)


@router.get("/slip.pdf")
def slip(request: Request) -> Response:
    """Return the slip for the customer."""
    return _paper(request, slip=True)


def _paper(request: Request, *, slip: bool) -> Response:
    shop: Shop = request.app.state.shop
    address = told_address(request)
    answer = _answer(address, shop)
    frame = CardFrame(
        encode_job(address.interviewing.values),
        today().isoformat(),
        answer.units,
        shop.settings.paper,  # type: ignore[arg-type]
        __version__,
        int(address.number) if address.number else None,
    )
    chosen = hose_of(answer, address.hose or None, "hose")
    made = made_card(answer, frame, chosen, named=bool(address.hose))
    name = "hose-slip.pdf" if slip else "hose-card.pdf"
    told = {"Content-Disposition": f'inline; filename="{name}"'}
    return Response(made.pages("pdf", slip=slip)[0], media_type=PDF, headers=told)


def _answer(address: Address, shop: Shop) -> Answer:
    answer = answer_of(address, shop)
    if answer is None:
        waiting = address.interviewing.unanswered
        if waiting is not None:
            raise InputError(waiting.about or waiting.field, "a reply that waits", waiting.question)
        raise InputError("service", "nothing", "what the line does")
    return answer


@router.get("/answer")
def everything(request: Request) -> Response:
    """Show every rule on a hose, every hose, cautions, checks and sources."""
    shop: Shop = request.app.state.shop
    address = told_address(request)
    answer = _answer(address, shop)
    looked = hose_of(answer, address.hose or (answer.lead.hose if answer.lead else None), "hose")
    return page(
        request,
        "full.html",
        200,
        address=address,
        answer=answer,
        told=answer.summary,
        looked=looked,
        findings=[]
        if looked is None
        else sorted(looked.findings, key=lambda one: one.verdict, reverse=True),
        note="",
        changes={},
        guess=guess_words(address.interviewing.state.guesses),
    )


@router.post("/keep")
async def keep(request: Request) -> Response:
    """Write a job down and show it with its number."""
    shop: Shop = request.app.state.shop
    async with request.form() as form:
        pairs = [(name, text) for name, text in form.multi_items() if isinstance(text, str)]
    address = address_of(pairs, shop.settings.units)
    note = next((text for name, text in pairs if name == NOTE), "")
    answer = _answer(address, shop)
    if address.hose and not answer.stops:
        answer = check_hose(address.hose, answer.job, shop.catalogue, units=address.units)
    number = written_down(
        shop,
        address.interviewing.values,
        answer,
        address.units,
        command="page",
        options={HOSE: address.hose},
        note=note,
    )
    told = Address(address.pairs, address.code, address.units, str(number), address.hose)
    return RedirectResponse(f"/counter?{told.query}", status_code=303)


@router.post("/open")
def open_job(request: Request, job: str = Form("")) -> Response:
    """Go to a job by its number in the book, or by the code on a card."""
    shop: Shop = request.app.state.shop
    typed = job.strip()
    bare = typed.removeprefix("#")
    if bare.isascii() and bare.isdigit() and len(bare) <= MOST_DIGITS:
        return RedirectResponse(f"/counter?{numbered(int(bare), shop).query}", status_code=303)
    told = address_of([(CODE, typed), (UNITS, shop.settings.units)])
    _ = told.interviewing
    return RedirectResponse(f"/counter?{told.query}", status_code=303)


def numbered(number: int, shop: Shop) -> Address:
    """Return the address of a job of the book.

    Raises
    ------
    InputError
        when no book is kept, or it has no such job.
    """
    asked = the_book(shop).entry(number).asked
    told = [(CODE, encode_job(asked.job)), (UNITS, asked.units)]
    hose = asked.options.get(HOSE)
    if isinstance(hose, str) and hose:
        told.append((HOSE, hose))
    if set(asked.options) <= {HOSE}:  # else it was asked in a way that the page does not know
        told.append((NUMBER, str(number)))
    return address_of(told)
