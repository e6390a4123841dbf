"""The photo: a sheet of known size and the old hose, tapped, measured, and taken to the bench.

The photo is looked at and let go: no part of it is kept, here or anywhere.
"""

from __future__ import annotations

import base64
import io
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.responses import Response

from hoseselect.application.ask_on import Pair
from hoseselect.application.trace import Shot, suggest_points, trace
from hoseselect.files.picture_file import EXPECTED, MOST_BYTES, Picture, picture_of
from hoseselect.interfaces.drawing.svg import element, number
from hoseselect.interfaces.page.address import Address, address_of
from hoseselect.interfaces.page.bench_form import with_run
from hoseselect.interfaces.page.counter_view import told_address
from hoseselect.interfaces.page.render import page
from hoseselect.interfaces.page.shop import Shop
from hoseselect.interfaces.traced_words import told
from hoseselect.knowledge.errors import InputError
from hoseselect.photo.points import PhotoPoints, Taps
from hoseselect.photo.traced import Traced
from hoseselect.quantities.read import read_quantity

router = APIRouter(include_in_schema=False)
SHEETS = ("a4", "letter", "card")
CORNER, HOSE, EDGE = "corner", "hose", "edge"
MOST_POINTS = 500
MOST_FIELDS = 300
WIDEST_SHOWN = 1200
"""Of a photo under what was fitted to it [px]."""
OWN = ("sheet", "diameter", "points", "side_points", "tapped", "side_tapped")
Shown = list[list[float]]
Pictures = dict[str, Picture | InputError]
ABOVE, SIDE = "photo", "side"
PHOTOS = (ABOVE, SIDE)


@dataclass(frozen=True)
class Received:
    """What came with a form.

    Parameters
    ----------
    pairs : names and texts in their order; what was said of the job may hold a name twice
    pictures : photos by name, or what is wrong with one
    """

    pairs: tuple[Pair, ...]
    pictures: Pictures

    @property
    def fields(self) -> dict[str, str]:
        """The form's own fields."""
        return {name: text for name, text in self.pairs if name in OWN}

    def address(self, shop: Shop) -> Address:
        """Return the job for which a photo is measured."""
        told = [(name, text) for name, text in self.pairs if name not in OWN]
        return address_of(told, shop.settings.units)


@dataclass(frozen=True)
class Sent:
    """What somebody sent.

    Parameters
    ----------
    above : the photo from above
    side : the photo from the side; None where there is none
    sheet : that lies beside the hose
    diameter : outside diameter of the hose [mm]; NaN not known
    address : job for which it is measured
    """

    above: Shot
    side: Shot | None
    sheet: str
    diameter: float
    address: Address

    def traced(self) -> Traced:
        """Return what the photo measures."""
        return trace(self.above, self.side, sheet=self.sheet, outside_diameter=self.diameter)


@router.get("/photo")
def photo(request: Request) -> Response:
    """Show the form that takes a photo."""
    return _page(request, told_address(request), {})


@router.post("/photo")
async def sent(request: Request) -> Response:
    """Measure a photo whose points were written, and show what was fitted over it."""
    return await run_in_threadpool(_measured_page, request, await _received(request))


def _measured_page(request: Request, received: Received) -> Response:
    shop: Shop = request.app.state.shop
    address, fields = received.address(shop), received.fields
    try:
        given = _sent(received, shop)
        traced = given.traced()
    except InputError as error:
        return _page(request, address, fields, note=str(error))
    shown = _over(given.above, traced.middle_line)
    if given.side is not None:
        shown += _over(given.side, traced.side_line)
    return _page(request, address, fields, traced=traced, over=shown)


@router.post("/photo/measure")
async def measure(request: Request) -> dict[str, Any]:
    """Return what a photo measures, in words and as points of the picture."""
    return await run_in_threadpool(_measured, request.app.state.shop, await _received(request))


def _measured(shop: Shop, received: Received) -> dict[str, Any]:
    given = _sent(received, shop)
    traced = given.traced()
    return {
        "told": list(told(traced))[:-2],
        "run": run_text(traced),
        "bench": f"/bench?{at_bench(given.address, traced).query}",
        "lines": [_plain(traced.middle_line), _plain(traced.side_line)],
    }


@router.post("/photo/suggest")
async def suggest(request: Request) -> dict[str, Any]:
    """Return points on the middle of the hose as its edges show it; they decide nothing."""
    return await run_in_threadpool(_suggested, request.app.state.shop, await _received(request))


def _suggested(shop: Shop, received: Received) -> dict[str, Any]:
    given = _sent(received, shop)
    found = suggest_points(given.above, sheet=given.sheet, outside_diameter=given.diameter)
    return {"hose": _plain(found.points.hose), "found": round(found.found, 3)}


def _plain(taps: Taps) -> Shown:
    return [[round(x, 1), round(y, 1)] for x, y in taps]


async def _received(request: Request) -> Received:
    """Return the texts of a form and its photos, or what is wrong with one, told with the form."""
    limits = {"max_files": 2, "max_fields": MOST_FIELDS, "max_part_size": MOST_BYTES}
    async with request.form(**limits) as form:
        texts = tuple((name, text) for name, text in form.multi_items() if isinstance(text, str))
        pictures: Pictures = {}
        for name in PHOTOS:
            file = form.get(name)
            if isinstance(file, UploadFile) and file.size:
                try:
                    pictures[name] = picture_of(await file.read(MOST_BYTES + 1), name)
                except InputError as error:
                    pictures[name] = error
        return Received(texts, pictures)


def _sent(received: Received, shop: Shop) -> Sent:
    """Return what was sent.

    Raises
    ------
    InputError
        when some of it cannot be used.
    """
    fields, pictures = received.fields, received.pictures
    sheet = fields.get("sheet", SHEETS[0])
    if sheet not in SHEETS:
        raise InputError("sheet", f"'{sheet}'", ", ".join(SHEETS))
    diameter = read_quantity(fields.get("diameter") or "unknown", "length", "diameter", minimum=0.0)
    above = _shot(ABOVE, fields.get("points", ""), pictures)
    aside = fields.get("side_points", "")
    side = _shot(SIDE, aside, pictures) if SIDE in pictures or aside.strip() else None
    return Sent(above, side, sheet, diameter, received.address(shop))


def _shot(name: str, points: str, pictures: Pictures) -> Shot:
    """Return a photo with what was tapped in it.

    Raises
    ------
    InputError
        when there is none, or it or a point cannot be used.
    """
    picture = pictures.get(name, InputError(name, "none", EXPECTED))
    if isinstance(picture, InputError):
        raise picture
    return Shot(picture, read_taps(points))


def read_taps(text: str) -> PhotoPoints:
    r"""Return points written one a line: corner, hose or edge, then x and y in pixels.

    Raises
    ------
    InputError
        when a line is none, by its number.

    Examples
    --------
    >>> read_taps("corner 10 20\nhose 30.5, 40").hose
    ((30.5, 40.0),)
    """
    found: dict[str, list[tuple[float, float]]] = {CORNER: [], HOSE: [], EDGE: []}
    lines = text.splitlines()
    if len(lines) > MOST_POINTS:
        raise InputError("points", f"{len(lines)} lines", f"at most {MOST_POINTS}")
    for row, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        kind, *rest = line.replace(",", " ").split() or [""]
        try:
            x, y = (float(part) for part in rest)
            if kind not in found or not abs(x) + abs(y) < FARTHEST:
                raise ValueError
        except ValueError:
            expected = "corner, hose or edge, then x and y in pixels, such as: hose 412 1033"
            raise InputError(f"points: line {row}", f"'{line[:40]}'", expected) from None
        found[kind].append((x, y))
    return PhotoPoints(tuple(found[CORNER]), tuple(found[HOSE]), tuple(found[EDGE]))


FARTHEST = 1e6
"""No picture has as many pixels along a side."""


def run_text(traced: Traced) -> str:
    """Return the run of a traced hose in one line, as the bench takes it."""
    parts = []
    for part in traced.run:
        if isinstance(part, str):
            parts.append(part)
            continue
        turn = f", turn {part['turn']}" if "turn" in part else ""
        parts.append(f"{part['bend']} at {part['radius']}{turn}")
    return "; ".join(parts)


def at_bench(address: Address, traced: Traced) -> Address:
    """Return the job with the run of a traced hose, in place of what was told of its route."""
    return with_run(address, run_text(traced))


def _over(shot: Shot, line: Taps) -> str:
    """Return a photo, made small, with what was tapped and what was fitted over it."""
    from PIL import Image, ImageOps

    picture, points = shot.picture, shot.points
    width, height = picture.size
    try:
        shown = ImageOps.exif_transpose(Image.open(io.BytesIO(picture.data))).convert("RGB")
        shown.thumbnail((WIDEST_SHOWN, WIDEST_SHOWN))
    except (OSError, ValueError, SyntaxError):
        raise InputError("photo", "a damaged picture", EXPECTED) from None
    data = io.BytesIO()
    shown.save(data, "JPEG", quality=80)
    wide = max(width, height) / 300
    taps = [
        element("circle", cx=x, cy=y, r=2 * wide, class_="tap")
        for x, y in (*points.corners, *points.hose)
    ]
    steps = " ".join(f"{number(x)},{number(y)}" for x, y in line)
    return element(
        "svg",
        element(
            "image",
            href=f"data:image/jpeg;base64,{base64.b64encode(data.getvalue()).decode()}",
            width=width,
            height=height,
        ),
        element("polyline", points=steps, class_="fitted", stroke_width=wide, fill="none"),
        *taps,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {width} {height}",
        class_="over",
        aria_hidden="true",
    )


def _page(
    request: Request,
    address: Address,
    fields: dict[str, str],
    *,
    note: str = "",
    traced: Traced | None = None,
    over: str = "",
) -> Response:
    return page(
        request,
        "photo.html",
        200,
        address=address,
        fields=fields,
        sheets=SHEETS,
        note=note,
        over=over,
        told=[] if traced is None else list(told(traced))[:-2],
        run="" if traced is None else run_text(traced),
        bench="" if traced is None else at_bench(address, traced).query,
    )
