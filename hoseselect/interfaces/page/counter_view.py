"""The counter: one question after another, and the answer beside it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import dropwhile
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from hoseselect.answer.answer import Answer
from hoseselect.application.ask_on import OF_A_REPLY, question_of
from hoseselect.application.pick import check_hose
from hoseselect.book.job_book import JobBook
from hoseselect.intake.counter_question import Asked
from hoseselect.interfaces.page.address import (
    ASK,
    CHANGED,
    FIELD,
    HOSE,
    REPLY,
    UNSAID,
    Address,
    address_of,
)
from hoseselect.interfaces.page.pictures import engine_bay, pictures_of
from hoseselect.interfaces.page.render import page
from hoseselect.interfaces.page.shop import Shop
from hoseselect.interfaces.wording import guess_words
from hoseselect.knowledge.errors import HoseselectError

router = APIRouter(include_in_schema=False)


@router.get("/counter")
def counter(request: Request) -> Response:
    """Show the next question, what was said, and the answer."""
    parameters = request.query_params
    address, note = told_address(request), ""
    field, reply = parameters.get(FIELD, ""), parameters.get(REPLY)
    place = place_of(parameters.get(UNSAID, ""), address)
    if place is not None:
        start = replace(address, pairs=address.pairs[:place], number="")
        left = _going_on(start, address, range(place + 1, len(address.pairs)))
        return RedirectResponse(f"/counter?{left.query}", status_code=303)
    if field and reply is not None:
        address, note = _replied(address, field, reply, parameters.get(CHANGED, ""))
        if not note:
            return RedirectResponse(f"/counter?{address.query}", status_code=303)
    shop: Shop = request.app.state.shop
    values = answer_values(address, shop)
    named = parameters.get(ASK, "") or (field if note else "")
    asked = _asked(address, shop, named, values["answer"])
    return page(
        request,
        "counter.html",
        200,
        address=address,
        asked=asked,
        pictures=pictures_of(asked),
        bay=engine_bay(asked),
        note=note,
        typed=reply or "",
        changed=parameters.get(CHANGED, ""),
        said=address.interviewing.said,
        **values,
    )


@router.get("/counter/answer")
def answer_beside(request: Request) -> Response:
    """Show the answer alone, as it is with the reply that is being typed."""
    parameters = request.query_params
    address, note = told_address(request), ""
    field, reply = parameters.get(FIELD, ""), parameters.get(REPLY, "")
    if field and reply.strip():
        address, note = _replied(address, field, reply, parameters.get(CHANGED, ""))
    shop: Shop = request.app.state.shop
    return page(
        request, "answer.html", 200, address=address, note=note, **answer_values(address, shop)
    )


def told_address(request: Request) -> Address:
    """Return the address of a job, in the units of the shop where it names none."""
    shop: Shop = request.app.state.shop
    address = address_of(request.query_params, shop.settings.units)
    return address if in_the_book(address, shop) else replace(address, number="")


def in_the_book(address: Address, shop: Shop) -> bool:
    """Return whether the number in an address is that of this very job, with this very hose."""
    number = address.number
    if not (number.isascii() and number.isdigit() and len(number) <= MOST_DIGITS) or not shop.book:
        return False
    try:
        asked = JobBook(shop.book).entry(int(number)).asked
        same = as_text(asked.job) == as_text(address.interviewing.values)
    except HoseselectError:
        return False
    return same and str(asked.options.get(HOSE, "")) == address.hose


def as_text(values: Mapping[str, Any]) -> str:
    """Return a job as one text, the same for the same job."""
    return json.dumps(values, sort_keys=True, default=str)


MOST_DIGITS = 12


def _replied(address: Address, field: str, reply: str, changed: str) -> tuple[Address, str]:
    """Return the address after a reply, and what is wrong with it; empty where nothing is."""
    told = changed_reply(address, field, reply, changed)
    try:
        if told.interviewing.begun:
            told.interviewing.job()
    except HoseselectError as error:
        return address, f"{error.found}. {error.expected}"
    return told, ""


def changed_reply(address: Address, field: str, reply: str, changed: str) -> Address:
    """Return the address with a reply: a new one, or in the place of the one that it changes.

    What was said when the one before was read back goes with it.
    """
    place = place_of(changed, address)
    if place is None:
        return address.saying(field, reply)
    told = replace(address, pairs=(*address.pairs[:place], (field, reply)), number="")
    later = range(place + 1, len(address.pairs))
    own = dropwhile(lambda k: address.pairs[k][0] in OF_A_REPLY, later)
    return _going_on(told, address, tuple(own))


def place_of(text: str, address: Address) -> int | None:
    """Return the place of a reply among those of an address; None where there is none."""
    known = text.isascii() and text.isdigit() and len(text) <= MOST_FIGURES
    return int(text) if known and int(text) < len(address.pairs) else None


MOST_FIGURES = 4


def _going_on(told: Address, before: Address, places: Iterable[int]) -> Address:
    """Return the address with those of the later replies that still say what they said.

    A number that chose one thing before and would choose another now is asked again, and so is a
    reply to a question that does not follow any more.

    Parameters
    ----------
    told : up to what was changed
    before : as it was, with the later replies
    places : of the later replies in it
    """
    try:
        meant = {one.place: one.label for one in before.interviewing.said}
    except HoseselectError:  # one of them cannot be used: what stands is what can be
        meant = {}
    for place in places:
        further = told.saying(*before.pairs[place])
        try:
            said = further.interviewing.said
        except HoseselectError:
            continue
        last = {one.place: one.label for one in said}.get(len(further.pairs) - 1)
        if not meant or last == meant.get(place):
            told = further
    return told


def _asked(address: Address, shop: Shop, field: str, answer: Answer | None) -> Asked | None:
    """Return the question that is put: the one that is named, else the next one."""
    own = address.interviewing
    if field:
        try:
            named = question_of(own.state, field)
        except HoseselectError:
            named = None
        if named is not None:
            return named
    return own.question(shop.catalogue, answer)


def answer_values(address: Address, shop: Shop) -> dict[str, Any]:
    """Return what the panel of the answer shows."""
    answer = answer_of(address, shop)
    told = None if answer is None else answer.summary
    if answer is not None and address.hose:
        told = check_hose(address.hose, answer.job, shop.catalogue, units=address.units).summary
    changes: Mapping[str, str] = {}
    if told is not None and told.question_key:
        key = "route" if told.question_key.startswith("route") else told.question_key
        choices = {choice: address.putting([(told.question_key, choice)]).query
                   for choice in told.choices}  # fmt: skip
        changes = choices or {"": urlencode([*address.fields, (ASK, key)])}
    own = address.interviewing
    more = {"unanswered": own.unanswered, "guess": guess_words(own.state.guesses)}
    return {"answer": answer, "told": told, "changes": changes, **more}


def answer_of(address: Address, shop: Shop) -> Answer | None:
    """Return the answer to a job; None where nobody knows yet which line it is about.

    Nor is there one while a reply waits to be read back: without its figure it would be the answer
    to another job.

    Raises
    ------
    InputError
        when what was said cannot be used.
    """
    own = address.interviewing
    if not own.begun or own.unanswered is not None:
        return None
    return shop.picked(own.values, address.units, own.job)
