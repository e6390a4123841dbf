"""The bench: the route told, the hose drawn on it, and its shape along the lengths that work."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from fastapi import APIRouter, Request
from starlette.responses import RedirectResponse, Response

from hoseselect.answer.answer import Answer
from hoseselect.answer.hose_answer import HoseAnswer
from hoseselect.application.shape_at import ShapeAt, shape_at
from hoseselect.domain.geometry import RouteGeometry
from hoseselect.intake.interview_state import flat
from hoseselect.interfaces.drawing.curve_drawing import curve_drawing
from hoseselect.interfaces.drawing.route_drawing import route_drawing
from hoseselect.interfaces.page.address import HOSE, LENGTH, WAY, Address
from hoseselect.interfaces.page.around import (
    CLIP,
    CLIP_PARTS,
    KEEP_OUT,
    KEEP_OUT_FURTHER,
    KEEP_OUT_PARTS,
    KINDS,
    MOST,
    is_around,
)
from hoseselect.interfaces.page.bench_fields import (
    ENDS,
    OTHER,
    WAYS,
    shown_fields,
    typed_fields,
    way_of,
)
from hoseselect.interfaces.page.bench_form import before_form, replies_to, unpacked, with_form
from hoseselect.interfaces.page.counter_view import answer_of, answer_values, told_address
from hoseselect.interfaces.page.render import page
from hoseselect.interfaces.page.shop import Shop
from hoseselect.interfaces.paper.made_card import hose_of
from hoseselect.interfaces.wording import job_title, length, window_words
from hoseselect.knowledge.errors import HoseselectError, InputError
from hoseselect.quantities.read import read_quantity

router = APIRouter(include_in_schema=False)
SHAPE_POINTS = 61
"""Of a line that is sent to be turned."""


@router.get("/bench")
def bench(request: Request) -> Response:
    """Show the form of the route, and the route with the hose on it."""
    address, parameters = told_address(request), request.query_params
    if WAY not in parameters:
        own = unpacked(address)
        try:
            return _page(request, own, {}, "")
        except HoseselectError as error:
            return _page(request, own, typed_fields(own), str(error))
    form, shop = dict(parameters), request.app.state.shop
    before = _before(address, form)
    try:
        told = with_form(before, form)
        answer_values(told, shop)
    except HoseselectError as error:
        return _page(request, before, form, str(error))
    return RedirectResponse(f"/bench?{told.query}", status_code=303)


def _before(address: Address, form: dict[str, str]) -> Address:
    """Return the address before the form, whose own names are no part of the job."""
    pairs = tuple(pair for pair in address.pairs if not _of_form(pair[0]))
    return before_form(Address(pairs, address.code, address.units), form)


def _of_form(name: str) -> bool:
    way, colon, _ = name.partition(":")
    return (bool(colon) and way in WAYS) or name in {"bead", "fixed", "usable"} or is_around(name)


def _page(request: Request, address: Address, form: dict[str, str], note: str) -> Response:
    shop: Shop = request.app.state.shop
    values: dict[str, Any] = {}
    fields: dict[str, str] = {}
    replies: dict[str, str] = {}
    panel: dict[str, Any] = {"answer": None, "told": None, "changes": {}, "unanswered": None}
    drawn: dict[str, Any] = {"plan": None}
    if not note:
        values = dict(flat(address.interviewing.values))
        fields = shown_fields(address)
        panel = answer_values(address, shop)
        replies = replies_to(address)
        if panel["answer"] is not None:
            drawn = _drawn(panel["answer"], address, request.query_params.get(LENGTH, ""))
    way = form.get(WAY) or way_of(values)
    fields |= form
    return page(
        request,
        "bench.html",
        200,
        address=address,
        fields=fields,
        ways=WAYS,
        way=way,
        ends=ENDS,
        other=OTHER,
        note=note,
        around=_around(address, form),
        further=KEEP_OUT_FURTHER,
        kinds=KINDS,
        hoses=shop.catalogue.sizes.hose_size.tolist(),
        replies=replies,
        **panel,
        **drawn,
    )


def _around(address: Address, form: dict[str, str]) -> dict[str, dict[int, dict[str, str]]]:
    """Return what the form shows of keep-outs and clips: those that are told, and a free place."""
    told = {**dict(address.pairs), **form}
    shown: dict[str, dict[int, dict[str, str]]] = {}
    for kind, parts in ((KEEP_OUT, (*KEEP_OUT_PARTS, *KEEP_OUT_FURTHER)), (CLIP, CLIP_PARTS)):
        rows = {
            number: {part: told.get(f"{kind}.{number}.{part}", "") for part in parts}
            for number in range(1, MOST + 1)
        }
        told_rows = (n for n, row in rows.items() if any(row[p] for p in row if p not in IDLE))
        last = max(told_rows, default=0)
        shown[kind] = {number: rows[number] for number in range(1, min(last + 1, MOST) + 1)}
    return shown


IDLE = ("kind", "hot")


def _looked_at(answer: Answer, hose: str) -> HoseAnswer | None:
    """Return the hose that is drawn: the one that is named, the best, or the nearest refused."""
    if answer.stops or answer.lead is None:
        return None
    return hose_of(answer, hose or answer.lead.hose, "hose")


def _drawn(answer: Answer, address: Address, typed: str) -> dict[str, Any]:
    """Return drawing, curve and parts of the length of a hose on its route."""
    hose = _looked_at(answer, address.hose)
    if hose is None:
        return {"plan": None}
    plan = hose.cut if hose.verdict.suits else None
    try:
        geometry = hose.geometry
    except HoseselectError:
        geometry = None
    found: dict[str, Any] = {"plan": plan, "looked": hose, "drawing": "", "curve": "", "at": None}
    if plan is not None and hose.curve is not None:
        found["curve"] = curve_drawing(hose.curve, address.units, hose.hose)
        found["slider"] = _slider(hose)
        found["window"] = window_words(plan.window, address.units)
        if typed:
            found["at"] = shape_at(hose, read_quantity(typed, "length", "length"))
            geometry = found["at"].geometry
    if geometry is not None:
        title = f"{job_title(answer.job)}, {hose.hose}"
        found["drawing"] = route_drawing(
            geometry,
            plan if plan is not None and plan.believed and not found["at"] else None,
            title,
            address.units,
        )
        found["space"] = True
    return found


def _slider(hose: HoseAnswer) -> dict[str, float]:
    """Return the ends, the step and the place of the slider along the lengths [mm]."""
    curve = hose.curve
    if curve is None:
        raise InputError("length", "a route without lengths to choose from", "a free route")
    return {
        "low": math.ceil(float(curve.cut[0])),
        "high": math.floor(float(curve.cut[-1])),
        "chosen": curve.chosen,
        "least_radius": curve.least_radius,
    }


@router.get("/bench/shape")
def shape(request: Request) -> dict[str, Any]:
    """Return the shape of the hose in space, at its cut or at another length."""
    shop: Shop = request.app.state.shop
    address, typed = told_address(request), request.query_params.get(LENGTH, "")
    answer = answer_of(address, shop)
    hose = None if answer is None else _looked_at(answer, address.hose)
    if hose is None:
        raise InputError(HOSE, "no hose to draw", "a job with a hose")
    if typed:
        at = shape_at(hose, read_quantity(typed, "length", "length"))
        return {**_space(at.geometry), **_figures(at, address.units)}
    geometry = hose.geometry
    if geometry is None:
        raise InputError("route", "a route without a shape", "a free route or a run")
    return _space(geometry)


def _figures(at: ShapeAt, units: str) -> dict[str, Any]:
    """Return what is told of a shape at one length, in words."""
    return {
        "cut": length(at.cut, units),
        "tightest": length(at.tightest, units),
        "room": "" if math.isnan(at.room) else length(at.room, units),
        "works": at.works,
    }


def _space(geometry: RouteGeometry) -> dict[str, Any]:
    """Return a hose on its route as points [mm]; x forward, y left, z up."""

    def line(points: Any) -> list[list[float]]:
        step = np.unique(np.linspace(0, len(points) - 1, SHAPE_POINTS).astype(int))
        return [[round(float(value), 1) for value in points[k]] for k in step]

    ends = (geometry.nipple_a, geometry.nipple_b)
    return {
        "line": line(geometry.centreline),
        "extremes": [line(points) for points in geometry.extremes],
        "diameter": _number(geometry.outside_diameter),
        "tightest_at": [_number(value) for value in geometry.tightest_at],
        "nipples": [
            {
                "name": end.name,
                "mouth": [round(float(value), 1) for value in end.mouth],
                "root": [round(float(value), 1) for value in end.mouth - 40.0 * end.points],
                "diameter": _number(end.outside_diameter),
            }
            for end in ends
        ],
        "obstacles": [
            {
                "name": one.name,
                "kind": one.kind,
                "points": np.round(one.points, 1).tolist(),
                "radius": _number(one.radius),
                "hot": one.hot,
            }
            for one in geometry.obstacles
        ],
        "clips": np.round(geometry.clips, 1).tolist(),
        "refused": geometry.refused,
        "oriented": not geometry.flat,
    }


def _number(value: float) -> float | None:
    return round(float(value), 2) if math.isfinite(value) else None
