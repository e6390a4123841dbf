"""The sheet: jobs of a CSV or XLSX answered line by line, and lengths cut from the rolls.

Nothing is kept here: the sheet travels in the form, and is read anew each time.
"""

from __future__ import annotations

import base64
import binascii
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from anyio import CapacityLimiter
from anyio.to_thread import run_sync
from fastapi import APIRouter, Request
from starlette.datastructures import FormData, UploadFile
from starlette.responses import Response

from hoseselect.files.open_sheet import WORKBOOK
from hoseselect.intake.job_headings import PREFIX
from hoseselect.interfaces.page import sheet_work as work
from hoseselect.interfaces.page import upload as limits
from hoseselect.interfaces.page.render import page, words
from hoseselect.interfaces.page.roll_picture import roll_picture
from hoseselect.interfaces.page.shop import Shop
from hoseselect.interfaces.page.upload import read_upload
from hoseselect.interfaces.sheets.roll_sheet import cut_list_text
from hoseselect.knowledge.errors import InputError
from hoseselect.rolls.plan import Cut

router = APIRouter(include_in_schema=False)
MOST_SHOWN = 200
"""Lines of answers that are shown; the others stand in the file."""
MOST_FIELDS = 600
ONE_SHEET = CapacityLimiter(1)
"""A process answers one sheet at a time: the counter does not wait for several."""
CSV = "text/csv; charset=utf-8"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
SHOWN = (
    *("verdict", "hose", "cut_length", "cut_least", "cut_most", "clamps", "roll", "price"),
    *("reason", "ask", "error"),
)
MOST_OWN = 4
"""Columns of the sheet's own that are shown."""


@router.get("/sheet")
def sheet(request: Request) -> Response:
    """Show the form that takes a sheet."""
    return _page(request)


@router.post("/sheet")
async def sent(request: Request) -> Response:
    """Read a sheet that was sent, and do with it what the button says."""
    most = limits.MOST_BYTES * 2
    async with request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=most) as form:
        content = await _content(form)
        told = {name: value for name, value in form.multi_items() if isinstance(value, str)}
    return await run_sync(_done, request, content, told, limiter=ONE_SHEET)


async def _content(form: FormData) -> bytes:
    """Return the sheet: the file, or what was pasted, else what the form has kept.

    Raises
    ------
    InputError
        when it cannot be read, or there are two of them.
    """
    file, pasted = form.get("file"), form.get("text")
    lines = isinstance(pasted, str) and bool(pasted.strip())
    if isinstance(file, UploadFile) and file.size:
        if lines:
            raise InputError("sheet", "a file beside lines that are pasted", "one of the two")
        return await file.read(limits.MOST_BYTES + 1)
    if isinstance(pasted, str) and lines:
        return pasted.encode("utf-8", "replace")
    kept = form.get("content")
    try:
        return base64.b64decode(str(kept or ""), validate=True)
    except (binascii.Error, ValueError):
        raise InputError("sheet", "what no form of ours has kept", limits.EXPECTED) from None


def _done(request: Request, content: bytes, told: dict[str, str]) -> Response:
    shop: Shop = request.app.state.shop
    units = told.get("units", "")
    units = units if units in {"mm", "in"} else shop.settings.units
    values: dict[str, Any] = {"told": told, "units": units, "sheet_content": content}
    action = told.get("do", "look")
    try:
        upload = read_upload(content, told.get("encoding", ""))
        if work.is_list_of_lengths(upload):
            ending = "xlsx" if content.startswith(WORKBOOK) else "csv"
            return _rolls(request, content, ending, values, action == "cuts")
        headings = work.headings_of(upload, shop.catalogue, told)
        values |= {"headings": headings, "keys": work.keys_to_choose()}
        if action == "look" and not all(one.sure for one in headings):
            return _page(request, **values)
        answers = work.answered(upload, headings, shop.catalogue, units)
    except InputError as error:
        return _page(request, 422, **values, note=str(error))
    if action in {"csv", "xlsx"}:
        made = work.answers_file(answers, action, upload.separator or ",")
        return _file(made, f"answers.{action}", CSV if action == "csv" else XLSX)
    if action in {"rolls", "cuts"}:
        made = work.answers_file(answers, "csv")
        return _rolls(request, made, "csv", values, action == "cuts")
    return _page(request, **values, answers=answers, table=_table(answers))


def _rolls(
    request: Request, content: bytes, ending: str, values: dict[str, Any], to_file: bool
) -> Response:
    """Return the plan of the rolls as a page, or its cut list as a file."""
    shop: Shop = request.app.state.shop
    told = values["told"]
    try:
        saw, keep = told.get("saw", ""), told.get("keep", "")
        plan = work.planned(content, ending, shop.catalogue, saw, keep)
    except InputError as error:
        return _page(request, 422, **values, note=str(error))
    if to_file:
        return _file(cut_list_text(plan).encode("utf-8-sig"), "cut-list.csv", CSV)
    longest = max((roll.stock.length for roll in plan.rolls), default=1.0)
    pictures = {
        roll.stock.roll: roll_picture(roll, longest, values["units"], words()["sheet"])
        for roll in plan.rolls
    }
    return _page(request, **{**values, "headings": []}, plan=plan, roll_pictures=pictures)


def _alike(cuts: Sequence[Cut]) -> Iterator[tuple[int, int, Cut]]:
    """Yield cuts that are alike and follow one another: number of the first, how many, the cut."""
    first = 1
    for _, some in groupby(cuts, key=lambda cut: (cut.length, cut.job)):
        together = list(some)
        yield first, len(together), together[0]
        first += len(together)


def _table(answers: work.Answers) -> dict[str, Any]:
    """Return what is shown of the answers: some of the sheet's own columns, then ours."""
    names = [heading.partition(" [")[0] for heading in answers.headings]
    own = [k for k, name in enumerate(names) if not name.startswith(PREFIX)][:MOST_OWN]
    ours = [k for k, name in enumerate(names) if name.removeprefix(PREFIX) in SHOWN]
    wanted = list(dict.fromkeys([*own[:2], *ours, *own[2:]]))
    rows = [row for row in answers.rows if any(cell is not None for cell in row)]
    some = [[row[k] for k in wanted] for row in rows[:MOST_SHOWN]]
    used = [n for n in range(len(wanted)) if any(row[n] not in (None, "") for row in some)]
    return {
        "headings": [answers.headings[wanted[n]].removeprefix(PREFIX) for n in used],
        "rows": [[row[n] for n in used] for row in some],
        "more": len(rows) - len(some),
    }


def _file(content: bytes, name: str, kind: str) -> Response:
    told = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=kind, headers=told)


def _page(request: Request, status: int = 200, **values: Any) -> Response:
    shop: Shop = request.app.state.shop
    content = values.pop("sheet_content", b"")
    small = len(content) <= limits.MOST_BYTES
    own: dict[str, Any] = {"note": "", "headings": [], "keys": [], "answers": None, "plan": None}
    own |= {
        "alike_cuts": _alike,
        "told": {},
        "units": shop.settings.units,
        "table": None,
        "roll_pictures": {},
    }
    own |= {
        "alike_cuts": _alike,
        "content": base64.b64encode(content).decode() if small else "",
        "limits": limits,
    }
    return page(request, "sheet.html", status, **(own | values))
