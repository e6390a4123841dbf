"""What no request gets past: its host, the access key, its origin, its size; and safe headers."""

from __future__ import annotations

from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qsl, urlencode, urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from hoseselect.interfaces.page.access import COOKIE, Access

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
MOST_BYTES = 1_000_000
"""Of a request that brings no file; common practice, no source."""
MOST_OF_A_FILE = {"/sheet": 12_000_000, "/photo": 41_000_000, "/api/trace": 41_000_000}
"""Of a request that brings a file, by the beginning of its path; common practice, no source."""
MOST_ADDRESS = 60_000
"""Letters of an address: a whole job stands in it; common practice, no source."""
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:;"
        " connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cache-Control": "no-store",
}
KEY = "key"


class Guard:
    """Refuses what comes from elsewhere or is too large; the application sees only the rest.

    Parameters
    ----------
    application : that is guarded
    access : who may see it
    """

    def __init__(self, application: ASGIApp, access: Access) -> None:
        self.application, self.access = application, access

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.application(scope, receive, send)
            return
        refused = self._refused(scope)
        if refused is not None:
            await refused(scope, receive, _with_headers(send))
            return
        counted = _Counted(receive, most_bytes(scope["path"]))
        await self.application(scope, counted.receive, _with_headers(send))

    def _refused(self, scope: Scope) -> Response | None:
        """Return what is told to a request that goes no further."""
        headers = Headers(scope=scope)
        if not self.access.knows_host(headers.get("host", "")):
            return _plain(421, "This page answers to its own address alone.")
        if len(scope["query_string"]) > MOST_ADDRESS:
            return _plain(414, f"The address is too long: at most {MOST_ADDRESS:,} letters.")
        length = headers.get("content-length", "0")
        most = most_bytes(scope["path"])
        if not (length.isascii() and length.isdigit()) or int(length[:20]) > most:
            return _plain(413, _too_large(most))
        if scope["method"] not in SAFE and not _same_site(headers):
            return _plain(403, "A form of another site may change nothing here.")
        return self._without_key(scope, headers)

    def _without_key(self, scope: Scope, headers: Headers) -> Response | None:
        """Return what is told to whoever shows no key, or shows it in the address."""
        if not self.access.key:
            return None
        asked = parse_qsl(scope["query_string"].decode("latin-1"), keep_blank_values=True)
        shown = next((text for name, text in asked if name == KEY), "")
        if shown and self.access.opens(shown):
            rest = urlencode([pair for pair in asked if pair[0] != KEY])
            path = f"/{scope['path'].lstrip('/')}"  # two strokes would name another host
            opened = RedirectResponse(f"{path}?{rest}" if rest else path, status_code=303)
            opened.set_cookie(COOKIE, shown, httponly=True, samesite="strict")
            return opened
        scheme, _, told = headers.get("authorization", "").partition(" ")
        own = told.strip() if scheme.casefold() == "bearer" else _cookie(headers)
        if self.access.opens(own):
            return None
        return _plain(403, "The link with the access key is needed: it stands at the counter.")


def most_bytes(path: str) -> int:
    """Return how many bytes a request to a path may bring."""
    return next((most for start, most in MOST_OF_A_FILE.items() if path.startswith(start)),
                MOST_BYTES)  # fmt: skip


def _too_large(most: int) -> str:
    return f"Too large: at most {most:,} bytes are taken."


def _plain(status: int, words: str) -> Response:
    return PlainTextResponse(f"{words}\n", status)


def _cookie(headers: Headers) -> str:
    try:
        found = SimpleCookie(headers.get("cookie", ""))
    except CookieError:
        return ""
    return found[COOKIE].value if COOKIE in found else ""


def _same_site(headers: Headers) -> bool:
    """Return whether a request that changes something comes from a page of ours, or from none."""
    if headers.get("sec-fetch-site", "same-origin") not in {"same-origin", "none"}:
        return False
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc.casefold() == headers["host"].casefold()


class _Counted:
    """The body of a request, of which no more than the limit is taken."""

    def __init__(self, receive: Receive, most: int) -> None:
        self._receive, self._most, self._bytes = receive, most, 0

    async def receive(self) -> Message:
        """Return the next part of the body.

        Raises
        ------
        HTTPException
            when it goes beyond the limit, whatever length was told.
        """
        message = await self._receive()
        self._bytes += len(message.get("body", b""))
        if self._bytes > self._most:
            raise HTTPException(413, _too_large(self._most))
        return message


def _with_headers(send: Send) -> Send:
    """Return a way of sending that adds the safe headers."""

    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sent
