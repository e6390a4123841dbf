"""The JSON interface: pick, check, cut, explain, with the same plain values as `--json`."""

from __future__ import annotations

from collections.abc import Callable
from itertools import chain
from typing import Any

from fastapi import APIRouter, Query, Request
from starlette.responses import JSONResponse

from hoseselect.answer.answer import Answer
from hoseselect.application.cut import CutResult
from hoseselect.application.cut_as_asked import cut_as_asked
from hoseselect.application.explain import explain_code
from hoseselect.application.pick import check_hose, pick_hose
from hoseselect.domain.job import Job
from hoseselect.intake.hose_name import hoses_named
from hoseselect.intake.read_job import read_job
from hoseselect.interfaces.page.json_forms import (
    FAULTS,
    Answered,
    Asked,
    CheckAsked,
    CutAnswered,
    CutAsked,
    PickAsked,
)
from hoseselect.interfaces.page.kept import written_down
from hoseselect.interfaces.page.shop import Shop
from hoseselect.knowledge.errors import InputError

router = APIRouter(prefix="/api", responses=FAULTS, tags=["answers"])
LONGEST_CODE = 200
USUAL = "margin"


@router.post("/pick", response_model=Answered)
def pick(request: Request, asked: PickAsked) -> JSONResponse:
    """Rank the hoses that suit a job; say why each other one does not, and what to measure next."""
    shop: Shop = request.app.state.shop
    catalogue = shop.catalogue
    named = (hoses_named(text, catalogue, "shelf") for text in asked.shelf)
    shelf = tuple(chain.from_iterable(named))

    def answered(job: Job) -> Answer:
        if not shelf and asked.prefer == USUAL:
            return shop.picked(asked.job, asked.units, lambda: job)
        return pick_hose(job, catalogue, prefer=asked.prefer, shelf=shelf, units=asked.units)

    told = {"prefer": asked.prefer, "shelf": asked.shelf}
    return _told(shop, asked, answered, "pick", told)


@router.post("/check", response_model=Answered)
def check(request: Request, asked: CheckAsked) -> JSONResponse:
    """Hold one hose against one job."""
    shop: Shop = request.app.state.shop

    def answered(job: Job) -> Answer:
        return check_hose(asked.hose, job, shop.catalogue, units=asked.units)

    return _told(shop, asked, answered, "check", {"hose": asked.hose})


@router.post("/cut", response_model=CutAnswered)
def cut(request: Request, asked: CutAsked) -> JSONResponse:
    """Say how long to cut; with a hose only where that hose suits the job."""
    shop: Shop = request.app.state.shop
    told = asked.model_dump(include={"hose", "radius", "outside_diameter"})

    def answered(job: Job) -> CutResult:
        return cut_as_asked(job, lambda: shop.catalogue, units=asked.units, **told)

    return _told(shop, asked, answered, "cut", told)


@router.get("/explain")
def explain(code: str = Query("", max_length=LONGEST_CODE)) -> dict[str, Any]:
    """Explain a rule, service, stop, fluid, polymer, marking, source or figure.

    Without a code all of them are listed; `job` is the JSON Schema of a job file.
    """
    page: dict[str, Any] = explain_code(code).as_json()
    return page


def _told(
    shop: Shop,
    asked: Asked,
    answered: Callable[[Job], Answer | CutResult],
    command: str,
    options: dict[str, Any],
) -> JSONResponse:
    """Return an answer as the command writes it with `--json`; kept in the book where wanted.

    Raises
    ------
    InputError
        when no service is given, or a key cannot be used.
    """
    if "service" not in asked.job:
        raise InputError("service", "nothing", "what the line does", keys=("service",))
    told = answered(read_job(asked.job, "job", asked.units))
    plain = told.as_json(asked.top) if isinstance(told, Answer) else told.as_json()
    number = None
    if asked.keep:
        number = written_down(
            shop,
            asked.job,
            told,
            asked.units,
            command=command,
            options=options,
            note=asked.note,
        )
    return JSONResponse({"number": number, **plain})
