"""The page as an application: its views, its JSON interface, and what guards them."""

from __future__ import annotations

import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from anyio.to_thread import current_default_thread_limiter
from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.staticfiles import StaticFiles

from hoseselect import __version__
from hoseselect.interfaces.page import (
    bench_view,
    book_view,
    counter_view,
    json_interface,
    json_shop,
    json_trace,
    papers,
    photo_view,
    sheet_view,
    shelf_view,
)
from hoseselect.interfaces.page.access import Access
from hoseselect.interfaces.page.guard import Guard
from hoseselect.interfaces.page.render import page
from hoseselect.interfaces.page.shop import Shop
from hoseselect.knowledge.errors import HoseselectError

STATIC = Path(__file__).parent / "static"
UNUSABLE = 422
AT_ONCE = 2
"""Requests that one process works on at once; the others wait their turn."""
JSON_PATHS = "/api/"
VIEWS = (
    counter_view,
    bench_view,
    papers,
    photo_view,
    book_view,
    sheet_view,
    shelf_view,
    json_interface,
    json_shop,
    json_trace,
)


def page_application(shop: Shop | None = None, access: Access | None = None) -> FastAPI:
    """Return the page of a shop.

    Parameters
    ----------
    shop : that it serves; None = as for every command
    access : who may see it; None = this machine alone
    """
    made = FastAPI(
        lifespan=_few_at_once,
        title="hoseselect",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    made.state.shop = shop or Shop()
    made.add_middleware(Guard, access=access or Access())
    made.mount("/static", StaticFiles(directory=STATIC), name="static")
    for view in VIEWS:
        made.include_router(view.router)
    made.add_exception_handler(HoseselectError, _unusable)
    made.add_exception_handler(HTTPException, _http_fault)
    made.add_exception_handler(RequestValidationError, _invalid)
    made.add_exception_handler(Exception, _unforeseen)

    @made.get("/", include_in_schema=False)
    def first() -> Response:
        """Lead to the counter."""
        return RedirectResponse("/counter", status_code=303)

    return made


@asynccontextmanager
async def _few_at_once(_application: FastAPI) -> AsyncIterator[None]:
    """Answer few requests of a process at once: more would only hold up one another."""
    current_default_thread_limiter().total_tokens = AT_ONCE
    yield


def of_environment() -> FastAPI:
    """Return the page as the command that started it has left word in the environment."""
    hosts = tuple(filter(None, os.environ.get(HOSTS, "").split(",")))
    access = Access(hosts, os.environ.get(KEY, "")) if hosts else None
    return page_application(Shop(os.environ.get(CATALOG) or None), access)


HOSTS, KEY, CATALOG = "HOSESELECT_PAGE_HOSTS", "HOSESELECT_PAGE_KEY", "HOSESELECT_PAGE_CATALOG"


def _told(request: Request, status: int, words: str, keys: tuple[str, ...] = ()) -> Response:
    """Return one clear sentence, as JSON where JSON was asked for, else as a page."""
    wanted = request.headers.get("accept", "").startswith("application/json")
    if wanted or request.url.path.startswith(JSON_PATHS):
        whole = words.encode("utf-8", "replace").decode()
        return JSONResponse({"error": whole, "keys": list(keys)}, status)
    return page(request, "fault.html", status, fault=words)


def _unusable(request: Request, error: Exception) -> Response:
    keys = error.keys if isinstance(error, HoseselectError) else ()
    return _told(request, UNUSABLE, str(error), keys)


def _http_fault(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else UNUSABLE
    detail = str(error.detail) if isinstance(error, HTTPException) else str(error)
    return _told(request, status, detail)


def _invalid(request: Request, error: Exception) -> Response:
    faults = error.errors() if isinstance(error, RequestValidationError) else ()
    said = "; ".join(f"{'.'.join(map(str, one['loc']))}: {one['msg']}" for one in faults)
    return _told(request, UNUSABLE, said)


def _unforeseen(request: Request, error: Exception) -> Response:
    return _told(request, 500, f"Nobody foresaw this: {type(error).__name__}. Nothing was changed.")
