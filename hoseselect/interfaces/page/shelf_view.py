"""The catalogue of the shop: what is there, what is wrong with it, cells corrected with undo."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

from fastapi import APIRouter, Form, Request
from starlette.responses import RedirectResponse, Response

from hoseselect.application.check_catalogue import check_catalogue
from hoseselect.application.correct_catalogue import (
    Spot,
    correct_cell,
    is_built_in,
    take_back,
)
from hoseselect.catalogue.cells import Cells, read_cells
from hoseselect.catalogue.complaint import Complaint
from hoseselect.catalogue.corrections import kept_corrections
from hoseselect.catalogue.file_form import CatalogueFile
from hoseselect.catalogue.tables import ROLLS, TABLES
from hoseselect.interfaces.in_use import now, today
from hoseselect.interfaces.page.render import page, words
from hoseselect.interfaces.page.shop import Shop
from hoseselect.knowledge.errors import HoseselectError, InputError

router = APIRouter(include_in_schema=False)
MOST_ROWS = 100
"""Rows of a list that are shown at once."""
MOST_COMPLAINTS = 200
LONGEST_SEARCH = 200
LEFT = "length_m"
"""Column of the rolls with the metres that are left."""


@router.get("/shelf")
def shelf(request: Request, list: str = "", q: str = "", start: str = "") -> Response:  # noqa: A002
    """Show a list of the catalogue, searched by words."""
    folder = _folder(request)
    table = next((one for one in TABLES if one.file.startswith(f"{list}.")), ROLLS)
    cells = read_cells(folder, table, [])
    wanted = q[:LONGEST_SEARCH].casefold().split()
    rows = [row for row in _rows(cells) if all(word in row["searched"] for word in wanted)]
    first = int(start) if start.isascii() and start.isdigit() and len(start) < 8 else 0
    headings = [name for name in table.headings if name in cells.numbers]
    metres = 0.0
    if LEFT in headings:
        metres = sum(_number(row["cells"][headings.index(LEFT)]) for row in rows)
    return page(
        request,
        "shelf.html",
        200,
        table=table,
        tables=TABLES,
        headings=headings,
        rows=rows[first : first + MOST_ROWS],
        count=len(rows),
        first=first,
        most=MOST_ROWS,
        metres_in_all=metres,
        q=q[:LONGEST_SEARCH],
        own=not is_built_in(folder),
        undo=_last(folder),
    )


def _rows(cells: Cells) -> list[dict[str, Any]]:
    """Return the rows of a file with the lines on which they stand."""
    names = [name for name in cells.table.headings if name in cells.numbers]
    columns = zip(*(cells.column(name) for name in names), strict=True)
    return [
        {"line": line, "cells": texts, "searched": " ".join(texts).casefold()}
        for line, texts in zip(cells.lines, columns, strict=False)
    ]


def _number(text: str) -> float:
    try:
        found = float(text)
    except ValueError:
        return 0.0
    return found if math.isfinite(found) else 0.0


@router.get("/shelf/check")
def check(request: Request) -> Response:
    """Show all that is wrong or odd, with the way to each cell, and which services are covered."""
    folder = _folder(request)
    found = check_catalogue(folder, today())
    return page(
        request,
        "shelf_check.html",
        200,
        found=found,
        complaints=found.complaints[:MOST_COMPLAINTS],
        more=len(found.complaints) - MOST_COMPLAINTS,
        undo=_last(folder),
        own=not is_built_in(folder),
    )


@router.get("/shelf/row")
def row(request: Request, file: str = "", line: str = "", done: str = "") -> Response:
    """Show one row, a small form for each cell."""
    return _row_page(request, file, line, words()["shelf"]["corrected"] if done else "")


@router.post("/shelf/cell")
def correct(
    request: Request,
    file: str = Form(""),
    line: str = Form(""),
    column: str = Form(""),
    key: str = Form(""),
    old: str = Form(""),
    new: str = Form(""),
) -> Response:
    """Correct one cell."""
    folder, spot = _folder(request), Spot(file, _figure(line), _figure(column), key, old)
    try:
        told = correct_cell(folder, spot, new, now(), today())
    except HoseselectError as error:
        return _row_page(request, file, line, str(error), status=UNUSABLE)
    if told.warnings:
        said = [words()["shelf"]["corrected_but"], *(one.sentence for one in told.warnings)]
        return _row_page(request, file, line, " ".join(said))
    return RedirectResponse(f"/shelf/row?file={file}&line={spot.line}&done=1", status_code=303)


@router.post("/shelf/undo")
def undo(request: Request, when: str = Form(""), spot: str = Form("")) -> Response:
    """Take the last correction back, if it is the one that was seen."""
    folder = _folder(request)
    last = _last(folder)
    if last is None or (last.when, last.spot) != (when, spot):
        raise InputError("take back", "another correction, made meanwhile", "a look at it first")
    take_back(folder, last, today())
    return RedirectResponse(f"/shelf/row?file={last.file}&line={last.line}", status_code=303)


UNUSABLE = 422


def _row_page(request: Request, file: str, line: str, note: str, status: int = 200) -> Response:
    folder = _folder(request)
    table = _table(file)
    complaints: list[Complaint] = []
    cells = read_cells(folder, table, complaints)
    number = _figure(line)
    if number not in cells.lines:
        raise InputError(table.file, f"no row on line {number}", "a row of the catalogue")
    place = cells.lines.index(number)
    shown = [
        {
            "field": table.field(name),
            "column": cells.numbers[name],
            "text": cells.column(name)[place],
        }
        for name in table.headings
        if name in cells.numbers
    ]
    found = check_catalogue(folder, today()).complaints
    own = {c.column: c for c in found if (c.file, c.line) == (table.file, number)}
    return page(
        request,
        "shelf_row.html",
        status,
        table=table,
        line=number,
        shown=shown,
        key=shown[0]["text"] if shown else "",
        first=_first_cell(cells, place),
        complaints=own,
        note=note,
        own=not is_built_in(folder),
        undo=_last(folder),
    )


def _first_cell(cells: Cells, place: int) -> str:
    """Return the first cell of a row, whichever column stands there; empty where it is not read."""
    return next((cells.column(name)[place] for name, n in cells.numbers.items() if n == 1), "")


def _table(file: str) -> CatalogueFile:
    for table in TABLES:
        if table.file == file:
            return table
    raise InputError("file", ascii(file)[:LONGEST_SEARCH], "a file of the catalogue")


def _figure(text: str) -> int:
    plain = text.strip()
    return int(plain) if plain.isascii() and plain.isdigit() and len(plain) < 8 else 0


def _folder(request: Request) -> Path:
    shop: Shop = request.app.state.shop
    return shop.folder


def _last(folder: Path) -> Any:
    """Return the correction that can be taken back; None where there is none."""
    try:
        steps = kept_corrections(folder)
    except InputError:
        return None
    return steps[-1] if steps else None
